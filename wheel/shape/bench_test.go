package shape

import (
	"testing"

	"flangeway/internal/measure"
)

func BenchmarkRebuild(b *testing.B) {
	d := design(b, "narrow flange 1:20")
	in := measure.MMPerInch
	r := WornReadings{Height: reading(1.21875*in, 1.25*in, 1.28125*in), Thickness: reading(0.96875*in, in, 1.03125*in),
		Hollow: reading(1.95, 2, 2.05), Vertical: reading(14, 15, 16)}
	for b.Loop() {
		if _, err := Rebuild(d, r); err != nil { // the middle alone
			b.Fatal(err)
		}
	}
}
