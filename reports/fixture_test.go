package reports_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"springline/qc"
	"springline/qc/length"
)

// INVENTED DATA. The reserve, the people, the lots and every number below are made up for the tests: a
// shelter over a wetland boardwalk, 24 ribs and a spare from three lots of 12 mm B500B bar, 6.000 m
// each (legs 900 mm, arc 4200 mm). The numbers come from a fixed sequence, not from any bench.

var zone = time.FixedZone("", 10*3600)

func at(minutes float64) time.Time {
	return time.Date(2026, 3, 14, 8, 10, 0, 0, zone).Add(time.Duration(minutes * float64(time.Minute)))
}

func mm(v float64) length.Length { return length.Length(v*1000+0.5*sign(v)) * length.Micrometre }

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

func arch(t testing.TB, stations int) qc.Target {
	t.Helper()
	target, err := qc.NewArch(qc.ArchSpec{
		ID: "SH-ARCH", Name: "Shelter arch", Revision: 2, Bar: qc.Bar{Diameter: 12 * length.Millimetre, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * length.Millimetre, Arc: 4200 * length.Millimetre, Radius: 1500 * length.Millimetre, Face: qc.Outside,
		StationsPerSide: stations, TolTip: 6 * length.Millimetre, TolCrown: 5 * length.Millimetre, TolStation: 3 * length.Millimetre,
		TipRepeats: 2, Band: mm(1),
	})
	if err != nil {
		t.Fatal(err)
	}
	return target
}

func shelterGauges() []qc.Gauge {
	return []qc.Gauge{
		{ID: "T1", Name: "Tape, blue hook", Kind: qc.Tape, Class: "I", EndFace: true, Resolution: length.Millimetre, Unit: "mm",
			Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight}, Checked: at(-14 * 1440), Due: at(170 * 1440),
			CheckNote: "against the shed's master tape, 0.2 mm long at 3 m"},
		{ID: "C1", Name: "Depth caliper", Kind: qc.Caliper, Limit: mm(.05), Resolution: mm(.01), Unit: "mm",
			Measures: []qc.Kind{qc.StationOffset}, Checked: at(-400 * 1440), Due: at(-35 * 1440)},
	}
}

// dice is a fixed sequence of numbers in -1..1.
type dice uint64

func (d *dice) roll() float64 {
	*d = *d*6364136223846793005 + 1442695040888963407
	return float64(int64(*d>>33))/float64(1<<30) - 1
}

// builder adds ribs to a batch, counting records as a bench would.
type builder struct {
	b   qc.Batch
	seq int64
	min float64
	d   dice
}

func (s *builder) add(r *qc.Rib, c qc.Characteristic, dev float64, entry qc.Entry) *qc.Measurement {
	s.seq++
	s.min += .4
	v := c.Nominal + mm(dev)
	gauge, unit := "C1", "mm"
	text := v.Text(length.MM, 10*length.Micrometre)
	if c.Kind != qc.StationOffset {
		gauge = "T1"
		v = v.Round(length.Millimetre, length.TieEven)
		text = v.String()
	} else {
		v = v.Round(10*length.Micrometre, length.TieEven)
	}
	r.Measurements = append(r.Measurements, qc.Measurement{Seq: s.seq, At: at(s.min), Rib: r.ID, Char: c.ID, Round: r.Round, Value: v,
		Gauge: gauge, Entry: entry, Text: text, Unit: unit, By: "Wren Okafor-Lind"})
	s.b.Counts.Measured++
	if entry == qc.Typed {
		s.b.Counts.Typed++
	}
	return &r.Measurements[len(r.Measurements)-1]
}

