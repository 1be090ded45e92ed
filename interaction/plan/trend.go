package plan

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// trend is the line through dated readings, in the direction of wear; x in years, y in the reading's core unit.
//
// Its error has two parts. That of reading: the variance of one reading about the line is pooled of what the readings'
// ± says (uniform in it, counted as priorDegrees residuals, because two or three rows tell nothing of it themselves)
// and of the residuals, and is never below the former. And that of uneven wear: no year is worn as the mean year, so
// the wear strays from the line like a walk whose step in a year has the standard deviation uneven, of the slope.
type trend struct {
	xs           []float64
	meanX, meanY float64
	slope        float64 // a year
	sxx          float64
	noise        float64 // variance of one reading
	degrees      float64 // of freedom
	walk         float64 // variance of uneven wear in a year
}

// priorDegrees is how many residuals the ± of readings counts for. Project's own choice, no source: the most with which
// the windows hold nine of ten true dates where the reader errs as much again as the ± of a reading says.
const priorDegrees = 5

// trendOf fits the line through at least two points that are not of one day. reading is the standard deviation of one
// reading by its ±, uneven that of a year's wear as a part of the mean year's.
func trendOf(xs, ys []float64, reading, uneven float64) *trend {
	t := &trend{xs: xs}
	n := float64(len(xs))
	t.meanX, t.meanY = stat.Mean(xs, nil), stat.Mean(ys, nil)
	_, t.slope = stat.LinearRegression(xs, ys, nil, false)
	for _, x := range xs {
		t.sxx += (x - t.meanX) * (x - t.meanX)
	}
	ss := 0.0
	for i, x := range xs {
		d := ys[i] - t.at(x)
		ss += d * d
	}
	t.degrees = priorDegrees + n - 2
	t.noise = max(reading*reading, (priorDegrees*reading*reading+ss)/t.degrees)
	t.walk = math.Pow(uneven*max(0, t.slope), 2)
	return t
}

// at is the line.
func (t *trend) at(x float64) float64 { return t.meanY + t.slope*(x-t.meanX) }

// error is the standard error of the slope by reading alone, a year.
func (t *trend) error() float64 { return math.Sqrt(t.noise / t.sxx) }

// last is the x of the last point.
func (t *trend) last() float64 { return t.xs[len(t.xs)-1] }

// variance is that of the line at x against the true wear there: of level and slope together, noise (1/n + (x-mean)²/
// sxx), and of uneven wear, by how the line weighs what strayed up to each of its points.
func (t *trend) variance(x float64) float64 {
	n := float64(len(t.xs))
	v := t.noise * (1/n + (x-t.meanX)*(x-t.meanX)/t.sxx)
	if t.walk == 0 {
		return v
	}
	weight := func(xi float64) float64 { return 1/n + (x-t.meanX)*(xi-t.meanX)/t.sxx }
	first := t.xs[0]
	strays := max(x, first) - first
	for _, a := range t.xs {
		strays -= 2 * weight(a) * (min(a, max(x, first)) - first)
		for _, b := range t.xs {
			strays += weight(a) * weight(b) * (min(a, b) - first)
		}
	}
	return v + t.walk*max(0, strays)
}

// inside is how likely the true date is to lie in a window, half of the rest on either side.
const inside = 0.9

// quantile is how many standard errors a window goes to either side.
func quantile(degrees float64) float64 { return studentsT((1+inside)/2, degrees) }

// studentsT is a quantile of Student's distribution.
func studentsT(p, degrees float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile(p)
}

// approach is a quantity on its way to zero: its expected value and the variance of that, by year.
type approach struct {
	value, variance func(x float64) float64
	degrees         float64
}

// to is the way of a line to a level, in the direction of wear.
func (t *trend) to(level float64) approach {
	return approach{func(x float64) float64 { return level - t.at(x) }, t.variance, t.degrees}
}

// window is from when to when the quantity may reach zero, infinite if not before the year end; it is looked for from
// the year last on, and back to first if it may have been reached by then.
//
// This is inverse prediction, a calibration interval for a mean: the years at which zero lies within t standard errors
// of the line, of level and slope together. For one line without uneven wear the ends are the roots of Fieller's
// quadratic,
//
//	(slope² - t² noise/sxx) d² - 2 slope (level-mean) d + (level-mean)² - t² noise/n = 0
//
// with d from the mean year (E. C. Fieller, J. R. Stat. Soc. B 16 (1954) 175-185, and N. R. Draper, H. Smith, Applied
// Regression Analysis, 3rd ed. 1998, pages 47-51, both second hand by B. M. Greenwell and C. M. Schubert Kabban, The R
// Journal 6/1 (2014) 90-100). Where the slope is not surely above zero there is no last root and the window is open.
func (a approach) window(first, last, end float64) (earliest, likely, latest float64) {
	q := quantile(a.degrees)
	side := func(sign float64) func(float64) float64 {
		return func(x float64) float64 { return a.value(x) + sign*q*math.Sqrt(a.variance(x)) }
	}
	return crossing(side(-1), first, last, end), crossing(a.value, first, last, end),
		crossing(side(1), first, last, end)
}

// crossing is the year in which f comes down to zero: the first after last, or if it is there by then the one in which
// it came down, first if it never was above. It is infinite if f stays above zero to end.
func crossing(f func(float64) float64, first, last, end float64) float64 {
	const step = 1.0 / 12
	hi := last
	if f(last) > 0 {
		for hi = last + step; f(hi) > 0; hi += step {
			if hi > end {
				return math.Inf(1)
			}
		}
	} else {
		for ; f(hi-step) <= 0; hi -= step {
			if hi-step <= first {
				return first
			}
		}
	}
	lo := hi - step
	for hi-lo > 1e-6 {
		if mid := (lo + hi) / 2; f(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
