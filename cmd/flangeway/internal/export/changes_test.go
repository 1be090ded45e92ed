package export

import (
	"strings"
	"testing"
	"unicode"
)

// FuzzReadReport: any bytes as an earlier report are none, or give changes that hold no control character.
func FuzzReadReport(f *testing.F) {
	for _, s := range []string{`{"schema":1,"locations":[]}`, `{"schema":1,"locations":[{"findings":[{}]}]}`,
		`{"schema":1,"survey":{"date":"2026-10-01"},"locations":[{"location":"lead","risk":{"rank":1,"of":2},"findings":[` +
			`{"check":"frog-floor","feature":"frog/F1","car":"A 1","position":"L1","verdict":"conflict","margin_hi_mm":-1.5}]}]}`,
		`{"schema":1,"locations":[{"location":"a\nflangeway: all clear","findings":[{"car":"\u001b[31m"}]}]}`,
		`{"schema":1,"locations":[{"location":"\u202e","risk":"high","findings":[{"margin_hi_mm":1e308}]}]}`,
		`{"schema":1,"locations":[{"risk":{"rank":-1},"findings":[{"check":"hollow-curve","margin_hi_deg":-9}]}]}`,
		`{"schema":1e9}`, `{"schema":1,"locations":[]}{`, `[`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r := ReadReport(data)
		if r == nil {
			return
		}
		for _, c := range Changes(r, Input{}) {
			if s := c.Location + c.Feature + c.Check + c.Was + c.Now; strings.ContainsFunc(s, unicode.IsControl) {
				t.Fatalf("%q is printed", s)
			}
		}
	})
}
