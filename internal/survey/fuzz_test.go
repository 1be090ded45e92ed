package survey

import (
	"testing"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// FuzzSheets reads random bytes as railroad.yaml, wheels.csv and frogs.csv: it never
// panics, and what is read without a problem can be judged by the books.
func FuzzSheets(f *testing.F) {
	f.Add([]byte("schema: 1\ntrack_class: 1\nsettings: {ride_over: 0mm}\n"), []byte("car,position,flange_height\nA 1,L1,1-7/16\n"), []byte("location,frog,flangeway_depth\nyard,F1,1-3/8\n"))
	f.Add([]byte("reading_error: {step_error: 0}\nlimits: [federal, interchange]\n"), []byte("car,position,date,back_to_back\nA,L1,2026-01-02,53\nA,R1,2026-01-02,53.00\n"), []byte("location,frog,type\n\"a\"\"b\",F1,spring\n"))
	f.Add([]byte("limits: *x\n"), []byte("car;position\n"), []byte("\xef\xbb\xbflocation,frog\r\nx,y\r\n"))
	data, err := configs.Load()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, railroad, wheels, frogs []byte) {
		var problems measure.Problems
		s := &Survey{Data: data, Dir: t.TempDir()}
		defaults := s.readRailroad(railroad, &problems)
		fleet, _ := wheel.Read(wheel.Sheets{Wheels: wheels}, s.Columns, data, &problems)
		places, _ := track.Read([track.NumKinds][]byte{track.Frog: frogs}, s.Columns, data, defaults, &problems)
		err := problems.Err()
		if (err == nil) != (problems.Len() == 0) {
			t.Fatalf("%d problems, error %v", problems.Len(), err)
		}
		if err != nil {
			return
		}
		book, err := s.Book()
		if err != nil {
			return
		}
		for _, w := range fleet.Wheels {
			for q := wheel.Quantity(0); q < wheel.NumQuantities; q++ {
				if r := w.Read(q); r.Measured() && !(r.Lo <= r.Hi) {
					t.Fatalf("%s: interval %g..%g", r.Written, r.Lo, r.Hi)
				}
			}
			book.Judge(w.Subject())
		}
		for _, p := range places.Features {
			book.ClassMet(p.Subject())
		}
	})
}
