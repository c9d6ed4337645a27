package main

import (
	"errors"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"springline/qc/bend"
)

func jigAdviseCommand(sys system) *cobra.Command {
	var f jigFlags
	c := &cobra.Command{
		Use:   "advise",
		Short: "The jig face radius for the next bar of a lot, learned from the ribs so far",
		Long: `Learns how far the bar springs back from every rib as it first came off the jig, and gives the face
radius that brings the next bar of the lot to the target, with its band, what an error costs, and what
the common shortcuts would cost.`,
		Example: `  springline jig advise --lot lot-2
  springline jig advise --bar "No. 4" --yield 280 --bar-length "20'" --leg "4'" --radius "3' 6\"" --test "3' 6\" = 14'"`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			w, err := f.work(c.Context(), sys)
			if err != nil {
				return err
			}
			if !w.sufficient() {
				return usageError{errors.New("jig advise: give --yield, and any three of --bar-length, --leg, --arc, --span, --crown, --radius and --angle")}
			}
			a, err := w.order.Advise(w.lot, w.tests)
			if err != nil {
				return fmt.Errorf("advise the jig for lot %q: %w", w.lot, err)
			}
			rules, err := w.order.Rules(w.lot, w.tests)
			if err != nil {
				return fmt.Errorf("advise the jig for lot %q: %w", w.lot, err)
			}
			p := &printer{w: sys.out}
			p.line("%s, %d %s of it seen", w.title(), a.Bars, map[bool]string{true: "bar", false: "bars"}[a.Bars == 1])
			p.line("build the jig to a face radius of %s (+-%.1f mm), %s at the bar's centreline", w.show(a.Face, 1), 2*a.UFace, w.show(a.Face+w.order.Diameter/2, 1))
			p.line("the next rib is then expected at %s tip-to-tip on the %s (+-%.0f mm); wanted are %s", w.show(w.faceTip(a.Tip), 0), w.faceName(), math.Ceil(2*a.UTip), w.show(w.faceTip(w.order.Target()), 0))
			if a.Bias > 0.5 {
				p.line("it is aimed %.0f mm closed: opening a rib takes a fraction of the travel that closing takes", a.Bias)
			}
			p.line("1 mm of jig radius moves the tips by %.1f mm, 1 %% of yield by %.1f mm", math.Abs(a.TipPerFace), math.Abs(a.TipPerYield))
			p.line("spring constant fy/(E d) %.4g per mm (+-%.2g): how far the bar springs back, no statement about the steel", a.SpringConstant, 2*a.USpringConstant)
			w.rules(p, rules)
			if a.Retest {
				p.line("bend one test bar and measure it before the batch goes on")
			}
			for _, n := range a.Warnings {
				p.line("note: %s", n)
			}
			p.line("The bar is a loaded spring on the jig: stand clear of the tips, let go slowly.")
			return p.err
		},
	}
	f.add(c)
	return c
}

func (w jigWork) title() string {
	s := w.barText
	if w.batch != "" {
		s = "batch " + w.batch
	}
	if w.lot != "" {
		s += ", lot " + w.lot
	}
	return s
}

func (w jigWork) faceName() string {
	if w.face.String() == "centre" {
		return "centreline"
	}
	return w.face.String()
}

// show is a length in mm, with feet and inches where the job is in them.
func (w jigWork) show(mm float64, places int) string {
	s := fmt.Sprintf("%.*f mm", places, mm)
	if w.feet {
		s += " (" + feetInches(mm) + ")"
	}
	return s
}

func (w jigWork) rules(p *printer, rules []bend.Rule) {
	for _, r := range rules {
		off := fmt.Sprintf("%.0f mm too wide", r.Miss)
		switch {
		case math.Abs(r.Miss) < 0.5:
			off = "as wanted, this time"
		case r.Miss < 0:
			off = fmt.Sprintf("%.0f mm too close", -r.Miss)
		}
		p.line("shortcut %-22s asks for %7.1f mm and would leave the tips %s", `"`+r.Name+`"`, r.Face, off)
	}
}
