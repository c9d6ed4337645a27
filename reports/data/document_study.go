package data

import (
	"math"

	"springline/qc"
)

// Study is a finished gauge study.
type Study struct {
	ID         string         `json:"id"`
	Char       string         `json:"characteristic"`
	Gauge      string         `json:"gauge"`
	Ribs       []string       `json:"ribs"`
	Persons    []string       `json:"persons"`
	Repeats    int            `json:"repeats"`
	Started    string         `json:"started,omitempty"`
	Ended      string         `json:"ended,omitempty"`
	Word       string         `json:"word"`
	Verdict    string         `json:"verdict"`
	Help       string         `json:"help,omitempty"`
	RepeatNM   int64          `json:"repeatability_sd_nm"`
	RepeatDOF  int            `json:"repeatability_dof"`
	PersonNM   int64          `json:"between_persons_sd_nm"`
	PersonRib  int64          `json:"persons_by_rib_sd_nm"` // zero where it counts as repeatability
	GaugeNM    int64          `json:"gauge_sd_nm"`
	GaugeLeast int64          `json:"gauge_sd_at_least_nm"` // each bound holds with 95 %
	GaugeMost  int64          `json:"gauge_sd_at_most_nm"`
	RibsNM     int64          `json:"ribs_sd_nm"`
	Readings   []StudyReading `json:"readings"`
}

// StudyReading is one reading of a study, as recorded.
type StudyReading struct {
	Seq        int64  `json:"record"`
	Step       int    `json:"step"`
	Rib        string `json:"rib"`
	Person     string `json:"person"`
	Round      int    `json:"round"`
	ValueNM    int64  `json:"value_nm"`
	ValueMM    string `json:"value_mm"`
	Entry      string `json:"entry"`
	State      string `json:"state"` // counts or voided
	VoidReason string `json:"void_reason,omitempty"`
}

// docStudies are those of the finished studies that can be worked out; a report that cannot show one has
// failed before.
func docStudies(studies []qc.StudyFound) []Study {
	var list []Study
	for _, s := range studies {
		if s.Err != nil {
			continue
		}
		r := s.Result
		sd, dof := r.Repeatability()
		d := Study{ID: s.ID, Char: string(s.Char.ID), Gauge: s.Study.Gauge, Ribs: s.Ribs, Persons: s.Persons, Repeats: s.Repeats,
			Started: rfc(s.Started), Ended: rfc(s.Ended), Word: string(r.Word), Verdict: r.Verdict, Help: r.Help,
			RepeatNM: int64(sd), RepeatDOF: dof, PersonNM: wholeNM(r.SDOperator), PersonRib: wholeNM(r.SDInteraction),
			GaugeNM: wholeNM(r.SDGauge), GaugeLeast: wholeNM(r.GaugeLow), GaugeMost: wholeNM(r.GaugeHigh), RibsNM: wholeNM(r.SDPart),
			Readings: []StudyReading{}}
		for _, x := range s.Readings {
			d.Readings = append(d.Readings, studyReadingDoc(s.Study, x))
		}
		list = append(list, d)
	}
	return list
}

func studyReadingDoc(s qc.Study, x qc.StudyReading) StudyReading {
	state := "counts"
	if x.Voided {
		state = "voided"
	}
	return StudyReading{x.Seq, x.Step + 1, x.Rib, s.Persons[s.Steps[x.Step].Person], x.Round,
		int64(x.Value), x.Value.String(), string(x.Entry), state, x.VoidReason}
}

// wholeNM is a length in millimetres as whole nanometres.
func wholeNM(mm float64) int64 { return int64(math.Round(mm * 1e6)) }
