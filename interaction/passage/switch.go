package passage

import (
	"fmt"
	"math"
	"sort"

	"flangeway/internal/measure"
	"flangeway/track/shape"
)

// SwitchAxle has the distances that turn an axle over a switch, mm; 0: not known.
type SwitchAxle struct {
	BackToBack    float64
	MateThickness float64
	Gauge         float64
	Wheelbase     float64
}

// Yaw is the greatest angle in rad by which the play in the gauge lets the axle of a truck turn: play/wheelbase, with
// the play gauge - (back-to-back + both flanges); ok is false if a figure is not known.
func (a SwitchAxle) Yaw(thickness float64) (yaw float64, ok bool, err error) {
	if a.BackToBack == 0 || a.MateThickness == 0 || a.Gauge == 0 || a.Wheelbase == 0 {
		return 0, false, nil
	}
	if !(a.BackToBack > 500 && a.BackToBack < 2500) || !(a.Gauge > 500 && a.Gauge < 2500) ||
		!(a.Wheelbase > 500 && a.Wheelbase < 10_000) ||
		!(a.MateThickness > 0 && a.MateThickness < 100) || !(thickness > 0 && thickness < 100) {
		return 0, false, fmt.Errorf("%w: back-to-back %g, gauge %g, wheelbase %g, flanges %g and %g mm", ErrInput,
			a.BackToBack, a.Gauge, a.Wheelbase, thickness, a.MateThickness)
	}
	return math.Max(0, a.Gauge-a.BackToBack-a.MateThickness-thickness) / a.Wheelbase, true, nil
}

// SwitchStation is a wheel at one place of a closed switch, pressed against its stock rail.
type SwitchStation struct {
	X       float64 // mm from the tip, positive to the heel
	Z       float64 // height of the tread at the tape line over the top of the stock rail, mm, positive up
	RestsOn Carrier
	Down    float64 // top of the point below the top of the stock rail, mm
	Exposed float64 // by how much the point stands out beyond the stock rail, mm
	// Touches tells that the flange meets the point, Angle is its contact angle there from the track plane, rad; Over
	// that its tip passes above the point's top.
	Touches bool
	Over    bool
	Angle   float64
	// Tape is where the tape line stands with the flange pressed on, across from the stock rail's gauge side, Tread the
	// height of the tread then, mm.
	Tape, Tread float64
	// Beside tells that the rim is over the stock rail.
	Beside bool
}

// SwitchSolution is a wheel over a closed switch point.
type SwitchSolution struct {
	Stations []SwitchStation
	Yaw      float64 // rad, as counted
	YawKnown bool
	// TipRoom is how far the flange clears the side of the tip in mm, pressed to the stock rail and yawed toward the
	// point: < 0 it meets the tip end-on. TipOver: it passes above the tip.
	TipRoom float64
	TipOver bool
	// First is the first station at which the flange meets the point.
	First  float64
	Meets  bool
	Least  float64 // least contact angle at a station that is met, rad
	LeastX float64
	// RideUp is the first station at which the contact angle is below the climb angle, Behind the first at which the
	// flange passes over the point or its tip stands behind the point's gauge side.
	RideUp  float64
	RidesUp bool
	Behind  float64
	Behinds bool
	// Step is the step behind a chip, StepAngle the contact angle there, rad; Steps tells that there is one.
	Step, StepAngle float64
	Steps           bool
	Course
	// FalseFlange is by how much the point holds the outer tread clear of the stock rail where it has its whole rise,
	// at the least, mm, at FalseFlangeX; < 0: the stock rail lifts the wheel there.
	FalseFlange  float64
	FalseFlangeX float64
	FalseKnown   bool
}

// off is how far in mm from the flange's contact a wheel stands on its tread. The path over the switch, and the height
// at which the flange meets the point, are those of the tread: pressed fully on, the flange's root rides on the corner,
// up to 4 mm higher.
const off = 3.0

