package shaped

import (
	"math"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
)

// TruckRun is a two-axle truck of a four-axle car in a curve, everything that enters.
// The near side of both axles is the high rail.
type TruckRun struct {
	Lead, Trail   contact.Axle
	Gross         float64 // of the car, N
	Wheelbase     float64 // mm
	CentreHeight  float64 // of the car's centre of gravity, mm
	TurningMoment float64 // N·mm, positive on a leading truck
	WarpStiffness float64 // N·mm/rad; 0: rigid
	LoadShift     float64 // see [curving.Truck.Shift]
	Curve         curving.Curve
	Friction      curving.Friction
	Allowance     float64 // what gauge opens under [GaugeLoad], mm
	LoadedGauge   float64 // as read under load, mm; 0: not read
	LeastBearing  float64 // tread that must bear on the far rail, mm
	// Lost is the part of its static load that a wheel may be without by twist and a load to one side, on either
	// rail. It enters the margins, see [TruckRun.left], and not how the truck runs.
	Lost float64
	// Flange is the thickness of the high wheels' flanges, lead and trail, and Rim the width
	// of the low wheels' rims, mm; 0: that of their shapes.
	Flange, Rim [2]float64
}

// GaugeLoad is the spreading force in N that the allowances of loaded gauge are taken
// at: 16,000 lb, to which 49 CFR 213.110 scales its gauge widening ratio (from memory).
const GaugeLoad = 16000 * measure.NewtonsPerPound

// TruckAnswer is how the truck runs.
type TruckAnswer struct {
	curving.Solution
	Gauge float64 // under load, mm: as read, or opened by the spreading force if that is more
	// of the axle with less: tread on the low rail beyond the least bearing, mm; NaN if a wheel has no flange
	Bearing float64
	// Standing is Bearing without what gauge is taken to open: at the gauge, or the loaded
	// gauge, as read.
	Standing float64
}

// Tables lays both axles on the rails.
func (r TruckRun) Tables() (lead, trail *curving.Table, err error) {
	load := r.Gross / 8
	if lead, err = curving.NewTable(r.Lead, load, contact.Steel); err != nil {
		return nil, nil, err
	}
	if r.Trail == r.Lead {
		return lead, lead, nil
	}
	trail, err = curving.NewTable(r.Trail, load, contact.Steel)
	return lead, trail, err
}

// running is what of it enters how the truck runs; the rest tells what gauge and rims make
// of that.
func (r TruckRun) running() TruckRun {
	r.Allowance, r.LoadedGauge, r.LeastBearing, r.Flange, r.Rim, r.Lost = 0, 0, 0, [2]float64{}, [2]float64{}, 0
	return r
}

// Solve runs the truck through the curve.
func (r TruckRun) Solve() (TruckAnswer, error) {
	lead, trail, err := r.Tables()
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.On(lead, trail)
}

// On is Solve with the axles' tables at hand.
func (r TruckRun) On(lead, trail *curving.Table) (TruckAnswer, error) {
	s, err := curving.Solve(r.truck(lead, trail), r.Curve, r.Friction)
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

// Follow is On if a truck's readings are a little others than those that it was solved
// with: see [curving.Follow].
func (r TruckRun) Follow(lead, trail *curving.Table, from TruckAnswer) (TruckAnswer, error) {
	s, err := curving.Follow(r.truck(lead, trail), r.Curve, r.Friction, from.States)
	if err != nil {
		return TruckAnswer{}, err
	}
	return r.spread(s)
}

func (r TruckRun) truck(lead, trail *curving.Table) curving.Truck {
	return curving.Truck{Lead: lead, Trail: trail, Wheelbase: r.Wheelbase, AxleLoad: r.Gross / 4,
		CentreHeight:  r.CentreHeight,
		TurningMoment: r.TurningMoment, WarpStiffness: r.WarpStiffness, Shift: r.LoadShift}
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
	for i, x := range []contact.Axle{r.Lead, r.Trail} {
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
			high = math.Max(0, r.left(x.High.LV, x.Lead.High.V+x.Trail.High.V, 2)-x.High.LV)
			low = math.Max(0, r.left(x.Low.LV, x.Lead.Low.V+x.Trail.Low.V, 2)-x.Low.LV)
			n[side] = truckSideLimit - math.Max(x.High.LV+high, x.Low.LV+low)
			n[climb] = r.climbLeft(x.Solution, n[climb])
		}
		n[unloading] = math.Inf(1)
		for _, w := range []curving.Wheel{x.Lead.High, x.Lead.Low, x.Trail.High, x.Trail.Low} {
			n[unloading] = math.Min(n[unloading], w.V/(r.Gross/8)-r.Lost-leastWheelLoad)
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
	static := r.Gross / 8
	return lv * v / math.Max(v-r.Lost*static*n, leastLeft*static*n)
}

// climbLeft is the climb margin with what is left of the load on the wheel nearest to climbing and on every
// flange that bears.
func (r TruckRun) climbLeft(s curving.Solution, margin float64) float64 {
	if s.Climbing == "" {
		return margin
	}
	out := margin
	for name, w := range map[string]curving.Wheel{"lead high": s.Lead.High, "lead low": s.Lead.Low,
		"trail high": s.Trail.High, "trail low": s.Trail.Low} {
		if w.Nadal > 0 && (w.Flanging || name == s.Climbing) {
			out = math.Min(out, w.ClimbMargin-math.Max(0, r.left(w.LV, w.V, 1)-w.LV))
		}
	}
	return out
}

// BalanceMPH is the speed in mph that an elevation (mm) balances in a curve of a radius
// (mm), contacts spacing mm apart: v²/(R g) = E/spacing. 0 on tangent track and without
// elevation.
func BalanceMPH(radius, elevation, spacing float64) float64 {
	if math.IsInf(radius, 1) || !(elevation > 0) {
		return 0
	}
	v := math.Sqrt(elevation / spacing * radius / 1000 * measure.StandardGravity)
	return v / measure.MetresPerSecondPerMPH
}
