package measure

import "time"

// Date is a calendar day in days since 1970-01-01, plus one; the zero Date is "no
// date".
type Date int32

const dateLayout = "2006-01-02"

// ParseDate reads YYYY-MM-DD; the error is a [*Fault].
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(dateLayout, s)
	if err != nil {
		return 0, faultf("YYYY-MM-DD", "%q is not a date", cut(s))
	}
	if t.Year() < 1900 || t.Year() > 2200 {
		return 0, faultf("a year from 1900 to 2200", "%q is not a plausible date", cut(s))
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
