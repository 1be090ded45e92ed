package contact

import "testing"

// One table of both sides with the roll solved: 81 shifts, wheels of about 2,000
// points, rails of about 1,000 points in reach.
func BenchmarkTable(b *testing.B) {
	s := solver(b, axle(b, 1435, 40))
	b.ReportAllocs()
	for b.Loop() {
		for i := range 81 {
			if _, err := s.At(float64(i) * 0.1); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkHertz(b *testing.B) {
	for b.Loop() {
		if _, err := Hertz(100e3, 1./460, 1./300, Steel); err != nil {
			b.Fatal(err)
		}
	}
}
