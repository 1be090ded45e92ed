package draw

import (
	"fmt"
	"math"
	"slices"
	"unicode/utf8"
)

// letterWide is how wide a letter is of its height, in the usual sans-serif, on an average.
const letterWide = 0.6

// roomWide is the room that a letter is given, as much as a figure takes in the widest of the usual fonts.
const roomWide = 0.64

// label is a text that finds its place when all lines are drawn, so that no line runs through it.
type label struct {
	x, y       float64 // of the first line's foot, as near to it as there is room
	anchor     string  // start, middle or end; "" is start
	lines      []string
	size       float64 // of its letters
	attributes string
	near       [][2]float64 // the places that it may take, first the best; none: about x, y
}

// label writes text as near to x, y as no line runs and no other text stands; anchor is start, middle or end.
func (s *sheet) label(x, y float64, anchor, text string) {
	if text != "" {
		s.labels = append(s.labels, label{x: x, y: y, anchor: anchor, lines: []string{text}, size: s.letters()})
	}
}

// beside names an upright line at x, close to it on either side so that it names no other, as near to y as there is
// room between top and foot.
func (s *sheet) beside(x, y, top, foot float64, text string) {
	l := label{x: x + 4, y: y, anchor: "middle", lines: []string{text}, size: s.letters()}
	half := l.box(0, 0)[2]
	l.x += half
	for off := 0.0; off <= foot-top; off += 3 {
		for _, at := range []float64{y + off, y - off} {
			if at >= top && at <= foot {
				l.near = append(l.near, [2]float64{x + 4 + half, at}, [2]float64{x - 4 - half, at})
			}
		}
	}
	s.labels = append(s.labels, l)
}

// letters is the height of a label's letters: of the pair drawings and the curve of money larger than of whole sheets.
func (s *sheet) letters() float64 {
	if s.width > pairWidth {
		return 12
	}
	return letter
}

// box is the place of a label whose first line's foot stands at x, y.
func (l label) box(x, y float64) [4]float64 {
	wide := 0.0
	for _, s := range l.lines {
		wide = math.Max(wide, float64(utf8.RuneCountInString(s))*l.size*roomWide)
	}
	switch l.anchor {
	case "middle":
		x -= wide / 2
	case "end":
		x -= wide
	}
	high := float64(len(l.lines)-1) * l.size * line / letter
	return [4]float64{x, y - 0.76*l.size, x + wide, y + high + 0.22*l.size}
}

// crossed reports whether a line runs through a box.
func crossed(b, stroke [4]float64) bool {
	// The part of the line between the box's sides, one after the other.
	t0, t1 := 0.0, 1.0
	for axis := range 2 {
		from, way := stroke[axis], stroke[axis+2]-stroke[axis]
		lo, hi := b[axis]-from, b[axis+2]-from
		if way == 0 {
			if lo >= 0 || hi <= 0 {
				return false
			}
			continue
		}
		lo, hi = lo/way, hi/way
		t0, t1 = math.Max(t0, math.Min(lo, hi)), math.Min(t1, math.Max(lo, hi))
	}
	return t0 < t1
}

// free reports whether no line runs through the box and no text stands in it.
func (s *sheet) free(b [4]float64, placed [][4]float64) bool {
	return !slices.ContainsFunc(placed, func(p [4]float64) bool {
		return b[0]-4 < p[2] && p[0] < b[2]+4 && b[1] < p[3] && p[1] < b[3]
	}) && !slices.ContainsFunc(s.strokes, func(l [4]float64) bool { return crossed(b, l) })
}

// How far from where it is meant to stand a label may stand, units.
const (
	farAcross, farDown   = 126.0, 96.0
	stepAcross, stepDown = 6.0, 3.0
)

// around are places about a point, first the nearest; moving up or down disturbs less than moving aside.
func around() [][2]float64 {
	var out [][2]float64
	for dx := -farAcross; dx <= farAcross; dx += stepAcross {
		for dy := -farDown; dy <= farDown; dy += stepDown {
			out = append(out, [2]float64{dx, dy})
		}
	}
	far := func(p [2]float64) float64 { return math.Hypot(p[0], p[1]) + math.Abs(p[0])/2 }
	slices.SortStableFunc(out, func(a, b [2]float64) int {
		switch d := far(a) - far(b); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	return out
}

// place finds a place for each label between top and foot of the sheet. It reports whether each has one that no line
// crosses; one without keeps the place that it was meant for.
func (s *sheet) place(top, foot float64) bool {
	var placed [][4]float64
	var offsets [][2]float64
	all := true
	for i := range s.labels {
		l := &s.labels[i]
		near := l.near
		fits := func(x, y float64) bool {
			b := l.box(x, y)
			if b[0] < 2 || b[2] > s.width-2 || b[1] < top || b[3] > foot || !s.free(b, placed) {
				return false
			}
			l.x, l.y = x, y
			placed = append(placed, b)
			return true
		}
		x, y := l.x, l.y
		if len(near) == 0 {
			if fits(x, y) {
				continue
			}
			if b := l.box(x, y); b[0] < 2 { // as near to the sheet's edge as it may stand
				x += 2 - b[0]
			} else if b[2] > s.width-2 {
				x -= b[2] - s.width + 2
			}
			if offsets == nil {
				offsets = around()
			}
			near = offsets
		} else {
			x, y = 0, 0
		}
		if !slices.ContainsFunc(near, func(p [2]float64) bool { return fits(x+p[0], y+p[1]) }) {
			all = false
			placed = append(placed, l.box(l.x, l.y))
		}
	}
	return all
}

// writeLabels writes the labels where they were placed, over what is drawn.
func (s *sheet) writeLabels() {
	for _, l := range s.labels {
		anchor := ""
		if l.anchor != "" {
			anchor = ` text-anchor="` + l.anchor + `"`
		}
		for i, text := range l.lines {
			fmt.Fprintf(&s.b, "<text x=\"%s\" y=\"%s\"%s%s>%s</text>\n", xy(l.x), xy(l.y+l.size*line/letter*float64(i)),
				anchor, l.attributes, escape(text))
		}
	}
}
