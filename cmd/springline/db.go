package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"springline/session"
	"springline/session/book"
	"springline/session/store"
)

func dbCommand(sys system) *cobra.Command {
	var data string
	c := &cobra.Command{Use: "db", Short: "Check, rebuild or back up the record"}
	c.PersistentFlags().StringVar(&data, "data", defaultData(), "data folder with the record")

	var check bool
	rebuild := &cobra.Command{
		Use:   "rebuild",
		Short: "Make the tables for SQL from the record, or only compare them with it",
		Long: `The record is the truth; the tables beside it serve whoever reads with SQL, by the views whose names begin
with v1_. They are made here, which needs the bench to be stopped, and are empty again once the bench runs, so
that nobody reads old ones. With --check they are compared with the record and nothing is changed.`,
		Example: "  springline db rebuild --check",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			n, err := session.Rebuild(c.Context(), recordIn(sys, data), check)
			if err != nil {
				return integrity(err)
			}
			word := "made anew from"
			if check {
				word = "the same as"
			}
			_, err = fmt.Fprintf(sys.out, "the tables are %s the %d records\n", word, n)
			return err
		},
	}
	rebuild.Flags().BoolVar(&check, "check", false, "compare only")

	var epoch, seq int64
	var head string
	verify := &cobra.Command{
		Use:   "verify",
		Short: "Work the hash chain out anew and say whether the record is as it was stored",
		Long: `Names the first record that was changed, removed, put in or moved. What was cut off at the end shows
only against a chain value kept elsewhere: give --head with the value a report prints, and its --seq.`,
		Example: "  springline db verify\n  springline db verify --seq 812 --head 9f3c...",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return withReader(c.Context(), sys, data, func(b *session.Bench) error {
				if head != "" {
					if err := b.VerifyHead(c.Context(), epoch, seq, head); err != nil {
						return integrity(err)
					}
				}
				heads, err := b.Verify(c.Context())
				if err != nil {
					return integrity(err)
				}
				for _, h := range heads {
					_, err := fmt.Fprintf(sys.out, "bench %s epoch %d: %d records hold together, head %s\n", h.Bench, h.Epoch, h.Seq, h.Hash)
					if err != nil {
						return err
					}
				}
				return nil
			})
		},
	}
	verify.Flags().StringVar(&head, "head", "", "chain value printed on a report, in hex")
	verify.Flags().Int64Var(&seq, "seq", 0, "record that the chain value belongs to")
	verify.Flags().Int64Var(&epoch, "epoch", 1, "epoch that the record belongs to")

	backup := &cobra.Command{
		Use:     "backup FILE",
		Short:   "Copy the record, whole and checked, while the bench may be running",
		Example: "  springline db backup /media/stick/record-2026-06-01.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return withReader(c.Context(), sys, data, func(b *session.Bench) error {
				if err := b.Backup(c.Context(), args[0]); err != nil {
					return err
				}
				_, err := fmt.Fprintf(sys.out, "the record is copied to %s\n", args[0])
				return err
			})
		},
	}
	c.AddCommand(rebuild, verify, backup)
	return c
}

// integrity gives errors about the record's own truth their exit code.
func integrity(err error) error {
	var chain *store.ChainError
	var rebuilt *store.RebuildError
	var replayed *book.RecordError
	if errors.As(err, &chain) || errors.As(err, &rebuilt) || errors.As(err, &replayed) {
		return codedError{err, exitIntegrity}
	}
	return err
}
