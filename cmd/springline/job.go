package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"springline/cmd/springline/job"
	"springline/qc/bend"
	"springline/qc/words"
)

func jobCommand(sys system) *cobra.Command {
	c := &cobra.Command{Use: "job", Short: "Write or check a job file: target, gauges, bar and batch"}
	c.AddCommand(
		&cobra.Command{
			Use:     "example",
			Short:   "Print a commented job file to fill in",
			Example: "  springline job example > shelter.toml",
			Args:    cobra.NoArgs,
			RunE: func(*cobra.Command, []string) error {
				_, err := sys.out.Write(job.Example())
				return err
			},
		},
		&cobra.Command{
			Use:     "check FILE",
			Short:   "Say whether a job file can be measured to, and what rib it makes",
			Example: "  springline job check shelter.toml",
			Args:    cobra.ExactArgs(1),
			RunE: func(_ *cobra.Command, args []string) error {
				j, err := readJob(args[0])
				if err != nil {
					return err
				}
				p := &printer{w: sys.out}
				p.line("%s: target %s revision %d, %s, %s, batch %s: every tolerance can be proven",
					args[0], j.Target.ID, j.Target.Revision, words.Count(len(j.Gauges), "gauge", "gauges"),
					words.Count(len(j.Lots), "lot", "lots"), j.Batch.ID)
				if err := jobNumbers(p, j); err != nil {
					return err
				}
				return p.err
			},
		},
		&cobra.Command{
			Use:   "bars",
			Short: "Print bar sizes, grades, least bends and tolerances with their sources",
			Long: "Prints the tables that this program holds. Each entry is confirmed in its source or marked as from memory: look " +
				"that one up before you rely on it.",
			Example: "  springline job bars",
			Args:    cobra.NoArgs,
			RunE:    func(*cobra.Command, []string) error { return barTables(&printer{w: sys.out}) },
		},
	)
	return c
}

func barTables(p *printer) error {
	p.line("%-14s %8s %9s %8s  source", "size", "mm", "mm2", "kg/m")
	for _, s := range bend.Sizes() {
		p.line("%-14s %8g %9g %8g  %s, %s", s.Name, s.Diameter, s.Area, s.Mass, s.Source, s.Trust)
	}
	p.line("\n%-22s %8s  source", "grade", "MPa")
	for _, g := range bend.Grades() {
		p.line("%-22s %8g  %s, %s", g.Name, g.Yield, g.Source, g.Trust)
	}
	p.line("\n%-22s %8s  source", "least bend, bar to mm", "x bar")
	for _, r := range bend.BendRules() {
		p.line("%-22g %8g  %s, %s", r.UpTo, r.Diameters, r.Source, r.Trust)
	}
	p.line("\n%-36s %8s %8s  source", "suggested tolerance", "+ mm", "- mm")
	for _, t := range append(bend.Tolerances(), bend.TipTolerance(0)) {
		p.line("%-36s %8g %8g  %s, %s", t.What, t.Plus, t.Minus, t.Source, t.Trust)
	}
	return p.err
}

func readJob(path string) (job.Job, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return job.Job{}, fmt.Errorf("read the job file: %w; `springline job example` prints one to fill in", err)
	}
	return job.Parse(text)
}
