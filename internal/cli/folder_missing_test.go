package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// makers are the commands that may make a data folder; guess and measure make a cache alone, for film
// that need not be in one.
var makers = map[string]bool{"demo": true, "serve": true, "passphrase": true, "restore": true, "guess": true, "measure": true}

// readers are the other commands that open one, with words that get as far as that.
var readers = map[string][]string{
	"squad": {}, "retest": {"somebody"}, "consent": {"somebody"}, "growth": {"somebody"}, "goal": {"somebody"}, "names": {}, "due": {},
	"compare": {"one", "another"}, "backup": {"all.zip"}, "export": {"--squad", "out"}, "export-clip": {"one", "-o", "one.mp4"},
	"erase": {"--swimmer", "somebody", "--list"}, "practice": {"--swimmer", "somebody"}, "wall": {"--plan", "one"},
	"tempo-ladder": {"--ladder", "one"}, "lesson": {}, "sheet": {"one"}, "stills": {"one", "-o", "stills"}, "markers": {}, "put-right": {"--clip", "one", "--pool", "Lake Hall"},
}

// TestNoReaderMakesADataFolder: with a mistyped path every command that only reads says what
// to do, ends with exit code 3, and makes nothing.
func TestNoReaderMakesADataFolder(t *testing.T) {
	for _, c := range commands() {
		_, help, _ := underkick(t, c.name, "--help")
		if !strings.Contains(help, "--data DIR\n") || makers[c.name] {
			continue
		}
		words, known := readers[c.name]
		if !known {
			t.Errorf("%s takes --data and is not tried here", c.name)
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			home := t.TempDir()
			missing := filepath.Join(home, "mistyped", "data")
			code, out, errOut := underkick(t, append([]string{c.name, "--data", missing}, words...)...)
			if code != exitInput || out != "" || strings.Count(errOut, missing) != 1 || !strings.Contains(errOut, "nothing was made. Check the path (--data or UNDERKICK_DATA)") {
				t.Errorf("code %d, %s%s", code, out, errOut)
			}
			for _, dir := range []string{home, "."} {
				if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
					t.Errorf("made %v, %v", left, err)
				}
			}
		})
	}
}
