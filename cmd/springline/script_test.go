package main

import (
	"database/sql"
	"fmt"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"springline": func() { os.Exit(mainCode()) },
	})
}

// Stories of the shop floor, one file each, run by the real program.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"code": exitsWith, "sqlite": runSQL,
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
