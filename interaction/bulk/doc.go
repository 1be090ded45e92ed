// Package bulk counts the pairs of a survey of any size by location and check, as the plain rules of package
// interaction have it, without a wheel in memory.
//
// The track is read in the background, the wheels in blocks on all cores (package bulk of wheel). A car that does not
// come behind the last one ends the pass: a sheet of up to 64 MiB is then copied with its rows sorted by car and read
// again, a larger one is refused with the first row out of order and what sorts it. A defect ends the pass too, and the
// sheet is read again from the front for the list of all defects; if there is none any more, or a row that was counted
// is not found again, somebody writes to the file ([sheet.ErrChanged]).
//
// A check that rests on one reading is counted by entry, the others by the sum of their readings, whole numbers of a
// billionth of a millimetre. Which readings enter with which sign is found by running the check's own function on
// readings of zero, once for each set of readings that are there (form.go), so a formula stands in one place. Sums of
// readings written alike lie on a grid and are counted in a list (sumtable.go).
//
// In the end the counts go to the sorted ends of the places' parts (summing.go): a wheel's part conflicts with the
// places below some end and is clear from another on. Parts that do not add up are judged for each different reading at
// each place. The worst wheels are found again by their byte in the file, for the value as written. Joining what the
// cores counted goes check by check on all cores. Rows are made, and for csv worded, while they are written, some
// hundred features at a time on each core. A feature keeps only the readings there are, because on virtual machines
// memory that is touched first costs more than what is done with it. Margins are ordered in whole parts of 1e-9 mm, so
// that sums in floating point do not decide which of two equal margins comes first.
package bulk
