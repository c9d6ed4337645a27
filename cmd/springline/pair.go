package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"springline/cmd/springline/access"
	"springline/qc/pairing/certify"
	"springline/session"
	"springline/session/command"
	"springline/session/show"
)

func pairCommand(sys system) *cobra.Command {
	var f onRecord
	c := &cobra.Command{
		Use:   "pair",
		Short: "Which ribs stand together, and in which order the pairs stand",
		Long: `Pairs the ribs that pass so that the sum of their mismatches is the least there can be, and proves it.
Beside a running bench these verbs go through that bench, so its page shows at once what they change.`,
	}
	c.PersistentFlags().StringVar(&f.data, "data", defaultData(), "data folder with the record")
	c.PersistentFlags().BoolVar(&f.json, "json", false, "answer in JSON")
	c.AddCommand(
		pairProposeCommand(sys, &f), pairRuleCommand(sys, &f),
		pairTwoCommand(sys, &f, "lock RIB RIB", "Set a pair aside as good enough now, and say what that costs",
			func(a, b, _ string) command.Deed { return command.LockPair{Rib: a, With: b} }),
		pairTwoCommand(sys, &f, "release RIB RIB", "Let the ribs of a locked pair go again",
			func(a, b, why string) command.Deed { return command.ReleasePair{Rib: a, With: b, Reason: why} }),
		pairTwoCommand(sys, &f, "forbid RIB RIB", "Never let two ribs stand together; needs --reason",
			func(a, b, why string) command.Deed { return command.ForbidPair{Rib: a, With: b, Reason: why} }),
		pairTwoCommand(sys, &f, "allow RIB RIB", "Take a forbid back",
			func(a, b, why string) command.Deed { return command.AllowPair{Rib: a, With: b, Reason: why} }),
		pairConfirmCommand(sys, &f), pairOrderCommand(sys, &f), pairProveCommand(sys),
	)
	return c
}

func pairProposeCommand(sys system, f *onRecord) *cobra.Command {
	var rib, proof string
	c := &cobra.Command{
		Use:   "propose",
		Short: "The best pairs of the ribs that pass so far, or the best partners of one rib",
		Example: `  springline pair propose
  springline pair propose --rib 07            who can stand with rib 07, a rib that stands already too
  springline pair propose --proof pairs.proof writes the proof for: springline pair prove pairs.proof`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if proof != "" {
				return writeProof(c.Context(), sys, f.data, proof)
			}
			return withBench(c.Context(), sys, f.data, func(d access.Way) error {
				if rib != "" {
					return showPartners(c.Context(), sys, d, f, rib)
				}
				v, err := d.View(c.Context())
				switch {
				case err != nil:
					return err
				case v.Batch == nil:
					return errors.New("propose pairs: no batch is on record; open one with springline bench --job")
				case v.Pairs == nil:
					return fmt.Errorf("propose pairs: no rib of batch %q passes yet", v.Batch.ID)
				case f.json:
					return writeJSON(sys.out, v.Pairs)
				}
				return printPairs(sys.out, v.Batch.ID, v.Pairs)
			})
		},
	}
	c.Flags().StringVar(&rib, "rib", "", "list the ribs that this one can stand with")
	c.Flags().StringVar(&proof, "proof", "", "file to write the proof to")
	return c
}

func writeProof(ctx context.Context, sys system, data, path string) error {
	return withReader(ctx, sys, data, func(b *session.Bench) error {
		text, err := b.PairProof()
		if err != nil {
			return err
		}
		if err := writeFile(path, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
			return err
		}
		_, err = fmt.Fprintf(sys.out, "the proof is in %s\n", path)
		return err
	})
}

