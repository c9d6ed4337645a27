package main

import (
	"github.com/spf13/cobra"
)

func jigCommand(sys system) *cobra.Command {
	c := &cobra.Command{
		Use:   "jig",
		Short: "Which jig radius to build, and where its blocks go",
		Long: `Both verbs take what is wanted from the record of a bench (--data, --batch, --lot), from a job file
(--job), or from flags: the bar, and any three of bar length, leg, arc, span, crown height, radius and
arc angle. Lengths are as typed at the bench: 1337, "133.7 cm", "4' 4 5/8\"".`,
	}
	c.AddCommand(jigAdviseCommand(sys), jigLayoutCommand(sys))
	return c
}
