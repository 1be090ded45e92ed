package export

import _ "embed"

//go:embed csv_columns.md
var csvColumns []byte

// CSVColumns documents the columns of every CSV, as markdown.
func CSVColumns() []byte { return csvColumns }
