package table

import (
	"bytes"
	"encoding/json"
	"errors"
)

// field is one value of a JSON object with the place it was found.
type field struct {
	raw    json.RawMessage
	offset int64 // where the value starts in the document
}

// splitObject reads a JSON object into its fields. It notes what is wrong with
// the text and keys that stand twice.
func splitObject(data *text, what string) (map[string]field, *Problems) {
	probs := &Problems{What: what}
	var whole json.RawMessage
	if err := json.Unmarshal(data.bytes, &whole); err != nil {
		probs.json(data, 0, err)
		return nil, probs
	}
	if whole[0] != '{' {
		probs.add(1, "a JSON object ({...}) is expected")
		return nil, probs
	}
	dec := json.NewDecoder(bytes.NewReader(data.bytes))
	doc := map[string]field{}
	if _, err := dec.Token(); err != nil { // the opening brace
		probs.json(data, 0, err)
		return nil, probs
	}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			probs.json(data, dec.InputOffset(), err)
			return nil, probs
		}
		var f field
		if err := dec.Decode(&f.raw); err != nil {
			probs.json(data, dec.InputOffset(), err)
			return nil, probs
		}
		f.offset = dec.InputOffset() - int64(len(f.raw))
		name := key.(string) // object keys are strings
		if _, twice := doc[name]; twice {
			probs.add(data.line(f.offset), "%q stands twice; keep one", shorten(name))
		}
		doc[name] = f
	}
	return doc, probs
}

// splitArray reads a JSON array into its elements.
func splitArray(data *text, f field, name string, probs *Problems) []field {
	dec := json.NewDecoder(bytes.NewReader(f.raw))
	if tok, err := dec.Token(); err != nil || tok != json.Delim('[') {
		probs.add(data.line(f.offset), "%q must be a list ([...])", name)
		return nil
	}
	var list []field
	for dec.More() {
		var e field
		if err := dec.Decode(&e.raw); err != nil {
			probs.json(data, f.offset, err)
			return nil
		}
		e.offset = f.offset + dec.InputOffset() - int64(len(e.raw))
		if list = append(list, e); len(list) > maxMarks {
			probs.add(data.line(e.offset), "%q holds more than %d entries; leave out what lies outside the run", name, maxMarks)
			return nil
		}
	}
	return list
}

// decode reads one value into v; a problem is noted at the value's line. With
// strict, a field that v does not have is a problem too.
func (f field) decode(data *text, v any, strict bool, probs *Problems) bool {
	dec := json.NewDecoder(bytes.NewReader(f.raw))
	if strict {
		dec.DisallowUnknownFields()
	}
	if err := dec.Decode(v); err != nil {
		probs.json(data, f.offset, err)
		return false
	}
	return true
}

// json notes an error of the JSON decoder in words; base is where its text
// starts in data.
func (p *Problems) json(data *text, base int64, err error) {
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax) && syntax.Offset >= int64(len(data.bytes)):
		p.add(data.line(int64(len(data.bytes))), "the JSON document ends too early; the file is incomplete")
	case errors.As(err, &syntax):
		p.add(data.line(base+syntax.Offset-1), "this is not valid JSON: %v", err)
	case errors.As(err, &typ):
		name := typ.Field
		if name == "" {
			name = "the value"
		}
		p.add(data.line(base+typ.Offset-1), "%s is a %s where a %s is expected", shorten(name), shorten(typ.Value), plainType(typ.Type.Kind().String()))
	default:
		p.add(data.line(base), "%s", shortenMessage(err))
	}
}

func plainType(kind string) string {
	switch kind {
	case "int", "int64":
		return "whole number"
	case "float64":
		return "number"
	case "slice":
		return "list"
	case "struct", "map":
		return "JSON object"
	case "ptr":
		return "value"
	}
	return kind
}