func printPairs(w io.Writer, batch string, v *show.PairsView) error {
	p := &printer{w: w}
	p.line("batch %s: %s", batch, v.State)
	if v.Confirmed != "" {
		p.line("%s", v.Confirmed)
	}
	if v.Note != "" {
		p.line("%s", v.Note)
	}
	p.line("rule: %s", v.Rule)
	for i, x := range v.Pairs {
		lock := ""
		switch {
		case x.Locked:
			lock = "  locked: " + x.Cost
		case x.Good:
			lock = "  good enough to lock: " + x.Cost
		}
		p.line("%3d  %s + %s  %s  %s  %s  tag %s%s", i+1, x.A, x.B, x.Mismatch, x.How, x.Largest, x.Tag, lock)
	}
	for _, l := range v.Loose {
		p.line("note: %s", l)
	}
	for _, l := range v.Left {
		p.line("not paired: %s  %s", l.Rib, l.Reason)
	}
	p.line("sum %s; %s", v.Sum, v.Proof)
	if v.CanFix {
		p.line("to confirm these very pairs: springline pair confirm --token %s --by NAME", v.Token)
	}
	return p.err
}

func showPartners(ctx context.Context, sys system, d access.Way, f *onRecord, rib string) error {
	list, err := d.Partners(ctx, rib)
	if err != nil {
		return err
	}
	if f.json {
		return writeJSON(sys.out, list)
	}
	p := &printer{w: sys.out}
	if len(list) == 0 {
		p.line("no rib can stand with %s now", rib)
	}
	for _, x := range list {
		lot := "one lot"
		if !x.OneLot {
			lot = "another lot"
		}
		p.line("%s  %s  %s  %s  %s  %s", x.Partner, x.Mismatch, x.How, x.Largest, lot, x.Cost)
	}
	return p.err
}

func pairRuleCommand(sys system, f *onRecord) *cobra.Command {
	var k command.ChangePairRule
	c := &cobra.Command{
		Use:   "rule",
		Short: "How ribs are compared, and what makes the best pairs; what is left out stays as it is",
		Example: `  springline pair rule --limit '4 mm' --other-lot '0.5 mm'
  springline pair rule --compare max --best worst_then_sum --weights '2 1 1'`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return pairDo(c.Context(), sys, f, k) },
	}
	c.Flags().StringVar(&k.Metric, "compare", "", "rms (root mean square of the differences) or max (largest difference)")
	c.Flags().StringVar(&k.Objective, "best", "", "sum (least sum) or worst_then_sum (least largest mismatch first)")
	c.Flags().StringVar(&k.Weights, "weights", "", "of tip-to-tip, crown height and every station, such as '1 1 1'")
	c.Flags().StringVar(&k.Limit, "limit", "", "largest mismatch of a pair, or none")
	c.Flags().StringVar(&k.OtherLot, "other-lot", "", "how much a pair of one lot may be worse and is still preferred, or none")
	c.Flags().StringVar(&f.by, "by", "", "who decides")
	return c
}

// pairTwoCommand is a verb on two ribs.
func pairTwoCommand(sys system, f *onRecord, use, short string, deed func(rib, with, why string) command.Deed) *cobra.Command {
	var reason string
	c := &cobra.Command{
		Use: use, Short: short, Args: cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			return pairDo(c.Context(), sys, f, deed(args[0], args[1], reason))
		},
	}
	c.Flags().StringVar(&f.by, "by", "", "who decides")
	c.Flags().StringVar(&reason, "reason", "", "why")
	return c
}

// pairDo carries a deed out and says how the pairs are then.
func pairDo(ctx context.Context, sys system, f *onRecord, deed command.Deed) error {
	return withBench(ctx, sys, f.data, func(d access.Way) error {
		if _, err := d.Do(ctx, command.Order{Sent: command.Sent{By: f.by}, Deed: deed}); err != nil {
			return err
		}
		v, err := d.View(ctx)
		if err != nil {
			return err
		}
		if v.Pairs == nil {
			_, err := fmt.Fprintln(sys.out, "recorded; no rib passes yet")
			return err
		}
		if f.json {
			return writeJSON(sys.out, v.Pairs)
		}
		return printPairs(sys.out, v.Batch.ID, v.Pairs)
	})
}

