package contact

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// ErrNoConicity says that the rolling radius difference does not centre the axle at the amplitude asked for, so that no
// pure cone would run like it.
var ErrNoConicity = errors.New("no equivalent conicity")

// Difference is the rolling radius difference over the lateral shift, straight between its points: mm over mm, shifts
// strictly growing.
type Difference struct{ Shift, RRD []float64 }

// Difference computes the rolling radius difference from shift lo to hi (mm) at most step mm apart. If the step to the
// next point is a jump of the contact, points are added until the jump lies between two shifts a thousandth of a
// millimetre apart.
func (s *Solver) Difference(lo, hi, step float64) (Difference, error) {
	if !(hi > lo) || !(step > 0) || (hi-lo)/step > 1e5 {
		return Difference{}, fmt.Errorf("%w: shifts from %g to %g mm by %g", ErrInput, lo, hi, step)
	}
	n := int(math.Ceil((hi-lo)/step - 1e-9))
	d := Difference{}
	add := func(u float64) (State, error) {
		st, err := s.At(u)
		if err == nil {
			d.Shift, d.RRD = append(d.Shift, u), append(d.RRD, st.RRD)
		}
		return st, err
	}
	last, err := add(lo)
	if err != nil {
		return d, err
	}
	for i := 1; i <= n; i++ {
		u := lo + (hi-lo)*float64(i)/float64(n)
		st, err := s.At(u)
		if err != nil {
			return d, err
		}
		if far(last, st) {
			a, b := last, st
			for b.Shift-a.Shift > jumpWidth {
				m, err := s.At((a.Shift + b.Shift) / 2)
				if err != nil {
					return d, err
				}
				if far(a, m) {
					b = m
				} else {
					a = m
				}
			}
			for _, p := range []State{a, b} {
				if k := len(d.Shift) - 1; p.Shift > d.Shift[k] && p.Shift < u {
					d.Shift, d.RRD = append(d.Shift, p.Shift), append(d.RRD, p.RRD)
				}
			}
		}
		d.Shift, d.RRD = append(d.Shift, u), append(d.RRD, st.RRD)
		last = st
	}
	return d, nil
}

// jumpWidth is how closely in mm of shift a jump is bracketed, jumpReach how far in mm the contact must move within
// that to be called one.
const (
	jumpWidth = 1e-3
	jumpReach = 0.5
)

// far reports whether the contact of either side moved so far from one state to the next that it may have jumped.
func far(a, b State) bool {
	return math.Abs(a.Near.Y-b.Near.Y) > jumpReach || math.Abs(a.Far.Y-b.Far.Y) > jumpReach
}

// At is the difference at shift u (mm), straight between points, the end's outside.
func (d Difference) At(u float64) float64 {
	i := sort.SearchFloat64s(d.Shift, u)
	switch {
	case i == 0:
		return d.RRD[0]
	case i == len(d.Shift):
		return d.RRD[i-1]
	}
	t := (u - d.Shift[i-1]) / (d.Shift[i] - d.Shift[i-1])
	return d.RRD[i-1] + t*(d.RRD[i]-d.RRD[i-1])
}

// Centre is the shift (mm) where the difference is zero and grows: where the axle runs of itself. Of several the one
// nearest to 0.
func (d Difference) Centre() (float64, error) {
	best, ok := 0.0, false
	take := func(u float64) {
		if !ok || math.Abs(u) < math.Abs(best) {
			best, ok = u, true
		}
	}
	for i := range d.Shift {
		if math.Abs(d.RRD[i]) < 1e-9 && (i+1 == len(d.Shift) || d.RRD[i+1] > 0) && (i == 0 || d.RRD[i-1] < 0) {
			take(d.Shift[i])
		} else if i > 0 && d.RRD[i-1] < 0 && d.RRD[i] > 0 {
			take(d.Shift[i-1] - d.RRD[i-1]*(d.Shift[i]-d.Shift[i-1])/(d.RRD[i]-d.RRD[i-1]))
		}
	}
	if !ok {
		return 0, fmt.Errorf("%w: the rolling radius difference is nowhere zero and growing between %.1f and %.1f mm",
			ErrNoConicity, d.Shift[0], d.Shift[len(d.Shift)-1])
	}
	return best, nil
}

// area is the integral of the difference from 0 to each point, and to u.
type area struct {
	d   Difference
	cum []float64
}

func (d Difference) area() area {
	a := area{d, make([]float64, len(d.Shift))}
	for i := 1; i < len(d.Shift); i++ {
		a.cum[i] = a.cum[i-1] + (d.RRD[i]+d.RRD[i-1])/2*(d.Shift[i]-d.Shift[i-1])
	}
	return a
}

