package session

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"
	"time"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/session/show"
)

// pulledBatch is a batch of ribs 40 mm too narrow of which the first few were opened by one law: a spread that
// sets what the section's own rules say of it. at is when the pulls were made.
func pulledBatch(t *testing.T, pulls int, at time.Time) (qc.Batch, qc.Rib) {
	t.Helper()
	devs := make([]float64, pulls+1)
	for i := range devs {
		devs[i] = -40 - float64(i)
	}
	b, r := advisedBatch(t, devs...)
	b.AsOf = time.Date(2026, 5, 20, 12, 0, 0, 0, time.UTC)
	tip, _ := b.Target.Characteristic(qc.Tip)
	crown, _ := b.Target.Characteristic(qc.Crown)
	for i := range pulls {
		before := tip.Nominal + length.Length(devs[i]*1e6)
		x := 900 + 20*i
		set := 30 * (float64(x) / 900) * (float64(x) / 900)
		m := func(v length.Length) qc.Measurement {
			return qc.Measurement{At: at, Rib: b.Ribs[i].ID, Char: qc.Tip, Round: 1, Value: v, Gauge: "tape"}
		}
		b.Pulls = append(b.Pulls, qc.Pull{At: at, Rib: b.Ribs[i].ID, Before: m(before), Loaded: m(before + length.Length(x)*mm)})
		b.Ribs[i].Round = 2
		b.Ribs[i].Measurements = append(b.Ribs[i].Measurements,
			qc.Measurement{Seq: 11, Char: qc.Tip, Round: 2, Value: before + length.Length(set*1e6), Gauge: "tape"},
			qc.Measurement{Seq: 12, Char: qc.Crown, Round: 2, Value: crown.Nominal, Gauge: "tape"})
	}
	return b, r
}

var band = regexp.MustCompile(`about \d+ ±(\d+) mm is to be expected \((.*?)\)`)

// The sentence says what its band rests on, and the band narrows as pulls are measured. Pulls of another week
// are left out: bent steel ages.
func TestAdviceSaysWhatItRestsOn(t *testing.T) {
	now := time.Date(2026, 5, 20, 12, 0, 0, 0, time.UTC)
	widths := map[int]int{}
	for _, n := range []int{0, 1, 8} {
		b, r := pulledBatch(t, n, now.Add(-time.Hour))
		v, err := b.Judge(r)
		if err != nil {
			t.Fatal(err)
		}
		m := band.FindStringSubmatch(show.Advise(b, r, v))
		if m == nil {
			t.Fatalf("%d pulls: %q", n, show.Advise(b, r, v))
		}
		widths[n], _ = strconv.Atoi(m[1])
		want := map[int]string{0: "no such pull has been measured yet", 1: "learned from 1 such pull"}[n]
		if want == "" {
			want = fmt.Sprintf("learned from %d such pulls", n)
		}
		if m[2] != want {
			t.Errorf("%d pulls: it rests on %q", n, m[2])
		}
	}
	if !(widths[8] < widths[1] && widths[1] <= widths[0]) {
		t.Errorf("the band does not narrow: %v", widths)
	}
	old, r := pulledBatch(t, 8, now.Add(-8*24*time.Hour))
	v, err := old.Judge(r)
	if err != nil {
		t.Fatal(err)
	}
	if m := band.FindStringSubmatch(show.Advise(old, r, v)); m == nil || m[2] != "no such pull has been measured yet" {
		t.Errorf("pulls of the week before last: %q", show.Advise(old, r, v))
	}
}

// A pull that left the tips where no pull of this steel does is named before the next one.
func TestSlipIsNamed(t *testing.T) {
	tt := qc.Target{Face: qc.Centre, Bar: qc.Bar{Diameter: 12 * mm}, Leg: 900 * mm, Arc: 4200 * mm, Radius: 1337 * mm}
	text := show.PullText(tt, bend.Correction{Action: bend.Open, TipLoaded: 3500, Expected: 2670, UExp: 5, Slip: true}, nil)
	if !regexp.MustCompile(`look for a slip or a misread spacing first`).MatchString(text) {
		t.Errorf("%q", text)
	}
}
