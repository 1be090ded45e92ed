package draw

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/interaction"
	"flangeway/internal/measure"
)

// Errors of a pair that cannot be drawn.
var (
	ErrNoDrawing = errors.New("no drawing shows this pair")
	ErrNotRead   = errors.New("a reading that the drawing shows is missing")
)

// WheelDims are the dimensions of a wheel's outline in mm; a dimension of zero or less is drawn as that of a new
// narrow-flange freight wheel.
type WheelDims struct{ Height, Thickness, Hollow, Rim float64 }

// Pair is one wheel at one feature.
type Pair struct {
	ID    string // prefix of the ids inside, unique among the drawings of a page
	Shows interaction.Drawing
	Title string // what happens where
	// Decides is the deciding distance with its verdict, the largest label; About says more of it.
	Decides, About string
	Block          []string // whose drawing it is: car and wheel, place, railroad and date
	Desc           string   // what is shown, in words
	Wheel, Mate    WheelDims
	Read           map[string]interaction.Dimension // as [interaction.Drawn] has them
}

// The drawing of a pair in units of 1/96 in. The object has its place between the words above and the title block, in
// coordinates of its own.
const (
	pairWidth   = 528.0
	objectTop   = 50.0
	objectLow   = 308.0 // what lies lower is left out
	letter      = 18.0  // of every label but the deciding distance: 11.5 px in a window of 360 px
	line        = 22.0  // from one line of text to the next
	mostDecides = 34.0
)

// figure is a drawing of a pair under way.
type figure struct {
	*sheet
	p     Pair
	scale float64  // units of the drawing for each mm
	top   float64  // of the tread's level
	from  float64  // where the object begins
	keys  []string // texts of the dimensions, the first has the letter A
	notes []string // what else stands under the object
	// stock is the stock rail and wheels are the wheels as drawn, mm.
	stock  [][2]float64
	wheels [][][2]float64
}

// plan is how a pair is drawn.
type plan struct {
	draw  func(*figure)
	scale float64  // of full size
	size  string   // the same in words
	left  string   // of what the deciding distance is
	needs []string // names of what is read
}

func drawings() [interaction.NumDrawings]plan {
	return [...]plan{
		interaction.TipOverFloor: {frogFloor, 0.75, "3/4", "between flange tip and frog floor",
			[]string{"flangeway_depth", "flange_height"}},
		interaction.FlangeAtFrog: {frogPoint, 0.5, "1/2", "between flange and frog point",
			[]string{"guard_check", "flange_thickness", "back_to_back"}},
		interaction.BacksOverGuard: {guardBind, 0.5, "1/2", "between wheel backs and guarding faces",
			[]string{"guard_face", "back_to_back"}},
		interaction.FlangeInFrog: {flangewayWidth, 1, "full", "between flange and flangeway",
			[]string{"flangeway_width", "flange_thickness"}},
		interaction.FlangeAtGuard: {guardFlangeway, 1, "full", "between flange and guard rail's flangeway",
			[]string{"guard_flangeway", "flange_thickness"}},
		interaction.TreadOnWing: {frogWing, 0.75, "3/4", "of hollow left to what the wing allows",
			[]string{"tread_hollow", "allowed"}},
		interaction.TipOverBar: {jointBar, 0.75, "3/4", "between flange tip and joint bar",
			[]string{"bar_depth", "flange_height"}},
		interaction.AxleInWide: {wideGauge, 0.4, "2/5", "of tread on the rail, beyond the least",
			[]string{"loaded_gauge", "back_to_back", "flange_thickness", "mate rim_width", "least_bearing"}},
		interaction.AxleInTight: {tightGauge, 0.5, "1/2", "between both flanges and both rails",
			[]string{"gauge", "back_to_back", "flange_thickness", "mate flange_thickness"}},
		interaction.BackAtOpenPoint: {openPoint, 0.5, "1/2", "between flange back and open point",
			[]string{"open_clearance", "gauge", "back_to_back", "flange_thickness"}},
		interaction.TreadOverStock: {outerTread, 0.75, "3/4", "between false flange and stock rail",
			[]string{"heel_rise", "tread_hollow", "ride_over"}},
		interaction.TipOnPoint: {pointClimb, 1, "full", "of contact angle, beyond the least", []string{"flange_height",
			"point_top", "flange_tip_radius", "flange_angle", "contact_angle", "least_contact_angle"}},
		interaction.FlangeAtGap: {pointPick, 1, "full", "of gap left to what is allowed",
			[]string{"point_gap", "allowed"}},
		interaction.RailsOutOfLevel: {outOfLevel, 0.25, "1/4", "of its load on the wheel, beyond the least",
			[]string{"tilt", "difference", "kept"}},
		interaction.TreadOnRail: {hollowCurve, 0.75, "3/4", "of hollow left to what the curve allows",
			[]string{"tread_hollow", "allowed"}},
	}
}

