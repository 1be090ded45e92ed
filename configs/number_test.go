package configs

import "testing"

// A number of railroad.yaml is one that a person would read the same way.
func TestPlainNumber(t *testing.T) {
	for _, tt := range []struct {
		text   string
		want   float64
		ok     bool
		reason string
	}{
		{"10", 10, true, "digits"},
		{"12.50", 12.5, true, "decimals"},
		{".5", 0.5, true, "a point in front, as on gauges"},
		{"1_0", 0, false, "ten to a program, a slip to a person"},
		{"1e1", 0, false, "ten to a program"},
		{"0x10", 0, false, "sixteen to a program"},
		{"+10", 0, false, "no column has signs"},
		{"-1", 0, false, "below zero"},
		{"1.2.3", 0, false, "a date or a slip"},
		{"Inf", 0, false, "a number to a program"},
		{"", 0, false, "nothing"},
		{".", 0, false, "no digit"},
	} {
		if v, ok := PlainNumber(tt.text); v != tt.want || ok != tt.ok {
			t.Errorf("%q is %v, %t; want %v, %t: %s", tt.text, v, ok, tt.want, tt.ok, tt.reason)
		}
	}
}
