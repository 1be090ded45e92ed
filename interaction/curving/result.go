package curving

import (
	"fmt"
	"math"
)

// Wheel is one wheel in the curve.
type Wheel struct {
	L, V         float64 // lateral force toward the field side of its own rail and upright force, N
	LV           float64
	ContactAngle float64 // of the steepest contact that carries a twentieth of V, rad from the track plane
	Contacts     int     // places apart from each other at which it bears so
	TreadY       float64 // where it bears on average, from the tape line to the field, mm
	Radius       float64 // rolling radius there, mm
	Offset       float64 // the same on the rail, from the middle of the head toward the gauge side, mm
	Flanging     bool    // the steepest contact is steeper than half the flange
	FieldSide    bool    // it bears on the field half of the rail's head, as on a false flange
	Steepest     float64 // angle of the steepest face that this wheel and this rail have, rad; 0: no flange
	Nadal        float64 // limit of L/V at that angle and the friction of the rail's face; 0: no flange
	ClimbMargin  float64 // Nadal less L/V
	Missing      float64 // the part of L that the flange cannot hold, N: above 0 the wheel climbs
	Wear         float64 // creep forces times creepages along and across, N
	Slip         float64 // greatest of its creep forces over what friction gives
}

// Axle is one axle in the curve.
type Axle struct {
	Attack    float64 // angle of attack, rad: positive into the high rail
	Shift     float64 // at rail level, mm: positive to the high rail
	High, Low Wheel
	Sum       float64 // |L/V| of both wheels
	SumLimit  float64 // Nadal's of the high wheel plus the low wheel's friction; 0: no flange
}

// Side is a truck side on its rail.
type Side struct {
	LV      float64
	Limit   float64 // of a rail held by nothing; 0: the rail's base or height is unknown
	Margin  float64 // Limit less LV: below 0 only what holds the rail keeps it up
	Offset  float64 // of the load from the middle of the head toward the gauge side, mm
	Height  float64 // of the lateral force over the base, mm
	Defined bool    // there is a limit
}

// Fastened is the margin with what fastenings add to the limit (L/V, a setting). With Margin >= 0 the rail stands by
// itself; with Fastened < 0 it turns; between, the fastenings decide and the answer is open.
func (s Side) Fastened(fastening float64) float64 { return s.Margin + fastening }

// Solution is a truck running steadily through a curve.
type Solution struct {
	Lead, Trail Axle
	Middle      *Axle // of a truck with three axles, else nil
	High, Low   Side
	// Spreading is half of what the wheels of two axles press outward that follow each
	// other, N, of those two that press most: by that the track is spread under the truck. A
	// warped truck spreads less with its leading axle and more with both.
	Spreading   float64
	Wear        float64 // of all wheels, N
	Warp        float64 // turn of bolster and axles against the side frames, rad
	Nadal       float64 // of the wheel with the least climb margin
	ClimbMargin float64 // the least of all flanging wheels, of the high lead wheel if none is
	Climbing    string  // which wheel that is: "lead high", "trail low" and so on
	// ClimbDistance is TCRP Report 71 v5 eq. 2.4 for that wheel at its axle's angle of
	// attack, mm; ClimbError says why there is none.
	ClimbDistance float64
	ClimbError    error
	// Guard is the force that a guard rail takes, N: at most all that the lead high wheel's flange would have pressed
	// with.
	Guard      float64
	Rollover   Side // the one of High and Low with the lesser margin
	Unbalance  float64
	Residual   float64 // greatest imbalance left, over the axle's load
	Iterations int
	Converged  bool
	Reason     string // why not
	// Climbs: no steady running exists, because a flange cannot hold the lateral force even at its steepest place. The
	// solution is then that of a wheel kept there; what is missing stands in its Missing and makes the climb margin
	// negative. Of a wheel without a flange it says that the axle leaves the rails.
	Climbs bool
	// States are all steady states that were found, this one among them.
	States []State
}

// Axles are those of the truck from the lead axle on.
func (s *Solution) Axles() []*Axle {
	if s.Middle == nil {
		return []*Axle{&s.Lead, &s.Trail}
	}
	return []*Axle{&s.Lead, s.Middle, &s.Trail}
}

// LeastAttack is the angle of attack (rad) below which the law of creep on a flange, which is long and spins, stands
// 0.14 to 0.2 of friction over an integration of the contact in strips (worked out for this project).
const LeastAttack = 5e-3

// Nearest is the wheel nearest to climbing and the angle at which it attacks its rail, rad; nil if no wheel has a
// flange.
func (s *Solution) Nearest() (w *Wheel, attack float64) {
	names := s.axleNames()
	for i, a := range s.Axles() {
		switch s.Climbing {
		case names[i] + " high":
			return &a.High, a.Attack
		case names[i] + " low":
			return &a.Low, -a.Attack
		}
	}
	return nil, 0
}

