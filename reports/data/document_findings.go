package data

import (
	"math"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/words"
)

// Budget is the doubt about a measurement on target: standard uncertainties in mm.
type Budget struct {
	Char     string `json:"characteristic"`
	Gauge    string `json:"gauge"`
	Parts    []Part `json:"parts"`
	U        string `json:"standard_uncertainty_mm"`
	DOF      string `json:"effective_degrees_of_freedom,omitempty"` // none where infinite
	Coverage string `json:"coverage_factor_95"`
	Expanded string `json:"expanded_uncertainty_mm"`
	GuardMM  string `json:"guard_mm"`
	OneSided string `json:"too_long_by_mm,omitempty"` // when laid OffLine off the straight line; in no sum
	OffLine  string `json:"laid_off_line_by_mm,omitempty"`
}

// Part is one part of a budget.
type Part struct {
	Name string `json:"name"`
	U    string `json:"standard_uncertainty_mm"`
}

// Jig is what the first rounds say of the jig.
type Jig struct {
	Finding string   `json:"finding"` // one sentence
	Changed bool     `json:"changed"`
	Series  []Series `json:"series"`
}

// Series is one characteristic in bend order.
type Series struct {
	Char   string  `json:"characteristic"`
	Label  string  `json:"label"`
	Points []Point `json:"ribs"`
}

// Point is one rib of a series; averages and sums are in standard deviations of the ribs before it.
type Point struct {
	Rib         string `json:"rib"`
	Jig         string `json:"jig"`
	Lot         string `json:"lot"`
	DeviationMM string `json:"deviation_mm"`
	Average     string `json:"moving_average"`
	SumUp       string `json:"sum_up"`
	SumDown     string `json:"sum_down"`
}

// Fit is how the ribs off the jig fit a tolerance; what needs more ribs is left out.
type Fit struct {
	Char        string `json:"characteristic"`
	Ribs        int    `json:"ribs"`
	MeanMM      string `json:"mean_mm"`
	SDMM        string `json:"sd_mm"`
	GaugeSDMM   string `json:"gauge_sd_mm,omitempty"`
	RibSDMM     string `json:"rib_sd_mm,omitempty"`
	NormalP     string `json:"anderson_darling_p,omitempty"`
	Cpk         string `json:"cpk,omitempty"`
	CpkLow      string `json:"cpk_at_least,omitempty"`
	FalseAccept string `json:"consumers_risk,omitempty"`
	FalseReject string `json:"producers_risk,omitempty"`
	Outside     int    `json:"outside"`
	Sentence    string `json:"sentence"`
}

// decimal prints a number without an exponent; what is no number prints as nothing.
func decimal(v float64, places int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

func docBudgets(proofs []qc.Proof) []Budget {
	list := []Budget{}
	for _, p := range proofs {
		d := Budget{Char: string(p.Char.ID), Gauge: p.Gauge.ID, Parts: []Part{}, U: p.U.String(), DOF: decimal(p.DOF, 2),
			Coverage: decimal(p.Coverage, 4), Expanded: p.Expanded.String(), GuardMM: p.Guard.String()}
		for _, q := range p.Budget.Parts() {
			d.Parts = append(d.Parts, Part{q.Name, decimal(q.U/1e6, 6)})
		}
		if p.Cosine != nil {
			d.OneSided, d.OffLine = p.Cosine.Long.String(), p.Cosine.Offset.String()
		}
		list = append(list, d)
	}
	return list
}

func docJig(f qc.Findings) Jig {
	j := Jig{Finding: words.English.Say(f.Quiet), Series: []Series{}}
	if f.Moved != nil {
		j.Finding, j.Changed = words.English.Say(f.Moved.Said), true
	}
	for _, d := range f.Drifts {
		s := Series{Char: string(d.Char.ID), Label: d.Char.Label(), Points: []Point{}}
		for _, st := range d.Stretches {
			for _, p := range st.Points {
				s.Points = append(s.Points, Point{p.ID, p.Jig, p.Lot, p.Dev.String(),
					decimal(p.Average, 4), decimal(p.SumUp, 4), decimal(p.SumDown, 4)})
			}
		}
		j.Series = append(j.Series, s)
	}
	return j
}

func docFits(fits []qc.Capability) []Fit {
	list := []Fit{}
	for _, p := range fits {
		d := Fit{Char: string(p.Char.ID), Ribs: p.N, MeanMM: decimal(p.Mean, 4), SDMM: decimal(p.SD, 4),
			Outside: p.Out, Sentence: p.Sentence()}
		if p.GaugeFrom != "" {
			d.GaugeSDMM, d.RibSDMM = decimal(p.Gauge, 4), decimal(p.RibSD, 4)
		}
		if p.Normality != nil {
			d.NormalP = decimal(p.Normality.P, 4)
		}
		if p.Index != nil {
			d.Cpk, d.CpkLow = decimal(p.Index.Cpk, 4), decimal(p.Index.CpkLowOneSided, 4)
		}
		if p.Risk != nil {
			d.FalseAccept, d.FalseReject = decimal(p.Risk.FalseAccept, 8), decimal(p.Risk.FalseReject, 8)
		}
		list = append(list, d)
	}
	return list
}
