package web

import (
	"os"
	"testing"

	"underkick/internal/demo/demotest"
)

func TestMain(m *testing.M) {
	code := m.Run()
	demotest.Clear()
	os.Exit(code)
}
