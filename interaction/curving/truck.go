package curving

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
)

// gravity in m/s², as 49 CFR 213 and the trade take it.
const gravity = measure.StandardGravity

// Truck is a truck of two or three axles under its share of the car.
type Truck struct {
	Lead, Trail *Table
	// Middle is the axle halfway between them; nil: there is none. It may move sideways in the frame by Clearance
	// (mm) each way, and turns with it.
	Middle       *Table
	Clearance    float64
	Wheelbase    float64 // from the lead to the trail axle, mm
	AxleLoad     float64 // both wheels, N
	CentreHeight float64 // of the car's centre of gravity above the rails, mm
	// of centre plate and side bearings on the truck, N·mm: positive turns it toward the high rail, as on a car's
	// leading truck
	TurningMoment float64
	WarpStiffness float64 // of a three-piece frame, N·mm/rad; 0: rigid
	// Shift is the part of a truck side's static load that stands on the high rail besides, negative where it
	// is missing there and stands on the low one: by twist of the track, or a load to one side.
	Shift float64
	// Guarded says that a guard rail runs along the low rail: it holds the lead axle by the back of its low wheel, so
	// that the high one does not climb.
	Guarded bool
}

// Curve is where and how fast it runs.
type Curve struct {
	Radius    float64 // of the track's middle, mm; +Inf: tangent track
	Elevation float64 // of the high rail, mm
	Speed     float64 // m/s
}

// Friction is the coefficient on top of each rail and on its gauge face.
type Friction struct{ High, HighFace, Low, LowFace float64 }

// Same is the same friction everywhere.
func Same(mu float64) Friction { return Friction{mu, mu, mu, mu} }

// Unbalance is the lateral acceleration in the plane of the track that elevation does
// not balance, over gravity: positive to the high rail (cant deficiency). spacing is
// the distance of the contacts in mm; to first order in the elevation's angle.
func (c Curve) Unbalance(spacing float64) float64 {
	out := -c.Elevation / spacing
	if !math.IsInf(c.Radius, 1) {
		out += c.Speed * c.Speed / (c.Radius / 1000 * gravity)
	}
	return out
}

// problem is a truck in a curve ready to be solved.
type problem struct {
	axle      [mostAxles]*Table // from the lead axle on
	axles     int
	half      float64 // wheelbase, mm
	clearance float64 // of a middle axle in the frame, mm each way
	load      float64 // of an axle, N
	side      float64 // lateral force on an axle from speed and elevation, N
	vertical  [2]float64
	turning   float64 // N·mm
	warp      float64 // N·mm/rad; 0: rigid
	bend      bend
	curvature float64
	guarded   bool
	damping   float64 // of the march, see usualDamping
	room      *work   // of what is iterated
}

func within(what string, v, lo, hi float64) error {
	if v >= lo && v <= hi {
		return nil
	}
	return fmt.Errorf("%w: %s %g (from %g to %g)", ErrInput, what, v, lo, hi)
}

// problem checks everything; it is iterated in this room.
func (room *Room) problem(t Truck, c Curve, f Friction) (*problem, error) {
	if t.Lead == nil || t.Trail == nil {
		return nil, fmt.Errorf("%w: an axle is missing", ErrInput)
	}
	for _, v := range []struct {
		what      string
		v, lo, hi float64
	}{
		{"wheelbase in mm", t.Wheelbase, 500, 6000},
		{"axle load in N", t.AxleLoad, 1000, 1e6},
		{"height of the centre of gravity in mm", t.CentreHeight, 0, 6000},
		{"turning moment in N·mm", math.Abs(t.TurningMoment), 0, 1e9},
		{"load shift", t.Shift, -1, 1},
		{"warp stiffness in N·mm/rad", t.WarpStiffness, 0, 1e15},
		{"clearance of the middle axle in mm", t.Clearance, 0, 200},
		{"radius in mm", c.Radius, 20e3, math.Inf(1)},
		{"elevation in mm", c.Elevation, -300, 300},
		{"speed in m/s", c.Speed, 0, 150},
		{"friction on the high rail", f.High, 0.01, 1.5},
		{"friction on the high rail's face", f.HighFace, 0.01, 1.5},
		{"friction on the low rail", f.Low, 0.01, 1.5},
		{"friction on the low rail's face", f.LowFace, 0.01, 1.5},
	} {
		if err := within(v.what, v.v, v.lo, v.hi); err != nil {
			return nil, err
		}
	}
	p := &problem{axle: [mostAxles]*Table{t.Lead, t.Trail}, axles: 2, half: t.Wheelbase / 2, load: t.AxleLoad,
		turning: t.TurningMoment, warp: t.WarpStiffness, damping: usualDamping, room: &room.work}
	if t.Middle != nil {
		p.axle, p.axles, p.clearance = [mostAxles]*Table{t.Lead, t.Middle, t.Trail}, mostAxles, t.Clearance
	}
	p.guarded = t.Guarded
	s := t.Lead.half
	x := c.Unbalance(2 * s)
	p.side = x * t.AxleLoad
	shift := x*t.AxleLoad*t.CentreHeight/(2*s) + t.Shift*t.AxleLoad/2
	p.vertical = [2]float64{t.AxleLoad/2 + shift, t.AxleLoad/2 - shift}
	if math.Min(p.vertical[0], p.vertical[1]) < leastLoad*t.AxleLoad {
		return nil, fmt.Errorf("%w: at %.1f m/s and %.0f mm of elevation %.0f percent of the weight stand on one rail",
			ErrOverturns, c.Speed, c.Elevation,
			100*math.Max(p.vertical[0], p.vertical[1])/t.AxleLoad)
	}
	if !math.IsInf(c.Radius, 1) {
		p.curvature = 1 / c.Radius
	}
	p.bend = bend{top: [2]float64{f.High, f.Low}, face: [2]float64{f.HighFace, f.LowFace}}
	return p, nil
}

// leastLoad is the share of an axle's load that must stay on each wheel.
const leastLoad = 0.02
