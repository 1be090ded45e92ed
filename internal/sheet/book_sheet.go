package sheet

// BookColumn is a column of a workbook to be filled in.
type BookColumn struct {
	Name  string
	Unit  string   // of a number without one; stands above the heading
	Note  string   // a comment at the heading
	Words []string // to choose from; none: whatever is typed
}

// BookSheet is an empty sheet of a workbook.
type BookSheet struct {
	Name    string
	Columns []BookColumn
}
