package track_test

import (
	"math"
	"testing"

	"flangeway/track"
)

// TestRestraintFactor: the cap of 49 CFR 213.110 (read), two figures worked out by hand
// from the formula, and the ends of the loads it holds for.
func TestRestraintFactor(t *testing.T) {
	for _, tt := range []struct {
		name             string
		lateral, upright float64 // kips
		want             float64 // 0: refused
		reason           string
	}{
		{"the cap", 7, 10, 3.184, "least lateral load on the least vertical one"},
		{"10 and 15", 10, 15, 2.333, "13.513/(6.13 - 0.009 x 6.13^2)"},
		{"14 and 20", 14, 20, 1.661, "13.513/(8.84 - 0.009 x 8.84^2)"},
		{"severity below", 6.99, 10, 0, "213.110(d): 2.99 kips"},
		{"severity at the end", 12, 10, 1.567, "8 kips; 13.513/(9.42 - 0.009 x 9.42^2)"},
		{"severity above", 12.01, 10, 0, "213.110(d): 8.01 kips"},
		{"vertical load below", 8, 9.99, 0, "213.110(c): at least 10 kips"},
		{"L/V at the low end", 40, 80, 0.845, "0.5, severity 8; 13.513/(19.36 - 0.009 x 19.36^2)"},
		{"L/V below", 40.3, 81, 0, "0.4975, severity 7.9"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := track.RestraintFactor(tt.lateral, tt.upright)
			if tt.want == 0 {
				if err == nil {
					t.Errorf("%.3f, want an error: %s", got, tt.reason)
				}
				return
			}
			if err != nil || math.Abs(got-tt.want) > 6e-4 {
				t.Errorf("%.4f %v, want %.3f: %s", got, err, tt.want, tt.reason)
			}
		})
	}
}