// Draw draws the pair to scale: the wheel in outline, track steel grey, what both would fill black. Treads are drawn
// without their taper, and curves between the dimensions after a freight wheel and a rail head; they are no reading.
func Draw(p Pair) ([]byte, error) {
	if p.Shows >= interaction.NumDrawings || drawings()[p.Shows].draw == nil {
		return nil, fmt.Errorf("%w: %s", ErrNoDrawing, p.Title)
	}
	plan := drawings()[p.Shows]
	var missing []string
	for _, name := range plan.needs {
		if _, ok := p.Read[name]; !ok {
			missing = append(missing, name)
		}
	}
	for name, l := range p.Read {
		if !(math.Abs(l.MM) < 1e5) || !(math.Abs(l.Lo) < 1e5) || !(math.Abs(l.Hi) < 1e5) {
			return nil, fmt.Errorf("%w: %s is no length", ErrNotRead, name)
		}
	}
	if len(missing) > 0 {
		return nil, fmt.Errorf("%w: %s", ErrNotRead, strings.Join(missing, ", "))
	}
	f := sketched(p, plan)
	f.place(objectTop, objectLow+60)
	return f.framed(plan.left, f.foot(), "scale "+plan.size+" if 5-1/2 in wide"), nil
}

// sketched is the object as a plan draws it.
func sketched(p Pair, plan plan) *figure {
	f := &figure{sheet: &sheet{width: pairWidth}, p: p, scale: plan.scale * perInch / measure.MMPerInch}
	f.top = objectTop + 8 + math.Min(rimDrawn*f.scale, 60)
	f.p.Wheel, f.p.Mate = f.p.Wheel.filled(), f.p.Mate.filled()
	if _, decides := p.Read["tread_hollow"]; !decides { // a tread that carries stands on its rail
		f.p.Wheel.Hollow, f.p.Mate.Hollow = 0, 0
	}
	plan.draw(f)
	return f
}

// Blank is the drawing of a place where no pair could be judged: its words alone.
func Blank(p Pair) []byte {
	f := &figure{sheet: &sheet{width: pairWidth}, p: p}
	return f.framed("", 0, "")
}

// filled puts new dimensions if none are known.
func (w WheelDims) filled() WheelDims {
	for _, d := range []struct {
		v    *float64
		most float64 // mm
		new  float64 // in
	}{{&w.Height, 70, 1}, {&w.Thickness, 60, 1 + 5.0/32}, {&w.Rim, 220, 5.5}} {
		if !(*d.v > 0 && *d.v < d.most) {
			*d.v = d.new * measure.MMPerInch
		}
	}
	if !(w.Hollow > 0 && w.Hollow < 20) {
		w.Hollow = 0
	}
	return w
}

// framed puts the words above the object and the title block under it; about says of what the deciding distance is.
func (f *figure) framed(about string, high float64, scale string) []byte {
	var above bytes.Buffer
	y := 0.0
	write := func(to *bytes.Buffer, attributes string, size float64, lines []string) {
		for _, s := range lines {
			y += size * line / letter
			fmt.Fprintf(to, "<text x=\"8\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", xy(y), xy(size),
				attributes, escape(s))
		}
	}
	write(&above, ` font-weight="bold"`, letter, wrapped(f.p.Title, 48, 3))
	if f.p.Decides != "" {
		size := mostDecides
		if n := float64(utf8.RuneCountInString(f.p.Decides)); n > 0 {
			size = math.Max(letter+4, math.Min(size, (pairWidth-16)/(n*(letterWide+0.08))))
		}
		write(&above, ` font-weight="bold" class="decides"`, size, wrapped(f.p.Decides, 40, 2))
	}
	if about = strings.Trim(about+"; "+f.p.About, "; "); about != "" {
		write(&above, "", letter, wrapped(about, 50, 3))
	}
	top := y + 4
	y = top + high + 4
	var block bytes.Buffer
	from := y
	y += 4
	write(&block, "", letter, packed(append(slices.Clone(f.p.Block), scale), 48))
	y += 8
	frame := y
	write(&block, "", letter, wrapped(caution.Drawing(), 52, 4))
	s := &sheet{width: pairWidth, bottom: y + 10}
	id := escape(f.p.ID)
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%sin" height="%sin" viewBox="0 0 %g %s" `+
		`role="img" aria-labelledby="%s-t %s-d" font-family="sans-serif" font-size="%g" stroke-linejoin="round">`+"\n",
		xy(pairWidth/perInch), xy(s.bottom/perInch), pairWidth, xy(s.bottom), id, id, letter)
	fmt.Fprintf(&s.b, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", id, escape(f.p.Title), id,
		escape(f.p.Desc))
	fmt.Fprintf(&s.b, "<rect width=\"%g\" height=\"%s\" fill=\"#fff\"/>\n", pairWidth, xy(s.bottom))
	if frame > from+20 {
		s.path([][2]float64{{2, from}, {pairWidth - 2, from}, {pairWidth - 2, frame}, {2, frame}}, true,
			style{width: 1})
	}
	s.b.Write(above.Bytes())
	if f.sheet.b.Len() > 0 {
		f.writeLabels()
		fmt.Fprintf(&s.b, "<g transform=\"translate(0 %s)\">\n%s</g>\n", xy(top-f.from), f.sheet.b.Bytes())
	}
	s.b.Write(block.Bytes())
	return s.end()
}

