package shape

import (
	"errors"
	"fmt"
	"math"

	"flangeway/internal/measure"
	"flangeway/internal/outline"
	"flangeway/wheel"
)

// ErrContradiction says that no worn shape of this design has the given readings: a finding about the readings, not a
// fault of the program.
var ErrContradiction = errors.New("the readings contradict each other")

// WornReadings are the hand gauges' readings of one wheel, each an interval; a missing one leaves the model free.
type WornReadings struct{ Height, Thickness, Vertical, Hollow measure.Reading }

// Worn is a wheel's shape by its readings.
type Worn struct {
	Middle *Shape // from the readings as written, or from ends that go together, of go/no-go readings first
	design *Shape
	sparse *Shape
	list   [4]measure.Reading // height, thickness, vertical, hollow
	middle [4]float64         // that Middle was made from, mm; NaN: free
}

// The model of wear, all of it assumed:
//
//   - the flange tip and back are unworn, so what the flange height gained is tread
//     worn away at the tape line;
//   - tread wear is the same over the whole tread, and a hollow besides: full from the
//     throat to bandFull, fading out as a cosine to bandEnd, nothing from there to the
//     field, which leaves the false flange;
//   - the throat keeps the design's form and moves inward with the flange face and down
//     with the tread; the sideways move fades out as a cosine from shiftFull to shiftEnd;
//   - the face keeps the design's angle, or stands upright from a round of uprightRound
//     at most and leastRound at least to the height of the vertical-flange reading, and
//     leans at the design's angle from there to the tip. The round begins at the
//     throat's upper end or, if the reading is lower than that allows, farther down
//     the throat, as a worn rail's gauge corner leaves it.
//
// It cannot show a rolled-over field edge, a stepped or grooved tread, a worn or battered tip, wear out of round, or a
// hollow that lies elsewhere.
const (
	bandFull     = 15.0 // y in mm from the tape line
	bandEnd      = 40.0
	shiftFull    = -25.0
	shiftEnd     = 10.0
	uprightRound = 10.0 // mm
	leastRound   = 4.0  // mm
)

// readBack is within how many mm the gauges must read a rebuilt shape as given.
const readBack = 0.1

// values are one number for each reading; NaN: free.
type values struct{ height, thickness, vertical, hollow float64 }

// wear is a state of the model, mm: tread worn at the tape line in all, the hollow's part of it, the face's move toward
// the back, and the height over the worn tread to which the face is upright (0: nowhere).
type wear struct{ tread, hollow, face, vertical float64 }

// fade is 1 up to a, 0 from b, a cosine between, with its derivative.
func fade(y, a, b float64) (v, d float64) {
	switch {
	case y <= a:
		return 1, 0
	case y >= b:
		return 0, 0
	}
	s, c := math.Sincos(math.Pi * (y - a) / (b - a))
	return (1 + c) / 2, -s * math.Pi / (b - a) / 2
}

// face finds in a design where its straight face ends and the throat begins, and the face's angle (rad).
func (s *Shape) face() (tip, throat int, angle float64, err error) {
	if tip, err = s.flange(); err != nil {
		return
	}
	if angle, _, err = s.FlangeAngle(); err != nil {
		return
	}
	for i := tip; i < len(s.Outline) && s.Outline[i].Y < 0; i++ {
		if -s.Outline[i].Angle >= angle-1e-4 {
			throat = i
		}
	}
	if !(angle > 45*rad && angle < 89*rad) {
		err = fmt.Errorf("%w: %s: a design with a face of %.1f degrees", ErrShape, s.Name, angle/rad)
	}
	return
}

// wornFace is the worn face above the part of the throat that is kept: a round, upright, then leaning as the design's.
type wornFace struct {
	throat    int            // vertex of the design from which on the throat is kept
	angle     float64        // of the design's face, rad
	foot, top outline.Vertex // where the straight or upright face begins and ends
	round     *outline.Arc   // from the throat to the foot of the upright; nil: no upright
}

