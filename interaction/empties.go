package interaction

import (
	"math"

	"flangeway/internal/measure"
)

// What holds a truck and how high a car's load stands go with its weight: a centre plate turns
// against two thirds of friction times load times radius, and friction wedges hold a frame square
// by the load on them. The settings give both for a car of reference_weight.

// ofReference is a car's weight (N) as a part of the reference weight.
func (r *Rules) ofReference(gross float64) float64 {
	return gross / (r.Value("reference_weight") * measure.NewtonsPerPound)
}

// TurningMoment is by which the centre plates of a car of a weight in N hold each truck back from
// turning, N·mm: in proportion to the load.
func (r *Rules) TurningMoment(gross float64) float64 {
	return r.Value("turning_moment") * 1e6 * r.ofReference(gross)
}

// WarpStiffness is that of a three-piece truck under a car of a weight in N, N·mm/rad, worn or not:
// in proportion to the load (assumed).
func (r *Rules) WarpStiffness(worn bool, gross float64) float64 {
	name := "warp_stiffness"
	if worn {
		name = "warp_stiffness_worn"
	}
	return r.Value(name) * 1e9 * r.ofReference(gross)
}

// GravityHeight is the height in mm of the centre of gravity of a car of a kind and a weight in N:
// of a freight car from gravity_height_empty at empty_weight to gravity_height at
// reference_weight, evenly (assumed); of others gravity_height.
func (r *Rules) GravityHeight(kind string, gross float64) float64 {
	full, empty := r.Value("gravity_height"), r.Value("gravity_height_empty")
	if kind != "freight" && kind != "" {
		return full
	}
	lb := gross / measure.NewtonsPerPound
	least, most := r.Value("empty_weight"), r.Value("reference_weight")
	if most <= least {
		return full
	}
	return empty + (full-empty)*math.Max(0, math.Min(1, (lb-least)/(most-least)))
}
