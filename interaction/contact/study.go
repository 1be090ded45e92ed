package contact

import (
	"errors"
	"fmt"
	"math"
	"slices"

	wheelshape "flangeway/wheel/shape"
)

// Study asks about an axle on its rails.
type Study struct {
	Axle           Axle
	MaxShift, Step float64   // of the table, mm; MaxShift 0: the play of either side
	Amplitudes     []float64 // of the conicity, mm, at least one
	Load           float64   // of one wheel, N
	CurveRadius    float64   // of the curve whose needed difference is compared, mm; 0: none

	coarse bool // conicity to a few thousandths only
}

// Limits of a study.
const (
	mostSteps   = 20000
	noPlayShift = 10.0 // mm, how far the table goes if there is no play
	fineStep    = 0.02 // mm, step of the differences that conicity is taken from
	coarseStep  = 0.1  // mm, the same if only the spread is asked
	secondGap   = 0.05 // mm, within what gap a second place counts as nearly touching
	secondApart = 3.0  // mm, how far it must lie from the first
	offCentre   = 15.0 // mm, how far off the middle unequal sides are looked at for the centre
)

// SideSpot is a second place that nearly touches at a shift.
type SideSpot struct {
	Shift float64 // mm
	Near  bool
	Spot  Spot
}

// Conicity is the equivalent conicity at one amplitude by the three methods; NaN if a method has none.
type Conicity struct{ Amplitude, Harmonic, Integration, Regression float64 }

// Pressed is the contact of one side under load; Err says why there is no ellipse.
type Pressed struct {
	Ellipse Ellipse
	Err     error
}

// Answer is the result of a study. A value that does not exist is NaN, and Notes say why.
type Answer struct {
	Rows       []State
	Jumps      []Jump
	Second     []SideSpot
	Middle     State
	Play       float64 // mm, to the near side
	Flange     float64 // RRD with the axle at the play, mm
	Centre     float64 // shift of equal radii, mm; NaN for like sides too, if it is 0
	Conicity   []Conicity
	Wavelength float64 // at the first amplitude, mm
	Near, Far  Pressed // axle in the middle
	Needed     float64 // RRD that the curve needs, mm
	Steering   float64 // as [ReachedOverNeededIs] says
	Solver     *Solver
	Notes      []error
}

// Differ reports whether near and far side are not alike.
func (a Axle) Differ() bool {
	return a.Near != a.Far || a.NearRail != a.FarRail || a.NearDiameter != a.FarDiameter
}

// Mirrored is the axle seen from the other end.
func (a Axle) Mirrored() Axle {
	a.Near, a.Far, a.NearRail, a.FarRail, a.NearDiameter, a.FarDiameter = a.Far, a.Near, a.FarRail, a.NearRail,
		a.FarDiameter, a.NearDiameter
	return a
}

// Run lays the axle on its rails over the shifts and takes from that what was asked.
func (s Study) Run() (*Answer, error) {
	if len(s.Amplitudes) == 0 || !(s.Step > 0) || !(s.MaxShift >= 0) {
		return nil, fmt.Errorf("%w: %d amplitudes, step %g mm, shift %g mm", ErrInput, len(s.Amplitudes), s.Step,
			s.MaxShift)
	}
	solver, err := NewSolver(s.Axle)
	if err != nil {
		return nil, err
	}
	nan := math.NaN()
	out := &Answer{Solver: solver, Play: nan, Flange: nan, Centre: nan, Wavelength: nan, Needed: nan, Steering: nan}
	lo, hi := 0.0, s.MaxShift
	if play, err := solver.Play(); err != nil {
		out.Notes = append(out.Notes, err)
	} else {
		out.Play = play
	}
	if hi == 0 {
		if hi = out.Play; math.IsNaN(hi) {
			hi = noPlayShift
		}
	}
	if s.Axle.Differ() {
		lo = -hi
		if s.MaxShift == 0 {
			other, err := NewSolver(s.Axle.Mirrored())
			if err != nil {
				return nil, err
			}
			if p, err := other.Play(); err == nil {
				lo = -p
			}
		}
	}
	if (hi-lo)/s.Step > mostSteps {
		return nil, fmt.Errorf("%w: %g mm by %g mm are more than %d steps", ErrInput, hi-lo, s.Step, mostSteps)
	}
	if err := s.rows(out, lo, hi); err != nil {
		return nil, err
	}
	if out.Middle, err = solver.At(0); err != nil {
		return nil, err
	}
	s.conicity(out)
	out.Near.Ellipse, out.Near.Err = out.Middle.Near.Press(s.Load, Steel)
	out.Far.Ellipse, out.Far.Err = out.Middle.Far.Press(s.Load, Steel)
	return out, s.steering(out)
}

// rows fills the table of the shifts: whole steps, and the last shift itself.
func (s Study) rows(out *Answer, lo, hi float64) error {
	var shifts []float64
	for i := math.Ceil(lo/s.Step - 1e-9); i*s.Step <= hi+1e-9; i++ {
		shifts = append(shifts, i*s.Step)
	}
	if n := len(shifts); n == 0 || hi-shifts[n-1] > 1e-6 {
		shifts = append(shifts, hi)
	}
	for i, u := range shifts {
		st, err := out.Solver.At(u)
		if err != nil {
			return err
		}
		out.Rows = append(out.Rows, st)
		for _, near := range []bool{true, false} {
			if sp, ok := out.Solver.SecondNear(st, near); ok {
				out.Second = append(out.Second, SideSpot{u, near, sp})
			}
			if i == 0 {
				continue
			}
			if j, ok := out.Solver.Jump(out.Rows[i-1], st, near); ok {
				out.Jumps = append(out.Jumps, j)
			}
		}
	}
	return nil
}