// y is where the face stands at height z.
func (f *wornFace) y(z float64) float64 {
	if z <= f.top.Z {
		return f.foot.Y
	}
	return f.top.Y - (z-f.top.Z)/math.Tan(f.angle)
}

// worn applies the model to a design. It errs with [ErrContradiction] if the states of wear cannot stand together.
func (s *Shape) worn(w wear) (*Shape, error) {
	tip, throat, angle, err := s.face()
	if err != nil {
		return nil, err
	}
	o := s.Outline
	f, err := w.stand(o, throat, angle)
	if err != nil {
		return nil, err
	}
	path, err := w.flange(o, tip, &f)
	if err != nil {
		return nil, err
	}
	if f.round != nil {
		path = append(path, outline.Vertex{Y: f.top.Y, Z: f.top.Z, Angle: -math.Pi / 2})
		path = appendRound(path, f.round)
	}
	start := len(path)
	path = w.rest(path, o[f.throat:])
	bend(path, start)
	out := *s
	out.Name = s.Name + ", worn"
	out.Outline = path
	z, err := out.tread()
	if err != nil {
		return nil, err
	}
	for i := range path {
		path[i].Z -= z
	}
	return &out, out.Outline.Check()
}

// stand places the face on the throat of the design o. The upright of a vertical flange needs a round below it, which
// may reach farther down the throat.
func (w wear) stand(o outline.Outline, throat int, angle float64) (wornFace, error) {
	moved := func(i int) outline.Vertex {
		p := o[i]
		p.Y -= w.face
		p.Z -= w.tread
		return p
	}
	if !(w.vertical > 0) {
		p := moved(throat)
		return wornFace{throat: throat, angle: angle, foot: p, top: p}, nil
	}
	radius := func(i int) float64 { // that ends 0.2 mm below the reading's height
		return (w.vertical - o[i].Z - 0.2) / math.Cos(o[i].Angle)
	}
	for throat+1 < len(o) && o[throat+1].Y < shiftFull && radius(throat) < leastRound {
		throat++
	}
	r := math.Min(uprightRound, radius(throat))
	if r < leastRound {
		return wornFace{}, fmt.Errorf("%w: the throat leaves no vertical face that ends %.1f mm over the tread",
			ErrContradiction, w.vertical)
	}
	p := moved(throat)
	a := outline.Arc{R: r, From: -math.Pi / 2, To: p.Angle}
	end := a.At(a.To)
	a.CY, a.CZ = p.Y-end.Y, p.Z-end.Z
	foot := a.At(a.From)
	return wornFace{throat: throat, angle: angle, foot: foot, top: outline.Vertex{Y: foot.Y, Z: w.vertical - w.tread},
		round: &a}, nil
}

// flange is the outline from the flange's back to the foot of the face f: the design's as far as the face cuts it, then
// the face. If the face ends below its upright's top, f.top moves there.
func (w wear) flange(o outline.Outline, tip int, f *wornFace) (outline.Outline, error) {
	cut := -1 // the first vertex that the face cuts off
	for i := tip; i <= f.throat; i++ {
		if o[i].Z < f.foot.Z-same {
			break
		}
		if o[i].Y > f.y(o[i].Z)+1e-7 {
			cut = i
			break
		}
	}
	path := make(outline.Outline, 0, len(o)+60)
	switch {
	case cut == tip:
		return nil, fmt.Errorf("%w: the face would lie behind the flange tip", ErrContradiction)
	case cut > tip:
		a, b := o[cut-1], o[cut]
		ea, eb := f.y(a.Z)-a.Y, f.y(b.Z)-b.Y // >= 0, < 0
		t := ea / (ea - eb)
		at := outline.Vertex{Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z), Angle: a.Angle + t*(b.Angle-a.Angle), K: a.K}
		if at.Z < f.top.Z-readBack/2 && w.vertical > 0 {
			return nil, fmt.Errorf("%w: a flange this thin or high can be vertical to %.1f mm over the tread at "+
				"most, not %.1f", ErrContradiction, at.Z+w.tread, w.vertical)
		}
		path = append(path, o[:cut]...)
		path = append(path, at)
		if at.Z > f.top.Z {
			path = append(path, outline.Vertex{Y: at.Y, Z: at.Z, Angle: -f.angle})
			path = append(path, outline.Vertex{Y: f.top.Y, Z: f.top.Z, Angle: -f.angle})
		} else {
			f.top.Y, f.top.Z = at.Y, at.Z
		}
	default: // the face is the design's own, gone on downward
		ref := o[f.throat]
		if w.vertical > 0 {
			return nil, fmt.Errorf("%w: a face worn so little cannot stand upright to %.1f mm over the tread",
				ErrContradiction, w.vertical)
		}
		if gap := f.y(ref.Z) - ref.Y; gap > 0.02 || f.foot.Z > ref.Z+same {
			return nil, fmt.Errorf("%w: the face would have to lie %.2f mm outside the new wheel's",
				ErrContradiction, gap)
		}
		path = append(path, o[:f.throat+1]...)
	}
	return path, nil
}

