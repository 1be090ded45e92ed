package contact

import (
	"math"
	"slices"

	"flangeway/internal/outline"
	trackshape "flangeway/track/shape"
)

// side is one wheel over one rail, y outward from the middle of the track, z down.
type side struct {
	keeper      *Made
	made        *madeWheel
	wheel, rail *outline.Curve
	placed      *trackshape.Placed
	shape       outline.Outline // of the wheel
	g           float64         // +1 near, -1 far: how shift and roll act here
	railFace    float64         // steepest angle of the rail's gauge side down to the gauge line, rad
	x0          float64         // axle middle to tape line, mm
	dz          float64         // radius at the tape line less the mean of both, mm
	level       float64         // z of the axle's point whose shift is given, mm
	reach       float64         // greatest |z + dz - level| of the wheel, mm
	warm        int             // the rail bin of the last contact
	window      []float64       // greatest z of the wheel over stretches a little wider than a bin, see windows
	close       []int           // rail bins that can hold the contact after a small change of roll
	bounds      []float64       // of the rail's bins, see leastLevel
	spread      spread          // the wheel cut into strips, see spreadOf
	clearing    []float64       // of the rail's bins, see clearings
}

// rotation is a roll with its sine and cosine.
type rotation struct{ s, c float64 }

func turn(roll float64) rotation {
	s, c := math.Sincos(roll)
	return rotation{s, c}
}

// hit is the closest place of a search.
type hit struct {
	gap   float64 // vertical, mm; below 0: the wheel would have to rise
	y     float64 // on the wheel
	railY float64
}

// put is where a point of the wheel comes to stand: y outward, z down.
func (sd *side) put(y, z, shift float64, t rotation) (float64, float64) {
	x, z := sd.x0+y, z+sd.dz-sd.level
	return t.c*x + sd.g*(t.s*z+shift), t.c*z - sd.g*t.s*x
}

// least finds where the wheel, at this shift and roll, is nearest to the rail measured upright. First the chords of
// both curves, bin by bin of the rail, a bin left out if even its highest rail and lowest wheel do not come nearer than
// what is found; then the curves themselves round the nearest place.
func (sd *side) least(shift float64, t rotation) (hit, bool) {
	best := hit{gap: math.Inf(1)}
	sd.close = sd.close[:0]
	j0, j1 := sd.overlap(shift, t)
	if j1 < j0 {
		return best, false
	}
	warm := min(max(sd.warm, j0), j1)
	at := warm
	sd.scan(warm, shift, t, &best)
	if t.s == 0 {
		if j := sd.leastLevel(j0, j1, warm, shift, &best); j >= 0 {
			at = j
		}
	} else if j := sd.leastRolled(j0, j1, warm, shift, t, &best); j >= 0 {
		at = j
	}
	sd.close = append(sd.close, warm)
	if math.IsInf(best.gap, 1) {
		return best, false
	}
	sd.warm = at
	sd.refine(shift, t, &best)
	return best, true
}

// leastRolled looks for a nearer place than best in the rail's bins from j0 to j1 but for warm, and gives the one in
// which it found one; -1 if there is none.
func (sd *side) leastRolled(j0, j1, warm int, shift float64, t rotation, best *hit) (at int) {
	r := sd.rail
	at = -1
	edge := sd.slack(t)
	back := -sd.x0 - sd.g*shift
	wy := sd.wheel.Begin()
	tilt := sd.g * t.s
	for j := j0; j <= j1; j++ {
		if j == warm {
			continue
		}
		y := r.Begin() + float64(j)*outline.Bin + back
		hi, ok := sd.lowest(y-edge-wy, y+outline.Bin+edge-wy, edge)
		if !ok {
			continue
		}
		// The lowest place of the wheel in the bin stands at hi less the tilt.
		x := sd.x0 + y
		lift := min(tilt*(x-edge), tilt*(x+outline.Bin+edge))
		bound := r.Lo[j] - (hi + sd.dz - sd.level - lift) - edge
		if bound < best.gap+keep && sd.nearer(j, bound, shift, t, best) {
			at = j
		}
	}
	return at
}

// nearer looks in a bin that is to be looked at again after a small move, and reports whether it has a nearer place
// than best. Nothing there is nearer than bound.
func (sd *side) nearer(j int, bound, shift float64, t rotation, best *hit) bool {
	sd.close = append(sd.close, j)
	before := best.gap
	if bound < before {
		sd.scan(j, shift, t, best)
	}
	return best.gap < before
}

