package draw

import (
	"fmt"
	"math"
	"strconv"
)

// CostPoint is one plan: what it costs, what the track side's share is, and the pairs that it leaves.
type CostPoint struct {
	Cost, Track float64
	Left        int
}

// CostCurve draws money against pairs left as steps, with the track side's share of the money as a dashed line. It is
// black on white and has no meaning in colour.
func CostCurve(points []CostPoint, currency string) []byte {
	const width, height = 5.4, 3.8
	const left, right, top, bottom = 60.0, 60.0, 30.0, 62.0
	s := newSheet(width, height, "Money and pairs left",
		fmt.Sprintf("%d plans, from doing nothing to removing all; cost in %s to the right, pairs left upward.",
			len(points), currency))
	w, h := width*perInch-left-right, height*perInch-top-bottom
	most, pairs := 1.0, 1.0
	for _, p := range points {
		most, pairs = math.Max(most, p.Cost), math.Max(pairs, float64(p.Left))
	}
	most, pairs = roundUp(most), roundUp(pairs)
	x := func(cost float64) float64 { return left + cost/most*w }
	y := func(n float64) float64 { return top + h - n/pairs*h }
	thin, thick := style{width: 0.5}, style{width: 1.5}
	for i := range 6 {
		f := float64(i) / 5
		s.line(left, y(f*pairs), left+w, y(f*pairs), style{width: 0.25})
		s.label(left-6, y(f*pairs)+4, "end", short(f*pairs))
		s.label(left+w+6, y(f*pairs)+4, "start", fmt.Sprintf("%.0f %%", 100*f))
		s.line(x(f*most), top+h, x(f*most), top+h+4, thin)
		s.label(x(f*most), top+h+18, "middle", short(f*most))
	}
	s.line(left, top, left, top+h, thin)
	s.line(left, top+h, left+w, top+h, thin)
	s.label(left+w/2, top+h+38, "middle", "cost, "+currency)
	s.label(left, top-12, "start", "pairs left (solid); track side's share of cost (dashed)")
	var steps, share [][2]float64
	for i, p := range points {
		if i > 0 {
			steps = append(steps, [2]float64{x(p.Cost), y(float64(points[i-1].Left))})
		}
		steps = append(steps, [2]float64{x(p.Cost), y(float64(p.Left))})
		s.circle(x(p.Cost), y(float64(p.Left)), 2.5, style{width: 1, fill: "#000"})
		if p.Cost > 0 {
			share = append(share, [2]float64{x(p.Cost), y(p.Track / p.Cost * pairs)})
		}
	}
	s.path(steps, false, thick)
	s.path(share, false, style{width: 1, dash: "4 3"})
	return s.done()
}

// roundUp is the least of 1, 2, 2.5, 5 times a power of ten at or above v.
func roundUp(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, f := range []float64{1, 2, 2.5, 5, 10} {
		if f*p >= v {
			return f * p
		}
	}
	return v
}

func short(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