// appendRound adds the round from the foot of the upright down to the throat. The curvature jumps at the foot, so the
// first vertex stands twice.
func appendRound(path outline.Outline, round *outline.Arc) outline.Outline {
	for i := range 41 {
		v := round.At(round.From + (round.To-round.From)*float64(i)/40)
		if i == 0 {
			v.K = 0
		}
		path = append(path, v)
		if i == 0 {
			v.K = 1 / round.R
			path = append(path, v)
		}
	}
	return path
}

// rest adds the throat that is kept and the tread, shifted and hollowed.
func (w wear) rest(path, kept outline.Outline) outline.Outline {
	for _, v := range kept {
		g, dg := fade(v.Y, shiftFull, shiftEnd)
		b, db := fade(v.Y, bandFull, bandEnd)
		c, sn := math.Cos(v.Angle), math.Sin(v.Angle)
		ty, tz := c*(1-w.face*dg), sn-w.hollow*db*c
		v.Y -= w.face * g
		v.Z -= w.tread - w.hollow + w.hollow*b
		v.Angle = math.Atan2(tz, ty)
		path = append(path, v)
	}
	return path
}

// bend sets the curvature from the turned directions, behind the vertex start.
func bend(path outline.Outline, start int) {
	for i := start + 1; i+1 < len(path); i++ {
		a, b := path[i-1], path[i+1]
		ds := math.Hypot(b.Y-a.Y, b.Z-a.Z)
		if math.Hypot(path[i].Y-a.Y, path[i].Z-a.Z) > same && math.Hypot(path[i].Y-b.Y, path[i].Z-b.Z) > same {
			path[i].K = (b.Angle - a.Angle) / ds
		}
	}
}

// sparseStep is about how far apart in mm the vertices of a sparse shape lie.
const sparseStep = 0.6

// sparse is the shape with fewer vertices, enough for the gauges, which read between vertices by their directions: what
// a search for the state of wear tries.
func (s *Shape) sparse() *Shape {
	out := *s
	o := s.Outline
	out.Outline = make(outline.Outline, 0, len(o)/4)
	gone := 0.0
	for i, v := range o {
		if i == 0 || i == len(o)-1 {
			out.Outline = append(out.Outline, v)
			continue
		}
		ds := math.Hypot(v.Y-o[i-1].Y, v.Z-o[i-1].Z)
		after := math.Hypot(o[i+1].Y-v.Y, o[i+1].Z-v.Z)
		gone += ds
		turn := math.Abs(v.Angle - out.Outline[len(out.Outline)-1].Angle)
		if ds < same || after < same || gone > sparseStep || turn > 2*rad {
			out.Outline = append(out.Outline, v)
			gone = 0
		}
	}
	return &out
}

