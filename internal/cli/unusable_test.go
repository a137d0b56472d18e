package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestWhatCannotBeUsedIsSaidOnce: exit code 3, one line, no path and no operation twice, and
// nothing of how the store says it.
func TestWhatCannotBeUsedIsSaidOnce(t *testing.T) {
	data, _ := squadFolder(t)
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{"empty.mp4": "", "not.zip": "x"} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	damaged := filepath.Join(t.TempDir(), "damaged")
	if err := os.Mkdir(damaged, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(damaged, "underkick.db"), []byte("not a database"), 0o600); err != nil {
		t.Fatal(err)
	}
	twice := regexp.MustCompile(`\b([a-z]{4,}( [a-z]+)*):? \b([a-z]+ )?([a-z]{4,}( [a-z]+)*):`)
	for _, args := range [][]string{
		{"squad", "--data", damaged},
		{"serve", "--data", damaged},
		{"backup", "not.zip", "--check"},
		{"restore", "not.zip", "--data", "again"},
		{"restore", "nothing.zip", "--data", "again"},
		{"backup", "no/such/dir/all.zip", "--data", data},
		{"backup", filepath.Join(data, "all.zip"), "--data", data},
		{"export", "--squad", filepath.Join(data, "out"), "--data", data},
		{"export", "--squad=abc", "out", "--data", data},
		{"sheet", "abc", "--data", data},
		{"stills", "abc", "-o", "s", "--data", data},
		{"compare", "a", "b", "--data", data},
		{"export-clip", "a", "-o", "b.mp4", "--data", data},
		{"lesson", "abc", "--data", data},
		{"practice", "--run", "abc", "--data", data},
		{"practice", "--own", "nothing.json", "--data", data},
		{"wall", "--plan", "abc", "--data", data},
		{"wall", "--in", "nothing.json"},
		{"tempo-ladder", "--ladder", "abc", "--data", data},
		{"put-right", "--clip", "abc", "--pool", "x", "--data", data},
		{"retest", "abc", "--data", data},
		{"consent", "abc", "--data", data},
		{"growth", "abc", "--data", data},
		{"goal", "abc", "--data", data},
		{"erase", "--swimmer", "abc", "--data", data},
		{"probe", "empty.mp4"},
		{"probe", "nothing.mp4"},
	} {
		code, out, errOut := underkick(t, args...)
		if code != exitInput || out != "" || strings.Count(strings.TrimSpace(errOut), "\n") > 0 || strings.Contains(errOut, "not found\n") || strings.Contains(errOut, "input cannot be used") {
			t.Errorf("%v: code %d, %s%s", args, code, out, errOut)
		}
		for _, path := range []string{data, damaged, "not.zip", "nothing.zip", "nothing.json"} {
			if strings.Count(errOut, path) > 1 && path != "nothing.zip" && path != "nothing.json" { // the system's own words name these again
				t.Errorf("%v: %q twice: %s", args, path, errOut)
			}
		}
		if m := twice.FindStringSubmatch(errOut); m != nil && m[1] == m[4] {
			t.Errorf("%v: %q twice: %s", args, m[1], errOut)
		}
	}
}