// switchStep is the distance of stations in mm if none is given.
const switchStep = 25.0

// Switch takes a wheel over a closed switch point, a station every step (mm; 0: 25). climb is the contact angle (rad)
// below which a flange can ride up.
func Switch(m *shape.SwitchModel, w *Wheel, a SwitchAxle, climb, step float64) (*SwitchSolution, error) {
	if m == nil {
		return nil, fmt.Errorf("%w: a switch or a wheel is missing", ErrInput)
	}
	return SwitchPart(m, w, a, climb, step, m.Ahead, m.Heel)
}

// SwitchPart is [Switch] between two stations (mm from the tip) alone: the wheel stands there as on the whole switch
// but within a third of its radius of their ends.
func SwitchPart(m *shape.SwitchModel, w *Wheel, a SwitchAxle, climb, step, from, to float64) (*SwitchSolution, error) {
	if m == nil || w == nil {
		return nil, fmt.Errorf("%w: a switch or a wheel is missing", ErrInput)
	}
	if step == 0 {
		step = switchStep
	}
	if n := (m.Heel - m.Ahead) / step; !(step > 0) || !(n >= minStations && n <= maxStations) {
		return nil, fmt.Errorf("%w: step %g mm (%d to %d stations)", ErrInput, step, minStations, maxStations)
	}
	if !(from >= m.Ahead && to <= m.Heel && to-from >= step) {
		return nil, fmt.Errorf("%w: stations from %g to %g mm (%g to %g)", ErrInput, from, to, m.Ahead, m.Heel)
	}
	if !(climb >= 0 && climb < math.Pi/2) {
		return nil, fmt.Errorf("%w: climb angle %g rad", ErrInput, climb)
	}
	s := &SwitchSolution{}
	var err error
	if s.Yaw, s.YawKnown, err = a.Yaw(w.Thickness); err != nil {
		return nil, err
	}
	xs := m.Stations()
	for i, n := 0, int(math.Ceil((m.Heel-m.Ahead)/step)); i <= n; i++ {
		xs = append(xs, m.Ahead+(m.Heel-m.Ahead)*float64(i)/float64(n))
	}
	sort.Float64s(xs)
	face := math.Pi / 2
	if m.Plan.FaceAngle > 0 {
		face = m.Plan.FaceAngle * math.Pi / 180
	}
	stock := w.on(m.Section(m.Ahead).Stock)
	tight, level := stock.tight, stock.level
	onPointAt := nowhere
	var x []float64
	var onStock, onPoint []seat
	for _, at := range xs {
		if at < from || at > to || len(x) > 0 && at-x[len(x)-1] < 1e-6 {
			continue
		}
		sec := m.Section(at)
		st := SwitchStation{X: at}
		tape := tight
		if sec.Point.There() {
			st.Down, st.Exposed = sec.Point.Top, -sec.Point.Y0
			tape = w.guided(&st, sec, tight, face, level, &onPointAt)
			if x, ok := m.ChipEnd(); ok && math.Abs(at-x) < 1e-6 {
				s.step(&st, w, m.Plan.ChipDepth+level(tape-off), face)
			}
			s.note(&st, sec, w, tight, climb, level)
		}
		x = append(x, at)
		runs := math.Min(tape, stock.clear) - off
		p, q := seat{height: level(runs)}, seat{height: math.Inf(-1)}
		if r, ok := w.restNear(sec.Point, runs, &onPointAt); ok && sec.Point.There() {
			q = r
		}
		if math.IsInf(math.Max(p.height, q.height), 0) {
			return nil, fmt.Errorf("%w %.0f mm from the tip", ErrUnsupported, at)
		}
		st.Tape, st.Tread = tape, math.Max(p.height, q.height)
		st.Beside = !math.IsInf(p.height, 0)
		onStock, onPoint = append(onStock, p), append(onPoint, q)
		s.Stations = append(s.Stations, st)
	}
	s.path(rolled(x, onStock, w.Radius), rolled(x, onPoint, w.Radius), m.Full)
	return s, nil
}

