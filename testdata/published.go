// Package testdata embeds the published values that the program computes again.
package testdata

import _ "embed"

// Published is published.csv: one value a row with its source.
//
//go:embed published.csv
var Published []byte