// fit finds the worn shape on which the gauges read v: the state of wear is searched on the sparse shape, and on the
// whole one if that does not read as given.
func (s *Shape) fit(v values) (*Shape, error) { return s.fitBy(s.sparse(), v) }

func (s *Shape) fitBy(sparse *Shape, v values) (*Shape, error) {
	var out *Shape
	for _, on := range []*Shape{sparse, s} {
		w, err := on.state(v)
		if err != nil {
			return nil, err
		}
		if out, err = s.worn(w); err == nil {
			err = out.reads(v)
		}
		if err == nil || on == s {
			return out, err
		}
	}
	return out, nil
}

// state finds the state of wear in which the gauges read v.
func (s *Shape) state(v values) (wear, error) {
	var w wear
	newHeight, err := s.FlangeHeight()
	if err != nil {
		return w, err
	}
	_, _, angle, err := s.face()
	if err != nil {
		return w, err
	}
	if v.hollow > 0 {
		read := func(d float64) (float64, error) {
			x, err := s.worn(wear{tread: d, hollow: d})
			if err != nil {
				return 0, err
			}
			return x.TreadHollow()
		}
		if w.hollow, err = solve(read, v.hollow, 0, v.hollow+10); err != nil {
			return w, err
		}
	}
	w.tread = w.hollow
	if !math.IsNaN(v.height) {
		w.tread = v.height - newHeight
		if w.tread < -readBack/2 {
			return w, fmt.Errorf("%w: a flange %s high is lower than the new wheel's %s", ErrContradiction,
				both(v.height), both(newHeight))
		}
		if w.tread < w.hollow-readBack/2 {
			return w, fmt.Errorf("%w: a hollow of %.2f mm needs %.2f mm of tread worn, a flange %s high has lost "+
				"%.2f mm", ErrContradiction, v.hollow, w.hollow, both(v.height), w.tread)
		}
		w.tread = math.Max(w.tread, w.hollow)
	}
	if v.vertical > 0 {
		w.vertical = v.vertical
	}
	if !math.IsNaN(v.thickness) {
		least := -w.tread / math.Tan(angle) // the face stays in the new wheel's
		read := func(f float64) (float64, error) {
			x, err := s.worn(wear{w.tread, w.hollow, f, 0})
			if err != nil {
				return 0, err
			}
			t, err := x.FlangeThickness()
			return -t, err
		}
		if w.face, err = solve(read, -v.thickness, least, s.Tape/2); err != nil {
			return w, fmt.Errorf("flange thickness %s: %w", both(v.thickness), err)
		}
	}
	out, err := s.worn(w)
	// An upright face that ends near the thickness gauge's height moves what that reads; the gauge reads nearly a
	// millimetre less for each millimetre of wear.
	for range 8 {
		if err != nil || !(w.vertical > 0) || math.IsNaN(v.thickness) {
			break
		}
		t, e := out.FlangeThickness()
		if e != nil || math.Abs(t-v.thickness) < readBack/10 {
			break
		}
		w.face += t - v.thickness
		out, err = s.worn(w)
	}
	return w, err
}

// both writes a length in mm in inches, as the sheets have it, and in mm, in which it was computed.
func both(mm float64) string {
	return fmt.Sprintf("%s in (%.2f mm)", measure.NearestInch(mm, 64), mm)
}

