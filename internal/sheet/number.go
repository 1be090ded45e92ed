package sheet

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"flangeway/internal/measure"
)

// Odd says why a cell of a workbook is not what a person typed.
type Odd struct {
	Fault measure.Fault
	// Day says that the cell is a calendar day, which is at home in a column of dates.
	Day bool
}

// format is the meaning of a number by the way it is shown.
type format int

const (
	plainNumber format = iota
	day                // a date, with or without a time of day
	clock              // a time of day alone
	fraction
	percent
)

// builtinFormat is the format of a number that every spreadsheet has (ECMA-376 part 1,
// 18.8.30, numFmtId; 27 to 36 and 50 to 81 are dates in East Asian and Thai forms).
func builtinFormat(id int) format {
	switch {
	case id == 9 || id == 10:
		return percent
	case id == 12 || id == 13, id == 69 || id == 70:
		return fraction
	case id == 67 || id == 68:
		return percent
	case id >= 14 && id <= 17, id == 22, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 54, id == 57 || id == 58,
		id >= 71 && id <= 74, id == 77, id == 81:
		return day
	case id >= 18 && id <= 21, id >= 45 && id <= 47, id >= 32 && id <= 35, id == 55 || id == 56, id == 75 || id == 76,
		id >= 78 && id <= 80:
		return clock
	}
	return plainNumber
}

var (
	// literal parts of a format are shown as they stand: "text", \x, _x (a blank as wide as x), *x (a filler) and
	// [colour, condition or language], but not [h].
	reLiteral  = regexp.MustCompile(`"[^"]*"?|[\\_*].|\[[^\]]{3,}\]|(?i:general)|[eE][+-]`)
	reClock    = regexp.MustCompile(`(?i)[hs]|am/pm|a/p`)
	reDay      = regexp.MustCompile(`(?i)[yd]`)
	reMonth    = regexp.MustCompile(`(?i)m`)
	reFraction = regexp.MustCompile(`[?#0]\s*/\s*[?#0-9]`)
)

func customFormat(code string) format {
	code = reLiteral.ReplaceAllString(code, "")
	switch {
	case reDay.MatchString(code):
		return day
	case reClock.MatchString(code):
		return clock
	case reMonth.MatchString(code):
		return day
	case strings.Contains(code, "%"):
		return percent
	case reFraction.MatchString(code):
		return fraction
	}
	return plainNumber
}

// epoch is the first day of a workbook's calendar: 1904 if true, else 1900.
type epoch bool

// number is what a person typed to get a stored number: the shortest form of its fifteen digits, which is what a
// spreadsheet keeps. A number shown as a fraction was typed as one and is written so, because a fraction is read less
// closely than a decimal.
func (from epoch) number(stored string, f format) (string, *Odd) {
	v, err := strconv.ParseFloat(stored, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e15 {
		return stored, nil
	}
	typed := shortest(v)
	switch f {
	case day:
		return from.date(v, typed)
	case clock:
		return typed, &Odd{Fault: *measure.DateFault(clockText(v))}
	case percent:
		text := shortest(v*100) + "%"
		return text, &Odd{Fault: measure.Fault{What: fmt.Sprintf("%q is a percentage", text),
			Expected: "the number itself; format the column as text in the spreadsheet and type it again"}}
	case fraction:
		if text, ok := sixtyFourths(v); ok {
			return text, nil
		}
		if _, decimals, _ := strings.Cut(typed, "."); len(decimals) > 4 {
			return typed, &Odd{Fault: measure.Fault{What: fmt.Sprintf("%s is shown as a fraction of an inch that no "+
				"rule shows", typed),
				Expected: "halves, quarters, eighths, 16ths, 32nds or 64ths; format the column as text in the " +
					"spreadsheet and type it again"}}
		}
	}
	return typed, nil
}

func shortest(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// sixtyFourths writes a number as a person writes it with a fraction: 1-7/16.
func sixtyFourths(v float64) (string, bool) {
	n := math.Round(math.Abs(v) * 64)
	if n > 1e6 || math.Abs(math.Abs(v)*64-n) > 1e-9 {
		return "", false
	}
	return measure.SixtyFourths(int(math.Copysign(n, v))), true
}

// date is the day that a serial number stands for.
func (from epoch) date(v float64, typed string) (string, *Odd) {
	first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if from {
		first = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	} else if v < 61 { // the 29th of February 1900, which never was, shifts the days before it
		first = first.AddDate(0, 0, 1)
	}
	days := math.Floor(v)
	if v < 0 || v > 2958465 { // 9999-12-31
		return typed, &Odd{Fault: *measure.DateFault(typed)}
	}
	text := first.AddDate(0, 0, int(days)).Format(time.DateOnly)
	if days != v {
		text += " " + clockText(v-days)
		return text, &Odd{Fault: *measure.DateFault(text)}
	}
	return text, &Odd{Fault: *measure.DateFault(text), Day: true}
}

func clockText(v float64) string {
	minutes := int(math.Round((v - math.Floor(v)) * 24 * 60))
	return fmt.Sprintf("%d:%02d", minutes/60, minutes%60)
}

// isoDate is a cell stored as a date in words, 2016-01-07 with a time behind it.
func isoDate(stored string) (string, *Odd) {
	text, rest, _ := strings.Cut(stored, "T")
	if _, err := time.Parse(time.DateOnly, text); err != nil || strings.Trim(rest, "0:.Z") != "" {
		return stored, &Odd{Fault: *measure.DateFault(stored)}
	}
	return text, &Odd{Fault: *measure.DateFault(text), Day: true}
}
