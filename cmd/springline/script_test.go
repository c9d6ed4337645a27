package main

import (
	"database/sql"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// alone runs the tests with a runtime folder of their own: the port locks in it are then not those of another
// checkout's tests, whose ptys may be given the numbers that ours had.
type alone struct{ *testing.M }

func (a alone) Run() int {
	dir, err := os.MkdirTemp("", "springline-test-")
	if err == nil {
		defer os.RemoveAll(dir)
		err = os.Setenv("XDG_RUNTIME_DIR", dir)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "make a runtime folder for the tests:", err)
		return 1
	}
	return a.M.Run()
}

func TestMain(m *testing.M) {
	testscript.Main(alone{m}, map[string]func(){
		"springline": func() { os.Exit(mainCode()) },
	})
}

// Stories of the shop floor, one file each, run by the real program.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_RUNTIME_DIR", os.Getenv("XDG_RUNTIME_DIR"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"code": exitsWith, "sheets": isPrinted, "sqlite": runSQL,
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// exitsWith runs "code N springline ..." and checks the exit code.
func exitsWith(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N command [args]")
	}
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var code interface{ ExitCode() int }
		if !asExit(err, &code) {
			ts.Fatalf("%v", err)
		}
		got = code.ExitCode()
	}
	if fmt.Sprint(got) != args[0] {
		ts.Fatalf("exit code %d, want %s", got, args[0])
	}
}

var (
	sheet = regexp.MustCompile(`/Type /Page\b`)
	media = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
)

// isPrinted runs "sheets FILE COUNT WIDTH HEIGHT" and checks a PDF's number of pages and its paper in whole mm, the
// one size that all pages take from the root of the page tree (ISO 32000-1, 7.7.3).
func isPrinted(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: sheets file count width height")
	}
	pdf := ts.ReadFile(args[0])
	got := []string{args[0], fmt.Sprint(len(sheet.FindAllString(pdf, -1)))}
	for _, m := range media.FindAllStringSubmatch(pdf, -1) {
		for _, side := range m[1:] {
			points, err := strconv.ParseFloat(side, 64)
			ts.Check(err)
			got = append(got, fmt.Sprintf("%.0f", points*25.4/72))
		}
	}
	if !slices.Equal(got, args) {
		ts.Fatalf("%q, want %q", got, args)
	}
}

func asExit(err error, code *interface{ ExitCode() int }) bool {
	for err != nil {
		if c, ok := err.(interface{ ExitCode() int }); ok {
			*code = c
			return true
		}
		u, ok := err.(interface{ Unwrap() error })
		if !ok {
			return false
		}
		err = u.Unwrap()
	}
	return false
}

// runSQL runs "sqlite FILE STATEMENT", to make files that the record must refuse.
func runSQL(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: sqlite file statement")
	}
	db, err := sql.Open("sqlite", ts.MkAbs(args[0]))
	ts.Check(err)
	defer db.Close()
	_, err = db.Exec(args[1])
	if neg != (err != nil) {
		ts.Fatalf("%q: %v", args[1], err)
	}
}
