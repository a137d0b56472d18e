package house

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// A file is read in one sitting and a function on one screen.
const (
	mostLines         = 300
	mostFunctionLines = 80
)

func TestFilesAndFunctionsStayShort(t *testing.T) {
	for _, file := range goFiles(t) {
		src, err := os.ReadFile(filepath.Join(root(), file))
		if err != nil {
			t.Fatal(err)
		}
		if lines := bytes.Count(src, []byte("\n")); lines > mostLines {
			t.Errorf("%s has %d lines, may have %d: split it by what its parts are about", file, lines, mostLines)
		}
		if strings.HasSuffix(path.Dir(file), "test") {
			continue // a scenario of a test package is read from top to bottom, however long
		}
		for name, n := range functions(t, file, src) {
			if n > mostFunctionLines {
				t.Errorf("%s: %s has %d lines, may have %d", file, name, n, mostFunctionLines)
			}
		}
	}
}

// functions counts the lines of each function of a file.
func functions(t *testing.T, file string, src []byte) map[string]int {
	t.Helper()
	set := token.NewFileSet()
	parsed, err := parser.ParseFile(set, file, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]int{}
	for _, d := range parsed.Decls {
		if f, ok := d.(*ast.FuncDecl); ok {
			lines[f.Name.Name] = max(lines[f.Name.Name], set.Position(f.End()).Line-set.Position(f.Pos()).Line+1)
		}
	}
	return lines
}