// solve finds where a growing f is want between lo and hi, to a ten-thousandth of a millimetre. An end that is off by
// less than readBack/2 is taken; beyond it the readings contradict the design. The readings grow nearly in proportion
// to the wear, so a secant does it in a few steps; the bracket guards it.
func solve(f func(float64) (float64, error), want, lo, hi float64) (float64, error) {
	const exact = 1e-4
	a, err := f(lo)
	if err != nil {
		return 0, err
	}
	if a >= want {
		if a > want+readBack/2 {
			return 0, fmt.Errorf("%w: at most %s on this design", ErrContradiction, both(math.Abs(a)))
		}
		return lo, nil
	}
	next := lo + (want - a) // as if one millimetre of wear read as one
	for i := 0; hi-lo > exact; i++ {
		if !(next > lo && next < hi) || i > 12 {
			next = (lo + hi) / 2
		}
		at := next
		m, err := f(at)
		if err == nil && math.Abs(m-want) < exact {
			return at, nil
		}
		if err != nil || m >= want { // an impossible state lies beyond the thin end
			hi = at
			if err != nil {
				next = (lo + hi) / 2
				continue
			}
		}
		if m > a { // the secant through the two last readings
			next = at + (want-m)*(at-lo)/(m-a)
		} else {
			next = (lo + hi) / 2
		}
		if m < want {
			lo, a = at, m
		}
	}
	return lo, nil
}

// reads checks that the gauges read the shape as given.
func (s *Shape) reads(v values) error {
	for _, g := range []struct {
		what string
		want float64
		read func() (float64, error)
	}{{"flange height", v.height, s.FlangeHeight}, {"flange thickness", v.thickness, s.FlangeThickness},
		{"vertical flange", v.vertical, s.VerticalFlange}, {"tread hollow", v.hollow, s.TreadHollow}} {
		if math.IsNaN(g.want) {
			continue
		}
		got, err := g.read()
		if err != nil {
			return err
		}
		if math.Abs(got-g.want) > readBack {
			return fmt.Errorf("%w: with the other readings the %s can only be %.2f mm, not %.2f", ErrContradiction,
				g.what, got, g.want)
		}
	}
	return nil
}

// MadeOf are the readings that Middle was made from, mm: height, thickness, vertical flange, hollow; NaN if a reading
// is missing or was set aside.
func (w *Worn) MadeOf() [4]float64 { return w.middle }

// Rebuild makes the worn shape of a design from readings. An error that wraps ErrContradiction says why no worn shape
// of the design has them, as written or at any combination of the ends of their intervals.
func Rebuild(design *Shape, r WornReadings) (*Worn, error) {
	w := &Worn{design: design, list: [4]measure.Reading{r.Height, r.Thickness, r.Vertical, r.Hollow}}
	for i, x := range w.list {
		if x.Measured() && !(x.Lo >= 0 && x.Hi >= x.Lo && x.Hi < 200) {
			return nil, fmt.Errorf("%w: reading %d from %g to %g mm", ErrShape, i+1, x.Lo, x.Hi)
		}
		w.middle[i] = math.NaN()
		if x.Measured() {
			w.middle[i] = math.Min(math.Max(x.As, x.Lo), x.Hi)
		}
	}
	w.sparse = design.sparse()
	var first error
	if w.Middle, first = w.fit(w.middle); first == nil {
		return w, nil
	}
	if !errors.Is(first, ErrContradiction) {
		return nil, first
	}
	// A go/no-go reading whose step goes with no other may go with them at its far end; only then do readings that were
	// written as one value leave it.
	for _, v := range append(w.stepped(), w.ends()...) {
		if s, err := w.fit(v); err == nil {
			w.Middle, w.middle = s, v
			return w, nil
		}
	}
	if w.between() {
		return w, nil
	}
	return nil, first
}

// between makes the middle shape of what the other readings say if that keeps to every go/no-go reading: an upper bound
// does not contradict what lies below it, though neither its step nor its far end goes with the others. It reports
// whether there is such a shape.
func (w *Worn) between() bool {
	starts := append([][4]float64{w.middle}, w.ends()...)
	for n := 1; n < 16; n++ {
		bounds := func(i int) bool { return n>>i&1 == 1 }
		all := true
		for i, x := range w.list {
			all = all && (!bounds(i) || x.OneSided())
		}
		if !all {
			continue
		}
		tried := map[[4]float64]bool{}
		for _, v := range starts {
			key := v
			for i := range v {
				if bounds(i) {
					v[i], key[i] = math.NaN(), 0
				} else if math.IsNaN(v[i]) {
					key[i] = -1
				}
			}
			if tried[key] {
				continue
			}
			tried[key] = true
			s, err := w.fit(v)
			if err == nil && w.keeps(s, &v, bounds) {
				w.Middle, w.middle = s, v
				return true
			}
		}
	}
	return false
}

