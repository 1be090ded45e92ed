package passage

import (
	"math"
	"slices"
)

// bearing is how high one part of the track holds a wheel at every station, the wheel's roundness along the track
// included.
type bearing struct {
	x      []float64 // stations, mm
	raw    []seat    // at the section alone; height -Inf: not
	radius float64
	ahead  []float64 // greatest height of raw from a station on within reach, and behind it
	behind []float64
	h      []float64 // height of the tape line's tread, mm; -Inf: not
	y      []float64 // where across, mm
}

// reach is how far along the track a wheel is looked at, as a part of its radius: there its rim has risen by a little
// more than 1/18 of the radius.
const reach = 1.0 / 3

// rolled lets a wheel of the radius roll over the heights.
func rolled(x []float64, raw []seat, radius float64) *bearing {
	n := len(x)
	room := make([]float64, 5*n)
	b := &bearing{x: x, raw: raw, radius: radius, h: room[:n:n], y: room[n : 2*n : 2*n], ahead: room[2*n : 3*n : 3*n],
		behind: room[3*n : 4*n : 4*n]}
	old, queue := room[4*n:], make([]int, n)
	for i := range x {
		b.ahead[i], b.behind[i] = raw[i].height, raw[i].height
	}
	span := 2 * reach * radius
	slide(b.ahead, old, queue, func(i, j int) bool { return x[j]-x[i] <= span })
	slices.Reverse(b.behind)
	slide(b.behind, old, queue, func(i, j int) bool { return x[n-1-i]-x[n-1-j] <= span })
	slices.Reverse(b.behind)
	for i := range x {
		t := b.touch(x[i], i)
		b.h[i], b.y[i] = t.height, t.y
	}
	return b
}

// slide turns v into the greatest value of each window from i to the last j that is near to it. old and queue are room
// for as many values.
func slide(v, old []float64, queue []int, near func(i, j int) bool) {
	queue = queue[:0] // indices of falling values
	copy(old, v)
	end := 0
	for i := range v {
		for ; end < len(v) && near(i, end); end++ {
			for len(queue) > 0 && old[queue[len(queue)-1]] <= old[end] {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, end)
		}
		for queue[0] < i {
			queue = queue[1:]
		}
		v[i] = old[queue[0]]
	}
}

// touching is where a rolling wheel is held up.
type touching struct {
	height float64 // mm
	slope  float64 // of its path, upward per length toward the heel
	y      float64 // across, mm
}

// touch finds what holds the wheel up at x, which lies at or behind station i: of the heights, straight from station to
// station, the one that is greatest less the rise of the rim over it. The path's slope is that of the surface touched.
func (b *bearing) touch(x float64, i int) touching {
	r := b.radius
	best := touching{height: math.Inf(-1)}
	over := 0.0 // how far along the touched place lies
	limit := r * reach
	half := 1 / (2 * r)
	segment := func(j int, high float64) bool { // from station j to the next; false: nothing farther on can be higher
		p, q := b.x[j]-x, b.x[j+1]-x
		near := 0.0
		if p > 0 {
			near = p
		} else if q < 0 {
			near = -q
		}
		rise := near * near * half // of the rim, at least
		if near > limit || high-rise <= best.height {
			return false
		}
		hp, hq := b.raw[j].height, b.raw[j+1].height
		if hp-rise <= best.height && hq-rise <= best.height {
			return true
		}
		d, h, y := p, hp, b.raw[j].y
		switch {
		case math.IsInf(hp, 0):
			d, h, y = q, hq, b.raw[j+1].y
		case !math.IsInf(hq, 0):
			m := (hq - hp) / (q - p)
			if d = r * m / math.Sqrt(1+m*m); d < p {
				d = p
			} else if d > q {
				d = q
			}
			h = hp + m*(d-p)
			if d-p > q-d {
				y = b.raw[j+1].y
			}
		}
		if v := h - (r - math.Sqrt(r*r-d*d)); v > best.height && d <= limit && d >= -limit {
			best.height, best.y, over = v, y, d
		}
		return true
	}
	for j := i; j+1 < len(b.x) && segment(j, b.ahead[j]); j++ {
	}
	for j := i - 1; j >= 0 && segment(j, b.behind[j+1]); j-- {
	}
	best.slope = over / math.Sqrt(r*r-over*over)
	return best
}

// at is touch at any place between the first and last station.
func (b *bearing) at(x float64) touching {
	lo, hi := 0, len(b.x)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; b.x[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return b.touch(x, lo)
}

// crossing finds between x0 and x1, where a is above b at one end only, the place where both hold the wheel.
func crossing(a, b *bearing, x0, x1 float64) (x float64, ta, tb touching) {
	first := a.at(x0).height - b.at(x0).height
	for range 40 {
		x = (x0 + x1) / 2
		ta, tb = a.at(x), b.at(x)
		if (ta.height-tb.height >= 0) == (first >= 0) { // as the callers have it: they may meet at x0
			x0 = x
		} else {
			x1 = x
		}
		if x1-x0 < 1e-6 {
			break
		}
	}
	return x, ta, tb
}
