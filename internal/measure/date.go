package measure

import "time"

// Date is a calendar day in days since 1970-01-01, plus one; the zero Date is "no
// date".
type Date int32

const dateLayout = "2006-01-02"

// ParseDate reads YYYY-MM-DD; the error is a [*Fault].
func ParseDate(s string) (Date, error) {
	if d, ok := plainDate(s); ok {
		return d, nil
	}
	t, err := time.Parse(dateLayout, s)
	if err != nil {
		return 0, faultf("YYYY-MM-DD", "%q is not a date", Short(s))
	}
	if t.Year() < 1900 || t.Year() > 2200 {
		return 0, faultf("a year from 1900 to 2200", "%q is not a plausible date", Short(s))
	}
	return Date(t.Unix()/86400 + 1), nil
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

// plainDate reads the date without the library, which takes some time; ok is false
// for all that is not plainly a date of the years that are taken.
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
	// Days of whole years and months, the year taken to begin in March so that the
	// leap day is its last (a usual form of the Gregorian day count).
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
