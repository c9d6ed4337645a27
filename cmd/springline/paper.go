package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"springline/reports/typeset"
)

func paperFlag(c *cobra.Command, paper *string) {
	c.Flags().StringVar(paper, "paper", "a4", "paper of a PDF: a4 or letter")
}

func paperNamed(name string) (typeset.Paper, error) {
	for _, p := range []typeset.Paper{typeset.A4, typeset.Letter} {
		if strings.EqualFold(name, p.Name) {
			return p, nil
		}
	}
	return typeset.Paper{}, usageError{fmt.Errorf("--paper %q is neither a4 nor letter", name)}
}

// formOf is the form asked for, else the ending of the file, else text.
func formOf(form, out string) string {
	switch {
	case form != "":
		return form
	case out == "":
		return "txt"
	}
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(out), "."))
}
