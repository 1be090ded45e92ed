package export

import "strings"

// cautionHead is the column that carries the cautions of a CSV.
const cautionHead = "caution"

// cautionCell is the cautions as one cell.
func cautionCell(cautions []string) string { return strings.Join(cautions, " ") }

// cautioned puts the cautions beside the rows of a sheet, in a column of their own behind all others and filled in the
// first row, so that a reader of the sheet keeps its rows and columns and whoever opens the file sees them.
func cautioned(rows [][]string, cautions []string) [][]string {
	for i := range rows {
		cell := ""
		switch i {
		case 0:
			cell = cautionHead
		case 1:
			cell = cautionCell(cautions)
		}
		rows[i] = append(rows[i], cell)
	}
	return rows
}
