package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/configs"
)

// CostPoint is one plan: what it costs, what the track side's share is, and the pairs that it leaves.
type CostPoint struct {
	Cost, Track float64
	Left        int
}

// labelledSteps is how many of the steps say their cost and what they leave.
const labelledSteps = 3

// CostCurve draws money against pairs left as steps, with the track side's share of the money as a dashed line. It is
// black on white and has no meaning in colour.
func CostCurve(points []CostPoint, currency string) []byte {
	const left, right, top, bottom, high = 84.0, 72.0, 58.0, 140.0, 480.0
	s := &sheet{width: pairWidth, bottom: high}
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%sin" height="%sin" viewBox="0 0 %g %g" `+
		`role="img" aria-labelledby="money-t money-d" font-family="sans-serif" font-size="%g" stroke-linejoin="round">`+
		"\n", xy(pairWidth/perInch), xy(high/perInch), pairWidth, high, letter)
	fmt.Fprintf(&s.b, "<title id=\"money-t\">Money and pairs left</title>\n<desc id=\"money-d\">%d plans, from doing "+
		"nothing to removing all; cost in %s to the right, pairs left upward.</desc>\n", len(points), escape(currency))
	fmt.Fprintf(&s.b, "<rect width=\"%g\" height=\"%g\" fill=\"#fff\"/>\n", pairWidth, high)
	w, h := pairWidth-left-right, high-top-bottom
	most, pairs := 1.0, 1.0
	for _, p := range points {
		most, pairs = math.Max(most, p.Cost), math.Max(pairs, float64(p.Left))
	}
	most, pairs = roundUp(most), roundUp(pairs)
	x := func(cost float64) float64 { return left + cost/most*w }
	y := func(n float64) float64 { return top + h - n/pairs*h }
	thin, thick := style{width: 0.5}, style{width: 1.5}
	for i := range 5 {
		f := float64(i) / 4
		s.line(left, y(f*pairs), left+6, y(f*pairs), thin)
		s.line(left+w-6, y(f*pairs), left+w, y(f*pairs), thin)
		s.label(left-6, y(f*pairs)+6, "end", short(f*pairs))
		s.label(left+w+6, y(f*pairs)+6, "start", fmt.Sprintf("%.0f %%", 100*f))
		s.line(x(f*most), top+h, x(f*most), top+h+4, thin)
		if i%2 == 0 {
			s.label(x(f*most), top+h+26, "middle", short(f*most))
		}
	}
	s.line(left, top, left, top+h, thin)
	s.line(left, top+h, left+w, top+h, thin)
	s.line(left+w, top, left+w, top+h, thin)
	s.label(left+w/2, top+h+50, "middle", "cost, "+currency)
	s.label(4, 20, "start", "solid: pairs left (at a step its cost: pairs left)")
	s.label(4, 42, "start", "dashed: the track side's share of the cost, percent")
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
	last := top + h - 6 + line
	for _, i := range slices.Backward(bigSteps(points)) { // left of the step, where nothing of the curve is
		at := math.Min(y(float64(points[i].Left))-6, last-line)
		last = at
		text := fmt.Sprintf("%s: %s", short(points[i].Cost), short(float64(points[i].Left)))
		anchor, from := "end", x(points[i].Cost)-8
		if from-float64(len(text))*letter*letterWide < left {
			anchor, from = "start", x(points[i].Cost)+8
		}
		s.label(from, at, anchor, text)
	}
	for i, t := range wrapped(caution.Drawing(), 52, 3) {
		s.label(4, high-50+line*float64(i), "start", t)
	}
	return s.end()
}

// bigSteps are the plans that leave the most pairs fewer than the one before, as they follow one another.
func bigSteps(points []CostPoint) []int {
	var out []int
	for i := 1; i < len(points); i++ {
		out = append(out, i)
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return (points[b-1].Left - points[b].Left) - (points[a-1].Left - points[a].Left)
	})
	out = out[:min(len(out), labelledSteps)]
	slices.Sort(out)
	return out
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

// short is a figure with its thousands set apart.
func short(v float64) string { return configs.Apart(strconv.FormatFloat(v, 'f', -1, 64)) }
