package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"springline/qc/bend"
	"springline/qc/length"
	"springline/session"
)

func jigCommand(sys system) *cobra.Command {
	c := &cobra.Command{Use: "jig", Short: "Which jig radius to build, and where its blocks go"}
	c.AddCommand(jigAdviseCommand(sys), jigLayoutCommand(sys))
	return c
}

func jigAdviseCommand(sys system) *cobra.Command {
	var data, batch, lot string
	c := &cobra.Command{
		Use:   "advise",
		Short: "The jig face radius for the next bar of a lot, learned from the ribs so far",
		Long: `Learns how far the bar springs back from every rib as it first came off the jig, and gives the face
radius that brings the next bar of the lot to the target, with its band and what an error costs.`,
		Example: "  springline jig advise --lot lot-2",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			b, err := readBatch(c.Context(), sys, data, batch, 0)
			if err != nil {
				return err
			}
			if lot == "" && len(b.Ribs) > 0 {
				lot = b.Ribs[len(b.Ribs)-1].Lot
			}
			a, err := session.AdviseJig(b, lot)
			if err != nil {
				return fmt.Errorf("advise the jig for lot %q: %w", lot, err)
			}
			p := &printer{w: sys.out}
			p.line("batch %s, lot %s, %d bars of it seen", b.ID, lot, a.Bars)
			p.line("build the jig to a face radius of %.1f mm (+-%.1f mm)", a.Face, 2*a.UFace)
			p.line("the next rib is then expected at %.0f mm tip-to-tip on the centreline (+-%.0f mm)", a.Tip, 2*a.UTip)
			p.line("1 mm of jig radius moves the tips by %.1f mm, 1 %% of yield by %.1f mm", a.TipPerFace, math.Abs(a.TipPerYield))
			if a.Retest {
				p.line("bend one test bar and measure it before the batch goes on")
			}
			for _, w := range a.Warnings {
				p.line("note: %s", w)
			}
			p.line("The bar is a loaded spring on the jig: stand clear of the tips, let go slowly.")
			return p.err
		},
	}
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&batch, "batch", "", "batch; the latest when left out")
	c.Flags().StringVar(&lot, "lot", "", "stock lot of the next bar; that of the last rib when left out")
	return c
}

func jigLayoutCommand(sys system) *cobra.Command {
	var radius, arc, leg, diameter, x, y string
	var blocks int
	c := &cobra.Command{
		Use:   "layout",
		Short: "Block contact points from a datum corner, with diagonals to check them by",
		Long: `Gives X and Y of the point where each block touches the bar, measured from a datum corner, crown at
the top of Y. Tape the chord from the first block to every other one to check the jig as built.`,
		Example: "  springline jig layout --face-radius 683 --arc 4200 --leg 900 --bar 12 --blocks 21 --x 1400 --y 250",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			var mm [6]float64
			for i, f := range []struct{ name, text string }{
				{"face-radius", radius}, {"arc", arc}, {"x", x}, {"y", y}, {"leg", leg}, {"bar", diameter},
			} {
				l, err := length.Parse(f.text, length.Options{DefaultUnit: length.MM})
				if err != nil {
					return usageError{fmt.Errorf("--%s: %w", f.name, err)}
				}
				mm[i] = l.MM()
			}
			// The blocks stand on the inside of the bar: the same angle on a radius smaller by half the bar.
			onFace := mm[1] * mm[0] / (mm[0] + mm[5]/2)
			l, err := bend.LayOut(mm[0], onFace, blocks, mm[2], mm[3], mm[4], mm[5])
			if err != nil {
				return fmt.Errorf("lay the jig out: %w", err)
			}
			p := &printer{w: sys.out}
			p.line("face radius %s mm, %d blocks, chord between neighbours %.1f mm, sagitta %.1f mm", radius, blocks, l.Chord, l.Sagitta)
			p.line("%5s %10s %10s %14s", "block", "X mm", "Y mm", "from block 1")
			for i, c := range l.Contacts {
				p.line("%5d %10.1f %10.1f %14.1f", i+1, c[0], c[1], math.Hypot(c[0]-l.Contacts[0][0], c[1]-l.Contacts[0][1]))
			}
			for _, w := range l.Warnings {
				p.line("note: %s", w)
			}
			p.line("check: %.1f mm from the first block to the last, the bar wraps %.0f degrees", l.EndChord, l.Angle*180/math.Pi)
			p.line("Anchor the jig; legs that cross pinch; stand clear of the tips when the bar is let go.")
			return p.err
		},
	}
	c.Flags().StringVar(&radius, "face-radius", "", "radius of the block faces")
	c.Flags().StringVar(&arc, "arc", "", "arc length along the bar's centreline")
	c.Flags().StringVar(&leg, "leg", "0", "straight leg")
	c.Flags().StringVar(&diameter, "bar", "12", "bar diameter")
	c.Flags().StringVar(&x, "x", "0", "X of the arc's centre from the datum corner")
	c.Flags().StringVar(&y, "y", "0", "Y of the arc's centre from the datum corner")
	c.Flags().IntVar(&blocks, "blocks", 21, "number of blocks")
	return c
}