// wrapped breaks a text into at most so many lines of about n characters; a unit stays with its figure. What has no
// room is left out behind a whole word.
func wrapped(s string, n, most int) []string {
	var lines []string
	words := strings.Fields(s)
	for i := 0; i < len(words); i++ {
		w := words[i]
		for i+1 < len(words) && glued(words[i+1]) {
			i++
			w += " " + words[i]
		}
		last := len(lines) - 1
		if last >= 0 && utf8.RuneCountInString(lines[last])+1+utf8.RuneCountInString(w) <= n {
			lines[last] += " " + w
			continue
		}
		if len(lines) == most {
			lines[last] = fit(lines[last]+" "+strings.Repeat("x", n), n)
			return lines
		}
		lines = append(lines, fit(w, n))
	}
	return lines
}

// glued reports whether a word belongs to the figure before it.
func glued(word string) bool {
	switch strings.TrimRight(word, ",;.)") {
	case "in", "mm", "deg", "ft", "percent", "kips", "kN", "lb", "mph", "km/h":
		return true
	}
	return strings.HasPrefix(word, "\u00b1") || strings.HasPrefix(word, "+-")
}

// fit shortens a text to at most n characters behind a whole word, so that no figure is cut; a single long word, which
// is a name, in its middle.
func fit(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	const more = " ..."
	short := ""
	for _, word := range strings.Fields(s) {
		if utf8.RuneCountInString(short)+utf8.RuneCountInString(word)+1+len(more) > n {
			break
		}
		short = strings.TrimPrefix(short+" "+word, " ")
	}
	if short != "" {
		return short + more
	}
	return string(r[:n*2/3]) + "..." + string(r[len(r)-(n-n*2/3-3):])
}

// foot draws two inches of the object by eighths under it, writes what the letters stand for and the notes, and gives
// how high all of it is.
func (f *figure) foot() float64 {
	top, y := objectLow, objectTop
	for _, l := range f.strokes {
		top, y = math.Min(top, math.Min(l[1], l[3])), math.Max(y, math.Max(l[1], l[3]))
	}
	for _, l := range f.labels {
		b := l.box(l.x, l.y)
		top, y = math.Min(top, b[1]), math.Max(y, b[3])
	}
	f.from = math.Max(objectTop, top-8)
	y += 18
	inch := f.scale * measure.MMPerInch
	f.twoInches(12, y, inch)
	f.labels = append(f.labels, label{x: 20 + 2*inch, y: y, lines: []string{"2 in"}, size: letter})
	for _, s := range packed(append(slices.Clone(f.keys), f.notes...), 48) {
		y += line
		f.labels = append(f.labels, label{x: 8, y: y, lines: []string{s}, size: letter})
	}
	return y + 4 - f.from
}

// packed puts notes on lines of about n characters, as many as have room on each; empty ones are left out.
func packed(notes []string, n int) []string {
	var out []string
	for _, s := range notes {
		last := len(out) - 1
		if s == "" {
			continue
		}
		if last >= 0 && utf8.RuneCountInString(out[last])+2+utf8.RuneCountInString(s) <= n {
			out[last] += "; " + s
			continue
		}
		out = append(out, wrapped(s, n, 3)...)
	}
	return out
}
