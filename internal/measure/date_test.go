package measure

import (
	"testing"
	"time"
)

// Every day of the years that are taken, and the days about them, read the same by
// the short way and by the library.
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