// binFine is how many windows begin within a bin of the rail.
const binFine = outline.Bin / fine

// leastLevel is leastRolled of an axle that is not rolled: the windows over the bins follow each other.
func (sd *side) leastLevel(j0, j1, warm int, shift float64, best *hit) (at int) {
	r, t := sd.rail, rotation{0, 1}
	at = -1
	edge := sd.slack(t)
	k := sd.windowAt(r.Begin() + float64(j0)*outline.Bin - sd.x0 - sd.g*shift - sd.wheel.Begin())
	base := sd.dz - sd.level + edge
	if k < 0 { // bins that no window lies over
		skip := (binFine - 1 - k) / binFine
		j0, k = j0+skip, k+skip*binFine
	}
	// The bin that may be nearest is looked at first, because most others are then told by their bound.
	sd.bounds = slices.Grow(sd.bounds[:0], max(j1-j0+1, 0))
	first, nearest := -1, math.Inf(1)
	for j := j0; j <= j1 && k < len(sd.window); j, k = j+1, k+binFine {
		bound := r.Lo[j] - sd.window[k] - base
		sd.bounds = append(sd.bounds, bound)
		if bound < nearest && j != warm {
			first, nearest = j, bound
		}
	}
	look := func(j int, bound float64) {
		if bound < best.gap+keep && sd.nearer(j, bound, shift, t, best) {
			at = j
		}
	}
	if first >= 0 {
		look(first, nearest)
	}
	for i, bound := range sd.bounds {
		if j := j0 + i; j != warm && j != first {
			look(j, bound)
		}
	}
	return at
}

// windowAt is the window over the bin of the rail that begins y mm from the wheel's begin; it may lie outside.
func (sd *side) windowAt(y float64) int {
	const off = int(outline.Bin/fine) + 1
	return int(math.Floor(y/fine)) + off
}

// keep is by how much in mm a bin may be farther off than the nearest place and still be looked at again after a small
// change of roll; keepRoll is that change in rad: over a wheel's width of up to 200 mm the gaps then change by less
// against each other.
const (
	keep     = 0.02
	keepRoll = keep / 200 / 2
)

// again is least after a change of roll of less than keepRoll since least was called.
func (sd *side) again(shift float64, t rotation) (hit, bool) {
	best := hit{gap: math.Inf(1)}
	for _, j := range sd.close {
		sd.scan(j, shift, t, &best)
	}
	if math.IsInf(best.gap, 1) {
		return best, false
	}
	sd.refine(shift, t, &best)
	return best, true
}

// slack is by how much at most roll moves a point of the wheel sideways, or upright beyond its tilt, mm.
func (sd *side) slack(t rotation) float64 {
	return math.Abs(t.s)*sd.reach + (1-t.c)*(sd.x0+sd.wheel.End()) + 1e-6
}

// overlap gives the rail bins over which the wheel stands.
func (sd *side) overlap(shift float64, t rotation) (int, int) {
	w, r := sd.wheel, sd.rail
	a, _ := sd.put(w.Begin(), w.Z[0], shift, t)
	b, _ := sd.put(w.End(), w.Z[len(w.Z)-1], shift, t)
	j0 := int(math.Floor((a - r.Begin()) / outline.Bin))
	j1 := int(math.Floor((b - r.Begin()) / outline.Bin))
	return max(j0, 0), min(j1, r.Bins()-1)
}

