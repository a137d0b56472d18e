package store_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// childEnv, when set, makes this test binary the process that another test
// locks out or kills; its value says which.
const childEnv = "UNDERKICK_STORE_CHILD"

func TestMain(m *testing.M) {
	flag.Parse()
	if what := os.Getenv(childEnv); what != "" {
		if err := child(what, os.Getenv(childEnv+"_DIR")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}
