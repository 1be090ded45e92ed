package shaped

import (
	"slices"

	"flangeway/interaction"
	"flangeway/track"
	"flangeway/wheel"
)

// unsureOf is what a truck and a curve have no figure for of what enters how the truck runs.
func (c *Computer) unsureOf(t *truckJob, j *curveJob) unsure {
	u := unsure{readings: j.unsure.readings | t.unsure.readings,
		columns: slices.Concat(j.unsure.columns, t.unsure.columns)}
	switch {
	case u.any():
		u.short = c.Rules.Value("untried_allowance")
	case j.f.Cant == "":
		u.short = c.Rules.Value("unread_cant_allowance")
	}
	if j.f.Cant == "" {
		u.columns = append(u.columns, "rail_cant")
	}
	return u
}

func (u unsure) any() bool { return u.readings != 0 || len(u.columns) > 0 }

// findUnsure is what a truck has no figure for; a usual truck, which is of no car, has a figure for everything.
func (t *truckJob) findUnsure() {
	if t.car.ID == "" {
		return
	}
	for a := range t.axles {
		if !pointed(t.backRead(a)) {
			t.unsure.readings |= interaction.WheelMask(wheel.BackToBack)
		}
	}
	for _, w := range t.all() {
		if w == nil {
			continue
		}
		for _, q := range []wheel.Quantity{wheel.FlangeThickness, wheel.TreadHollow, wheel.Diameter} {
			if !pointed(w.Read(q)) {
				t.unsure.readings |= interaction.WheelMask(q)
			}
		}
	}
	if t.car.GrossLb == 0 {
		t.unsure.columns = append(t.unsure.columns, "gross_lb")
	}
	if !pointed(t.car.TruckWheelbase) {
		t.unsure.columns = append(t.unsure.columns, "truck_wheelbase")
	}
}

// findUnsure is what a curve has no figure for. A worn face is tried at every angle that it can have.
func (j *curveJob) findUnsure() {
	f := j.f
	list := []track.Quantity{track.Gauge, track.Elevation, track.HeadWear, track.GaugeFaceWear}
	for _, q := range list {
		if !pointed(f.Read(q)) {
			j.unsure.readings |= interaction.TrackMask(q)
		}
	}
	if f.Rail == "" {
		j.unsure.columns = append(j.unsure.columns, "rail")
	}
	if !f.SpeedKnown {
		j.unsure.columns = append(j.unsure.columns, "speed_mph")
	}
}
