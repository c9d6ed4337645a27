package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"springline/qc"
	"springline/reports/jig"
)

// The layout has as many blocks as the jig that the job file names, and once jigs were set as the last of them.
func TestBlocksOfTheJig(t *testing.T) {
	file := filepath.Join(t.TempDir(), "job.toml")
	if err := os.WriteFile(file, []byte(pairJob), 0o600); err != nil {
		t.Fatal(err)
	}
	w, err := jigFlags{job: file}.work(context.Background(), system{})
	if err != nil {
		t.Fatal(err)
	}
	if w.Blocks != 9 {
		t.Errorf("a job of 9 blocks is laid out with %d", w.Blocks)
	}
	b := qc.Batch{Jigs: []qc.Jig{{ID: "J1", Blocks: 9}, {ID: "J2", Blocks: 21}, {ID: "J3", Blocks: 13}}}
	if got := jig.ForBatch(b, "").Blocks; got != 13 {
		t.Errorf("after jigs of 9, 21 and 13 blocks the layout has %d, want 13", got)
	}
	if got := jig.ForBatch(qc.Batch{}, "").Blocks; got != 0 {
		t.Errorf("without a jig the layout has %d blocks, want 0 for the usual number", got)
	}
}
