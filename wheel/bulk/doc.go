// Package bulk reads wheels.csv in blocks, as numbers of entries, for the counts of
// check --summary. A row that it cannot read by its bytes goes through [wheel.Rows], so every
// sheet gives the wheels, warnings and defects that [wheel.Read] gives.
package bulk