// SecondNear is Second with the project's own measure of "nearly": 0.05 mm of gap, at least 3 mm from the contact
// (assumed).
func (s *Solver) SecondNear(st State, near bool) (Spot, bool) {
	return s.Second(st, near, secondApart, secondGap)
}

// conicity fills the equivalent conicities, the centre and the wavelength.
func (s Study) conicity(out *Answer) {
	reach := slices.Max(s.Amplitudes) + 0.5
	if s.Axle.Differ() { // the centre lies off the middle; look as far as the wheels stand on the rails
		reach += offCentre
	}
	step := fineStep
	if s.coarse {
		step = coarseStep
	}
	var d Difference
	var err error
	for ; reach > 0.1; reach *= 0.8 {
		if d, err = out.Solver.Difference(-reach, reach, step); !errors.Is(err, ErrOffRail) {
			break
		}
	}
	if err != nil {
		out.Notes = append(out.Notes, err)
		return
	}
	if c, err := d.Centre(); err == nil && s.Axle.Differ() {
		out.Centre = c
	}
	for _, amp := range s.Amplitudes {
		row := Conicity{Amplitude: amp}
		for _, m := range []struct {
			name string
			f    func(float64) (float64, error)
			to   *float64
		}{{"harmonic", d.Harmonic, &row.Harmonic}, {"integration", d.Integration, &row.Integration},
			{"regression", d.Regression, &row.Regression}} {
			if *m.to, err = m.f(amp); err != nil {
				*m.to = math.NaN()
				out.Notes = append(out.Notes, fmt.Errorf("%s at %g mm: %w", m.name, amp, err))
			}
		}
		out.Conicity = append(out.Conicity, row)
	}
	if l, err := Wavelength((out.Middle.Near.Radius+out.Middle.Far.Radius)/2, out.Middle.spacing()/2,
		out.Conicity[0].Integration); err == nil {
		out.Wavelength = l
	}
}

// steering compares the difference at the flange with what the curve needs.
func (s Study) steering(out *Answer) error {
	if !math.IsNaN(out.Play) {
		if st, err := out.Solver.At(out.Play); err == nil {
			out.Flange = st.RRD
		}
	}
	if s.CurveRadius == 0 {
		return nil
	}
	needed, err := Needed((out.Middle.Near.Radius+out.Middle.Far.Radius)/2, out.Middle.spacing()/2, s.CurveRadius)
	if err != nil {
		return err
	}
	out.Needed = needed
	if !math.IsNaN(out.Flange) {
		out.Steering, err = ReachedOverNeeded(out.Flange, needed)
	}
	return err
}

// Span is the least and the greatest of a value over several axles; NaN if none has it.
type Span struct{ Lo, Hi float64 }

func (sp *Span) take(v float64) {
	if math.IsNaN(v) {
		return
	}
	if !(v >= sp.Lo) {
		sp.Lo = v
	}
	if !(v <= sp.Hi) {
		sp.Hi = v
	}
}

// Spread is the range of the axle's figures if its wheels may have other shapes.
type Spread struct {
	Shapes   int  // how many pairs of shapes were laid on the rails
	Play     Span // mm
	Flange   Span // RRD at the play, mm
	Harmonic Span // conicity at the first amplitude
	Steering Span
}

// Room has the distances that leave an axle room across the track, mm.
type Room struct{ Gauge, BackToBack float64 }

// Over runs the study with each of the near shapes beside the axle's own far one and each of the far ones beside its
// own near one: the ends of one wheel's readings at a time. All of them are laid on the axle's own gauge and
// back-to-back, and on each of the other rooms.
func (s Study) Over(near, far []*wheelshape.Shape, rooms ...Room) (Spread, error) {
	none := Span{math.NaN(), math.NaN()}
	out := Spread{Play: none, Flange: none, Harmonic: none, Steering: none}
	own := s.Axle
	s.Step, s.MaxShift, s.Amplitudes, s.coarse = 1, 1, s.Amplitudes[:min(1, len(s.Amplitudes))], true
	in := func(room Room) error {
		s.Axle.Gauge, s.Axle.BackToBack = room.Gauge, room.BackToBack
		a, err := s.Run()
		if errors.Is(err, ErrOffRail) {
			return nil
		}
		if err != nil {
			return err
		}
		if room == (Room{own.Gauge, own.BackToBack}) {
			out.Shapes++
		}
		out.Play.take(a.Play)
		out.Flange.take(a.Flange)
		out.Steering.take(a.Steering)
		if len(a.Conicity) > 0 {
			out.Harmonic.take(a.Conicity[0].Harmonic)
		}
		return nil
	}
	run := func(n, f *wheelshape.Shape) error {
		s.Axle.Near, s.Axle.Far = n, f
		err := in(Room{own.Gauge, own.BackToBack})
		for _, room := range rooms {
			err = errors.Join(err, in(room))
		}
		return err
	}
	err := run(own.Near, own.Far)
	for _, n := range near {
		err = errors.Join(err, run(n, own.Far))
	}
	for _, f := range far {
		err = errors.Join(err, run(own.Near, f))
	}
	return out, err
}
