package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"springline/qc"
	"springline/qc/words"
	"springline/reports"
	"springline/reports/typeset"
	"springline/session"
)

func reportCommand(sys system) *cobra.Command {
	var data, batch, out, form, paper string
	var seq int64
	var blank bool
	c := &cobra.Command{
		Use:   "report",
		Short: "Print the report on a batch as PDF, HTML, CSV, JSON or text",
		Long: `Reads the record, beside a running bench too, and writes the batch report. The same record gives the
same bytes. Without --out the report goes to standard output as text. With --blank it is the same sheet empty,
to be filled in by hand when the computer is dead.

Exit code 10 says that the report was written and holds a rib that is not PASS.`,
		Example: `  springline report --batch ARCH-1
  springline report --batch ARCH-1 --out arch-1.pdf --paper letter
  springline report --batch ARCH-1 --format values.csv --out values.csv
  springline report --batch ARCH-1 --seq 812 --out then.html
  springline report --blank --out sheet.pdf`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			form := formOf(form, out)
			on, err := paperNamed(paper)
			if err != nil {
				return err
			}
			q, err := readBatch(c.Context(), sys, data, batch, seq)
			if err != nil {
				return err
			}
			var write func(io.Writer) error
			if blank {
				var s typeset.Sheet
				s, err = reports.NewBlank(q, software())
				write = func(w io.Writer) error { return reports.WriteSheet(w, s, form, on) }
			} else {
				var m reports.Model
				m, err = reports.New(q, software())
				write = func(w io.Writer) error { return reports.Write(w, m, form, on) }
			}
			if err != nil {
				return err
			}
			if out == "" {
				err = write(sys.out)
			} else {
				err = writeFile(out, write)
			}
			if err != nil || blank {
				return err
			}
			return outOfTolerance(q)
		},
	}
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&batch, "batch", "", "batch to report; the latest when left out")
	c.Flags().StringVar(&out, "out", "", "file to write; its ending gives the format")
	c.Flags().StringVar(&form, "format", "", words.Or(reports.Forms())+"; values.csv has a line for each value")
	c.Flags().Int64Var(&seq, "seq", 0, "report as of this record; the latest when left out")
	c.Flags().BoolVar(&blank, "blank", false, "the same sheet empty, to be filled in by hand")
	paperFlag(c, &paper)
	return c
}

// readBatch reads a batch out of a record that may be in use.
func readBatch(ctx context.Context, sys system, data, id string, seq int64) (_ qc.Batch, err error) {
	b, err := session.OpenReadOnly(ctx, recordIn(sys, data))
	if err != nil {
		return qc.Batch{}, err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	all := b.Batches()
	switch {
	case len(all) == 0:
		return qc.Batch{}, fmt.Errorf("report: the record in %q holds no batch yet", data)
	case id == "":
		id = all[len(all)-1]
	case !slices.Contains(all, id):
		return qc.Batch{}, usageError{fmt.Errorf("report: batch %q is not on record; there are %s", id, strings.Join(all, ", "))}
	}
	if seq > 0 {
		return b.BatchAt(ctx, id, seq)
	}
	return b.Batch(id)
}

// outOfTolerance is the error with exit code 10 when a rib of the batch is not PASS.
func outOfTolerance(b qc.Batch) error {
	var bad []string
	for _, r := range b.Ribs {
		v, err := b.Judge(r)
		if err != nil {
			return err
		}
		if v.Word != qc.Pass {
			bad = append(bad, r.ID)
		}
	}
	if len(bad) == 0 {
		return nil
	}
	return codedError{fmt.Errorf("batch %q: not PASS: %s", b.ID, strings.Join(bad, ", ")), exitOut}
}
