package workshop

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"

	"springline/cmd/springline/calc"
)

// Hidden is a plant: everything the advice must find out or live with.
type Hidden struct {
	Diameter, Grade, Leg, Arc, Wanted float64 // as ordered: mm, MPa
	Steel                             steel   // the first lot's mean
	Lots, Ribs                        int     // lots, and ribs of each that must be made
	LotSD                             float64 // relative shift of yield between lots
	BarSD, DiameterSD                 float64 // relative, from bar to bar
	Blocks                            int
	Bulge, Lever                      float64
	BuildSD, Drift                    float64 // jig: error of each build and creep per bar, mm
	Band                              float64 // friction half-band of a tip reading, mm
	HandSD                            float64 // how well the loaded spacing is hit, mm
	ReAdvise                          bool    // the jig is asked for again before every rib
	wide
}

// Result counts what following the advice came to.
type Result struct {
	Ribs, Good            int
	Pulls, Wraps, Refused int
	Wasted, Lots          int
	Miss, CrownMiss       []float64 // true tip-to-tip and crown height less target of every finished rib, mm
}

// bench is one lot's stock and the jig it is bent on.
type bench struct {
	Hidden
	r           *rand.Rand
	yield       float64 // of the lot over the first lot's
	bent        int
	face, error float64 // the jig as built and how far off it is, mm
}

func (h Hidden) bench(r *rand.Rand, yield float64) *bench {
	return &bench{Hidden: h, r: r, yield: yield}
}

func (b *bench) newPiece() *piece {
	m := b.Steel
	m.yield *= b.yield * math.Exp(b.BarSD*b.r.NormFloat64())
	bar := newBar(m, b.Diameter*math.Exp(b.DiameterSD*b.r.NormFloat64()))
	if b.Whole {
		bar = bar.whole(b.WholeR0, b.WholeA1)
	}
	return &piece{bar: bar, leg: b.Leg, arc: b.Arc}
}

func (b *bench) wrap(p *piece, face float64) {
	if face != b.face {
		b.face, b.error = face, b.BuildSD*b.r.NormFloat64()
	}
	if b.bent == b.JumpAt {
		b.error += b.Jump
	}
	p.wrap(jig{face: face + b.error + b.Drift*float64(b.bent), blocks: b.Blocks, bulge: b.Bulge, lever: b.Lever, kink: b.RootKink})
	b.bent++
}

// read lays the rib down and reads it: the tips rest anywhere inside the friction band.
func (b *bench) read(p *piece) (tip, crown float64) {
	t, c := p.shape()
	lay := func() float64 { return b.Band * (2*b.r.Float64() - 1) }
	friction := lay()
	if b.Relay {
		friction = (friction + lay()) / 2
	}
	return t + friction, c + 1.5*b.r.NormFloat64()
}

// refusedError is an answer of the door that is an error.
type refusedError struct {
	kind string
	err  *calc.Error
}

func (e *refusedError) Error() string { return e.kind + " refused: " + e.err.Error() }

// door is the scripting door: one request, one answer.
func door(kind string, input, output any) error {
	in, err := json.Marshal(input)
	if err != nil {
		return err
	}
	line, err := json.Marshal(map[string]any{"id": 1, "kind": kind, "input": json.RawMessage(in)})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := calc.Run(bytes.NewReader(append(line, '\n')), &out, calc.Kinds()); err != nil {
		return err
	}
	var a struct {
		Output json.RawMessage `json:"output"`
		Error  *calc.Error     `json:"error"`
	}
	if err := json.Unmarshal(out.Bytes(), &a); err != nil {
		return err
	}
	if a.Error != nil {
		return &refusedError{kind, a.Error}
	}
	return json.Unmarshal(a.Output, output)
}

type obj = map[string]any

type advice struct {
	Face   float64 `json:"jig_face_radius_mm"`
	Retest bool    `json:"retest"`
	Tip    float64 `json:"expected_tip_to_tip_mm"`
	UTip   float64 `json:"u_tip_to_tip_mm"`
}

type remedy struct {
	Action   string  `json:"action"`
	Loaded   float64 `json:"tip_to_tip_loaded_mm"`
	Face     float64 `json:"jig_face_radius_mm"`
	Place    string  `json:"place"`
	Kink     float64 `json:"kink_deg"`
	Expected float64 `json:"expected_tip_to_tip_mm"`
	UExp     float64 `json:"u_expected_mm"`
	Reason   string  `json:"reason"`
}

// Tolerance of the tip-to-tip of the workshop's ribs, mm, and how often one rib is handled at most.
const (
	Tolerance  = 20.0
	maxActions = 8
)

