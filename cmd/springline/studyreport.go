package main

import (
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"springline/reports"
)

func studyReportCommand(sys system, f *onRecord) *cobra.Command {
	var batch, id, out, paper string
	c := &cobra.Command{
		Use:   "report",
		Short: "Print a finished study as PDF, HTML or text",
		Long: `Reads the record, beside a running bench too, and writes the report on a finished gauge study: result, analysis of
variance, chart and every reading. The same record gives the same bytes. Without --out it goes to standard output as
text. The batch report holds its studies as well.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			b, err := readBatch(c.Context(), sys, f.data, batch, 0)
			if err != nil {
				return err
			}
			m, err := reports.NewStudy(b, id, software())
			if err != nil {
				return err
			}
			on, err := paperNamed(paper)
			if err != nil {
				return err
			}
			form := formOf("", out)
			if !slices.Contains(reports.SheetForms(), form) {
				return usageError{fmt.Errorf("write the study report to %q: its ending is none of .pdf, .html and .txt", out)}
			}
			write := func(w io.Writer) error { return reports.WriteSheet(w, m.Sheet, form, on) }
			if out == "" {
				return write(sys.out)
			}
			return writeFile(out, write)
		},
	}
	c.Flags().StringVar(&batch, "batch", "", "batch; the latest when left out")
	c.Flags().StringVar(&id, "study", "", "study, such as study-1; the latest finished one when left out")
	c.Flags().StringVar(&out, "out", "", "file to write; its ending gives the format")
	paperFlag(c, &paper)
	return c
}
