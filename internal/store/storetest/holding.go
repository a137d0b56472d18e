package storetest

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Holding lists the files below dir that hold one of the words, in any case and in UTF-16
// too, or are named by one.
func Holding(t *testing.T, dir string, words ...string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := strings.TrimPrefix(path, dir)
		text := []byte(name)
		if !d.IsDir() {
			whole, err := os.ReadFile(path)
			if err != nil && !errors.Is(err, fs.ErrNotExist) { // one that went meanwhile, such as SQLite's own, holds nothing
				return err
			}
			text = append(text, whole...)
		}
		text = append(bytes.ToLower(text), bytes.ToLower(bytes.ReplaceAll(text, []byte{0}, nil))...)
		for _, w := range words {
			if bytes.Contains(text, bytes.ToLower([]byte(w))) {
				found = append(found, fmt.Sprintf("%s: %.40q", name, w))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
