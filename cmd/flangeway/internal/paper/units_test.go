package paper

import "testing"

// What is written in one system is written in the other, and what only looks like a figure with a unit stays.
func TestUnits(t *testing.T) {
	for _, tt := range []struct {
		to       Units
		in, want string
	}{
		{Metric, "regauge to 56-1/2 in or more", "regauge to 1435.1 mm or more"},
		{Metric, "-3/16 +-1/16 in (negative conflicts)", "-4.8 +-1.6 mm (negative conflicts)"},
		{Metric, "-7/16..+9/16 in", "-11.1..+14.3 mm"},
		{Metric, "about 1/2 to 1 in in all", "about 12.7 to 25.4 mm in all"},
		{Metric, "63 in conflict, 5 in doubt", "63 in conflict, 5 in doubt"},
		{Metric, "up to 1/4 in.", "up to 6.4 mm."},
		{Metric, "-0.19 in (-0.26..-0.12)", "-4.8 mm (-6.6..-3)"},
		{Metric, "1/4 in", "6.4 mm"},
		{Metric, "0.117 in (2.97 mm)", "2.97 mm"},
		{Metric, "85.5 kN (19212 lb)", "85.5 kN"},
		{Metric, "10 mph over 62 ft", "16.1 km/h over 18.9 m"},
		{Metric, "263,000 lb", "1169.9 kN"},
		{Metric, "25 kip/in", "4.38 kN/mm"},
		{Metric, "gauge 57-7/8, guard_check 54-5/8", "gauge 1470 mm, guard_check 1387.5 mm"},
		{Metric, ">15/16, <1-1/2", ">23.8 mm, <38.1 mm"},
		{Metric, `1 7/16" at R2`, "36.5 mm at R2"},
		{Metric, `5' 8"`, "1727.2 mm"},
		{Metric, "D10-30, 6°30', 1:40", "D10-30, 6°30', 1:40"},
		{Metric, "wheels.csv:20:1, F4 and S1/2, 2026-10-31", "wheels.csv:20:1, F4 and S1/2, 2026-10-31"},
		{Metric, "hollow 4.6 mm", "hollow 4.6 mm"},
		{Metric, "49 CFR 213.13 with 213.4(e)(4)", "49 CFR 213.13 with 213.4(e)(4)"},
		{Trade, "point_gap > 3 mm", "point_gap > 0.118 in"},
		{Trade, "P2 186.3 kN, static 159.0 kN", "P2 41.9 kips, static 35.7 kips"},
		{Trade, "0.117 in (2.97 mm)", "0.117 in"},
		{Trade, "85.5 kN (19212 lb)", "19212 lb"},
		{Trade, "1000 kg", "2,205 lb"},
		{Trade, "+6.50 mm (+5.21..+7.35)", "+0.256 in (+0.205..+0.289)"},
		{Trade, "by 2.7 mm (2.7..0.7) until", "by 0.106 in (0.106..0.028) until"},
		{Metric, "-0.19 in (-0.26..0.12)", "-4.8 mm (-6.6..3)"},
		{Trade, "hollow of 3 mm", "hollow of 3 mm"},
		{Trade, "0.1899 mm", "0.00748 in"},
		{AsBuilt, "3 mm and 1 in", "3 mm and 1 in"},
	} {
		if got := tt.to.in(tt.in); got != tt.want {
			t.Errorf("%d: %q is %q, want %q", tt.to, tt.in, got, tt.want)
		}
	}
}
