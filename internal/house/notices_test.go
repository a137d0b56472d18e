package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Every module inside the binary must stand in THIRD_PARTY.txt at its version.
func TestNoticesNameEveryModuleInside(t *testing.T) {
	notices, err := os.ReadFile(filepath.Join(root(), "THIRD_PARTY.txt"))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", "./cmd/underkick")
	cmd.Dir = root()
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	inside := strings.Fields(strings.ReplaceAll(string(out), " ", "@"))
	if len(inside) == 0 {
		t.Fatal("no modules listed")
	}
	for _, m := range inside {
		if line := strings.ReplaceAll(m, "@", " "); !strings.Contains(string(notices), line+"\n") {
			t.Errorf("%s is not in THIRD_PARTY.txt; run scripts/notices.sh", line)
		}
	}
}
