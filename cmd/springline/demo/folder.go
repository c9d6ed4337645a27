package demo

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// markName tells a folder that an earlier demo made from one that is somebody's.
const markName = "made-by-springline-demo.txt"

// prepare makes the demo folder anew. A folder that no demo made is left alone.
func prepare(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
	case err != nil:
		return fmt.Errorf("look into the demo folder: %w", err)
	case len(entries) > 0:
		if _, err := os.Stat(filepath.Join(dir, markName)); err != nil {
			return fmt.Errorf("the folder %q holds something that no demo made; move it away or run the demo elsewhere", dir)
		}
		if err := os.RemoveAll(dir); err != nil {
			return fmt.Errorf("clear the last demo: %w", err)
		}
	}
	if err := os.MkdirAll(filepath.Join(dir, "ports"), 0o755); err != nil {
		return fmt.Errorf("make the demo folder: %w", err)
	}
	note := "Everything in this folder is invented and is made anew by each run of `springline demo`.\n"
	return os.WriteFile(filepath.Join(dir, markName), []byte(note), 0o644)
}
