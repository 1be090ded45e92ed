package plan

import (
	"strings"

	"flangeway/interaction/judge"
	"flangeway/wheel"
)

// readings are those of a wheel that its sheet to the shop needs, as they stand.
func readings(m *model, i int) string {
	w := m.sv.Fleet.Wheels[i]
	var out []string
	for _, q := range []wheel.Quantity{wheel.FlangeHeight, wheel.FlangeThickness, wheel.VerticalFlange,
		wheel.TreadHollow, wheel.RimThickness} {
		if r := w.Read(q); r.Measured() {
			out = append(out, words(q.String())+" "+judge.PrintReading(m.sv.Columns, q.String(), r))
		}
	}
	return strings.Join(out, ", ")
}
