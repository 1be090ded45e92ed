package outline

import (
	"bytes"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"flangeway/internal/measure"
)

// Limits of what is taken as a trace.
const (
	maxTraceBytes  = 8 << 20
	maxTracePoints = 200_000
	minTracePoints = 20
	maxTraceGap    = 8.0 // mm between points that follow each other
	maxTraceNoise  = 0.3 // mm, root mean square about the smoothed shape
	resample       = 0.2 // mm between points of the cleaned outline
	window         = 1.2 // mm to both sides over which a parabola is laid through the points
)

// Quality says what a trace was like and what was done to it.
type Quality struct {
	Points  int     // as given
	Doubled int     // left out: at the place of the one before
	Spikes  int     // left out: far from the line of their neighbours
	Gap     float64 // the longest step between points kept, mm
	Noise   float64 // root mean square distance of the points from the cleaned outline, mm
	Unit    string  // "mm" or "in": as the file says, else as the size shows
	Guessed bool    // the unit was told by the size
}

// ReadPoints reads a trace: lines x,y with a point as decimal mark, # comments, and an optional heading. The unit is
// that of the heading or of a comment (mm, in); without one it is told by the size, because heads and rims are 50 to
// 250 mm or 2 to 10 inches wide. The points come back in mm.
func ReadPoints(name string, data []byte) ([][2]float64, Quality, error) {
	var q Quality
	if len(data) > maxTraceBytes {
		return nil, q, fmt.Errorf("%w: %s is larger than %d bytes", ErrShape, name, maxTraceBytes)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	var pts [][2]float64
	heading := false
	for n, line := range strings.Split(string(data), "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		if strings.HasPrefix(line, "#") {
			q.Unit = unitIn(line, q.Unit)
			continue
		}
		if strings.Count(line, ";") > 0 && !strings.Contains(line, ",") {
			return nil, q, fmt.Errorf("%w: %s:%d: semicolons between the values (expected x,y)", ErrShape, name, n+1)
		}
		f := strings.Split(line, ",")
		if len(f) != 2 {
			return nil, q, fmt.Errorf("%w: %s:%d: %d values (expected x,y)", ErrShape, name, n+1, len(f))
		}
		x, e1 := coordinate(f[0])
		y, e2 := coordinate(f[1])
		if e1 != nil || e2 != nil {
			if len(pts) == 0 && !heading && e1 != nil && e2 != nil {
				heading = true
				q.Unit = unitIn(line, q.Unit)
				continue
			}
			return nil, q, fmt.Errorf("%w: %s:%d: %.40q is not a point (expected x,y)", ErrShape, name, n+1, line)
		}
		if len(pts) == maxTracePoints {
			return nil, q, fmt.Errorf("%w: %s has more than %d points", ErrShape, name, maxTracePoints)
		}
		pts = append(pts, [2]float64{x, y})
	}
	if len(pts) < minTracePoints {
		return nil, q, fmt.Errorf("%w: %s has %d points (at least %d)", ErrShape, name, len(pts), minTracePoints)
	}
	q.Points = len(pts)
	lo, hi := pts[0][0], pts[0][0]
	for _, p := range pts {
		lo, hi = math.Min(lo, p[0]), math.Max(hi, p[0])
	}
	if q.Unit == "" {
		q.Guessed = true
		switch w := hi - lo; {
		case w >= 50 && w <= 250:
			q.Unit = "mm"
		case w >= 50/measure.MMPerInch && w <= 250/measure.MMPerInch:
			q.Unit = "in"
		default:
			return nil, q, fmt.Errorf("%w: %s is %g wide, neither 50 to 250 mm nor 2 to 10 in; say the unit in the "+
				"heading (x_mm,y_mm)", ErrShape, name, w)
		}
	}
	if q.Unit == "in" {
		for i := range pts {
			pts[i][0] *= measure.MMPerInch
			pts[i][1] *= measure.MMPerInch
		}
	}
	return pts, q, nil
}

