// Package bulk reads wheels.csv in blocks, as numbers of entries, for the counts of check --summary. A row that it
// cannot read by its bytes goes through [wheel.Rows], so every sheet gives the wheels, warnings and defects that
// [wheel.Read] gives.
//
// Blocks are a quarter megabyte and go to all cores. A block ends where the car changes behind a line end; each must
// begin where the one before it ended, else a line end inside a cell fell on the edge and the sheet is read in one go.
// A cell of up to seven bytes is one number. Most are as long as the cell above and are found by their digits
// (decimals.go), others are looked up; what is new goes to the parser of all readings, once. A car becomes a [Group],
// numbers of entries. Everything else (quotes, histories, ids with blanks) goes car by car through the code that check
// uses, and so do the first cars with warnings, for the words alone: those of later blocks only when the first are
// known not to be enough.
package bulk
