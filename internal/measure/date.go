package measure

import (
	"fmt"
	"strconv"
	"time"
)

// Date is a calendar day in days since 1970-01-01, plus one; the zero Date is "no date".
type Date int32

const dateLayout = "2006-01-02"

// ParseDate reads YYYY-MM-DD; the error is a [*Fault].
func ParseDate(s string) (Date, error) {
	if d, ok := plainDate(s); ok {
		return d, nil
	}
	t, err := time.Parse(dateLayout, s)
	if err != nil {
		return 0, notDate(s)
	}
	if t.Year() < 1900 || t.Year() > 2200 {
		return 0, faultf("a year from 1900 to 2200", "%q is not a plausible date", Short(s))
	}
	return Date(t.Unix()/86400 + 1), nil
}

var reYearFirst = pattern(`^([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})$`)

// notDate says what is wrong with a text that is no date, and how it is written if that is known.
func notDate(s string) *Fault {
	const form = "YYYY-MM-DD"
	if m := reYearFirst().FindStringSubmatch(s); m != nil {
		month, _ := strconv.Atoi(m[2])
		day, _ := strconv.Atoi(m[3])
		if meant := fmt.Sprintf("%s-%02d-%02d", m[1], month, day); isDate(meant) {
			return faultf(meant+" for it: "+form, "%q is not a date", s)
		}
	}
	d, ok := ParseOtherDate(s)
	switch {
	case !ok:
		return faultf(form, "%q is not a date", Short(s))
	case d.Dots || !isDate(d.MonthFirst()):
		return faultf(d.DayFirst()+" for it: "+form, "%q is a date with the day first", s)
	}
	return faultf(d.MonthFirst()+" for it: "+form, "%q is a date in US order", s)
}

func isDate(s string) bool {
	_, ok := plainDate(s)
	return ok
}

// DateOf is the calendar day of a time, if it is told.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix()/86400 + 1)
}

// OtherDate is a date that begins with its month or its day: 3/28/2026, 28.3.26. Which of the two comes first is not
// guessed.
type OtherDate struct {
	Text          string
	First, Second int
	Year          int
	Dots          bool // as they stand between day and month
}

var reOtherDate = pattern(`^([0-9]{1,2})([-/.])([0-9]{1,2})[-/.]([0-9]{4}|[0-9]{2})$`)

// ParseOtherDate reads such a date; ok is false if neither order gives a day.
func ParseOtherDate(s string) (d OtherDate, ok bool) {
	m := reOtherDate().FindStringSubmatch(s)
	if m == nil {
		return d, false
	}
	number := func(s string) int { n, _ := strconv.Atoi(s); return n }
	d = OtherDate{Text: s, First: number(m[1]), Second: number(m[3]), Year: number(m[4]), Dots: m[2] == "."}
	if len(m[4]) == 2 {
		d.Year += 2000
	}
	_, monthFirst := plainDate(d.MonthFirst())
	_, dayFirst := plainDate(d.DayFirst())
	return d, monthFirst || dayFirst
}

// MonthFirst is the date as YYYY-MM-DD if its month stands first.
func (d OtherDate) MonthFirst() string {
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.First, d.Second)
}

// DayFirst is the date as YYYY-MM-DD if its day stands first.
func (d OtherDate) DayFirst() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Second, d.First) }

// Likely is the day that is meant, the month first if either can be: enough to go on with if the date is refused.
func (d OtherDate) Likely() Date {
	day, ok := plainDate(d.MonthFirst())
	if !ok || d.Dots {
		day, _ = plainDate(d.DayFirst())
	}
	return day
}

// Known reports whether there is a date.
func (d Date) Known() bool { return d != 0 }

// String gives YYYY-MM-DD, or "" without a date.
func (d Date) String() string {
	if d == 0 {
		return ""
	}
	return time.Unix((int64(d)-1)*86400, 0).UTC().Format(dateLayout)
}

// DaysSince is the number of days from other to d.
func (d Date) DaysSince(other Date) int { return int(d) - int(other) }

// plainDate reads the date without the library, which takes some time; ok is false for all that is not plainly a date
// of the years that are taken.
func plainDate(s string) (d Date, ok bool) {
	if len(s) != len(dateLayout) || s[4] != '-' || s[7] != '-' {
		return 0, false
	}
	number := func(s string) int {
		n := 0
		for i := range len(s) {
			if !isDigit(s[i]) {
				return -1
			}
			n = n*10 + int(s[i]-'0')
		}
		return n
	}
	y, m, day := number(s[:4]), number(s[5:7]), number(s[8:])
	if y < 1900 || y > 2200 || m < 1 || m > 12 || day < 1 || day > daysIn(y, m) {
		return 0, false
	}
	// Days of whole years and months, the year taken to begin in March so that the leap day is its last (a usual form
	// of the Gregorian day count).
	if m < 3 {
		y, m = y-1, m+12
	}
	days := 365*y + y/4 - y/100 + y/400 + (153*(m-3)+2)/5 + day - 1
	const epoch = 719468 // of 1970-01-01 in that count
	return Date(days - epoch + 1), true
}

func daysIn(y, m int) int {
	switch m {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}
