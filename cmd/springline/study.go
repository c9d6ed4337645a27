package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"springline/cmd/springline/access"
	"springline/session/command"
	"springline/session/show"
)

func studyCommand(sys system) *cobra.Command {
	var f onRecord
	c := &cobra.Command{
		Use:   "study",
		Short: "A gauge study: how far the gauge, and the people who read it, can be trusted",
		Long: `Several people measure the same ribs with the same gauge, each rib several times, in a blind order. The
result says how well a reading repeats, how far people differ, and what of the tolerance that takes. Finished,
its repeatability counts in the uncertainty of the gauge.

While a study runs, readings of its gauge go to the study and not to the ribs.`,
		Example: `  springline study start --char tip --gauge tape --ribs 01,02,03,04,05 --persons Ines,Otto --repeats 2
  springline study show             whose turn it is
  springline study type 3551.5      a reading for the step shown
  springline study result           once every reading is taken
  springline study finish           count the repeatability from now on
  springline study report --out study.pdf`,
	}
	c.PersistentFlags().StringVar(&f.data, "data", defaultData(), "data folder with the record")
	c.PersistentFlags().BoolVar(&f.json, "json", false, "answer in JSON")
	c.PersistentFlags().StringVar(&f.by, "by", "", "name for the record")
	c.AddCommand(studyStartCommand(sys, &f), studyShowCommand(sys, &f), studyTypeCommand(sys, &f), studyResultCommand(sys, &f),
		studyTurnCommand(sys, &f, "pause", "Let the study rest: readings go to the ribs",
			func(why string) command.Deed { return command.PauseStudy{Reason: why} }),
		studyTurnCommand(sys, &f, "cancel", "End the study without a result; needs --reason",
			func(why string) command.Deed { return command.CancelStudy{Reason: why} }),
		studyGoCommand(sys, &f, "resume", "Go on where the study stood", command.ResumeStudy{}),
		studyGoCommand(sys, &f, "finish", "End the study: its repeatability counts in the gauge's uncertainty", command.FinishStudy{}),
		studyReportCommand(sys, &f))
	return c
}

// studyDo carries a deed out and shows the study as it stands then.
func studyDo(ctx context.Context, sys system, f *onRecord, deed command.Deed) error {
	return withBench(ctx, sys, f.data, func(d access.Way) error {
		a, err := d.Do(ctx, command.Order{Sent: command.Sent{By: f.by}, Deed: deed})
		if err != nil {
			return err
		}
		if a.Held {
			return fmt.Errorf("the reading waits as record %d: %s; %s Answer at the bench page", a.Seq, a.Reason, a.Ask)
		}
		return showStudy(ctx, sys, f, d)
	})
}

func showStudy(ctx context.Context, sys system, f *onRecord, d access.Way) error {
	v, err := studyOnRecord(ctx, d)
	if err != nil {
		return err
	}
	if f.json {
		return writeJSON(sys.out, v)
	}
	p := &printer{w: sys.out}
	p.line("%s: %s with %s, %d ribs x %d persons x %d readings, %s", v.ID, v.Label, v.Gauge, len(v.Ribs), len(v.Persons), v.Repeats, v.State)
	p.line("%d of %d readings taken. %s", v.Done, v.Of, v.Say)
	if v.Step != nil && v.State == "running" {
		again := ""
		if v.Step.Again {
			again = " Its reading was withdrawn."
		}
		p.line("step %d: %s%s", v.Step.Step, v.Step.Do, again)
	}
	if v.Result != nil {
		p.line("%s. %s", v.Result.Word, v.Result.Verdict)
	}
	return p.err
}

func studyOnRecord(ctx context.Context, d access.Way) (*show.StudyView, error) {
	v, err := d.View(ctx)
	if err != nil {
		return nil, err
	}
	if v.Study == nil {
		return nil, errors.New("no gauge study is on record in this batch; start one with: springline study start")
	}
	return v.Study, nil
}