// shelter is the invented batch: passes, re-bends each way, a doubtful rib, an unfinished one, a void, a
// value taken again, typed values, a skip.
func shelter(t testing.TB) qc.Batch {
	t.Helper()
	s := &builder{seq: 11, d: 20260314}
	s.b = qc.Batch{
		ID: "WB-07", Title: "Boardwalk shelter ribs, north span", Place: "Ibis Fen reserve, tool shed", Maker: "Wren Okafor-Lind", Planned: 25,
		Target: arch(t, 3), Decision: qc.DefaultDecision, Opened: at(-25), Gauges: shelterGauges(),
		Lots: []qc.Lot{
			{ID: "L1", Heat: "H-48213", Grade: "B500B", BarLength: 6 * length.Metre},
			{ID: "L2", Heat: "H-48219", Grade: "B500B", BarLength: 6 * length.Metre},
			{ID: "L3", Heat: "H-50102", Grade: "B500B", BarLength: 6 * length.Metre},
		},
		Jigs: []qc.Jig{{ID: "J1", FaceRadius: mm(1312), Blocks: 9, At: at(-20)}},
	}
	lotShift := []float64{-.8, .9, 2.1}
	for i := 1; i <= 25; i++ {
		lot := min((i-1)/9, 2)
		r := qc.Rib{ID: fmt.Sprintf("R%02d", i), Lot: s.b.Lots[lot].ID, Jig: "J1", Order: i, Round: 1, Started: at(s.min)}
		base := lotShift[lot] + 1.4*s.d.roll()
		if i == 7 {
			base = 11.6
		}
		if i == 13 {
			base = -9.2
		}
		if i == 10 {
			base = -5.4
		}
		if i == 19 {
			base = 5.6
		}
		entry := qc.Sent
		if i%6 == 2 {
			entry = qc.Typed
		}
		for _, c := range s.b.Target.Round {
			switch c.Kind {
			case qc.TipToTip:
				half := .4 + .6*(s.d.roll()+1)/2
				s.add(&r, c, base+half, entry)
				s.add(&r, c, base-half, entry)
			case qc.CrownHeight:
				s.add(&r, c, -.35*base+.8*s.d.roll(), entry)
			default:
				dev := .08*base + .7*s.d.roll()
				if i == 22 && c.ID == "B2" {
					dev = -4.31
				}
				if i == 24 && (c.ID == "B2" || c.ID == "B1") {
					r.Skips = append(r.Skips, qc.Skip{Seq: s.seq, Char: c.ID, Round: 1, Reason: "paint still wet at the mark"})
					s.seq++
					s.b.Counts.Skipped++
					continue
				}
				m := s.add(&r, c, dev, qc.Sent)
				if i == 4 && c.ID == "A2" {
					m.Voided, m.VoidReason = true, "caliper jaw on the tie wire, not on the bar"
					s.b.Counts.Voided++
					s.b.Counts.Measured--
					again := s.add(&r, c, .31, qc.Sent)
					again.Again = true
					s.b.Counts.Again++
				}
			}
		}
		s.min += 2.5
		s.b.Ribs = append(s.b.Ribs, r)
	}
	s.pairUp(t)
	s.b.Counts.Refused, s.b.Counts.Held, s.b.Counts.Discarded = 2, 3, 1
	s.b.Record = qc.Record{Bench: "shed-1", Epoch: 1, First: 12, Last: s.seq + 14, Head: strings.Repeat("4be01c9f7a63d258", 4)}
	s.b.AsOf = at(s.min + 6)
	s.b.Closed = at(s.min + 5)
	return s.b
}

func (s *builder) pairUp(t testing.TB) {
	t.Helper()
	var good []string
	for _, r := range s.b.Ribs {
		v, err := s.b.Judge(r)
		if err != nil {
			t.Fatal(err)
		}
		if v.Word == qc.Pass {
			good = append(good, r.ID)
		}
	}
	for i := 0; i+1 < len(good); i += 2 {
		s.b.Pairs = append(s.b.Pairs, qc.PairOf{A: good[i], B: good[i+1], Flip: i%6 == 0, MismatchNM: int64(310_000 + 57_000*i),
			Locked: i == 4, ConfirmedBy: "Teodor Vance", At: at(s.min + 3)})
	}
	s.b.PairRule = qc.DefaultPairRule
	s.b.PairRule.OtherLot = mm(.5)
	s.b.Order = &qc.RunOrder{Length: mm(7.4), Bound: mm(7.25), By: "Teodor Vance", At: at(s.min + 4)}
	for i, p := range s.b.Pairs {
		s.b.PairsSum += length.Length(p.MismatchNM)
		s.b.Order.Stands = append([]qc.Stand{{A: p.A, B: p.B, Turned: i%3 == 1}}, s.b.Order.Stands...)
	}
	s.b.PairsMin = s.b.PairsSum
	if len(good)%2 == 1 {
		s.b.Spares = []string{good[len(good)-1]}
		s.b.SpareWhy = []string{"the number of ribs is odd; of all that could be left over, leaving this one is best"}
	}
}
