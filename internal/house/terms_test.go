package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	termRow  = regexp.MustCompile(`(?m)^\| ([^|]+) \| [^|]+ \| ([^|]*)\|$`)
	codeName = regexp.MustCompile("`((?:[a-z]+\\.)?[A-Z]\\w*(?:\\.[A-Z]\\w*)*)`")
)

// TestTermsStandOnceAndInCode: docs/terms.md has one row for a word, and what it says a
// thing is called in code is there.
func TestTermsStandOnceAndInCode(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root(), "docs", "terms.md"))
	if err != nil {
		t.Fatal(err)
	}
	words, names := map[string]bool{}, namesInCode(t)
	rows := termRow.FindAllStringSubmatch(string(text), -1)
	if len(rows) < 80 {
		t.Fatalf("only %d rows were read", len(rows))
	}
	for _, row := range rows {
		if word := row[1]; word != "word" && word != "term" && strings.Trim(word, "-") != "" {
			if words[word] {
				t.Errorf("%q has two rows", word)
			}
			words[word] = true
		}
		for _, m := range codeName.FindAllStringSubmatch(row[2], -1) {
			if !names[m[1]] {
				t.Errorf("%q: nothing in the code is called %s", row[1], m[1])
			}
		}
	}
}

// TestArchitectureNamesWhatIsInCode: where docs/architecture.md says to start, something is.
func TestArchitectureNamesWhatIsInCode(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root(), "docs", "architecture.md"))
	if err != nil {
		t.Fatal(err)
	}
	names, found := namesInCode(t), codeName.FindAllStringSubmatch(string(text), -1)
	if len(found) < 5 {
		t.Fatalf("only %d names were read", len(found))
	}
	for _, m := range found {
		if !names[m[1]] {
			t.Errorf("nothing in the code is called %s", m[1])
		}
	}
}

// namesInCode are the exported names of all packages as documents write them: with the
// package or without, and members behind their type.
func namesInCode(t *testing.T) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	for _, file := range goFiles(t) {
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root(), file), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		add := func(name string) {
			names[name] = true
			names[parsed.Name.Name+"."+name] = true
		}
		for _, d := range parsed.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				add(receiver(d) + d.Name.Name)
			case *ast.GenDecl:
				for _, spec := range d.Specs {
					declared(spec, add)
				}
			}
		}
	}
	return names
}

// receiver is the type of a method with a dot behind it, "" of a function.
func receiver(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return ""
	}
	of := f.Recv.List[0].Type
	if star, ok := of.(*ast.StarExpr); ok {
		of = star.X
	}
	if name, ok := of.(*ast.Ident); ok {
		return name.Name + "."
	}
	return ""
}

func declared(spec ast.Spec, add func(string)) {
	switch s := spec.(type) {
	case *ast.ValueSpec:
		for _, n := range s.Names {
			add(n.Name)
		}
	case *ast.TypeSpec:
		add(s.Name.Name)
		if of, ok := s.Type.(*ast.StructType); ok {
			for _, field := range of.Fields.List {
				for _, n := range field.Names {
					add(s.Name.Name + "." + n.Name)
				}
			}
		}
	}
}
