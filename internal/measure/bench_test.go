package measure_test

import (
	"testing"

	"flangeway/internal/measure"
)

// BenchmarkParse reads cells as a wheel sheet holds them; one operation is one cell.
func BenchmarkParse(b *testing.B) {
	for _, bc := range []struct {
		name string
		spec measure.Spec
		cell string
	}{
		{"sixteenth", flangeHeight, "1-7/16"},
		{"marked", flangeHeight, `1 7/16"`},
		{"unicode", flangeHeight, "1½"},
		{"decimal", flangeHeight, "1.4375"},
		{"millimetres", flangeHeight, "36.5 mm"},
		{"feet", gauge, `4' 8-1/2"`},
		{"step", flangeThickness, ">15/16"},
		{"range", flangeHeight, "1-1/4..1-1/2"},
		{"hollow", hollow, "2.5"},
		{"blank", flangeHeight, ""},
	} {
		b.Run(bc.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := bc.spec.Parse(bc.cell); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
