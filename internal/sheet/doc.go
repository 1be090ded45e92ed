// Package sheet reads a sheet as rows of cells, each with its file, line and
// column. It knows no railroad word.
//
// The scanner follows RFC 4180 with one liberty: a double quote inside an unquoted
// cell is an ordinary character, since people type inch marks (1-7/16"). A quoted
// cell starts with a double quote right behind the comma; a quote that never
// closes is an error at the line where it opens. A byte order mark, CRLF line ends
// and blank lines are fine; bytes that are not UTF-8, NUL bytes, cells and rows
// beyond [Limits] are errors.
//
// A carriage return ends a line before a line feed and at the end of the file; any
// other is an ordinary character of its cell. On input without bare quotes this is
// what encoding/csv does, which differs in two points: it keeps a byte order mark
// and takes bytes that are not UTF-8.
//
// Lines before the heading line whose first cell begins with # are explanations
// and are passed over; behind the heading line # is an ordinary character.
package sheet