// axleNames are those of the axles that Axles gives.
func (s *Solution) axleNames() []string {
	if s.Middle == nil {
		return []string{"lead", "trail"}
	}
	return []string{"lead", "middle", "trail"}
}

// State is one way in which a truck can run steadily.
type State struct {
	From     string                // from where it comes there: "tangent", "high rail", "low rail", or several of them
	Solution                       // without States
	seed     vector                // the unknowns
	touch    [mostAxles][2]float64 // at which shifts the flanges of the axles come to the rails, see Table
}

// moved are the unknowns of a state for axles whose flanges come to the rails at other
// shifts: an axle keeps its way to the flange that it has gone toward.
func (s *State) moved(p *problem) vector {
	var by [mostAxles]float64
	for i, a := range s.Axles() {
		u := a.Shift
		side, sign := 0, 1.0
		if u < 0 {
			side, sign = 1, -1
		}
		was, is := s.touch[i][side], p.axle[i].touch[side]
		if was > 0 && !math.IsInf(was, 1) && !math.IsInf(is, 1) {
			by[i] = sign * (is - was) * math.Min(1, sign*u/was)
		}
	}
	q := s.seed
	last := p.axles - 1
	q[iY] += (by[0] + by[last]) / 2 / unit[iY]
	q[iPsi] += (by[0] - by[last]) / (2 * p.half) / unit[iPsi]
	if p.axles == mostAxles {
		q[iOff] += (by[1] - (by[0]+by[last])/2) / unit[iOff]
	}
	return q
}

// Solve finds how a truck runs steadily through a curve. A truck whose wheels are hollow can stand in several ways; all
// that it comes to from tangent track and from either rail are in States, and the answer is the worst of them: that
// with the least margin against climbing or rollover. An error says that the input is outside its range or that the car
// tips over; if from some start no steady running is found the solution is returned as it stands with Converged false
// and a Reason.
func Solve(t Truck, c Curve, f Friction) (Solution, error) { return new(Room).Solve(t, c, f) }

// Solve is [Solve] in this room.
func (room *Room) Solve(t Truck, c Curve, f Friction) (Solution, error) {
	p, err := room.problem(t, c, f)
	if err != nil {
		return Solution{}, err
	}
	found, stuck, count := p.solve()
	return p.answer(found, stuck, count), nil
}

// Follow finds the states that those of a truck go over into if its readings are a little others: each is solved for
// from the one that it was or, if it ends there, the truck rolls on from it.
func Follow(t Truck, c Curve, f Friction, states []State) (Solution, error) {
	return new(Room).Follow(t, c, f, states)
}

// Follow is [Follow] in this room.
func (room *Room) Follow(t Truck, c Curve, f Friction, states []State) (Solution, error) {
	p, err := room.problem(t, c, f)
	if err != nil {
		return Solution{}, err
	}
	p.bend.curvature = p.curvature
	s := search{p: p}
	near := followed
	if p.one() { // it has no other
		near = math.Inf(1)
	}
	for i := range states {
		var none steady
		x, ok := s.settle(states[i].moved(p), &none, near)
		if !ok {
			if x, ok = s.march(states[i].seed, 0); !ok {
				return room.Solve(t, c, f)
			}
		}
		x.from = states[i].From
		if k := s.find(&x.q); k != nil {
			k.from += ", " + x.from
			continue
		}
		s.known = append(s.known, x)
	}
	if len(s.known) == 0 {
		return room.Solve(t, c, f)
	}
	return p.answer(s.known, nil, s.count), nil
}

// answer is the worst of the states found; one that the search got stuck in is none.
func (p *problem) answer(found []steady, stuck *steady, count int) Solution {
	read := func(x *steady) State {
		s := State{From: x.from, seed: x.q, Solution: Solution{Residual: x.residual,
			Iterations: count, Converged: true, Unbalance: p.side / p.load}}
		for i, t := range p.axle[:p.axles] {
			s.touch[i] = t.touch
		}
		p.report(&x.q, &s.Solution)
		return s
	}
	states := make([]State, len(found))
	var out Solution
	for i := range found {
		states[i] = read(&found[i])
		if x := &states[i].Solution; i == 0 || x.least() < out.least() {
			out = *x
		}
	}
	if stuck != nil {
		out = read(stuck).Solution
		out.Converged = false
		out.Reason = fmt.Sprintf("no steady running found from the %s: after %d steps %.2g of the axle load is left "+
			"unbalanced", stuck.from, count, stuck.residual)
	}
	out.States = states
	return out
}

// least is the lesser of the margins against climbing and rollover.
func (s *Solution) least() float64 {
	m := math.Inf(1)
	if s.Climbing != "" {
		m = s.ClimbMargin
	}
	if s.Rollover.Defined {
		m = math.Min(m, s.Rollover.Margin)
	}
	return m
}