// Run makes every lot of a plant as the advice says. log may be nil.
func (h Hidden) Run(seed uint64, log func(string, ...any)) (Result, error) {
	r := rand.New(rand.NewPCG(seed, 991))
	if log == nil {
		log = func(string, ...any) {}
	}
	order := obj{"diameter_mm": h.Diameter, "modulus_mpa": 200e3, "grade_yield_mpa": h.Grade, "leg_mm": h.Leg, "arc_mm": h.Arc,
		"wanted_radius_mm": h.Wanted}
	with := func(more obj) obj {
		m := obj{}
		for k, v := range order {
			m[k] = v
		}
		for k, v := range more {
			m[k] = v
		}
		return m
	}
	phi := h.Arc / 2 / h.Wanted
	target := 2 * (h.Wanted*math.Sin(phi) + h.Leg*math.Cos(phi))
	crown := h.Wanted*(1-math.Cos(phi)) + h.Leg*math.Sin(phi)
	tests, pulls := []obj{}, []obj{}
	res := Result{Lots: h.Lots}
	uTip := h.Band / math.Sqrt(3)
	if h.Relay {
		uTip /= math.Sqrt2
	}
	lotYield := 1.0
	for lot := range h.Lots {
		if lot > 0 {
			lotYield *= math.Exp(h.LotSD * r.NormFloat64())
		}
		name := fmt.Sprintf("heat %d", lot+1)
		b := h.bench(r, lotYield)
		asTest := func(face, t, c float64) obj {
			return obj{"lot": name, "jig_face_radius_mm": face, "tip_to_tip_mm": t, "crown_height_mm": c, "u_tip_mm": uTip, "u_crown_mm": 1.5}
		}
		ask := func() (advice, error) {
			var a advice
			err := door("jig.advise", with(obj{"lot": name, "tests": tests}), &a)
			return a, err
		}
		a, err := ask()
		if err != nil {
			return res, err
		}
		for n := 0; a.Retest && n < 5; n++ {
			p := b.newPiece()
			b.wrap(p, a.Face)
			t, c := b.read(p)
			truth, _ := p.shape()
			log("lot %d test bar on %.1f: %.0f (target %.0f, expected %.0f +- %.0f)", lot+1, a.Face, truth, target, a.Tip, a.UTip)
			if math.Abs(truth-target) > Tolerance {
				res.Wasted++
			}
			tests = append(tests, asTest(a.Face, t, c))
			if a, err = ask(); err != nil {
				return res, err
			}
		}
		for rib := range h.Ribs {
			if h.ReAdvise && rib > 0 {
				if a, err = ask(); err != nil {
					return res, err
				}
				if a.Retest {
					res.Wasted++
				}
			}
			p := b.newPiece()
			face := a.Face
			b.wrap(p, face)
			t, c := b.read(p)
			if !h.TestsOnly {
				tests = append(tests, asTest(face, t, c))
			}
			story := fmt.Sprintf("lot %d rib %d on %.1f (%.0f +- %.0f): %+.0f", lot+1, rib+1, face, a.Tip-target, a.UTip, t-target)
			for n := range maxActions {
				if n > 0 && h.Reread {
					t, c = b.read(p)
				}
				var m remedy
				in := with(obj{
					"lot": name, "rib": rib + 1, "jig_face_radius_mm": face, "tip_lower_mm": target - Tolerance, "tip_upper_mm": target + Tolerance,
					"crown_lower_mm": crown - 60, "crown_upper_mm": crown + 60, "tip_to_tip_mm": t, "crown_height_mm": c, "u_tip_mm": uTip,
					"u_crown_mm": 1.5,
					"tests":      tests, "pulls": pulls,
				})
				if err := door("rib.correct", in, &m); err != nil {
					return res, err
				}
				if m.Action == "none" {
					break
				}
				if m.Action == "refuse" {
					res.Refused++
					story += " refuse: " + m.Reason
					break
				}
				switch m.Action {
				case "open", "close":
					before := t
					res.Pulls++
					to := m.Loaded + h.HandSD*r.NormFloat64()
					if h.NoCross && to < 0 {
						to = 0
					}
					if !p.pull(to) {
						story += " cannot pull"
					}
					t, c = b.read(p)
					if !h.Achieved && !h.NoCross {
						to = m.Loaded
					}
					pulls = append(pulls, obj{"lot": name, "rib": rib + 1, "before_mm": before, "loaded_mm": to, "after_mm": t})
				case "rewrap":
					res.Wraps++
					face = m.Face
					b.wrap(p, face)
					b.face = 0 // the jig is set back afterwards
					t, c = b.read(p)
				case "kink":
					story += " kink"
					res.Pulls++
				default:
					t, c = b.read(p)
				}
				story += fmt.Sprintf(" %s %.0f (%+.0f +- %.0f): %+.0f", m.Action, m.Loaded+m.Face, m.Expected-target, m.UExp, t-target)
			}
			truth, top := p.shape()
			res.CrownMiss = append(res.CrownMiss, top-crown)
			res.Ribs++
			res.Miss = append(res.Miss, truth-target)
			if math.Abs(truth-target) <= Tolerance {
				res.Good++
			} else {
				story += fmt.Sprintf(" OUT %+.1f", truth-target)
			}
			log("%s", story)
		}
	}
	return res, nil
}