// keeps reports whether a shape keeps to the readings that bounds tells, and completes what it is made of by what their
// gauges read.
func (w *Worn) keeps(s *Shape, v *[4]float64, bounds func(i int) bool) bool {
	for i, read := range []func() (float64, error){s.FlangeHeight, s.FlangeThickness, s.VerticalFlange, s.TreadHollow} {
		if !bounds(i) {
			continue
		}
		got, err := read()
		if err != nil || got < w.list[i].Lo-readBack || got > w.list[i].Hi+readBack {
			return false
		}
		v[i] = math.Min(math.Max(got, w.list[i].Lo), w.list[i].Hi)
	}
	return true
}

func (w *Worn) fit(v [4]float64) (*Shape, error) {
	return w.design.fitBy(w.sparse, values{v[0], v[1], v[2], v[3]})
}

// stepped are the combinations of the ends of the go/no-go readings, the others as written.
func (w *Worn) stepped() [][4]float64 {
	out := [][4]float64{w.middle}
	for i, x := range w.list {
		if !x.OneSided() {
			continue
		}
		for _, v := range out[:len(out):len(out)] {
			low, high := v, v
			low[i], high[i] = x.Lo, x.Hi
			out = append(out, low, high)
		}
	}
	return out[1:]
}

// ends are the combinations of the ends of the intervals.
func (w *Worn) ends() [][4]float64 {
	var out [][4]float64
	for n := range 16 {
		v, skip := w.middle, false
		for i, x := range w.list {
			high := n>>i&1 == 1
			switch {
			case !x.Measured() || x.Width() == 0:
				skip = skip || high
			case high:
				v[i] = x.Hi
			default:
				v[i] = x.Lo
			}
		}
		if !skip {
			out = append(out, v)
		}
	}
	return out
}

// Extremes are the shapes at the ends of the intervals, in every combination; one that contradicts itself is drawn in
// toward the middle.
func (w *Worn) Extremes() []*Shape {
	var out []*Shape
	for _, v := range w.ends() {
		for f := 1.0; f > 0.2; f -= 0.25 {
			at := w.middle
			for i := range at {
				at[i] += f * (v[i] - w.middle[i])
			}
			if s, err := w.fit(at); err == nil {
				out = append(out, s)
				break
			}
		}
	}
	return out
}

// RebuildFrom is Rebuild with the readings that go together: if all of them contradict each other, as few as possible
// are set aside, the vertical flange first, then the flange height, then the thickness, never the hollow. The columns
// set aside are returned with the contradiction that made it so.
func RebuildFrom(design *Shape, r WornReadings) (w *Worn, aside []wheel.Quantity, why, err error) {
	for _, less := range [][]wheel.Quantity{nil, {wheel.VerticalFlange}, {wheel.FlangeHeight},
		{wheel.VerticalFlange, wheel.FlangeHeight}, {wheel.FlangeThickness},
		{wheel.VerticalFlange, wheel.FlangeThickness},
		{wheel.FlangeHeight, wheel.FlangeThickness}, {wheel.VerticalFlange, wheel.FlangeHeight,
			wheel.FlangeThickness}} {
		of, measured := r, true
		for _, q := range less {
			x := map[wheel.Quantity]*measure.Reading{wheel.VerticalFlange: &of.Vertical, wheel.FlangeHeight: &of.Height,
				wheel.FlangeThickness: &of.Thickness}[q]
			measured = measured && x.Measured()
			*x = measure.Reading{}
		}
		if !measured {
			continue
		}
		if w, err = Rebuild(design, of); err == nil || !errors.Is(err, ErrContradiction) {
			return w, less, why, err
		}
		if why == nil {
			why = err
		}
	}
	return nil, nil, why, err
}