// unitIn finds a unit among the words of a heading or comment.
func unitIn(line, before string) string {
	for _, w := range strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return r < 'a' || r > 'z' }) {
		switch w {
		case "mm", "millimetres", "millimeters":
			return "mm"
		case "in", "inch", "inches":
			return "in"
		}
	}
	return before
}

// coordinate is a plain decimal number of a size that a shape can have.
func coordinate(text string) (float64, error) {
	text = strings.Trim(strings.TrimSpace(text), `"`)
	if strings.ContainsAny(text, "_xXpPnN") {
		return 0, ErrShape
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(math.Abs(v) < 1e5) {
		return 0, ErrShape
	}
	return v, nil
}

// Clean makes an outline of a trace in the order of its points (mm): doubled points and spikes are left out, the rest
// is spaced evenly along the path and smoothed by a parabola over 1.2 mm to both sides, which also gives direction and
// curvature. It errs if a gap is longer than 8 mm, the noise greater than 0.3 mm or the path shorter than 30 mm. Sharp
// corners come out rounded over about the window.
func Clean(pts [][2]float64, q Quality) (Outline, Quality, error) {
	var p [][2]float64
	for _, v := range pts {
		if s := v[0] + v[1]; math.IsNaN(s) || math.IsInf(s, 0) {
			return nil, q, fmt.Errorf("%w: a point of the trace is not finite", ErrShape)
		}
		if n := len(p); n > 0 && math.Hypot(v[0]-p[n-1][0], v[1]-p[n-1][1]) < 1e-3 {
			q.Doubled++
			continue
		}
		p = append(p, v)
	}
	p, q.Spikes = spikesOut(p)
	if len(p) < minTracePoints {
		return nil, q, fmt.Errorf("%w: %d usable points of the trace (at least %d)", ErrShape, len(p), minTracePoints)
	}
	along := make([]float64, len(p))
	for i := 1; i < len(p); i++ {
		d := math.Hypot(p[i][0]-p[i-1][0], p[i][1]-p[i-1][1])
		q.Gap = math.Max(q.Gap, d)
		along[i] = along[i-1] + d
	}
	total := along[len(p)-1]
	if q.Gap > maxTraceGap {
		return nil, q, fmt.Errorf("%w: a gap of %.1f mm in the trace (at most %g)", ErrShape, q.Gap, maxTraceGap)
	}
	if total < 30 || total > 2000 {
		return nil, q, fmt.Errorf("%w: the trace is %.0f mm long (from 30 to 2000; noise counts)", ErrShape, total)
	}
	// Evenly spaced along the path, so that dense stretches do not outweigh thin ones.
	n := int(total/resample) + 1
	even := make([][2]float64, n)
	k := 0
	for i := range even {
		s := total * float64(i) / float64(n-1)
		for k+2 < len(p) && along[k+1] < s {
			k++
		}
		t := (s - along[k]) / (along[k+1] - along[k])
		even[i] = [2]float64{p[k][0] + t*(p[k+1][0]-p[k][0]), p[k][1] + t*(p[k+1][1]-p[k][1])}
	}
	h := total / float64(n-1)
	reach := max(2, int(math.Round(window/h)))
	out := make(Outline, n)
	sum := 0.0
	for i := range even {
		a, b := max(0, i-reach), min(n-1, i+reach)
		y, dy, ddy := parabola(even, a, b, i, 0, h)
		z, dz, ddz := parabola(even, a, b, i, 1, h)
		sp := math.Hypot(dy, dz)
		if !(sp > 0.05) {
			return nil, q, fmt.Errorf("%w: the trace turns back on itself at (%.1f, %.1f)", ErrShape, y, z)
		}
		out[i] = Vertex{y, z, math.Atan2(dz, dy), (dy*ddz - dz*ddy) / (sp * sp * sp)}
		off := ((even[i][0]-y)*dz - (even[i][1]-z)*dy) / sp
		sum += off * off
	}
	q.Noise = math.Sqrt(sum / float64(n))
	if q.Noise > maxTraceNoise {
		return nil, q, fmt.Errorf("%w: the trace is noisy by %.2f mm (at most %g)", ErrShape, q.Noise, maxTraceNoise)
	}
	return out, q, out.Check()
}

// spikesOut leaves out points that lie more than 1 mm, and six times the usual distance, off the line through their
// neighbours while those are close together.
func spikesOut(p [][2]float64) ([][2]float64, int) {
	if len(p) < 5 {
		return p, 0
	}
	off := func(i int) float64 {
		a, b := p[i-1], p[i+1]
		d := math.Hypot(b[0]-a[0], b[1]-a[1])
		if d < 1e-9 {
			return math.Hypot(p[i][0]-a[0], p[i][1]-a[1])
		}
		return math.Abs((p[i][0]-a[0])*(b[1]-a[1])-(p[i][1]-a[1])*(b[0]-a[0])) / d
	}
	all := make([]float64, 0, len(p))
	for i := 1; i+1 < len(p); i++ {
		all = append(all, off(i))
	}
	usual := append([]float64(nil), all...)
	sort.Float64s(usual)
	limit := math.Max(1, 6*usual[len(usual)/2])
	out := append(make([][2]float64, 0, len(p)), p[0])
	n := 0
	for i := 1; i+1 < len(p); i++ {
		here := all[i-1]
		peak := (i == 1 || all[i-2] <= here) && (i+2 == len(p) || all[i] <= here)
		if here > limit && peak && math.Hypot(p[i+1][0]-p[i-1][0], p[i+1][1]-p[i-1][1]) < here {
			n++
			continue
		}
		out = append(out, p[i])
	}
	return append(out, p[len(p)-1]), n
}

// parabola fits one coordinate of points a..b by least squares over the path, and gives value and derivatives (by mm of
// path) at point i.
func parabola(p [][2]float64, a, b, i, c int, h float64) (v, d, dd float64) {
	var s1, s2, s3, s4, y0, y1, y2 float64
	n := float64(b - a + 1)
	for j := a; j <= b; j++ {
		x := float64(j - i)
		y := p[j][c] - p[i][c]
		s1 += x
		s2 += x * x
		s3 += x * x * x
		s4 += x * x * x * x
		y0 += y
		y1 += x * y
		y2 += x * x * y
	}
	det := n*(s2*s4-s3*s3) - s1*(s1*s4-s3*s2) + s2*(s1*s3-s2*s2)
	c0 := (y0*(s2*s4-s3*s3) - s1*(y1*s4-s3*y2) + s2*(y1*s3-s2*y2)) / det
	c1 := (n*(y1*s4-s3*y2) - y0*(s1*s4-s3*s2) + s2*(s1*y2-y1*s2)) / det
	c2 := (n*(s2*y2-y1*s3) - s1*(s1*y2-y1*s2) + y0*(s1*s3-s2*s2)) / det
	return p[i][c] + c0, c1 / h, 2 * c2 / (h * h)
}

// Reversed is the chain run the other way, with y and z as they are.
func (o Outline) Reversed() Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		v.Angle = wrap(v.Angle + math.Pi)
		v.K = -v.K
		out[len(o)-1-i] = v
	}
	return out
}

// Flipped is the outline with the sign of z changed.
func (o Outline) Flipped() Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		out[i] = Vertex{v.Y, -v.Z, -v.Angle, -v.K}
	}
	return out
}

func wrap(a float64) float64 { return math.Atan2(math.Sin(a), math.Cos(a)) }

// Forward runs the chain toward growing y.
func (o Outline) Forward() Outline {
	if len(o) > 1 && o[len(o)-1].Y < o[0].Y {
		return o.Reversed()
	}
	return o
}
