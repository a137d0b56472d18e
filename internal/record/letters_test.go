package record

import "testing"

func TestPlainText(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "",
		" — ":                           "",
		"Zoë O'Brien-Łuczak":            "zoe o brien luczak",
		"apn\u0153a, e\u0301t\u00e9":    "apnoea ete", // a letter and its accent in two signs and in one
		"n\u200bo b\u00adreath":         "no breath",  // invisible signs between letters
		"ΝO breаth":                     "vo breath",  // Greek capital nu becomes a small one, which looks like v
		"\uff28old\uff01 twenty\uff15m": "hold twenty5m",
	} {
		if got := plainText(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
	if got := plain("O’Brien Zoë"); got != plain("zoe o'brien") || got != "obrien zoe" {
		t.Errorf("the name becomes %q", got)
	}
}
