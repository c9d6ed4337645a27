package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"springline/reports"
)

func studyReportCommand(sys system, f *studyFlags) *cobra.Command {
	var batch, id, out string
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
			m, err := reports.NewStudy(b, id, reports.Options{Software: software()})
			if err != nil {
				return err
			}
			if out == "" {
				return reports.WriteText(sys.out, m)
			}
			write, ok := map[string]func(io.Writer, reports.Model) error{"pdf": reports.WritePDF, "html": reports.WriteHTML, "txt": reports.WriteText}[strings.TrimPrefix(filepath.Ext(out), ".")]
			if !ok {
				return usageError{fmt.Errorf("write the study report to %q: its ending is none of .pdf, .html and .txt", out)}
			}
			return writeFile(out, func(w io.Writer) error { return write(w, m) })
		},
	}
	c.Flags().StringVar(&batch, "batch", "", "batch; the latest when left out")
	c.Flags().StringVar(&id, "study", "", "study, such as study-1; the latest finished one when left out")
	c.Flags().StringVar(&out, "out", "", "file to write; its ending gives the format")
	return c
}