func (a area) at(u float64) float64 {
	s := a.d.Shift
	i := min(max(sort.SearchFloat64s(s, u), 1), len(s)-1)
	return a.cum[i-1] + (a.d.RRD[i-1]+a.d.At(u))/2*(u-s[i-1])
}

func (d Difference) covers(lo, hi float64) error {
	const slack = 1e-9
	if len(d.Shift) < 3 || lo < d.Shift[0]-slack || hi > d.Shift[len(d.Shift)-1]+slack {
		return fmt.Errorf("%w: shifts from %.3f to %.3f mm are needed", ErrInput, lo, hi)
	}
	return nil
}

func amplitude(a float64) error {
	if !(a > 0 && a < 100) {
		return fmt.Errorf("%w: amplitude %g mm", ErrInput, a)
	}
	return nil
}

// swing is the centre of a swing of an amplitude (mm), all of which the difference covers.
func (d Difference) swing(amp float64) (centre float64, err error) {
	if err := amplitude(amp); err != nil {
		return 0, err
	}
	if centre, err = d.Centre(); err != nil {
		return 0, err
	}
	return centre, d.covers(centre-amp, centre+amp)
}

// points is how many places of a swing are looked at by the integrals; the integrands are periodic, so the sum
// converges faster than any power if the shape is smooth.
const points = 4000

// Harmonic is the equivalent conicity at an amplitude (mm) by harmonic linearisation (describing function):
// (1/(2*pi*A)) * integral over a turn of RRD(c + A sin t) sin t, about the centre c.
func (d Difference) Harmonic(amp float64) (float64, error) {
	c, err := d.swing(amp)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for i := range points {
		s := math.Sin(2 * math.Pi * (float64(i) + 0.5) / points)
		sum += d.At(c+amp*s) * s
	}
	return sum / points / amp, nil
}

// Integration is the equivalent conicity by the wavelength of the swing d2y/dx2 + RRD(y)/(e*r0) = 0 (the method of EN
// 15302), found from the energy form of its first integral: the swing lasts twice the integral of
// dy/sqrt(2*(F(A)-F(y))) from end to end, F the integral of RRD/(e*r0), and a pure cone lambda has the wavelength of
// lambda = (2*pi/L)^2*e*r0/2, so that e and r0 cancel. The amplitude (mm) is half of the swing from end to end; on
// unequal sides the ends are not equally far from the centre.
func (d Difference) Integration(amp float64) (float64, error) {
	if err := amplitude(amp); err != nil {
		return 0, err
	}
	c, err := d.Centre()
	if err != nil {
		return 0, err
	}
	f := d.area()
	lo, hi := d.Shift[0], d.Shift[len(d.Shift)-1]
	// The middle m of the swing: F(m-A) = F(m+A).
	excess := func(m float64) float64 { return f.at(m+amp) - f.at(m-amp) }
	a, b := math.Max(c-amp, lo+amp), math.Min(c+amp, hi-amp)
	mid := c
	if math.Abs(excess(c)) > 1e-12 {
		if !(a < b) || !(excess(a) <= 0 && excess(b) >= 0) {
			return 0, fmt.Errorf("%w: no swing of %.1f mm between %.1f and %.1f mm", ErrNoConicity, amp, lo, hi)
		}
		for range 60 {
			if mid = (a + b) / 2; excess(mid) > 0 {
				b = mid
			} else {
				a = mid
			}
		}
	}
	if err := d.covers(mid-amp, mid+amp); err != nil {
		return 0, err
	}
	// The energy at the end above that at y, always from the nearer end so that little of it is lost in the difference.
	top, bottom := f.at(mid+amp), f.at(mid-amp)
	sum := 0.0
	for i := range points {
		t := math.Pi * ((float64(i)+0.5)/points - 0.5)
		y := mid + amp*math.Sin(t)
		e := top - f.at(y)
		if t < 0 {
			e = bottom - f.at(y)
		}
		if !(e > 0) {
			return 0, fmt.Errorf("%w: the axle does not swing back from %.2f mm", ErrNoConicity, y)
		}
		sum += amp * math.Cos(t) / math.Sqrt(2*e)
	}
	half := sum * math.Pi / points // half a wavelength for e*r0 = 1
	return math.Pi * math.Pi / (half * half) / 2, nil
}

// Regression is the equivalent conicity by the straight line of least squares through the difference over the amplitude
// (mm) to both sides of the centre: half its slope.
func (d Difference) Regression(amp float64) (float64, error) {
	c, err := d.swing(amp)
	if err != nil {
		return 0, err
	}
	var xy, xx float64
	for i := range points {
		x := amp * (2*(float64(i)+0.5)/points - 1)
		xy += x * d.At(c+x)
		xx += x * x
	}
	return xy / xx / 2, nil
}
