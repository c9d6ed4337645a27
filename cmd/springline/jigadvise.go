package main

import (
	"errors"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"springline/qc/bend"
	"springline/qc/words"
	"springline/reports/jig"
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
			if !w.Sufficient() {
				return usageError{errors.New("jig advise: give --yield, and any three of --bar-length, --leg, --arc, --span, " +
					"--crown, --radius and --angle")}
			}
			a, err := w.Order.Advise(w.Lot, w.Tests)
			if err != nil {
				return fmt.Errorf("advise the jig for lot %q: %w", w.Lot, err)
			}
			rules, err := w.Order.Rules(w.Lot, w.Tests)
			if err != nil {
				return fmt.Errorf("advise the jig for lot %q: %w", w.Lot, err)
			}
			p := &printer{w: sys.out}
			p.line("%s, %s of it seen", jigTitle(w), words.Count(a.Bars, "bar", "bars"))
			p.line("build the jig to a face radius of %s (± %.1f mm), %s at the bar's centreline",
				w.Length(a.Face, 1), 2*a.UFace, w.Length(a.Face+w.Order.Diameter/2, 1))
			p.line("the next rib is then expected at %s tip-to-tip %s (± %.0f mm); wanted are %s",
				w.Length(w.FaceTip(a.Tip), 0), w.OnFace(), math.Ceil(2*a.UTip), w.Length(w.FaceTip(w.Order.Target()), 0))
			if a.Bias > 0.5 {
				p.line("it is aimed %.0f mm closed: opening a rib takes a fraction of the travel that closing takes", a.Bias)
			}
			p.line("1 mm of jig radius moves the tips by %.1f mm, 1 %% of yield by %.1f mm", math.Abs(a.TipPerFace), math.Abs(a.TipPerYield))
			p.line("spring constant fy/(E d) %.4g per mm (± %.2g): how far the bar springs back, no statement about the steel",
				a.SpringConstant, 2*a.USpringConstant)
			shortcuts(p, rules)
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

// jigTitle names what the jig is for.
func jigTitle(w jig.Wanted) string {
	s := w.BarText
	if w.Batch != "" {
		s = "batch " + w.Batch
	}
	if w.Lot != "" {
		s += ", lot " + w.Lot
	}
	return s
}

func shortcuts(p *printer, rules []bend.Rule) {
	for _, r := range rules {
		p.line("shortcut %-22s asks for %7.1f mm and would leave the tips %s", `"`+r.Name+`"`, r.Face, jig.Missed(r.Miss))
	}
}
