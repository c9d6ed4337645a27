package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/rs/zerolog"
)

const childEnv = "SPRINGLINE_STORE_TEST_CHILD"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childEnv); dir != "" {
		if err := fillUntilRefused(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// fillUntilRefused appends until the system refuses to let files grow, then lets them grow again and
// expects the store to
// stay shut until it is opened again. It prints the last seq acknowledged.
func fillUntilRefused(dir string) error {
	signal.Ignore(syscall.SIGXFSZ)
	s, err := Open(context.Background(), dir, zerolog.Nop())
	if err != nil {
		return err
	}
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	free := limit.Cur
	limit.Cur = 400_000
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	put := func() error {
		r := Seal(s.Head(), "bench-1", 1, "noted", "", start, []byte(`{"text":"`+strings.Repeat("x", 500)+`"}`))
		return s.Append([]Record{r})
	}
	acked := 0
	for err = put(); err == nil && acked < 100_000; err = put() {
		acked++
	}
	if !errors.Is(err, ErrNotSaved) {
		return fmt.Errorf("after %d appends: %v", acked, err)
	}
	limit.Cur = free
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	for range 5 {
		if err := put(); !errors.Is(err, ErrNotSaved) {
			return fmt.Errorf("acknowledged after a failed commit: %v", err)
		}
	}
	if err := s.Reopen(context.Background()); err != nil {
		return err
	}
	// The append that failed may have reached the disk or not.
	if n := s.Head().Seq; n != int64(acked) && n != int64(acked)+1 {
		return fmt.Errorf("%d acknowledged, %d there after opening again", acked, n)
	}
	if err := put(); err != nil {
		return fmt.Errorf("after opening again: %v", err)
	}
	fmt.Println(s.Head().Seq)
	return nil
}

func TestFirstWriteErrorPoisons(t *testing.T) {
	dir := t.TempDir()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+dir)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	acked, err := strconv.ParseInt(strings.TrimSpace(string(out)), 10, 64)
	if err != nil || acked == 0 {
		t.Fatalf("%d appends acknowledged, %v", acked, err)
	}
	s := open(t, dir)
	if s.Head().Seq != acked || independent(t, s) != 0 {
		t.Errorf("%d acknowledged, %d kept", acked, s.Head().Seq)
	}
	add(t, s, 1)
}
