package cli

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Where commands are written down for people.
var (
	fence     = regexp.MustCompile("(?ms)^ *```.*?^ *```")
	span      = regexp.MustCompile("`[^`\n]+`")
	codeTag   = regexp.MustCompile(`(?s)<(?:code|pre|kbd)[^>]*>(.*?)</`)
	template  = regexp.MustCompile(`\{\{[^}]*\}\}`)
	verbs     = regexp.MustCompile(`%[a-z]`) // of a format
	called    = regexp.MustCompile(`^(?:\./bin/|go run \./cmd/)?underkick(?:$| +(.*)$)`)
	verb      = regexp.MustCompile(`^[a-z][a-z-]*$`)
	flagWord  = regexp.MustCompile(`(?:^|[\s\[(|])(--[a-z][a-z-]*)`)
	helpEntry = regexp.MustCompile(`(?m)^  (--[a-z][a-z-]*)`)
)

// TestDocsNameCommandsThatExist holds every command and every option that README, the
// documents, the pages and the messages name against the command line's own help.
func TestDocsNameCommandsThatExist(t *testing.T) {
	options, all := helpOptions(t)
	for _, place := range documents(t) {
		for _, line := range setAsCode(t, place) {
			rest, ok := call(line)
			if !ok {
				if strings.HasPrefix(line, "--") && !slices.Contains(all, strings.Fields(line)[0]) {
					t.Errorf("%s: no command has the option %s", place, line)
				}
				continue
			}
			name, _, _ := strings.Cut(rest, " ")
			has, known := options[name]
			switch {
			case name == "" || name == "help" || !verb.MatchString(name):
			case !known:
				t.Errorf("%s: there is no command %q, as in %q", place, name, line)
			default:
				for _, m := range flagWord.FindAllStringSubmatch(rest, -1) {
					if !slices.Contains(has, m[1]) && m[1] != "--help" {
						t.Errorf("%s: %s has no option %s, as in %q", place, name, m[1], line)
					}
				}
			}
		}
	}
}

// TestReadmeNamesEveryCommand: what the program can do is found in the README.
func TestReadmeNamesEveryCommand(t *testing.T) {
	var named []string
	for _, line := range setAsCode(t, filepath.Join("..", "..", "README.md")) {
		if rest, ok := call(line); ok {
			name, _, _ := strings.Cut(rest, " ")
			named = append(named, name)
		}
	}
	for _, c := range commands() {
		if !slices.Contains(named, c.name) {
			t.Errorf("the README does not show `underkick %s`", c.name)
		}
	}
}

// call returns what follows the program's name on a line that calls it.
func call(line string) (string, bool) {
	m := called.FindStringSubmatch(line)
	if m == nil {
		return "", false
	}
	rest, _, _ := strings.Cut(m[1], " #")
	return strings.TrimSpace(rest), true
}

// helpOptions asks every command for its help and returns its options.
func helpOptions(t *testing.T) (options map[string][]string, all []string) {
	t.Helper()
	options = map[string][]string{}
	for _, c := range commands() {
		var out, bad bytes.Buffer
		if code := Run(t.Context(), []string{c.name, "--help"}, strings.NewReader(""), &out, &bad, nil); code != exitOK || bad.Len() > 0 {
			t.Fatalf("%s --help: exit %d, %s", c.name, code, bad.String())
		}
		options[c.name] = []string{}
		for _, m := range helpEntry.FindAllStringSubmatch(out.String(), -1) {
			options[c.name] = append(options[c.name], m[1])
			all = append(all, m[1])
		}
		// The words of the help itself name no option that is not there.
		for _, m := range flagWord.FindAllStringSubmatch(out.String(), -1) {
			if !slices.Contains(options[c.name], m[1]) && !strings.Contains(out.String(), "underkick ") {
				t.Errorf("the help of %s names %s, which it does not have", c.name, m[1])
			}
		}
	}
	return options, all
}

// documents lists the files in which commands are named: documents, pages, messages.
func documents(t *testing.T) []string {
	t.Helper()
	root := filepath.Join("..", "..")
	files := []string{filepath.Join(root, "README.md"), filepath.Join(root, "CHANGELOG.md"), filepath.Join(root, "CONTRIBUTING.md")}
	for _, dir := range []string{filepath.Join(root, "docs"), filepath.Join(root, "internal")} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err == nil && slices.Contains([]string{".md", ".html", ".go"}, filepath.Ext(path)) && !strings.HasSuffix(path, "_test.go") {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// setAsCode returns the lines of a document that are set as code.
func setAsCode(t *testing.T, file string) []string {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	var code []string
	switch filepath.Ext(file) {
	case ".go": // what a message or a comment sets as code
		for _, s := range span.FindAllString(text, -1) {
			if s = strings.Trim(s, "`"); strings.HasPrefix(s, "underkick ") {
				code = append(code, verbs.ReplaceAllString(s, "X"))
			}
		}
	case ".html":
		for _, m := range codeTag.FindAllStringSubmatch(text, -1) {
			code = append(code, template.ReplaceAllString(m[1], "X"))
		}
	default:
		for _, block := range fence.FindAllString(text, -1) {
			code = append(code, strings.Split(block, "\n")...)
		}
		for _, s := range span.FindAllString(fence.ReplaceAllString(text, ""), -1) {
			code = append(code, strings.Trim(s, "`"))
		}
	}
	for i := range code {
		code[i] = strings.TrimSpace(code[i])
	}
	return code
}
