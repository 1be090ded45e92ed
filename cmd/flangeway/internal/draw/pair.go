package draw

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

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
	ID          string // prefix of the ids inside, unique among the drawings of a page
	Shows       interaction.Drawing
	Title, Line string // above the drawing
	Block       string // below it: railroad and date
	Desc        string // what is shown, in words
	Wheel, Mate WheelDims
	Read        map[string]interaction.Dimension // as [interaction.Drawn] has them
}

// Width and height of the drawing of a pair in units of 1/96 in.
const (
	pairWidth  = 528.0
	pairHeight = 336.0
	// cautionHeight is the lines below, for the railroad with its date and the caution.
	cautionHeight = 28.0
)

// figure is a drawing of a pair under way.
type figure struct {
	*sheet
	p     Pair
	scale float64 // units of the drawing for each mm
	// labels stand over all lines, so they are written behind them.
	labels bytes.Buffer
}

// plan is how a pair is drawn.
type plan struct {
	draw  func(*figure)
	scale float64  // of full size
	size  string   // the same in words
	needs []string // names of what is read
}

// drawings has a plan for each drawing.
func drawings() [interaction.NumDrawings]plan {
	return [...]plan{
		interaction.TipOverFloor: {frogFloor, 0.75, "3/4", []string{"flangeway_depth", "flange_height"}},
		interaction.FlangeAtFrog: {frogPoint, 0.5, "1/2", []string{"guard_check", "flange_thickness",
			"back_to_back"}},
		interaction.BacksOverGuard: {guardBind, 0.5, "1/2", []string{"guard_face", "back_to_back"}},
		interaction.FlangeInFrog:   {flangewayWidth, 1, "full", []string{"flangeway_width", "flange_thickness"}},
		interaction.FlangeAtGuard:  {guardFlangeway, 1, "full", []string{"guard_flangeway", "flange_thickness"}},
		interaction.TreadOnWing:    {frogWing, 0.75, "3/4", []string{"tread_hollow", "allowed"}},
		interaction.TipOverBar:     {jointBar, 0.75, "3/4", []string{"bar_depth", "flange_height"}},
		interaction.AxleInWide: {wideGauge, 0.4, "2/5", []string{"loaded_gauge", "back_to_back", "flange_thickness",
			"mate rim_width", "least_bearing"}},
		interaction.AxleInTight: {tightGauge, 0.5, "1/2", []string{"gauge", "back_to_back", "flange_thickness",
			"mate flange_thickness"}},
		interaction.BackAtOpenPoint: {openPoint, 0.5, "1/2", []string{"open_clearance", "gauge", "back_to_back",
			"flange_thickness"}},
		interaction.TreadOverStock: {outerTread, 0.75, "3/4", []string{"heel_rise", "tread_hollow", "ride_over"}},
		interaction.TipOnPoint: {pointClimb, 1, "full", []string{"flange_height", "point_top", "flange_tip_radius",
			"flange_angle", "contact_angle", "least_contact_angle"}},
		interaction.FlangeAtGap:     {pointPick, 1, "full", []string{"point_gap", "allowed"}},
		interaction.RailsOutOfLevel: {outOfLevel, 0.25, "1/4", []string{"tilt", "difference", "kept"}},
		interaction.TreadOnRail:     {hollowCurve, 0.75, "3/4", []string{"tread_hollow", "allowed"}},
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
	f := &figure{sheet: newFigure(p.ID, p.Title, p.Desc), p: p, scale: plan.scale * perInch / measure.MMPerInch}
	f.p.Wheel, f.p.Mate = f.p.Wheel.filled(), f.p.Mate.filled()
	f.titles()
	plan.draw(f)
	f.bar(plan.size)
	f.b.Write(f.labels.Bytes())
	f.block()
	return f.done(), nil
}

// Blank is the drawing of a place where no pair could be judged: its words alone.
func Blank(p Pair) []byte {
	f := &figure{sheet: newFigure(p.ID, p.Title, p.Desc), p: p}
	f.titles()
	f.block()
	return f.done()
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

// newFigure is a sheet of the size of a pair whose ids begin with id.
func newFigure(id, title, desc string) *sheet {
	s := &sheet{bottom: pairHeight + cautionHeight}
	id = escape(id)
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%sin" height="%sin" viewBox="0 0 %g %g" `+
		`role="img" aria-labelledby="%s-t %s-d" font-family="sans-serif" font-size="14">`+"\n",
		xy(pairWidth/perInch), xy(s.bottom/perInch), pairWidth, s.bottom, id, id)
	fmt.Fprintf(&s.b, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", id, escape(title), id,
		escape(desc))
	fmt.Fprintf(&s.b, "<rect width=\"%g\" height=\"%g\" fill=\"#fff\"/>\n", pairWidth, s.bottom)
	return s
}

// titles writes what stands above the drawing.
func (f *figure) titles() {
	fmt.Fprintf(&f.b, "<text x=\"8\" y=\"20\" font-weight=\"bold\">%s</text>\n", escape(fit(f.p.Title, 62)))
	fmt.Fprintf(&f.b, "<text x=\"8\" y=\"39\">%s</text>\n", escape(fit(f.p.Line, 66)))
}

// block writes whose drawing it is.
func (f *figure) block() {
	if f.p.Block != "" {
		fmt.Fprintf(&f.b, "<text x=\"8\" y=\"%s\" font-size=\"11\">%s</text>\n", xy(f.bottom-17), escape(fit(f.p.Block, 80)))
	}
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

// bar draws two inches of the object at the foot, by eighths.
func (f *figure) bar(size string) {
	inch := f.scale * measure.MMPerInch
	x0, y0 := 12.0, pairHeight-10
	f.line(x0, y0, x0+2*inch, y0, style{width: 1.5})
	for i := range 17 {
		h := 4.0
		switch {
		case i%8 == 0:
			h = 10
		case i%4 == 0:
			h = 7
		}
		f.line(x0+float64(i)*inch/8, y0, x0+float64(i)*inch/8, y0-h, style{width: 1})
	}
	if size != "full" {
		size += " of full"
	}
	f.label(x0+2*inch+8, y0, "start", "2 in, "+size+" size printed at 100 percent")
}
