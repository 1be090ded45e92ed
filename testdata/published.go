// Package testdata embeds what the program is checked against.
package testdata

import (
	"embed"
	"io/fs"
)

// Published is published.csv: values that stand elsewhere or were worked out apart from the program, one a row.
//
//go:embed published.csv
var Published []byte

// PublishedTables is published_tables.csv: the tables of those values, with document and tolerance.
//
//go:embed published_tables.csv
var PublishedTables []byte

// Limits is limits.csv: federal limits as typed from the rule.
//
//go:embed limits.csv
var Limits []byte

//go:embed cases
var cases embed.FS

// CaseFiles are the folders of the investigation reports and legal pairs: a survey each with its case file.
func CaseFiles() fs.FS {
	files, err := fs.Sub(cases, "cases")
	if err != nil {
		panic(err) // the name is valid
	}
	return files
}
