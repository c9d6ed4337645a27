package doubt

import (
	"testing"
	"time"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

var at = time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)

// The bounce window is that of the decoder, the move window two seconds (common practice, no source). Both hold
// whichever of two clocks is ahead, and neither is asked about another text, another unit or a typed value.
func TestSentTwice(t *testing.T) {
	s := book.New("bench-1")
	last := s.Sent["tape"]
	last.Text, last.Unit, last.At, last.Rib, last.Char, last.Step = "12.5", "mm", at, "01", qc.Tip, 3
	s.Sent["tape"] = last
	same := log.ReadingBody{Gauge: "tape", Text: "12.5", Unit: "mm", Entry: string(qc.Sent)}
	other := func(change func(*log.ReadingBody)) log.ReadingBody {
		rd := same
		change(&rd)
		return rd
	}
	const bounce, nothing, moved = "bounce", "nothing", "moved"
	for _, c := range []struct {
		name, want string
		after      time.Duration
		rib        string
		char       qc.CharID
		step       int
		rd         log.ReadingBody
	}{
		{"at the end of the bounce window", bounce, wire.DupWindow, "01", qc.Tip, 3, same},
		{"a clock set back", bounce, -wire.DupWindow, "01", qc.Tip, 3, same},
		{"after the bounce window in one place", nothing, wire.DupWindow + 1, "01", qc.Tip, 3, same},
		{"for another rib", moved, 2 * time.Second, "02", qc.Tip, 3, same},
		{"for another measure", moved, 2 * time.Second, "01", qc.Crown, 3, same},
		{"for another step of a study", moved, 2 * time.Second, "01", qc.Tip, 4, same},
		{"a clock set back further", moved, -2 * time.Second, "02", qc.Tip, 3, same},
		{"after the move window", nothing, 2*time.Second + 1, "02", qc.Crown, 4, same},
		{"another text", nothing, 0, "02", qc.Tip, 3, other(func(rd *log.ReadingBody) { rd.Text = "12.50" })},
		{"another unit", nothing, 0, "02", qc.Tip, 3, other(func(rd *log.ReadingBody) { rd.Unit = "in" })},
		{"another gauge", nothing, 0, "02", qc.Tip, 3, other(func(rd *log.ReadingBody) { rd.Gauge = "caliper" })},
		{"typed", nothing, 0, "02", qc.Tip, 3, other(func(rd *log.ReadingBody) { rd.Entry = string(qc.Typed) })},
	} {
		q, asked := sentTwice(s, &book.Rib{Rib: qc.Rib{ID: c.rib}}, qc.Characteristic{ID: c.char}, c.rd, at.Add(c.after), c.step)
		got := nothing
		if asked {
			got = map[words.Finding]string{words.SentTwice{WithinMS: 150}: bounce, words.SentAgain{Char: words.Char(c.char)}: moved}[q.Why]
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// A gauge of 0.01 mm steps that sends 0.0197 has been switched to inches; a step rounded to the places sent, as a
// 64th of an inch (0.0156 of 0.015625) is, has not. What would be far again is not suggested.
func TestFiner(t *testing.T) {
	station := qc.Characteristic{Kind: qc.StationOffset, Lower: -6 * mm, Upper: 6 * mm}
	metric := qc.Gauge{Resolution: mm / 100, Unit: "mm"}
	for _, c := range []struct {
		name, text, unit string
		value            length.Length
		gauge            qc.Gauge
		asked            bool
		suggest          length.Length
	}{
		{"inches on a metric gauge", "0.0197", "mm", 19_700, metric, true, 500_380},
		{"below zero", "-0.0197", "mm", -19_700, metric, true, -500_380},
		{"a step of the gauge", "0.02", "mm", 20_000, metric, false, 0},
		{"half a step in places that hold it", "0.015", "mm", 15_000, metric, true, 381_000},
		{"a 64th of an inch in four places", "0.0156", "in", 396_240, qc.Gauge{Resolution: 396_875, Unit: "in"}, false, 0},
		{"millimetres on a gauge in inches", "0.50", "in", 12_700_000, qc.Gauge{Resolution: 396_875 * 7, Unit: "in"}, true, 500_000},
		{"inches that would be far", "5.001", "mm", 5_001_000, metric, true, 0},
		{"a gauge that says no step", "0.0197", "mm", 19_700, qc.Gauge{Unit: "mm"}, false, 0},
	} {
		rd := log.ReadingBody{ValueNM: int64(c.value), Text: c.text, Unit: c.unit, Entry: string(qc.Sent)}
		if q, asked := Finer(c.gauge, station, rd); asked != c.asked || q.Suggest != c.suggest {
			t.Errorf("%s: asked %v, suggests %v", c.name, asked, q.Suggest)
		}
		rd.Entry = string(qc.Typed)
		if _, asked := Finer(c.gauge, station, rd); asked {
			t.Errorf("%s, typed: asked", c.name)
		}
		rd.Entry = string(qc.Sent)
		if _, asked := Finer(c.gauge, qc.Characteristic{Kind: qc.LegLength, Nominal: 900 * mm}, rd); asked {
			t.Errorf("%s, where the value itself tells: asked", c.name)
		}
	}
}

func TestNotChecked(t *testing.T) {
	checked := qc.Gauge{ID: "tape", Checked: at.AddDate(0, -1, 0), Due: at}
	o := &book.Batch{Body: log.BatchBody{CheckedOnly: true}}
	for _, c := range []struct {
		name  string
		o     *book.Batch
		g     qc.Gauge
		at    time.Time
		asked bool
	}{
		{"on the day", o, checked, at, false},
		{"a second late", o, checked, at.Add(time.Second), true},
		{"never checked", o, qc.Gauge{ID: "tape"}, at, true},
		{"found wrong", o, qc.Gauge{ID: "tape", Checked: at, Failed: true}, at, true},
		{"a batch that does not ask for it", &book.Batch{}, qc.Gauge{ID: "tape"}, at, false},
	} {
		if _, asked := NotChecked(c.o, c.g, c.at); asked != c.asked {
			t.Errorf("%s: asked %v", c.name, asked)
		}
	}
}

// readings make a rib of what one gauge read.
func readings(id, gauge string, values ...length.Length) *book.Rib {
	r := &book.Rib{Rib: qc.Rib{ID: id, Round: 1}}
	for i, v := range values {
		r.Measurements = append(r.Measurements, qc.Measurement{Seq: int64(i + 1), Char: qc.Tip, Round: 1, Gauge: gauge, Value: v})
	}
	return r
}

// Ten ribs read twice, 2 mm apart, have a standard deviation of sqrt(10 (1 + 1) / 10) = 1.4142136 mm, rounded up to a
// nanometre. Readings with another gauge, single ones and those of the rib itself do not count, and nine say nothing.
func TestSpreadOfRepeats(t *testing.T) {
	ch := qc.Characteristic{ID: qc.Tip, Kind: qc.TipToTip, Nominal: 3553 * mm, Band: 3 * mm}
	s, o := book.New("bench-1"), &book.Batch{}
	asked := readings("asked", "tape", 3500*mm, 3600*mm)
	o.Ribs = []*book.Rib{asked, readings("other gauge", "rule", 3500*mm, 3600*mm), readings("single", "tape", 3500*mm)}
	for i := range 10 {
		if _, known := spreadOfRepeats(s, o, asked, ch, "tape"); known {
			t.Errorf("%d ribs say something", i)
		}
		o.Ribs = append(o.Ribs, readings("01", "tape", 3552*mm, 3554*mm))
	}
	sp, known := spreadOfRepeats(s, o, asked, ch, "tape")
	if !known || sp != (repeatSpread{sd: 1_414_214}) {
		t.Errorf("by the batch %+v", sp)
	}
	// Three readings spread by 2 mm around their mean give 2 degrees of freedom, sqrt((10*2 + 2)/12) = 1.3540064 mm.
	o.Ribs = append(o.Ribs, readings("three", "tape", 3552*mm, 3553*mm, 3554*mm))
	if sp, _ = spreadOfRepeats(s, o, asked, ch, "tape"); sp.sd != 1_354_007 {
		t.Errorf("with three readings %v", sp.sd)
	}
	s.Gauges = []book.Gauge{{Gauge: qc.Gauge{ID: "rule", RepeatSD: mm / 2}}}
	if sp, known = spreadOfRepeats(s, o, asked, ch, "rule"); !known || sp != (repeatSpread{sd: mm / 2, more: 6 * mm, byStudy: true}) {
		t.Errorf("by the study %+v", sp)
	}
}

// Readings differ as they may up to the critical range, which counts: 2.77 sd of two, 3.31 of three (studentized range
// for 95 % and infinitely many degrees of freedom; ISO 5725-6, table 1, has 2.8 and 3.3).
func TestDisagree(t *testing.T) {
	ch := qc.Characteristic{ID: qc.Tip, Kind: qc.TipToTip, Nominal: 3553 * mm}
	s := book.New("bench-1")
	s.Gauges = []book.Gauge{{Gauge: qc.Gauge{ID: "tape", RepeatSD: mm}}}
	for _, c := range []struct {
		had   []length.Length
		value length.Length
		asked bool
	}{
		{nil, 4000 * mm, false},
		{[]length.Length{3550 * mm}, 3550*mm + 2_771_000, false},
		{[]length.Length{3550 * mm}, 3550*mm + 2_773_000, true},
		{[]length.Length{3550 * mm}, 3550*mm - 2_773_000, true},
		{[]length.Length{3550 * mm, 3551 * mm}, 3550*mm + 3_314_000, false},
		{[]length.Length{3551 * mm, 3550 * mm}, 3550*mm + 3_316_000, true},
	} {
		q, asked := Disagree(s, &book.Batch{}, readings("01", "tape", c.had...), ch, log.ReadingBody{Gauge: "tape", ValueNM: int64(c.value)})
		if asked != c.asked || asked != q.Repeat {
			t.Errorf("%v after %v: asked %v, of repeats %v", c.value, c.had, asked, q.Repeat)
		}
	}
}

// A bar of 5000 mm from tip to crown to tip with 10 mm across: w² + 4h² is at most (5000 + 20)², and with no leg leaning
// out w + 2h at least 5000 - 20 (Archimedes, On the Sphere and Cylinder I, postulates 1 and 2).
func TestImpossiblePairAtItsEdges(t *testing.T) {
	spec := qc.ArchSpec{ID: "a", Name: "a", Revision: 1, Bar: qc.Bar{Diameter: 10 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 500 * mm, Arc: 4000 * mm, Radius: 1300 * mm, Face: qc.Centre, TolTip: 12 * mm, TolCrown: 10 * mm, TolStation: 6 * mm, TipRepeats: 1}
	half, err := qc.NewArch(spec)
	if err != nil {
		t.Fatal(err)
	}
	crown, _ := half.Characteristic(qc.Crown)
	tip, _ := half.Characteristic(qc.Tip)
	more := half
	more.Radius = 1270 * mm // the arc is more than half a turn: a leg may lean out
	for _, c := range []struct {
		name       string
		target     qc.Target
		w, h       length.Length
		impossible bool
	}{
		{"a triangle of 3012, 4016 and 5020", half, 3012 * mm, 2008 * mm, false},
		{"a little wider", half, 3012*mm + mm/10, 2008 * mm, true},
		{"a little higher", half, 3012 * mm, 2008*mm + mm/10, true},
		{"across and up", half, 1980 * mm, 1500 * mm, false},
		{"a little less", half, 1980*mm - mm/10, 1500 * mm, true},
		{"the same with more than half a turn", more, 1980*mm - mm/10, 1500 * mm, false},
	} {
		for _, first := range []qc.CharID{qc.Tip, qc.Crown} {
			r := &book.Rib{Rib: qc.Rib{ID: "01", Round: 1, Measurements: []qc.Measurement{{Seq: 1, Char: first, Round: 1, Value: c.w}}}}
			ch, v := crown, c.h
			if first == qc.Crown {
				r.Measurements[0].Value, ch, v = c.h, tip, c.w
			}
			if _, got := ImpossiblePair(c.target, r, ch, v); got != c.impossible {
				t.Errorf("%s, %s first: %v", c.name, first, got)
			}
		}
	}
}
