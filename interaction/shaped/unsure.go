package shaped

import (
	"slices"

	"flangeway/interaction"
	"flangeway/track"
	"flangeway/wheel"
)

// unsureOf gathers the readings without a figure, of a truck and a curve, that enter how the truck runs.
func (c *Computer) unsureOf(t *truckJob, j *curveJob) unsure {
	u := unsure{readings: j.unsure.readings | t.unsure.readings,
		columns: slices.Concat(j.unsure.columns, t.unsure.columns), cells: j.unsure.cells + t.unsure.cells}
	u.far = j.unsure.far || t.unsure.far
	if u.any() {
		u.short = c.Rules.Value("untried_allowance") + float64(u.cells-1)*c.Rules.Value("untried_allowance_more")
	}
	return u
}

// backWeighs is for how many cells a back-to-back without a figure counts: it moves both flanges of its axle against
// both rails, and what a worn face does then lies between any two that are tried.
const backWeighs = 3

// flangeWeighs is for how many cells a flange thickness without a figure counts: a thicker flange is another design's,
// and whether a thin axle stands off its rail or bears on it turns between any two that are tried.
const flangeWeighs = 2

// read notes a cell with a reading without a figure, name one of another column.
func (u *unsure) read(q interaction.Mask) { u.readings, u.cells = u.readings|q, u.cells+1 }
func (u *unsure) name(column string)      { u.columns, u.cells = append(u.columns, column), u.cells+1 }

func (u unsure) any() bool { return u.readings != 0 || len(u.columns) > 0 }

// findUnsure finds the readings of a truck that have no figure; a usual truck, which is of no car, has a figure for
// everything.
func (t *truckJob) findUnsure() {
	if t.car.ID == "" {
		return
	}
	for a := range t.axles {
		if r := t.backRead(a); !pointed(r) {
			t.unsure.read(interaction.WheelMask(wheel.BackToBack))
			t.unsure.cells += backWeighs - 1
			t.unsure.far = t.unsure.far || r.OneSided()
		}
	}
	for _, w := range t.all() {
		if w == nil {
			continue
		}
		for _, q := range []wheel.Quantity{wheel.FlangeThickness, wheel.TreadHollow, wheel.Diameter} {
			if !pointed(w.Read(q)) {
				t.unsure.read(interaction.WheelMask(q))
				if q == wheel.FlangeThickness {
					t.unsure.cells += flangeWeighs - 1
				}
			}
		}
	}
	if t.car.GrossLb == 0 {
		t.unsure.name("gross_lb")
	}
	if !pointed(t.car.TruckWheelbase) {
		t.unsure.name("truck_wheelbase")
	}
}

// findUnsure finds the readings of a curve that have no figure. A worn face is tried at every angle that it can have.
func (j *curveJob) findUnsure() {
	f := j.f
	list := []track.Quantity{track.Gauge, track.Elevation, track.HeadWear, track.GaugeFaceWear}
	for _, q := range list {
		if !pointed(f.Read(q)) {
			j.unsure.read(interaction.TrackMask(q))
			j.unsure.far = j.unsure.far || q == track.Gauge
		}
	}
	if f.Rail == "" {
		j.unsure.name("rail")
	}
	if !f.SpeedKnown {
		j.unsure.name("speed_mph")
	}
}
