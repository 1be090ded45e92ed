package paper

import "testing"

// What a computation started from bears its unit however it was typed, and is the same length in metric.
func TestInputsBearTheirUnit(t *testing.T) {
	for _, tt := range []struct{ name, value, trade, metric string }{
		{"flange height", "1-5/16,1 3/8", "1-5/16 in, 1-3/8 in", "33.3 mm, 34.9 mm"},
		{"flange thickness", "1⅛\",1 1/16”", "1-1/8 in, 1-1/16 in", "28.6 mm, 27 mm"},
		{"vertical flange", ">=1,n/m", ">=1 in, n/m", ">=25.4 mm, n/m"},
		{"rim thickness", "1-1/4..1-1/2", "1-1/4..1-1/2 in", "31.8..38.1 mm"},
		{"back-to-back, axle 1", "53 3/8", "53-3/8 in", "1355.7 mm"},
		{"gauge", "4' 8-1/2\"", "56-1/2 in", "1435.1 mm"},
		{"truck centers", "46'", "46'", "14 m"},
		{"wheelbase", "70", "70 in", "1778 mm"},
		{"gross", "220,000", "220,000 lb", "978.6 kN"},
		{"gross weight", "286K", "286,000 lb", "1272.2 kN"},
		{"speed", "10", "10 mph", "16.1 km/h"},
		{"hollow", "3,none", "3 mm, none", "3 mm, none"},
		{"step", "0.25", "0.010 in", "0.25 mm"},
		{"gauge face angle", "66", "66 deg", "66 deg"},
		{"cant", "1:40", "1:40", "1:40"},
		{"rail", "136RE,90RA-A", "136RE, 90RA-A", "136RE, 90RA-A"},
		{"wheel L2", "narrow flange 1:20: height 1 3/16, thickness 1⅛\", vertical 1/2, hollow 0.2",
			"narrow flange 1:20: height 1-3/16 in, thickness 1-1/8 in, vertical 1/2 in, hollow 0.2 mm",
			"narrow flange 1:20: height 30.2 mm, thickness 28.6 mm, vertical 12.7 mm, hollow 0.2 mm"},
	} {
		table := Table{Columns: []Column{{Name: "what"}, {Name: "value"}, {Name: "from"}},
			Rows: []Row{{{Text: tt.name}, {Text: input(tt.name, tt.value)}, {Text: "flag"}}}}
		for u, want := range map[Units]string{Trade: tt.trade, Metric: tt.metric} {
			if got := u.table(table, u.in).Rows[0][1].Text; got != want {
				t.Errorf("units %d: %s %q is %q, want %q", u, tt.name, tt.value, got, want)
			}
		}
	}
}
