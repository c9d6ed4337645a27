package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"springline/qc/bend"
	"springline/reports/jig"
)

func jigLayoutCommand(sys system) *cobra.Command {
	var f jigFlags
	var faceRadius, x, y, out, paper string
	var blocks int
	var half bool
	c := &cobra.Command{
		Use:   "layout",
		Short: "Block contact points from a datum corner, as text or as a sheet to print",
		Long: `Gives X and Y of the point where each block touches the bar, measured from a datum corner, crown at
the top of Y, with distances to check the jig as built. Without --face-radius the radius is the one that
"springline jig advise" gives. --out writes the jig sheet: plan to scale, points, leg channels, what to
expect when the bar is let go, pull at each block, cautions.`,
		Example: `  springline jig layout --lot lot-2 --out jig.pdf
  springline jig layout --face-radius 683 --arc 4200 --leg 900 --bar 12 --blocks 21 --x 1400 --y 250
  springline jig layout --job shelter.toml --out jig.svg`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			w, err := f.work(c.Context(), sys)
			if err != nil {
				return err
			}
			if blocks < 0 || blocks == 1 || blocks > 1000 {
				return usageError{fmt.Errorf("jig layout: --blocks is %d; a jig has 2 to 1000", blocks)}
			}
			w.Blocks = cmp.Or(blocks, w.Blocks)
			l := jig.Layout{Half: half}
			if l.Face, err = f.length(&w, "face-radius", faceRadius); err != nil {
				return err
			}
			if (x == "") != (y == "") {
				return usageError{errors.New("jig layout: give both --x and --y, or neither")}
			}
			if x != "" {
				l.Centre = new([2]float64)
				for i, text := range []string{x, y} {
					if l.Centre[i], err = f.length(&w, string("xy"[i]), text); err != nil {
						return err
					}
				}
			}
			s, err := w.Sheet(l, software())
			if errors.Is(err, jig.ErrNoRadius) {
				return usageError{errors.New("jig layout: give --face-radius; or --yield and any three of --bar-length, --leg, --arc, --span, " +
					"--crown, --radius and --angle, to have it advised")}
			}
			if err != nil {
				return err
			}
			if out == "" {
				return layoutText(sys, s)
			}
			switch strings.ToLower(filepath.Ext(out)) {
			case ".pdf":
				on, err := paperNamed(paper)
				if err != nil {
					return err
				}
				return writeFile(out, func(to io.Writer) error { return jig.WritePDF(to, s, on) })
			case ".svg":
				return writeFile(out, func(to io.Writer) error { return jig.WriteSVG(to, s) })
			}
			return usageError{fmt.Errorf("jig layout: --out %q ends neither in .pdf nor in .svg", out)}
		},
	}
	f.add(c)
	c.Flags().StringVar(&faceRadius, "face-radius", "", "radius of the block faces; as advised when left out")
	c.Flags().StringVar(&x, "x", "", "X of the arc's centre from the datum corner; with room for all when left out")
	c.Flags().StringVar(&y, "y", "", "Y of the arc's centre from the datum corner")
	c.Flags().IntVar(&blocks, "blocks", 0, "number of blocks; that of the last jig, or as few as keep the arc even, when left out")
	c.Flags().BoolVar(&half, "half", false, "a jig for one half of the arc, to be bent one half at a time")
	c.Flags().StringVar(&out, "out", "", "write the jig sheet to this file, .pdf or .svg")
	paperFlag(c, &paper)
	return c
}

func layoutText(sys system, s jig.Sheet) error {
	l := s.Plan
	p := &printer{w: sys.out}
	show := func(mm float64) string { return s.Length(mm, 1) }
	p.line("face radius %s, bar centre %s, %d blocks, chord between neighbours %s, sagitta %.1f mm",
		show(l.Face), show(l.CentreRadius), l.Blocks, show(l.Chord), l.Sagitta)
	p.line("arc centre at X %.1f, Y %.1f mm from the datum corner", l.Centre[0], l.Centre[1])
	p.line("%5s %10s %10s %14s %14s", "block", "X mm", "Y mm", "from block 1", "from crown")
	for i, c := range l.Contacts {
		p.line("%5d %10.1f %10.1f %14.1f %14.1f", i+1, c[0], c[1], math.Hypot(c[0]-l.Contacts[0][0], c[1]-l.Contacts[0][1]), l.CrownChord[i])
	}
	for _, c := range l.Channels {
		p.line("leg %c: %.0f mm straight in a channel %.1f mm wide, inside of the bar from %.1f, %.1f to %.1f, %.1f",
			c.Leg, l.Leg, l.Width, c.Root[0], c.Root[1], c.End[0], c.End[1])
	}
	if s.Expected != nil {
		p.line("expected of the next bar: %.0f mm tip-to-tip at the centreline (± %.0f mm); 1 mm of face radius moves it by %.1f mm",
			s.Expected.Tip, math.Ceil(2*s.Expected.U), math.Abs(s.Expected.TipPerFace))
	}
	if hard, ok := l.HardestPull(); ok && !math.IsInf(hard.Force, 1) {
		word := ""
		switch {
		case hard.Force > bend.PullNever:
			word = ": not by hand"
		case hard.Force > bend.PullAlone:
			word = ": use a pipe over the leg or a second person"
		}
		p.line("hardest pull %.0f N at the tip, at the end blocks%s", hard.Force, word)
	}
	for _, w := range jig.Checks(l, s.Order, s.Expected) {
		p.line("note: %s", w)
	}
	p.line("check: %.1f mm from the first block to the last, the bar wraps %.0f degrees", l.EndChord, l.Angle*180/math.Pi)
	p.line("Anchor the jig; legs that cross pinch; stand clear of the tips when the bar is let go.")
	return p.err
}
