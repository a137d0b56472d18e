package poolside

import (
	"path"
	"strings"
	"time"

	"underkick/internal/report"
	"underkick/internal/store/exported"
)

// The shapes below are those of the Frictionless Data Package standard, version 1 (Data
// Package, Data Resource, Tabular Data Resource, Table Schema; specs.frictionlessdata.io).

// dataPackage carries the guard of texts as a property of its own, which the standard allows.
type dataPackage struct {
	Name        string     `json:"name"`
	Title       string     `json:"title"`
	Description string     `json:"description"`
	Profile     string     `json:"profile"`
	Created     string     `json:"created"`
	TextGuard   string     `json:"textGuard"`
	Resources   []resource `json:"resources"`
}

type resource struct {
	Name        string       `json:"name"`
	Path        string       `json:"path"`
	Profile     string       `json:"profile"`
	Description string       `json:"description"`
	Format      string       `json:"format,omitempty"`
	MediaType   string       `json:"mediatype,omitempty"`
	Encoding    string       `json:"encoding,omitempty"`
	Bytes       int64        `json:"bytes"`
	Hash        string       `json:"hash"`
	Schema      *tableSchema `json:"schema,omitempty"`
}

type tableSchema struct {
	Fields        []schemaField `json:"fields"`
	MissingValues []string      `json:"missingValues"`
	PrimaryKey    []string      `json:"primaryKey,omitempty"`
	ForeignKeys   []foreignKey  `json:"foreignKeys,omitempty"`
}

// schemaField carries the unit as a property of its own, which the standard allows.
type schemaField struct {
	Name        string          `json:"name"`
	Type        string          `json:"type"`
	Unit        string          `json:"unit,omitempty"`
	Description string          `json:"description"`
	Constraints map[string]bool `json:"constraints,omitempty"`
}

type foreignKey struct {
	Fields    []string         `json:"fields"`
	Reference foreignReference `json:"reference"`
}

type foreignReference struct {
	Resource string   `json:"resource"`
	Fields   []string `json:"fields"`
}

// aboutGuard says what is done to texts in the tables and how to take it back.
const aboutGuard = "In the CSV tables a text (type string) that begins with = + - @ (also wide), a blank, tab, line end or ' has one ' before it, so that no table program runs it as a formula. " +
	"Take one ' off every text that begins with one to have it as it was typed. data.json has texts as they were typed."

func describe(resources []resource, at time.Time) dataPackage {
	return dataPackage{
		Name: "underkick-export", Title: "Records of swimmers", Profile: "data-package", Created: at.UTC().Format(time.RFC3339),
		Description: "Underwater dolphin kicking measured from film. An empty cell is not known. All numbers of measures and estimates are estimates from film. " + aboutGuard,
		TextGuard:   report.CSVGuard, Resources: resources,
	}
}

// dataResource describes data.json: it holds what is too deep for a table besides.
func dataResource(tables []exportSource, size int64, sum string) resource {
	words := "the same rows as the tables, a list of objects for each, null where a cell is empty"
	for _, t := range tables {
		for _, f := range t.Fields {
			if f.Deep {
				words += "; " + t.Name + " with " + f.Name + ": " + f.Words
			}
		}
	}
	return resource{
		Name: "data", Path: "data.json", Profile: "data-resource", Description: words,
		Format: "json", MediaType: "application/json", Encoding: "utf-8", Bytes: size, Hash: "sha256:" + sum,
	}
}

func tableResource(t exported.Table, size int64, sum string) resource {
	schema := &tableSchema{MissingValues: []string{""}, PrimaryKey: t.Key}
	for _, f := range t.Fields {
		if f.Deep {
			continue
		}
		field := schemaField{Name: f.Name, Type: f.Type, Unit: f.Unit, Description: f.Words}
		if f.Must {
			field.Constraints = map[string]bool{"required": true}
		}
		schema.Fields = append(schema.Fields, field)
	}
	for _, l := range t.Links {
		schema.ForeignKeys = append(schema.ForeignKeys, foreignKey{l.Fields, foreignReference{l.Table, l.Keys}})
	}
	return resource{
		Name: t.Name, Path: t.Name + ".csv", Profile: "tabular-data-resource", Description: t.Words,
		Format: "csv", MediaType: "text/csv", Encoding: "utf-8", Bytes: size, Hash: "sha256:" + sum, Schema: schema,
	}
}

func filmResource(name string, size int64, sum string) resource {
	return resource{
		Name: strings.ToLower(name), Path: name, Profile: "data-resource", Description: "film of the clips with this file",
		Format: strings.TrimPrefix(path.Ext(name), "."), Bytes: size, Hash: "sha256:" + sum,
	}
}
