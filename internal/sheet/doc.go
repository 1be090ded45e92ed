// Package sheet reads a sheet as rows of cells, each with its file, line and column. It knows no railroad word.
//
// The scanner follows RFC 4180 with one liberty: a double quote inside an unquoted cell is an ordinary character,
// because people type inch marks (1-7/16"). A quoted cell starts with a double quote right behind the comma; a quote
// that never closes is an error at the line where it opens. A byte order mark, CRLF line ends and blank lines are fine;
// bytes that are not UTF-8, NUL bytes, cells and rows beyond [Limits] are errors.
//
// A carriage return ends a line before a line feed and at the end of the file; any other is an ordinary character of
// its cell. On input without bare quotes this is what encoding/csv does, which differs in two points: it keeps a byte
// order mark and takes bytes that are not UTF-8.
//
// Lines before the heading line whose first cell begins with # are explanations and are passed over; behind the heading
// line # is an ordinary character.
//
// # Workbooks
//
// A [Source] is a sheet that is not read yet: CSV bytes or a sheet of a [Workbook]. Both give the same [Table], so
// whoever reads it does not know which it was. Every part of a workbook is unpacked once to nowhere (the library
// compares no checksum); size, rows, cells and merges are bounded; and rows without an entry are taken out of the XML
// before the library makes room for them, because spreadsheets save formats down to row 1048576. Nothing is unpacked to
// disk. The library runs inside a guard: a panic of it on a damaged file is an error of that file.
//
// A number is the shortest of its fifteen digits. If it is shown as a fraction it is written as one: 1 7/16 typed into
// a spreadsheet is stored as 1.4375, and read as a decimal it would pass for a reading 600 times as close. 1.50 typed
// as a number is stored as 1.5 and so read less closely than typed; text cells keep it. A cell that was not typed as it
// stands (a date outside a column of dates, a formula, a percentage) is odd: its fault is reported once, and nothing
// that follows from it. [BookBytes] sets the hour and sorts the parts, so that the same content gives the same bytes.
package sheet
