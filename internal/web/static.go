package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"strings"
)

//go:embed static
var staticFiles embed.FS

// treeHash returns a short hash over the names and contents of a tree. It
// stands in the address of every static file, so that a browser may keep them
// for good and still gets new ones from a new program.
func treeHash(tree fs.FS) (string, error) {
	sum := sha256.New()
	err := fs.WalkDir(tree, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(tree, path)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s\x00%d\x00%s", path, len(content), content)
		return nil
	})
	if err != nil {
		return "", fmt.Errorf("hash static files: %w", err)
	}
	return hex.EncodeToString(sum.Sum(nil))[:12], nil
}

// serveStatic serves the embedded files under /static/HASH/. Another hash is
// not found: it belongs to another version of the program.
func serveStatic(tree fs.FS, hash string) http.Handler {
	files := http.StripPrefix("/static/"+hash, http.FileServerFS(tree))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, "/") {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		files.ServeHTTP(w, r)
	})
}