// gaugeDepth is how far below the top of the rail the gauge line lies: 5/8 in (49 CFR
// 213.53(a)).
const gaugeDepth = 0.625 * measure.MMPerInch

// stocked is how a wheel stands on the head of a stock rail, mm.
type stocked struct {
	tight float64                    // where the tape line is if the flange is pressed on, see pressed
	clear float64                    // and if the flange touches with the wheel on its tread
	level func(tape float64) float64 // how high the wheel rests, see levels
}

// on is how the wheel stands on the head of a stock rail, found once.
func (w *Wheel) on(stock shape.Head) *stocked {
	w.lock.Lock()
	defer w.lock.Unlock()
	if s := w.stocks[stock]; s != nil {
		return s
	}
	tight := w.pressed(stock)
	s := &stocked{tight: tight, clear: tight, level: w.levels(stock, tight)}
	if sd := w.besideFrom(stock, tight, s.level(tight-off), 0, w.zone); !sd.over {
		s.clear = math.Min(tight, tight+sd.room)
	}
	if w.stocks == nil {
		w.stocks = map[shape.Head]*stocked{}
	}
	w.stocks[stock] = s
	return s
}

// pressed is the tape line's distance (mm) at which the flange face touches the gauge side of a head at its gauge line,
// the wheel on its tread on that head.
func (w *Wheel) pressed(h shape.Head) float64 {
	tape := h.Y0 + w.Shape.Tape - w.Thickness
	for range 2 {
		r, ok := w.rest(h, tape-off)
		if !ok {
			break
		}
		tape = h.Y0 - w.faceAt(gaugeDepth+h.Top+r.height)
	}
	return tape
}

// levels tabulates how high the wheel rests on a head for tape lines up to the given one, every half millimetre, as far
// as it stands over it; -Inf beyond.
func (w *Wheel) levels(h shape.Head, to float64) func(tape float64) float64 {
	const every = 0.5
	var table []float64
	at := nowhere
	for i := 0; ; i++ {
		r, ok := w.restNear(h, to-float64(i)*every, &at)
		if !ok || i > 1000 {
			break
		}
		table = append(table, r.height)
	}
	return func(tape float64) float64 {
		t := math.Max(to-tape, 0) / every
		i := int(t)
		if i+1 >= len(table) {
			return math.Inf(-1)
		}
		return table[i] + (t-float64(i))*(table[i+1]-table[i])
	}
}

// guided finds where the point lets the wheel stand that is pressed toward the stock rail, and how the flange touches
// it. at is where it rested on the point before, see restNear.
func (w *Wheel) guided(st *SwitchStation, sec shape.SwitchSection, tight, face float64, level func(float64) float64,
	at *int) float64 {
	tape := math.Min(tight, sec.Point.Y0+w.Shape.Tape-w.Thickness)
	var sd side
	bears := false
	for range 6 {
		h := level(tape - off)
		r, ok := w.restNear(sec.Point, tape-off, at)
		if bears = ok && r.height > h; bears {
			h = r.height
		}
		if math.IsInf(h, 0) {
			break
		}
		// Flatter parts of the throat rest on an edge; they do not guide.
		sd = w.besideFrom(sec.Point, tape, h, 0, w.zone)
		if st.Over = sd.over; sd.over {
			return tight
		}
		next := math.Min(tight, tape+sd.room)
		if math.Abs(next-tape) < 0.01 {
			break
		}
		tape = next
	}
	if st.Touches = tape < tight-0.01; st.Touches {
		st.Angle = math.Min(w.Angle, face)
		if !bears {
			st.Angle = math.Min(w.climbAngle(sd.height), face)
		}
	}
	return tape
}

