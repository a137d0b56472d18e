package cli

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/record"
)

func TestErase(t *testing.T) {
	data, _ := squadFolder(t, record.Swimmer{Name: "Wilma Reed"}, record.Swimmer{Name: "Jonas Bay"})
	dir := filepath.Dir(data)
	file := filepath.Join(dir, "all.zip")
	for _, c := range []struct {
		args []string
		code int
	}{
		{[]string{"backup", file, "--data", data}, exitOK},
		{[]string{"erase", "--data", data}, exitUsage},
		{[]string{"erase", "--data", data, "--swimmer", "Nobody", "--yes"}, exitInput},
		{[]string{"erase", "--data", data, "--swimmer", "Wilma Reed"}, exitUsage}, // nothing typed
	} {
		if code, out, errOut := underkick(t, c.args...); code != c.code {
			t.Errorf("%v: code %d, want %d\n%s%s", c.args, code, c.code, out, errOut)
		}
	}
	if found := foldersFiles(t, data, "Wilma"); found == 0 {
		t.Fatal("erased without a word")
	}
	code, out, errOut := underkick(t, "erase", "--data", data, "--swimmer", "Wilma Reed", "--yes")
	if code != exitOK || !strings.Contains(out, file) {
		t.Fatalf("code %d, %s%s", code, out, errOut)
	}
	if found := foldersFiles(t, data, "Wilma"); found != 0 {
		t.Errorf("%d files still hold the name", found)
	}
	if found := foldersFiles(t, data, "Jonas Bay"); found == 0 {
		t.Error("the other swimmer is gone")
	}
}

// foldersFiles counts the files below dir that hold a word.
func foldersFiles(t *testing.T, dir, word string) (n int) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		if bytes.Contains(text, []byte(word)) {
			n++
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}
