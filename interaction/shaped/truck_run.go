package shaped

import (
	"math"
	"slices"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
)

// mostAxles are those of the longest truck.
const mostAxles = 3

// TruckRun is a truck of a car of two such trucks in a curve, everything that enters. The near
// side of its axles is the high rail.
type TruckRun struct {
	Lead, Trail   contact.Axle
	Middle        contact.Axle // halfway between them; without wheels there is none
	Clearance     float64      // of the middle axle in the frame, each way, mm
	Gross         float64      // of the car, N
	Wheelbase     float64      // from the lead to the trail axle, mm
	CentreHeight  float64      // of the car's centre of gravity, mm
	TurningMoment float64      // N·mm, positive on a leading truck
	WarpStiffness float64      // N·mm/rad; 0: rigid
	LoadShift     float64      // see [curving.Truck.Shift]
	Curve         curving.Curve
	Friction      curving.Friction
	Allowance     float64 // what gauge opens under [GaugeLoad], mm
	LoadedGauge   float64 // as read under load, mm; 0: not read
	LeastBearing  float64 // tread that must bear on the far rail, mm
	// Lost is the part of its static load that a wheel may be without by twist and a load to one side, on either
	// rail. It enters the margins, see [TruckRun.left], and not how the truck runs.
	Lost float64
	// Guarded says that a guard rail runs along the curve, see [curving.Truck].
	Guarded bool
	// Flange is the thickness of the high wheels' flanges, from the lead axle on, and Rim the
	// width of the low wheels' rims, mm; 0: that of their shapes.
	Flange, Rim [mostAxles]float64
}

// axles are those of the truck from the lead axle on.
func (r *TruckRun) axles() []*contact.Axle {
	if r.Middle.Near == nil {
		return []*contact.Axle{&r.Lead, &r.Trail}
	}
	return []*contact.Axle{&r.Lead, &r.Middle, &r.Trail}
}

// count is how many axles the truck has.
func (r *TruckRun) count() float64 {
	if r.Middle.Near == nil {
		return 2
	}
	return mostAxles
}

// wheelLoad is the static load of a wheel, N.
func (r *TruckRun) wheelLoad() float64 { return r.Gross / (4 * r.count()) }

// GaugeLoad is the spreading force in N that the allowances of loaded gauge are taken
// at: 16,000 lb, to which 49 CFR 213.110 scales its gauge widening ratio (from memory).
const GaugeLoad = 16000 * measure.NewtonsPerPound

// TruckAnswer is how the truck runs.
type TruckAnswer struct {
	curving.Solution
	Gauge float64 // under load, mm: as read, or opened by the spreading force if that is more
	// of the axle with less: tread on the low rail beyond the least bearing, mm; NaN if a wheel has no flange
	Bearing float64
	// Standing is Bearing without what gauge is taken to open: at the gauge, or the loaded gauge, as read.
	Standing float64
}

