package report

import (
	"strings"
	"testing"
)

func TestCSVTextIsNoFormulaAndComesBack(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "Mira Holm": "Mira Holm", "a=1": "a=1", "\u00c5sa": "\u00c5sa", "12": "12",
		"=1+1": "'=1+1", "+49": "'+49", "-2": "'-2", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'\r=1", "\n=1": "'\n=1", " =1": "' =1",
		"\uff1d1": "'\uff1d1", "'": "''", "'=1": "''=1", "''": "'''", "'t Hart": "''t Hart",
		"\xff=1": "\xff=1", // no text in UTF-8 begins so; it is no formula either
	} {
		got := CSVText(text)
		if got != want {
			t.Errorf("%q goes out as %q, want %q", text, got, want)
		}
		if back := strings.TrimPrefix(got, CSVGuard); back != text {
			t.Errorf("%q comes back as %q", text, back)
		}
	}
}
