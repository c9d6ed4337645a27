package wiring_test

import (
	"testing"
	"time"

	"github.com/rs/zerolog"

	"springline/cmd/springline/wiring"
)

// A bench that ends on an error is closed by whoever saw it first and again by whoever opened it.
func TestClosedTwice(t *testing.T) {
	t.Setenv("XDG_RUNTIME_DIR", t.TempDir())
	r, err := wiring.Open(t.Context(), wiring.Config{Dir: t.TempDir(), Software: "test", Now: time.Now, Start: time.Now(), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
}