// scan walks the vertices of both chains over one bin of the rail and keeps the nearest place.
func (sd *side) scan(j int, shift float64, t rotation, best *hit) {
	w, r := sd.wheel, sd.rail
	i := r.First(j)
	end := len(r.Y) - 1
	if j+1 < r.Bins() {
		end = min(r.First(j+1)+1, end)
	}
	// A wheel vertex at or before the first rail vertex.
	slack := sd.slack(t)
	k := w.First(int(math.Floor((r.Y[i] - sd.x0 - sd.g*shift - slack - w.Begin()) / outline.Bin)))
	last := len(w.Y) - 1
	py, pz := sd.put(w.Y[k], w.Z[k], shift, t)
	if k == last {
		return
	}
	qy, qz := sd.put(w.Y[k+1], w.Z[k+1], shift, t)
	for i <= end {
		ry := r.Y[i]
		for qy <= ry {
			// The wheel vertex q lies before rail vertex i.
			if i > 0 && qy >= r.Y[i-1] {
				rz := r.Z[i-1] + r.Chord[i-1]*(qy-r.Y[i-1])
				if gap := rz - qz; gap < best.gap {
					*best = hit{gap, w.Y[k+1], qy}
				}
			}
			k++
			if k == last {
				return
			}
			py, pz = qy, qz
			qy, qz = sd.put(w.Y[k+1], w.Z[k+1], shift, t)
		}
		if py <= ry {
			u := (ry - py) / (qy - py)
			if gap := r.Z[i] - (pz + (qz-pz)*u); gap < best.gap {
				*best = hit{gap, w.Y[k] + (w.Y[k+1]-w.Y[k])*u, ry}
			}
		}
		i++
	}
}

// place evaluates both curves at y of the wheel: the gap, and where that is on the rail. out says that the rail ends
// before.
func (sd *side) place(y, shift float64, t rotation) (gap, railY float64, out bool) {
	z, _, _ := sd.wheel.At(y)
	ty, tz := sd.put(y, z, shift, t)
	if ty < sd.rail.Begin() || ty > sd.rail.End() {
		return math.Inf(1), ty, true
	}
	rz, _, _ := sd.rail.At(ty)
	return rz - tz, ty, false
}

// slopeExact is how far the slopes of wheel and rail may differ at a contact: on shapes that part by 1e-4 per mm, the
// place is then right to 1e-5 mm.
const slopeExact = 1e-9

// walk is the segment of the chain that holds y, found from segment i.
func walk(chain []float64, i int, y float64) int {
	for i+2 < len(chain) && chain[i+1] <= y {
		i++
	}
	for i > 0 && chain[i] > y {
		i--
	}
	return i
}

// refine goes from the nearest place on the chords to that on the curves. It reports whether that lies between the
// neighbouring vertices.
func (sd *side) refine(shift float64, t rotation, best *hit) bool {
	w, r := sd.wheel, sd.rail
	k := w.Segment(best.y)
	i := r.Segment(best.railY)
	h := w.Y[k+1] - w.Y[k]
	if k > 0 {
		h = math.Max(h, w.Y[k]-w.Y[k-1])
	}
	h = math.Max(h, r.Y[i+1]-r.Y[i])
	if i > 0 {
		h = math.Max(h, r.Y[i]-r.Y[i-1])
	}
	lo, hi := max(best.y-h, w.Y[0]), min(best.y+h, w.Y[len(w.Y)-1])
	// Slope of the gap at y of the wheel, the segments found from the last ones.
	var gap, ry float64
	slope := func(y float64) float64 {
		k = walk(w.Y, k, y)
		z, s, _ := w.On(k, y)
		var tz float64
		ry, tz = sd.put(y, z, shift, t)
		i = walk(r.Y, i, ry)
		rz, rs, _ := r.On(i, ry)
		gap = rz - tz
		return rs*(t.c+sd.g*t.s*s) - (t.c*s - sd.g*t.s)
	}
	sl := slope(lo)
	if ry < r.Y[0] || !(sl < 0) {
		return false
	}
	sh := slope(hi)
	if ry > r.Y[len(r.Y)-1] || !(sh > 0) {
		return false
	}
	// It changes sign between lo and hi: false position, a stale end halved (Illinois; Dowell and Jarratt 1971), a
	// bisection now and then.
	y, side := best.y, 0
	for n := range 60 {
		if n > 0 {
			if n%6 == 5 {
				y = (lo + hi) / 2
			} else {
				y = lo - sl*(hi-lo)/(sh-sl)
			}
		}
		s := slope(y)
		if math.Abs(s) < slopeExact || hi-lo < 1e-9 {
			break
		}
		if s < 0 {
			if lo, sl = y, s; side < 0 {
				sh /= 2
			}
			side = -1
		} else {
			if hi, sh = y, s; side > 0 {
				sl /= 2
			}
			side = 1
		}
	}
	if gap < best.gap+1e-3 {
		*best = hit{gap, y, ry}
		return true
	}
	return false
}