// note keeps what the station tells of meeting the point.
func (s *SwitchSolution) note(st *SwitchStation, sec shape.SwitchSection, w *Wheel, tight, climb float64,
	level func(float64) float64) {
	if math.Abs(st.X) < 1e-6 {
		sd := w.beside(sec.Point, tight, level(tight-off), s.Yaw)
		s.TipRoom, s.TipOver = sd.room, sd.over
	}
	behind := st.Touches && !s.Meets && w.tipY+tight > sec.Point.Y0 || st.Over && st.Exposed > 0
	if behind && !s.Behinds {
		s.Behind, s.Behinds = st.X, true
	}
	if !st.Touches {
		return
	}
	if !s.Meets {
		s.First, s.Meets, s.Least, s.LeastX = st.X, true, st.Angle, st.X
	}
	if st.Angle < s.Least {
		s.Least, s.LeastX = st.Angle, st.X
	}
	if !s.RidesUp && st.Angle < climb {
		s.RideUp, s.RidesUp = st.X, true
	}
}

// step is the blunt end of the point behind a chip: it is met at the chip's depth, however far the flange stands off
// the point on the chip's floor, and whether or not the stock rail hides it from a flange that is pressed on. down is
// that depth below the tread, face the angle of a worn face (rad).
func (s *SwitchSolution) step(st *SwitchStation, w *Wheel, down, face float64) {
	angle, over := w.ContactAngle(down)
	angle = math.Min(angle, face)
	if !st.Touches || angle < st.Angle {
		st.Angle = angle
	}
	st.Touches, st.Over = true, st.Over || over
	s.Step, s.StepAngle, s.Steps = st.X, st.Angle, true
}

// path fills height and carrier of the stations, dips, lift and drop.
func (s *SwitchSolution) path(stock, point *bearing, full float64) {
	high := math.Inf(-1)
	for i := range s.Stations {
		st := &s.Stations[i]
		st.Z, st.RestsOn = stock.h[i], Stock
		if point.h[i] > stock.h[i] {
			st.Z, st.RestsOn = point.h[i], Point
		}
		st.Beside = st.Beside && !math.IsInf(stock.h[i], 0)
		if i > 0 {
			d0, d1 := stock.h[i-1]-point.h[i-1], stock.h[i]-point.h[i]
			if d0 >= 0 != (d1 >= 0) && !math.IsInf(d0, 0) && !math.IsInf(d1, 0) {
				x, a, b := crossing(stock, point, stock.x[i-1], stock.x[i])
				from, to := Stock, Point
				if d0 < 0 {
					from, to = Point, Stock
				}
				s.dip(Dip{x, from, to, math.Abs(a.slope - b.slope)})
				s.Transfer, s.Transfers = x, true
			}
		}
		if d := st.Z - s.Stations[0].Z; d > s.Lift {
			s.Lift, s.LiftX = d, st.X
		}
		high = math.Max(high, st.Z)
		if d := high - st.Z; d > s.Drop {
			s.Drop, s.DropX = d, st.X
		}
	}
	// Where the point has its whole rise, the outer tread over the stock rail.
	for i, st := range s.Stations {
		if st.X < full || !st.Beside || math.IsInf(point.h[i], 0) {
			continue
		}
		if d := point.h[i] - stock.h[i]; !s.FalseKnown || d < s.FalseFlange {
			s.FalseFlange, s.FalseFlangeX, s.FalseKnown = d, st.X, true
		}
	}
}

// Nearest is the station nearest to x.
func (s *SwitchSolution) Nearest(x float64) SwitchStation {
	best := s.Stations[0]
	for _, st := range s.Stations {
		if math.Abs(st.X-x) < math.Abs(best.X-x) {
			best = st
		}
	}
	return best
}

// Forces computes the vertical forces of the dips under a load.
func (s *SwitchSolution) Forces(l Load) (Forces, error) {
	return (&FrogPath{Course: s.Course}).Forces(l)
}
