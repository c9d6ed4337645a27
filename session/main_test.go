package session

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

const childEnv = "SPRINGLINE_SESSION_TEST_CHILD"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childEnv); dir != "" {
		if err := measureForEver(dir, os.Getenv(childEnv+"_RUN")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	flag.Parse()
	// Each check opens a record on disk several times; -rapid.checks asks for more.
	if flag.Lookup("rapid.checks").Value.String() == "100" {
		if err := flag.Set("rapid.checks", "25"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
