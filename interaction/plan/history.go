package plan

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"flangeway/internal/measure"
)

// row is one dated value, mm or degrees.
type row struct {
	date measure.Date
	r    measure.Reading
}

// history is the dated values of a reading, oldest first.
type history struct {
	column string
	of     string  // the wheel of its axle; "" of a place
	sign   float64 // 1: wear makes it greater
	rows   []row
	read   int // how many rows had the reading, with those that have no value
	notes  []string
}

func (h *history) note(format string, args ...any) {
	h.notes = append(h.notes, fmt.Sprintf(format, args...))
}

// back is by how much a reading is better than an earlier one, beyond the ± of both.
func (h *history) back(was, is row) float64 {
	return h.sign*(was.r.As-is.r.As) - (was.r.Width()+is.r.Width())/2 - measure.Near
}

// plain leaves the rows that have a value and a day, without single ones that lie off both of their neighbours.
func (h *history) plain() {
	oneSided := 0
	var rows []row
	for _, r := range h.rows {
		switch {
		case !r.date.Known() || !r.r.Measured():
		case r.r.OneSided():
			oneSided++
		default:
			rows = append(rows, r)
		}
	}
	h.read = len(rows) + oneSided
	if oneSided > 0 {
		h.note("%d go/no-go readings have no value and are not used", oneSided)
	}
	for i := 1; i+1 < len(rows); i++ {
		a, x, b := rows[i-1], rows[i], rows[i+1]
		off := min(h.back(x, a), h.back(x, b)) // worse than both
		if off <= 0 {
			off = min(h.back(a, x), h.back(b, x)) // better than both
		}
		// the next one goes on where the one before was, so nothing was mended or changed in between
		if off > 0 && h.back(a, b) <= 0 && h.back(b, a) < off {
			h.note("outlier: %s of %s lies off the rows before and behind it (%s, %s) and is not used", x.r.Written,
				x.date, a.r.Written, b.r.Written)
			rows = slices.Delete(rows, i, i+1)
		}
	}
	h.rows = rows
}

// repaired cuts the histories of what is repaired together at the last repair that one of them shows, or at a later day
// on which it was turned: a reading that went back by more than the ± of both was repaired, or the reader held the
// gauge otherwise, and so was all that goes with it.
func repaired(list []*history, turned measure.Date) {
	var by *history
	var was, is row
	for _, h := range list {
		h.plain()
		for i := len(h.rows) - 1; i > 0; i-- {
			if h.back(h.rows[i-1], h.rows[i]) > 0 {
				if by == nil || h.rows[i].date > is.date {
					by, was, is = h, h.rows[i-1], h.rows[i]
				}
				break
			}
		}
	}
	for _, h := range list {
		n := len(h.rows)
		if by != nil && turned <= is.date {
			if h.cut(is.date); len(h.rows) < n {
				what := ""
				if h != by {
					if what = by.column + ": "; by.of != h.of {
						what = by.column + " of " + by.of + ": "
					}
				}
				h.note("%srepaired or read otherwise between %s and %s (%s, then %s): only the rows since are used",
					what, was.date, is.date, was.r.Written, is.r.Written)
			}
		} else if h.cut(turned); len(h.rows) < n {
			h.note("turned on %s: only the rows since are used", turned)
		}
	}
}

// cut leaves the rows from a day on.
func (h *history) cut(from measure.Date) {
	h.rows = slices.DeleteFunc(h.rows, func(r row) bool { return r.date < from })
}

// apart reports whether point i lies off the line through the others by more than their scatter and the readings' ±
// explain, and by how much: its residual over its standard error is beyond the t quantile that one of a hundred
// histories passes (R-student, from memory: R. D. Cook and S. Weisberg, Residuals and Influence in Regression, 1982).
// Fewer than three others tell nothing.
func apart(xs, ys []float64, i int, reading, uneven float64) (by float64, off bool) {
	n := len(xs)
	if n < 4 {
		return 0, false
	}
	t := trendOf(slices.Delete(slices.Clone(xs), i, i+1), slices.Delete(slices.Clone(ys), i, i+1), reading, uneven)
	by = ys[i] - t.at(xs[i])
	return by, math.Abs(by) > studentsT(1-0.005/float64(n), t.degrees)*math.Sqrt(t.noise+t.variance(xs[i]))
}

// odd names rates that stand out among those of the same reading: farther from the median than twice their own error
// and than three robust standard deviations of all (1.4826 times the median deviation). If more than a tenth of them
// do, none stands out.
func odd(list []*worn) {
	by := map[string][]*worn{}
	for _, w := range list {
		if w.Known {
			by[w.Column] = append(by[w.Column], w)
		}
	}
	for _, peers := range by {
		if len(peers) < 5 {
			continue
		}
		rates, off := make([]float64, len(peers)), make([]float64, len(peers))
		for i, w := range peers {
			rates[i] = w.Rate
		}
		mid := median(rates)
		for i, w := range peers {
			off[i] = math.Abs(w.Rate - mid)
		}
		usual := 3 * 1.4826 * median(off)
		out := slices.DeleteFunc(slices.Clone(peers), func(w *worn) bool {
			by := math.Abs(w.Rate - mid)
			return by <= 2*w.Spread || by <= usual+measure.Near
		})
		if len(out) > max(1, len(peers)/10) {
			continue
		}
		for _, w := range out {
			w.Notes = append(w.Notes, fmt.Sprintf("outlier: of the %d that have a rate, the middle one is %s",
				len(peers), aYear(w.Column, mid)))
		}
	}
}

// median is the middle of a list.
func median(list []float64) float64 {
	list = slices.Sorted(slices.Values(list))
	return (stat.Quantile(0.5, stat.Empirical, list, nil) + list[len(list)/2]) / 2
}