// Tables lays the axles on the rails, from the lead axle on.
func (r TruckRun) Tables() ([]*curving.Table, error) {
	axles := r.axles()
	out := make([]*curving.Table, len(axles))
	for i, a := range axles {
		if k := slices.IndexFunc(axles[:i], func(b *contact.Axle) bool { return *a == *b }); k >= 0 {
			out[i] = out[k]
			continue
		}
		var err error
		if out[i], err = curving.NewTable(*a, r.wheelLoad(), contact.Steel); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// running keeps the fields that enter how the truck runs; the others enter the bearing and the margins.
func (r TruckRun) running() TruckRun {
	r.Allowance, r.LoadedGauge, r.LeastBearing, r.Lost = 0, 0, 0, 0
	r.Flange, r.Rim = [mostAxles]float64{}, [mostAxles]float64{}
	return r
}

// Solve runs the truck through the curve.
func (r TruckRun) Solve() (TruckAnswer, error) {
	tables, err := r.Tables()
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.On(tables)
}

// On is Solve with the axles' tables at hand.
func (r TruckRun) On(tables []*curving.Table) (TruckAnswer, error) {
	s, err := curving.Solve(r.truck(tables), r.Curve, r.Friction)
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

// Follow is On if a truck's readings are a little others than those that it was solved with: see [curving.Follow].
func (r TruckRun) Follow(tables []*curving.Table, from TruckAnswer) (TruckAnswer, error) {
	s, err := curving.Follow(r.truck(tables), r.Curve, r.Friction, from.States)
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

func (r TruckRun) truck(tables []*curving.Table) curving.Truck {
	t := curving.Truck{Lead: tables[0], Trail: tables[len(tables)-1], Wheelbase: r.Wheelbase,
		AxleLoad: r.Gross / (2 * r.count()), CentreHeight: r.CentreHeight,
		TurningMoment: r.TurningMoment, WarpStiffness: r.WarpStiffness, Shift: r.LoadShift,
		Guarded: r.Guarded}
	if len(tables) == mostAxles {
		t.Middle, t.Clearance = tables[1], r.Clearance
	}
	return t
}

// spread adds what the gauge comes to under a solution.
func (r TruckRun) spread(s curving.Solution) (a TruckAnswer, err error) {
	a = TruckAnswer{Solution: s, Bearing: math.NaN(), Standing: math.NaN()}
	a.Gauge, err = curving.LoadedGauge(r.Lead.Gauge, s.Spreading, curving.Holding{Give: r.Allowance / GaugeLoad,
		Assumed: true})
	if err != nil {
		return a, err
	}
	a.Gauge = math.Max(a.Gauge, r.LoadedGauge)
	for i, x := range r.axles() {
		t, rim := r.Flange[i], r.Rim[i]
		if t == 0 {
			if t, err = x.Near.FlangeThickness(); err != nil {
				continue // a plain cone
			}
		}
		if rim == 0 {
			rim = x.Far.Rim
		}
		// The flange of the high wheel against its rail: what is left of the low wheel's rim.
		left := x.BackToBack + t + rim - r.LeastBearing
		if !(left-a.Gauge >= a.Bearing) {
			a.Bearing = left - a.Gauge
			a.Standing = left - math.Max(x.Gauge, r.LoadedGauge)
		}
	}
	return a, nil
}

// marginsOf are the margins of a truck that runs so, each in its worst steady state.
func (r TruckRun) marginsOf(a TruckAnswer) margins {
	m := noMargins()
	for _, s := range a.States {
		x, err := r.spread(s.Solution)
		if err != nil {
			continue // as the answer's, which had none
		}
		n := noMargins()
		if x.Climbing != "" {
			n[climb] = x.ClimbMargin
		}
		n[side] = truckSideLimit - math.Max(x.High.LV, x.Low.LV)
		high, low := 0.0, 0.0
		if r.Lost > 0 {
			v := [2]float64{}
			for _, a := range x.Axles() {
				v[0], v[1] = v[0]+a.High.V, v[1]+a.Low.V
			}
			high = math.Max(0, r.left(x.High.LV, v[0], r.count())-x.High.LV)
			low = math.Max(0, r.left(x.Low.LV, v[1], r.count())-x.Low.LV)
			n[side] = truckSideLimit - math.Max(x.High.LV+high, x.Low.LV+low)
			n[climb] = r.climbLeft(x.Solution, n[climb])
		}
		n[unloading] = math.Inf(1)
		for _, a := range x.Axles() {
			for _, w := range []*curving.Wheel{&a.High, &a.Low} {
				n[unloading] = math.Min(n[unloading], w.V/r.wheelLoad()-r.Lost-leastWheelLoad)
			}
		}
		n[bearing], n[standing] = x.Bearing, x.Standing
		if x.Rollover.Defined {
			n[rollover] = x.Rollover.Margin
			for _, s := range []struct {
				side curving.Side
				more float64
			}{{x.High, high}, {x.Low, low}} {
				if s.side.Defined {
					n[rollover] = math.Min(n[rollover], s.side.Margin-s.more)
				}
			}
		}
		m = m.worse(n)
	}
	return m
}

// leastLeft is the share of its static load that a wheel is taken to keep at the least where its L/V is
// reckoned, so that there is one.
const leastLeft = 0.02

// left is L/V of n wheels that carry V together (N) if each is without the part Lost of its load: the same
// force against the load that is left. What the load that is gone does on the wheels across is not in it;
// command curve solves for that.
func (r TruckRun) left(lv, v, n float64) float64 {
	static := r.wheelLoad()
	return lv * v / math.Max(v-r.Lost*static*n, leastLeft*static*n)
}

// climbLeft is the climb margin with what is left of the load on the wheel nearest to climbing and on every
// flange that bears.
func (r TruckRun) climbLeft(s curving.Solution, margin float64) float64 {
	if s.Climbing == "" {
		return margin
	}
	out := margin
	for i, a := range s.Axles() {
		for _, w := range []*curving.Wheel{&a.High, &a.Low} {
			if r.Guarded && i == 0 && w == &a.High {
				continue
			}
			// The high lead wheel is the one nearest to climbing where no flange bears.
			if first := i == 0 && w == &a.High; w.Nadal > 0 && (w.Flanging || first && s.Climbing == "lead high") {
				out = math.Min(out, w.ClimbMargin-math.Max(0, r.left(w.LV, w.V, 1)-w.LV))
			}
		}
	}
	return out
}

// BalanceMPH is the speed in mph that an elevation (mm) balances in a curve of a radius (mm), contacts spacing mm
// apart: v²/(R g) = E/spacing. 0 on tangent track and without elevation.
func BalanceMPH(radius, elevation, spacing float64) float64 {
	if math.IsInf(radius, 1) || !(elevation > 0) {
		return 0
	}
	v := math.Sqrt(elevation / spacing * radius / 1000 * measure.StandardGravity)
	return v / measure.MetresPerSecondPerMPH
}
