package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"springline/reports"
	"springline/reports/typeset"
)

func tagsCommand(sys system) *cobra.Command {
	var data, batch, out, size, paper string
	c := &cobra.Command{
		Use:   "tags",
		Short: "Print a tag for each rib of a batch as PDF",
		Long: `Writes a tag for each rib: its id as large as it goes and as a code, verdict, batch and lot. With --paper the
tags stand on sheets with lines to cut along; without it each is a page of its own size, for a label printer.`,
		Example: `  springline tags --batch ARCH-1 --out tags.pdf
  springline tags --size large --paper a4 --out sheets.pdf`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			tag, ok := map[string]typeset.Paper{"small": typeset.SmallTag, "large": typeset.LargeTag}[size]
			if !ok {
				return usageError{fmt.Errorf("tags: --size %q is neither small (%s) nor large (%s)",
					size, typeset.SmallTag.Name, typeset.LargeTag.Name)}
			}
			on := tag
			if paper != "" {
				var err error
				if on, err = paperNamed(paper); err != nil {
					return err
				}
			}
			b, err := readBatch(c.Context(), sys, data, batch, 0)
			if err != nil {
				return err
			}
			return writeFile(out, func(w io.Writer) error { return reports.WriteTags(w, b, software(), tag, on) })
		},
	}
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&batch, "batch", "", "batch; the latest when left out")
	c.Flags().StringVar(&out, "out", "tags.pdf", "file to write")
	c.Flags().StringVar(&size, "size", "small", "small, 62 x 29 mm, or large, 100 x 50 mm")
	c.Flags().StringVar(&paper, "paper", "", "sheets to set the tags on: a4 or letter")
	return c
}
