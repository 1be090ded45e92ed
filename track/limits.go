package track

import (
	"fmt"
	"math"

	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// Readable lists what can be read of a kind of feature, or derived from its readings, as the limit books name it.
func (k Kind) Readable() (out []string) {
	for _, c := range k.Columns() {
		if c.reading || c.Name == "speed_mph" || c.Name == "warp_over" {
			out = append(out, c.Name)
		}
	}
	if k == Curve {
		out = append(out, "unbalance", "over_curve_speed")
	}
	return out
}

// Subject is the feature as the limit books see it.
func (f *Feature) Subject() limit.Subject {
	return limit.Subject{Kind: f.Kind.String(), Class: f.Class, FrogType: f.Type,
		Read: func(quantity string) measure.Reading {
			switch quantity {
			case "speed_mph":
				if !f.SpeedKnown {
					return measure.Reading{}
				}
				return measure.Exact(f.Speed, fmt.Sprintf("%g mph", f.Speed))
			case "unbalance":
				return f.unbalance()
			case "over_curve_speed":
				return f.overCurveSpeed()
			case "warp_over":
				return measure.Exact(f.WarpOverFt, fmt.Sprintf("%g ft", f.WarpOverFt))
			case "warp":
				return f.warpBelow62()
			}
			if q, ok := QuantityOf(quantity); ok {
				return f.Read(q)
			}
			return measure.Reading{}
		}}
}

// unbalance is the elevation that a curve lacks at its speed, mm: 0.0007 D V² − Ea inches (49 CFR 213.57(b)). It is
// missing unless degree, elevation and speed are known.
func (f *Feature) unbalance() measure.Reading {
	d, e := f.Read(Degree), f.Read(Elevation)
	if !f.hasCurveSpeed() || !f.SpeedKnown {
		return measure.Reading{}
	}
	need := BalancedElevation(d.As, f.Speed)
	return measure.Reading{Form: measure.Point, As: need - e.As, Lo: need - e.Hi, Hi: need - e.Lo, Place: e.Place,
		Written: fmt.Sprintf("%.2f in at %g mph", (need-e.As)/measure.MMPerInch, f.Speed)}
}

// curveConstant is the 0.0007 of 49 CFR 213.57(b), per degree and mph².
const curveConstant = 0.0007

// BalancedElevation is the elevation in mm that a speed in mph needs in a curve of so many degrees:
// 0.0007 D V² inches (49 CFR 213.57(b)).
func BalancedElevation(degree, mph float64) float64 {
	return curveConstant * degree * mph * mph * measure.MMPerInch
}

// MaxSpeedMPH is the greatest speed that a sheet may name; the greatest of Appendix A Table 1 is less.
const MaxSpeedMPH = 200

// UnbalanceIn is the cant deficiency that any vehicle may run at, inches: 49 CFR 213.57(c) and Appendix A, Table 1.
const UnbalanceIn = 3

// CurveSpeedMPH is the greatest curve speed in mph, Vmax = sqrt((Ea + Eu)/(0.0007 D)), for an elevation Ea and an
// unbalance Eu in inches and a degree of curve D above 0. If Ea + Eu is negative or D is not positive the error says
// so.
//
// Source: 49 CFR 213.57(b); Appendix A prints it rounded to the nearest mph.
func CurveSpeedMPH(eaIn, euIn, d float64) (float64, error) {
	if !(d > 0 && d <= measure.MaxDegree) {
		return 0, fmt.Errorf("no curve speed for a curve of %g degrees (above 0 to %d)", d, measure.MaxDegree)
	}
	if !(eaIn+euIn >= 0) {
		return 0, fmt.Errorf("no curve speed for an elevation of %g in and an unbalance of %g in", eaIn, euIn)
	}
	return math.Sqrt((eaIn + euIn) / (curveConstant * d)), nil
}

// CurveSpeed is the greatest speed of the curve in mph at an unbalance of [UnbalanceIn], rounded as in Appendix A Table
// 1. ok is false unless degree and elevation are read.
func (f *Feature) CurveSpeed() (mph int, ok bool) {
	if !f.hasCurveSpeed() {
		return 0, false
	}
	v, ok := roundedSpeed(f.Read(Elevation).As, f.Read(Degree).As)
	return int(v), ok
}

// hasCurveSpeed reports whether degree and elevation of a curve are read, as values.
func (f *Feature) hasCurveSpeed() bool {
	d, e := f.Read(Degree), f.Read(Elevation)
	return f.Kind == Curve && d.Measured() && e.Measured() && !d.OneSided() && !e.OneSided()
}

// roundedSpeed is the greatest curve speed for an elevation in mm and a degree, in whole mph as Appendix A Table 1
// prints it: to the nearest. It is 0 if the curve is so much the wrong way that no speed is left.
func roundedSpeed(elevation, degree float64) (mph float64, ok bool) {
	v, err := CurveSpeedMPH(math.Max(elevation/measure.MMPerInch, -UnbalanceIn), UnbalanceIn, degree)
	if err != nil || v > 500 {
		return 0, false
	}
	return math.Round(v), true
}

// overCurveSpeed is by how much the speed of a curve is above its greatest, [CurveSpeed], in mph. It is missing unless
// degree, elevation and speed are known.
func (f *Feature) overCurveSpeed() measure.Reading {
	if !f.hasCurveSpeed() || !f.SpeedKnown {
		return measure.Reading{}
	}
	d, e := f.Read(Degree), f.Read(Elevation)
	as, ok := roundedSpeed(e.As, d.As)
	if !ok {
		return measure.Reading{}
	}
	r := measure.Reading{Form: measure.Point, As: f.Speed - as, Place: e.Place,
		Written: fmt.Sprintf("%g mph where the curve speed is %g mph", f.Speed, as)}
	r.Lo, r.Hi = r.As, r.As
	if most, ok := roundedSpeed(e.Hi, d.Lo); ok {
		r.Lo = f.Speed - most
	}
	if least, ok := roundedSpeed(e.Lo, d.Hi); ok {
		r.Hi = f.Speed - least
	}
	if low := f.Read(CrosslevelLeast); low.Measured() && !low.OneSided() && low.As < e.As-measure.Near {
		if least, ok := roundedSpeed(low.As, d.As); ok && least < as {
			r.Hi = math.Max(r.Hi, f.Speed-least)
			r.Written += fmt.Sprintf(" (%g mph if its least elevation, %s, is runoff in the curve: 49 CFR 213.59)",
				least, low.Written)
		}
	}
	return r
}

// warpBelow62 is the warp as 49 CFR 213.63 speaks of it, between two points less than 62 ft apart; one that was read
// over more is none of those.
func (f *Feature) warpBelow62() measure.Reading {
	if f.WarpOverFt > WarpFt {
		return measure.Reading{}
	}
	return f.Read(Warp)
}
