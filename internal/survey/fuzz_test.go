package survey_test

import (
	"errors"
	"math"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// FuzzSurvey: any bytes as sheets and as railroad.yaml give readings or problems at
// places, never a panic. A reading that is taken lies within its column's bounds.
func FuzzSurvey(f *testing.F) {
	data := fixture.Data(f)
	for _, s := range [][3]string{
		{"car,position,flange_height\nA 1,L1,1-1/4\n", "location,frog,flangeway_depth\nyard,F1,1-1/2\n",
			"schema: 1\nsettings: {reserve: 1/8}\n"},
		{"car,position,date,back_to_back,back_to_back_max,design\nA 1,L1,2026-01-05,53,53-1/8,wide flange 1:20\nA " +
			"1,R1,2025-01-05,53,,\nA 1,R1,,,,\n", "location,frog,type,date\ny,1,spring,2026-01-01\nz,1,,\n",
			"date: 2026-13-01\n"},
		{"car;position\n", "location,frog\n\"", "a: &x [*x]\n"},
		{"car,position,tread_hollow\nA,L8,<1/8\"\nA,R8,>=2\na,R8,9..1\n", "\xff", "- 1\n- 2\n"},
		{"\ufeffcar,position\r\nA,L1\r\n", "# " +
			"note\nlocation,frog,gauge,guard_check,guard_flangeway\ny,F,56-1/2,54,4' 1/2\"\n",
			"reading_error:\n  gauge: 1e9\n"},
		{"", "", ""},
	} {
		f.Add([]byte(s[0]), []byte(s[1]), []byte(s[2]))
	}
	f.Fuzz(func(t *testing.T, wheels, frogs, railroad []byte) {
		if len(wheels)+len(frogs)+len(railroad) > 1<<16 {
			t.Skip("large input is the scanner's own fuzzing")
		}
		var ps measure.Problems
		m := configs.ParseMapping("railroad.yaml", railroad, &ps)
		for _, key := range m.Keys() {
			m.Has(key)
		}
		for _, s := range data.Settings {
			if r, ok := m.Sub("settings").Length(s.Name, s.Spec()); ok && !within(r, s.Low, s.High) {
				t.Fatalf("%s: %v is outside its bounds", s.Name, r)
			}
		}
		m.Texts("limits")
		configs.ParseSet(m, "ours.yaml", &ps)
		fleet, warned := wheel.Read(wheel.Sheets{Cars: sheet.CSV("cars.csv", frogs),
			Wheels: sheet.CSV("wheels.csv", wheels)}, data.Columns, data, &ps)
		for _, w := range fleet.Wheels {
			for q := range wheel.NumQuantities {
				spec := data.Columns[q.String()]
				if r := w.Read(q); r.Measured() && !within(r, spec.Lo, spec.Hi) {
					t.Fatalf("%s %s %s: %+v is outside its bounds", w.Car.ID, w.Position, q, r)
				}
			}
			if w.Car == nil || w.Axle() == nil || w.Axle().Listed() == nil {
				t.Fatalf("wheel %s has no car or axle", w.Position)
			}
		}
		var in [track.NumKinds]*sheet.Source
		for k := range in {
			in[k] = sheet.CSV(track.Kind(k).File(), frogs)
		}
		in[track.Curve] = sheet.CSV("curves.csv", wheels)
		tr, odd := track.Read(in, data.Columns, data, track.Defaults{}, &ps)
		more, _ := odd.Warnings(math.MaxInt)
		for _, g := range tr.Features {
			for _, q := range g.Measured() {
				spec, bounded := data.Columns[q.String()]
				if r := g.Read(q); r.Measured() && bounded && !within(r, spec.Lo, spec.Hi) {
					t.Fatalf("%s %s: %+v is outside its bounds", g.Name(), q, r)
				}
			}
		}
		for _, w := range append(warned, more...) {
			if w.Text == "" || w.Place.File == "" {
				t.Fatalf("a warning without text or file: %+v", w)
			}
		}
		var list measure.ProblemsError
		if err := ps.Err(); err != nil && !errors.As(err, &list) {
			t.Fatalf("%T is no list of problems", err)
		}
		for _, p := range list {
			if p.Place.File == "" || p.What == "" || p.Place.Line < 0 || p.Place.Col < 0 {
				t.Fatalf("a problem without a place or a text: %+v", p)
			}
		}
	})
}

// within reports whether a reading is an ordered interval inside the bounds.
func within(r measure.Reading, lo, hi float64) bool {
	return r.Lo <= r.Hi && r.Lo >= lo-1e-9 && r.Hi <= hi+1e-9 && !math.IsNaN(r.As)
}
