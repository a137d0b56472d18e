package exportedtest

import (
	"reflect"
	"testing"
)

func TestRecordsByTheGrammar(t *testing.T) {
	for text, want := range map[string][][]string{
		"":                            nil,
		"a,b\r\n1,2\r\n":              {{"a", "b"}, {"1", "2"}},
		"\"a,\"\"b\r\nc\rd\ne\",\r\n": {{"a,\"b\r\nc\rd\ne", ""}},
		"\"\"\r\n":                    {{""}},
		"a":                           nil,
		"a,\r\n":                      {{"a", ""}},
		"a,b":                         nil,
		"a\n":                         nil,
		"a\"b\r\n":                    nil,
		"\"a\"b\r\n":                  nil,
		"\"a\r\n":                     nil,
		"a,b\r\n1\r\n":                nil,
		"a\r\n\"b\"\"\"\r\n":          {{"a"}, {"b\""}},
	} {
		got, err := records(text)
		if bad := want == nil && text != ""; bad != (err != nil) || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
}