// follow moves a place of contact to where it is after a change of roll; false says that it has gone farther than to
// the next vertex.
func (sd *side) follow(h *hit, shift float64, t rotation) bool {
	gap, ry, out := sd.place(h.y, shift, t)
	if out {
		return false
	}
	*h = hit{gap, h.y, ry}
	return sd.refine(shift, t, h)
}

// spot reads what a contact is like.
func (sd *side) spot(h hit, shift float64, t rotation) Spot {
	z, s, k := sd.wheel.At(h.y)
	ty, _ := sd.put(h.y, z, shift, t)
	rz, rs, rk := sd.rail.At(ty)
	// The wheel's slope in the track plane; if the rail has an edge its own slope says nothing, if the wheel has one
	// the rail's does.
	ws := (t.c*s - sd.g*t.s) / (t.c + sd.g*t.s*s)
	slope := ws
	if math.Abs(ws-rs) > 1e-3 {
		const by = 1e-4
		_, a, _ := sd.wheel.At(h.y - by)
		_, b, _ := sd.wheel.At(h.y + by)
		_, c, _ := sd.rail.At(ty - by)
		_, d, _ := sd.rail.At(ty + by)
		if math.Abs(b-a) > math.Abs(d-c) {
			slope = rs
		}
	}
	return Spot{Y: h.y, Z: z, RailY: ty, RailZ: rz, Angle: -math.Atan(slope), KWheel: -k, KRail: rk}
}

// bound sets reach for the level.
func (sd *side) bound() {
	sd.reach = 0
	for j := range sd.wheel.Hi {
		for _, z := range []float64{sd.wheel.Hi[j], sd.wheel.Lo[j]} {
			sd.reach = math.Max(sd.reach, math.Abs(z+sd.dz-sd.level))
		}
	}
}

// Drawn gives both outlines of one side as they stand in a state: y outward from the middle of the track, z below the
// top of the rails, mm.
func (s *Solver) Drawn(st State, near bool) (wheel, rail [][2]float64) {
	sd, sp := s.side(near), st.side(near)
	t := turn(st.Roll)
	_, z := sd.put(sp.Y, sp.Z, st.Shift, t)
	for _, v := range sd.shape {
		py, pz := sd.put(v.Y, v.Z, st.Shift, t)
		wheel = append(wheel, [2]float64{py, pz + sp.RailZ - z})
	}
	for _, v := range sd.placed.Outline {
		rail = append(rail, [2]float64{v.Y, v.Z})
	}
	return wheel, rail
}

// fine is the distance in mm of the windows over which a wheel's greatest z is kept, and slop by how much each is wider
// than a bin of the rail: the fine itself and roll.
const (
	fine = 0.125
	slop = 0.1
)

// windows are those of a wheel: entry k is the greatest z over y from begin + k*fine - slop/2, over a bin, fine and
// slop.
func windows(w *outline.Curve) []float64 {
	n := int((w.End()-w.Begin()+outline.Bin+slop)/fine) + 2
	off := int(outline.Bin/fine) + 1 // windows that begin before the wheel does
	window := make([]float64, n+off)
	for k := range window {
		from := w.Begin() + float64(k-off)*fine - slop/2
		to := from + outline.Bin + fine + slop
		hi := math.Inf(-1)
		if to >= w.Begin() && from <= w.End() {
			i, j := w.Segment(math.Max(from, w.Begin())), w.Segment(math.Min(to, w.End()))
			for ; i <= j+1; i++ {
				hi = math.Max(hi, w.Z[i])
			}
		}
		window[k] = hi
	}
	return window
}

// lowest is the greatest z of the wheel over a bin of the rail, a and b from the wheel's begin with the slack of roll,
// edge, taken off and on; ok is false if there is no wheel.
func (sd *side) lowest(a, b, edge float64) (float64, bool) {
	if edge <= slop/2 {
		k := sd.windowAt(a + edge)
		if k < 0 || k >= len(sd.window) || math.IsInf(sd.window[k], -1) {
			return 0, false
		}
		return sd.window[k], true
	}
	w := sd.wheel
	i, j := int(a/outline.Bin), int(b/outline.Bin)
	if b < 0 || i >= len(w.Hi) {
		return 0, false
	}
	hi := math.Inf(-1)
	for k := max(i, 0); k <= min(j, len(w.Hi)-1); k++ {
		hi = math.Max(hi, w.Hi[k])
	}
	return hi, true
}
