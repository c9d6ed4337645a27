package reports_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/length"
	"springline/reports"
	"springline/reports/typeset"
)

// studied is the invented batch with the reference study of AIAG Measurement Systems Analysis, 4th ed., as
// deviations of tip-to-tip in millimetres: ten ribs, three people, three readings each.
func studied(t testing.TB) qc.Batch {
	t.Helper()
	b := shelter(t)
	book := [3][3][10]float64{
		{{.29, -.56, 1.34, .47, -.80, .02, .59, -.31, 2.26, -1.36}, {.41, -.68, 1.17, .50, -.92, -.11, .75, -.20, 1.99, -1.25},
			{.64, -.58, 1.27, .64, -.84, -.21, .66, -.17, 2.01, -1.31}},
		{{.08, -.47, 1.19, .01, -.56, -.20, .47, -.63, 1.80, -1.68}, {.25, -1.22, .94, 1.03, -1.20, .22, .55, .08, 2.12, -1.62},
			{.07, -.68, 1.34, .20, -1.28, .06, .83, -.34, 2.19, -1.50}},
		{{.04, -1.38, .88, .14, -1.46, -.29, .02, -.46, 1.77, -1.49}, {-.11, -1.13, 1.09, .20, -1.07, -.67, .01, -.56, 1.45, -1.77},
			{-.15, -.96, .67, .11, -1.45, -.49, .21, -.49, 1.87, -2.16}},
	}
	tip, _ := b.Target.Characteristic(qc.Tip)
	s := qc.Study{StudyPlan: qc.StudyPlan{ID: "study-1", Char: tip, Gauge: "T1",
		Persons: []string{"Wren Okafor-Lind", "Teodor Vance", "Ana"}, Repeats: 3, Seed: 7},
		Started: at(100), Ended: at(160), Finished: true, By: "Teodor Vance"}
	for i := range 10 {
		s.Ribs = append(s.Ribs, b.Ribs[i].ID)
	}
	s.Steps = qc.BlindSteps(10, 3, 3, s.Seed)
	for i, st := range s.Steps {
		v := tip.Nominal + mm(book[st.Person][st.Round-1][st.Rib])
		reading := qc.Measurement{Seq: int64(5000 + i), At: at(100 + float64(i)/2), Rib: s.Ribs[st.Rib], Char: qc.Tip, Round: st.Round, Value: v,
			Gauge: "T1", Entry: qc.Sent, Text: v.Text(length.MM, 10*length.Micrometre), Unit: "mm", By: "Ana"}
		if i == 40 {
			bad := reading
			bad.Seq, bad.Value, bad.Voided, bad.VoidReason = 4999, v+30*length.Millimetre, true, "hook of the tape on the tie wire"
			s.Readings = append(s.Readings, qc.StudyReading{Step: i, Measurement: bad})
		}
		s.Readings = append(s.Readings, qc.StudyReading{Step: i, Measurement: reading})
	}
	b.Studies = []qc.Study{s, {StudyPlan: qc.StudyPlan{ID: "study-2", Char: tip, Gauge: "T1"}, Ended: at(170), Cancel: "rain set in"}}
	b.Ribs[2].Measurements[1].Cause = "the rib rested on a stone at leg B"
	return b
}

// The printed numbers are those of the book: gauge .302, repeat .200, persons .227, parts 1.04; the tolerance of
// +-6 mm makes 6 x .30237 / 12 = 15 % of it.
func TestStudyReport(t *testing.T) {
	b := studied(t)
	alone, err := reports.NewStudy(b, "", "springline test")
	if err != nil {
		t.Fatal(err)
	}
	whole, err := reports.New(b, "springline test")
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]reports.Model{"alone": alone, "in the batch report": whole} {
		var text bytes.Buffer
		if err := typeset.WriteText(&text, m.Sheet); err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(text.String()), " ")
		for _, part := range []string{
			"USABLE WITH CARE. Tape, blue hook in these hands can be used with care for tip-to-tip: " +
				"its spread takes 15 % of the tolerance of −6 to +6 mm.",
			"Most of it lies between the persons", "sd 0.20 mm on 78 degrees of freedom", "sd 0.23 mm", "sd 0.30 mm", "sd 1.0 mm",
			"none that shows (p = 0.97 above 0.25)",
			"88.362", "3.167", "3.118", "245.61", "hook of the tape on the tie wire", "4; 5 or more",
		} {
			if !strings.Contains(flat, part) {
				t.Errorf("%s: lacks %q", name, part)
			}
		}
		if name != "alone" && (!strings.Contains(flat, "rain set in") || !strings.Contains(flat, "rested on a stone at leg B")) {
			t.Errorf("%s: a cancelled study or a written cause is missing", name)
		}
	}
	var html bytes.Buffer
	if err := typeset.WriteHTML(&html, alone.Sheet); err != nil {
		t.Fatal(err)
	}
	golden(t, "study.html", html.Bytes())
	if dir := os.Getenv("REPORTS_DUMP"); dir != "" {
		for name, m := range map[string]reports.Model{"study": alone, "with-study": whole} {
			var pdf bytes.Buffer
			if err := typeset.WritePDF(&pdf, m.Sheet, typeset.A4); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, name+".pdf"), pdf.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestStudyReportIsRefused(t *testing.T) {
	b := studied(t)
	for name, id := range map[string]string{"cancelled": "study-2", "unknown": "study-9"} {
		if _, err := reports.NewStudy(b, id, "springline"); err == nil || !strings.Contains(err.Error(), id) {
			t.Errorf("%s: %v", name, err)
		}
	}
	b.Studies[0].Readings = b.Studies[0].Readings[:50]
	if _, err := reports.NewStudy(b, "", "springline"); err == nil || !strings.Contains(err.Error(), "of 90 readings") {
		t.Errorf("a study that is not whole: %v", err)
	}
}
