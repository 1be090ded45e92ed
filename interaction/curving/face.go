package curving

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// leastFace is over how far in mm a wheel must be lifted along a face for it to count as one.
const leastFace = 1.0

// rest is where a rigid wheel bears at a shift from begin: by how far it is lifted, mm, and at which angle.
type rest struct{ shift, lift, angle float64 }

// restAt lays the wheel down there; the solver keeps where it has been.
func (b *builder) restAt(u float64) (rest, error) {
	st, err := b.s.Alone(u)
	return rest{u, st.Near.Z - st.Near.RailZ, st.Near.Angle}, err
}

// steepestFace is the steepest angle, rad, at which the rigid wheel bears while it is lifted by leastFace: that of the
// steepest face which wheel and rail both have. The angle of the loaded contact lies to either side of it by where the
// strips happen to be. Found from the rests at the rows, with more of them laid between where it may be.
func (b *builder) steepestFace() float64 {
	sort.Slice(b.rests, func(i, j int) bool { return b.rests[i].shift < b.rests[j].shift })
	best := 0.0
	for _, r := range b.rests {
		best = math.Max(best, r.angle)
	}
	// What is no steeper than so much less, rad, is not looked at closely, unless the steepest is no face.
	for _, beside := range []float64{0.05, 0.2, best - leastFlange} {
		list := b.stretches(&best, beside)
		slices.SortFunc(list, func(x, y stretch) int { return cmp.Compare(y.angle, x.angle) })
		sum := 0.0
		for _, s := range list {
			if s.angle < best-beside {
				break
			}
			if sum += s.lift; sum >= leastFace {
				return s.angle
			}
		}
	}
	return math.Min(best, b.f.flange) // no face so long
}

// stretch is a way over which a wheel is lifted by so much, mm, at so much or more, rad.
type stretch struct{ lift, angle float64 }

// stretches are those at no less than beside under the steepest, best, which they may raise.
func (b *builder) stretches(best *float64, beside float64) (list []stretch) {
	const (
		fine = 0.25 // mm of lift
		most = 8    // halvings of a step
	)
	var look func(x, y rest, depth int)
	look = func(x, y rest, depth int) {
		*best = math.Max(*best, math.Max(x.angle, y.angle))
		lift := math.Abs(y.lift - x.lift)
		if math.Max(x.angle, y.angle) < math.Max(*best-beside, leastFlange) {
			return
		}
		if lift > fine && depth < most {
			if mid, err := b.restAt((x.shift + y.shift) / 2); err == nil {
				look(x, mid, depth+1)
				look(mid, y, depth+1)
				return
			}
		}
		list = append(list, stretch{lift, math.Min(x.angle, y.angle)})
	}
	for i := 1; i < len(b.rests); i++ {
		look(b.rests[i-1], b.rests[i], 0)
	}
	return list
}
