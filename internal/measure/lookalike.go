package measure

import (
	"regexp"
	"sync"
)

// reDate matches what a spreadsheet makes of 1-8, 1/16 or 1-7/16: a day or year with a month's name, or three numbers,
// with or without a time of day behind them.
var reDate = pattern(`(?i)^(?:` + `[0-9]{1,4}[-/. ]+` + month + `(?:[-/. ,]+[0-9]{2,4})?` +
	`|` + month + `[-/. ]+[0-9]{1,4}(?:[-/. ,]+[0-9]{2,4})?` + `|[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}` +
	`|[0-9]{1,2}-[0-9]{1,2}-[0-9]{4}` + `|[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}` +
	`|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{2,4}` + `)(?:[T ].*)?$`)

// pattern is a pattern that is compiled when it is first asked for: few runs need one, and compiling them all takes
// longer than the rest of starting the package.
func pattern(s string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(s) })
}

const month = `(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?`

func looksLikeDate(s string) bool { return reDate().MatchString(s) }

// DateFault is the defect of an entry that a spreadsheet made a date of; if a cell is typed as a date, its reader asks
// for it.
func DateFault(cell string) *Fault { return dateFault(Short(cell)) }

func dateFault(cell string) *Fault {
	return faultf("format the column as text in the spreadsheet and type the reading again",
		"%q looks like a date: the spreadsheet changed it", cell)
}