func pairConfirmCommand(sys system, f *onRecord) *cobra.Command {
	var k command.ConfirmPairs
	c := &cobra.Command{
		Use:     "confirm",
		Short:   "Confirm the pairs as proposed, by the token that propose printed",
		Example: "  springline pair confirm --token 6f3a9c0e12b4d875 --by Ines",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return pairDo(c.Context(), sys, f, k) },
	}
	c.Flags().StringVar(&k.Token, "token", "", "names the very proposal that you looked at")
	c.Flags().StringVar(&f.by, "by", "", "who confirms")
	return c
}

func pairOrderCommand(sys system, f *onRecord) *cobra.Command {
	var first, last, token string
	c := &cobra.Command{
		Use:   "order",
		Short: "The order of the confirmed pairs along the structure in which neighbours differ least",
		Example: `  springline pair order --first 07
  springline pair order --first 07 --confirm 1c9d03e58a7b6f42 --by Ines`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return withBench(c.Context(), sys, f.data, func(d access.Way) error {
				v, err := askOrder(c.Context(), d, first, last, token)
				if err != nil {
					return err
				}
				if token != "" {
					if _, err := d.Do(c.Context(), command.Order{Sent: command.Sent{By: f.by}, Deed: command.ConfirmOrder{Token: token, First: first,
						Last: last}}); err != nil {
						return err
					}
					if v, err = askOrder(c.Context(), d, "", "", ""); err != nil {
						return err
					}
				}
				if f.json {
					return writeJSON(sys.out, v)
				}
				return printOrder(sys.out, v)
			})
		},
	}
	c.Flags().StringVar(&first, "first", "", "a rib of the pair that stands first")
	c.Flags().StringVar(&last, "last", "", "a rib of the pair that stands last")
	c.Flags().StringVar(&token, "confirm", "", "confirm the order of this token")
	c.Flags().StringVar(&f.by, "by", "", "who confirms")
	return c
}

// askOrder gives the order that is confirmed, unless another is asked for by its ends or to be confirmed.
func askOrder(ctx context.Context, d access.Way, first, last, token string) (show.OrderView, error) {
	if first == "" && last == "" && token == "" {
		v, err := d.View(ctx)
		if err != nil {
			return show.OrderView{}, err
		}
		if v.Pairs != nil && v.Pairs.Order != nil && v.Pairs.Order.State == "confirmed" {
			return *v.Pairs.Order, nil
		}
	}
	return d.RunOrder(ctx, first, last)
}

func printOrder(w io.Writer, v show.OrderView) error {
	p := &printer{w: w}
	p.line("run order, %s; every tag hangs on one side", cmp.Or(v.Confirmed, v.State))
	for _, s := range v.Stands {
		step := ""
		if s.Step != "" {
			step = "  step " + s.Step
		}
		turned := ""
		if s.Turned {
			turned = "  pair turned end for end"
		}
		p.line("%3d  %s + %s  tag %s%s%s", s.Place, s.A, s.B, s.Tag, step, turned)
	}
	p.line("all steps %s; %s", v.Length, v.Proof)
	if v.State != "confirmed" && v.CanFix {
		p.line("to confirm this very order: springline pair order --confirm %s --by NAME, with the same ends", v.Token)
	}
	return p.err
}

func pairProveCommand(sys system) *cobra.Command {
	return &cobra.Command{
		Use:   "prove FILE",
		Short: "Check a proof file by itself, without the record and without the solver",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := os.ReadFile(args[0])
			if err != nil {
				return fmt.Errorf("read the proof: %w", err)
			}
			v, err := certify.CheckText(text)
			if err != nil {
				return codedError{fmt.Errorf("check the proof in %q: %w", args[0], err), exitIntegrity}
			}
			word := "the pairs are proven best"
			if v.LowerBound != v.Sum {
				word = fmt.Sprintf("the pairs are not proven best: between %d and %d nm", v.LowerBound, v.Sum)
			}
			_, err = fmt.Fprintf(sys.out, "%d pairs, sum %d nm, no pairing below %d nm: %s\n", v.Count, v.Sum, v.LowerBound, word)
			return err
		},
	}
}
