package main

import (
	"github.com/spf13/cobra"

	"springline/cmd/springline/calc"
)

func calcCommand(sys system) *cobra.Command {
	var list bool
	c := &cobra.Command{
		Use:   "calc",
		Short: "Answer computations for scripts, one JSON object a line",
		Long: `Reads one JSON object a line, {"id": ..., "kind": ..., "input": {...}}, and answers each with one
line in the same order. A line that cannot be answered gets an error that names the field.`,
		Example: `  echo '{"id":1,"kind":"length.parse","input":{"text":"6'"'"' 11 3/4\"",` +
			`"default_unit":"mm","decimal":"auto","signed":false}}' | springline calc
  springline calc --list`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if list {
				return calc.List(sys.out, calc.Kinds())
			}
			return calc.Run(sys.in, sys.out, calc.Kinds())
		},
	}
	c.Flags().BoolVar(&list, "list", false, "name the kinds with their fields, units and sources")
	return c
}
