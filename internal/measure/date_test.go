package measure

import (
	"testing"
	"time"
)

// Every day of the years that are taken, and the days about them, read the same by the short way and by the library.
func TestPlainDateAgreesWithLibrary(t *testing.T) {
	for day := time.Date(1899, 12, 25, 0, 0, 0, 0, time.UTC); day.Year() < 2202; day = day.AddDate(0, 0, 1) {
		text := day.Format(dateLayout)
		d, ok := plainDate(text)
		if want := day.Year() >= 1900 && day.Year() <= 2200; ok != want {
			t.Fatalf("%s is plain: %t, want %t", text, ok, want)
		}
		if ok && d != Date(day.Unix()/86400+1) {
			t.Fatalf("%s is day %d, want %d", text, d, day.Unix()/86400+1)
		}
	}
	for _, text := range []string{"", "2026-02-29", "2100-02-29", "2026-13-01", "2026-00-10", "2026-04-31",
		"2026-1-001", "2026-01-0x", "+026-01-01", "2026/01/01", "2026-01-011"} {
		if d, ok := plainDate(text); ok {
			t.Errorf("%q is read as day %d", text, d)
		}
	}
}

// What is no date says how it is written, if that is known.
func TestDateMeant(t *testing.T) {
	for text, want := range map[string]string{
		"2026/3/1":   `"2026/3/1" is not a date (2026-03-01 for it: YYYY-MM-DD)`,
		"2026-3-31":  `"2026-3-31" is not a date (2026-03-31 for it: YYYY-MM-DD)`,
		"3/31/2026":  `"3/31/2026" is a date in US order (2026-03-31 for it: YYYY-MM-DD)`,
		"31/3/2026":  `"31/3/2026" is a date with the day first (2026-03-31 for it: YYYY-MM-DD)`,
		"1.3.26":     `"1.3.26" is a date with the day first (2026-03-01 for it: YYYY-MM-DD)`,
		"2026-02-30": `"2026-02-30" is not a date (YYYY-MM-DD)`,
		"31/31/2026": `"31/31/2026" is not a date (YYYY-MM-DD)`,
		"today":      `"today" is not a date (YYYY-MM-DD)`,
	} {
		if _, err := ParseDate(text); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
}
