package web

import (
	"os"
	"testing"
)

// demoKept is the folder that demoFolder left, "" when no test needed it.
var demoKept string

func TestMain(m *testing.M) {
	code := m.Run()
	if demoKept != "" {
		_ = os.RemoveAll(demoKept) // the system's own folder for what may go
	}
	os.Exit(code)
}
