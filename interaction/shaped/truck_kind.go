package shaped

import (
	"slices"

	"flangeway/interaction"
)

// kindUnknown reports whether it is not known of which kind the car of a truck is. A usual
// truck, which is of no car, has its own.
func (t *truckJob) kindUnknown() bool { return t.car.Kind == "" && t.car.ID != "" }

// lacksWeight reports whether a truck could not be computed if its car were of another kind
// than freight, which has the usual weight and wheelbase if they were not read.
func (t *truckJob) lacksWeight() bool {
	return t.car.GrossLb == 0 || !t.car.TruckWheelbase.Measured()
}

// rigid is a truck whose side frames do not warp, as of every kind of car but freight.
func (t *truckJob) rigid() *truckJob {
	n := *t
	n.square = true
	if t.asRead != nil {
		n.asRead = t.asRead.rigid()
	}
	return &n
}

// ran is the result of a truck on a curve; rigid says that it is that without a frame that warps.
type ran struct {
	k     Computed
	rigid bool
	w     way
}

// anyKindOn is the result of a truck on a curve, and the truck that has it: once for all trucks that differ from
// it by names alone.
func (c *Computer) anyKindOn(t *truckJob, j *curveJob) (Computed, *truckJob, way) {
	x, _ := j.came.trucks.get(t.likeness(), func() (ran, error) {
		out := c.ofAnyKind(t, j)
		out.k.Columns = slices.Clip(out.k.Columns) // its copies are added to
		return out, nil
	})
	if x.rigid {
		t = t.rigid()
	}
	return x.k, t, x.w
}

// ofAnyKind is the result of a truck on a curve. One of a car of unknown kind is clear if it is so as a freight truck
// and as a rigid one and if weight and wheelbase are known, because a car of another kind is not clear without them.
// Whoever has no roster knows no more than one who left these blank in it.
func (c *Computer) ofAnyKind(t *truckJob, j *curveJob) ran {
	k, w := c.truckOn(t, j)
	if !t.kindUnknown() || k.Verdict != interaction.Clear {
		return ran{k, false, w}
	}
	if rigid := t.rigid(); !t.square {
		if other, at := c.truckOn(rigid, j); other.Verdict != interaction.Clear {
			other.Verdict = interaction.Undecided // as a freight truck it is clear
			other.Columns = append(other.Columns, "kind")
			return ran{other, true, at}
		}
	}
	if t.lacksWeight() {
		k.notClear(0)
		k.Columns = append(k.Columns, "kind")
	}
	return ran{k, false, w}
}