func studyStartCommand(sys system, f *onRecord) *cobra.Command {
	var deed command.StartStudy
	c := &cobra.Command{
		Use:   "start",
		Short: "Lay a study out on ribs of the open batch and say who measures first",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			deed.Ribs, deed.Persons = trimmed(deed.Ribs), trimmed(deed.Persons)
			return studyDo(c.Context(), sys, f, deed)
		},
	}
	c.Flags().StringVar(&deed.Char, "char", "", "characteristic to study, such as tip")
	c.Flags().StringVar(&deed.Gauge, "gauge", "", "gauge to study; the one bound to the characteristic when left out")
	c.Flags().StringSliceVar(&deed.Ribs, "ribs", nil, "ribs, with commas between; 5 to 20")
	c.Flags().StringSliceVar(&deed.Persons, "persons", nil, "who measures, with commas between; 1 to 5")
	c.Flags().Int64Var(&deed.Repeats, "repeats", 2, "readings of each rib by each person; 2 to 5")
	return c
}

func studyShowCommand(sys system, f *onRecord) *cobra.Command {
	return &cobra.Command{
		Use: "show", Short: "How far the study is and whose turn it is; tells no reading while it runs", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return withBench(c.Context(), sys, f.data, func(d access.Way) error { return showStudy(c.Context(), sys, f, d) })
		},
	}
}

func studyTypeCommand(sys system, f *onRecord) *cobra.Command {
	return &cobra.Command{
		Use: "type READING", Short: "Take a reading for the step that is shown", Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return withBench(c.Context(), sys, f.data, func(d access.Way) error {
				v, err := studyOnRecord(c.Context(), d)
				if err != nil {
					return err
				}
				if v.State != "running" {
					return fmt.Errorf("take a reading for %s: it is %s; nothing is to be measured", v.ID, v.State)
				}
				a, err := d.Do(c.Context(), command.Order{Sent: command.Sent{Version: v.Version, By: f.by}, Deed: command.Type{Text: args[0]}})
				if err != nil {
					return err
				}
				if a.Held {
					return fmt.Errorf("the reading waits as record %d: %s; %s Answer at the bench page", a.Seq, a.Reason, a.Ask)
				}
				return showStudy(c.Context(), sys, f, d)
			})
		},
	}
}

// studyTurnCommand is a verb that takes a reason.
func studyTurnCommand(sys system, f *onRecord, use, short string, deed func(why string) command.Deed) *cobra.Command {
	var reason string
	c := &cobra.Command{Use: use, Short: short, Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return studyDo(c.Context(), sys, f, deed(reason)) }}
	c.Flags().StringVar(&reason, "reason", "", "why, for the record")
	return c
}

func studyGoCommand(sys system, f *onRecord, use, short string, deed command.Deed) *cobra.Command {
	return &cobra.Command{Use: use, Short: short, Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return studyDo(c.Context(), sys, f, deed) }}
}

// trimmed is a list as typed with commas between, without the blanks around them.
func trimmed(list []string) []string {
	names := []string{}
	for _, n := range list {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	return names
}

func studyResultCommand(sys system, f *onRecord) *cobra.Command {
	return &cobra.Command{
		Use: "result", Short: "The result with its analysis of variance", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return withBench(c.Context(), sys, f.data, func(d access.Way) error {
				v, err := studyOnRecord(c.Context(), d)
				switch {
				case err != nil:
					return err
				case v.Result == nil:
					return fmt.Errorf("result of %s: %d of %d readings are taken; the others come first", v.ID, v.Done, v.Of)
				case f.json:
					return writeJSON(sys.out, v.Result)
				}
				return printStudyResult(sys.out, v)
			})
		},
	}
}

func printStudyResult(w io.Writer, v *show.StudyView) error {
	p := &printer{w: w}
	r := v.Result
	p.line("%s. %s", r.Word, r.Verdict)
	if r.Help != "" {
		p.line("%s", r.Help)
	}
	for _, l := range r.Lines {
		p.line("  %-40s %s", l.Name, l.Value)
	}
	p.line("  %-16s %4s %12s %12s %10s %12s", "source", "dof", "SS mm2", "MS mm2", "F", "p")
	for _, l := range r.Table {
		p.line("  %-16s %4d %12s %12s %10s %12s", l.Source, l.DOF, l.SS, l.MS, l.F, l.P)
	}
	for _, x := range v.Readings {
		if x.Voided != "" {
			p.line("  withdrawn: rib %s, %s, reading %d, %s: %s", x.Rib, x.Person, x.Round, x.Value, x.Voided)
		}
	}
	if v.State == "complete" {
		p.line("to count the repeatability from now on: springline study finish")
	}
	return p.err
}
