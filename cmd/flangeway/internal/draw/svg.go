// Package draw makes the drawings of every command: SVG to scale, the same bytes for the same values, with title and
// description inside, readable in black and white. It takes values and computes nothing but where they go on the sheet.
//
// The drawing of a pair has wheels white, track steel grey, and black what both would fill. The dimensions written on
// it are to scale; treads are without their taper and the curves between the dimensions are no reading.
package draw

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
)

// perInch is how many units of the drawing an inch of paper is.
const perInch = 96.0

// sheet collects the elements of one drawing; x to the right, y downward, in units of 1/96 in of paper.
type sheet struct {
	b             bytes.Buffer
	width, bottom float64      // of the paper
	strokes       [][4]float64 // every line that is drawn: x0, y0, x1, y1
	labels        []label      // find their places when all lines are drawn
}

func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r < ' ' || r == 0xFFFE || r == 0xFFFF: // not allowed in XML
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// xy writes a coordinate: to a tenth, a thousandth of an inch, no negative zero.
func xy(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)
}

func newSheet(width, height float64, title, desc string) *sheet {
	s := &sheet{width: width * perInch, bottom: height * perInch}
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%sin" height="%sin" viewBox="0 0 %s %s" `+
		`role="img" aria-labelledby="t d" font-family="sans-serif" font-size="12" stroke-linejoin="round">`+"\n",
		xy(width), xy(height), xy(width*perInch), xy(height*perInch))
	fmt.Fprintf(&s.b, "<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>\n", escape(title), escape(desc))
	fmt.Fprintf(&s.b, "<rect width=\"%s\" height=\"%s\" fill=\"#fff\"/>\n", xy(width*perInch), xy(height*perInch))
	return s
}

// done writes the caution that stands under every drawing, and closes it.
func (s *sheet) done() []byte {
	s.labels = append(s.labels, label{x: 8, y: s.bottom - 5, lines: []string{caution.Drawing()}, size: 9,
		attributes: ` font-size="9"`})
	return s.end()
}

// paperSize is how large the paper of a drawing is.
var paperSize = regexp.MustCompile(`viewBox="0 0 ([\d.]+) ([\d.]+)"`)

// Named writes at the foot of a drawing, above the caution, what is shown and in which survey it was read.
func Named(svg []byte, text string) []byte {
	size := paperSize.FindSubmatch(svg)
	body, ok := bytes.CutSuffix(svg, []byte("</svg>\n"))
	if text == "" || size == nil || !ok {
		return svg
	}
	width, _ := strconv.ParseFloat(string(size[1]), 64)
	high, _ := strconv.ParseFloat(string(size[2]), 64)
	return fmt.Appendf(slices.Clone(body), "<text x=\"%s\" y=\"%s\" text-anchor=\"end\" font-size=\"9\">%s</text>\n"+
		"</svg>\n", xy(width-8), xy(high-17), escape(text))
}

// end finds places for the labels, writes them and closes the drawing.
func (s *sheet) end() []byte {
	s.place(2, s.bottom)
	s.writeLabels()
	s.b.WriteString("</svg>\n")
	return s.b.Bytes()
}

// style is how a line is drawn.
type style struct {
	width float64
	dash  string // "" solid
	fill  string // "" none
}

func (st style) String() string {
	fill := st.fill
	if fill == "" {
		fill = "none"
	}
	return `fill="` + fill + `" ` + st.stroke()
}

// stroke is how the line is drawn of what has no inside.
func (st style) stroke() string {
	out := fmt.Sprintf(`stroke="#000" stroke-width="%s"`, xy(st.width))
	if st.dash != "" {
		out += ` stroke-dasharray="` + st.dash + `"`
	}
	return out
}

func (s *sheet) path(points [][2]float64, closed bool, st style) {
	if len(points) < 2 {
		return
	}
	for i, p := range points {
		if i > 0 {
			s.strokes = append(s.strokes, [4]float64{points[i-1][0], points[i-1][1], p[0], p[1]})
		} else if closed {
			last := points[len(points)-1]
			s.strokes = append(s.strokes, [4]float64{last[0], last[1], p[0], p[1]})
		}
	}
	s.b.WriteString(`<path d="`)
	last := ""
	for i, p := range points {
		at := xy(p[0]) + " " + xy(p[1])
		if at == last {
			continue
		}
		last = at
		if i == 0 {
			s.b.WriteString("M" + at)
		} else { // what follows a start is a line
			s.b.WriteString(" " + at)
		}
	}
	if closed {
		s.b.WriteByte('Z')
	}
	fmt.Fprintf(&s.b, "\" %s/>\n", st)
}

func (s *sheet) line(x0, y0, x1, y1 float64, st style) {
	s.strokes = append(s.strokes, [4]float64{x0, y0, x1, y1})
	fmt.Fprintf(&s.b, "<line x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\" %s/>\n", xy(x0), xy(y0), xy(x1),
		xy(y1), st.stroke())
}

func (s *sheet) circle(x, y, r float64, st style) {
	s.strokes = append(s.strokes, [4]float64{x - r, y - r, x + r, y - r}, [4]float64{x + r, y - r, x + r, y + r},
		[4]float64{x + r, y + r, x - r, y + r}, [4]float64{x - r, y + r, x - r, y - r})
	fmt.Fprintf(&s.b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" %s/>\n", xy(x), xy(y), xy(r), st)
}

// heading writes bold text at the top left.
func (s *sheet) heading(text string) {
	s.labels = append(s.labels, label{x: 40, y: 34, lines: []string{text}, size: 15,
		attributes: ` font-weight="bold" font-size="15"`})
}
