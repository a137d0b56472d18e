package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestBackupAndRestore(t *testing.T) {
	data, _ := squadFolder(t)
	dir := filepath.Dir(data)
	file, again := filepath.Join(dir, "all.zip"), filepath.Join(dir, "again")
	for _, c := range []struct {
		args []string
		code int
	}{
		{[]string{"backup"}, exitUsage},
		{[]string{"backup", file, "--data", data}, exitOK},
		{[]string{"backup", file, "--data", data}, exitInput},
		{[]string{"backup", file, "--data", data, "--replace"}, exitOK},
		{[]string{"backup", file, "--check"}, exitOK},
		{[]string{"restore", file, "--data", again}, exitOK},
		{[]string{"restore", file, "--data", again}, exitInput},
		{[]string{"restore", file, "--data", again, "--replace"}, exitOK},
	} {
		if code, out, errOut := underkick(t, c.args...); code != c.code {
			t.Errorf("%v: code %d, want %d\n%s%s", c.args, code, c.code, out, errOut)
		}
	}
	if err := os.WriteFile(file, []byte("something else"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, _, errOut := underkick(t, "restore", file, "--data", filepath.Join(dir, "third"))
	if code != exitInput || !strings.Contains(errOut, "nothing was changed") {
		t.Errorf("damaged: code %d, %s", code, errOut)
	}
}
