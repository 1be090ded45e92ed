package draw

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/internal/measure"
)

// Errors of a pair that cannot be drawn.
var (
	ErrNoDrawing = errors.New("no drawing shows this check")
	ErrNotRead   = errors.New("a reading that the drawing shows is missing")
)

// Length is one reading or figure of a drawing: where the line goes, and what stands
// at it. It holds degrees in place of mm where an angle is meant.
type Length struct {
	MM     float64 // as written; the given end of a one-sided reading
	Lo, Hi float64 // mm, its interval
	Text   string  // as written, with its unit
}

// WheelDims are the dimensions of a wheel's outline in mm; a dimension of zero or less
// is drawn as that of a new narrow-flange freight wheel.
type WheelDims struct{ Height, Thickness, Hollow, Rim float64 }

// Pair is one wheel at one feature.
type Pair struct {
	ID          string // prefix of the ids inside, unique among the drawings of a page
	Check       string
	Title, Line string // above the drawing
	Desc        string // what is shown, in words
	Wheel, Mate WheelDims
	// Read holds what entered by the name of its column or setting; a reading of the
	// mate has "mate " before it.
	Read map[string]Length
}

// Width and height of the drawing of a pair in units of 1/96 in.
const (
	pairWidth  = 528.0
	pairHeight = 336.0
	// cautionHeight is the line below, for the caution.
	cautionHeight = 14.0
)

// figure is a drawing of a pair under way.
type figure struct {
	*sheet
	p     Pair
	scale float64 // units of the drawing for each mm
}

// Draw draws the pair to scale: the wheel in outline, track steel grey, what both
// would fill black. Treads are drawn without their taper, and curves between the
// dimensions after a freight wheel and a rail head; they are no reading.
func Draw(p Pair) ([]byte, error) {
	plans := map[string]struct {
		draw  func(*figure)
		scale float64 // of full size
		words string
		needs []string
	}{
		"frog-floor":      {frogFloor, 0.75, "3/4", []string{"flangeway_depth", "flange_height"}},
		"frog-point":      {frogPoint, 0.5, "1/2", []string{"guard_check", "flange_thickness", "back_to_back"}},
		"guard-bind":      {guardBind, 0.5, "1/2", []string{"guard_face", "back_to_back"}},
		"flangeway-width": {flangewayWidth, 1, "full", []string{"flangeway_width", "flange_thickness"}},
		"guard-flangeway": {guardFlangeway, 1, "full", []string{"guard_flangeway", "flange_thickness"}},
		"frog-wing":       {frogWing, 0.75, "3/4", []string{"tread_hollow", "allowed"}},
		"joint-bar":       {jointBar, 0.75, "3/4", []string{"bar_depth", "flange_height"}},
		"wide-gauge": {wideGauge, 0.4, "2/5", []string{"loaded_gauge", "back_to_back", "flange_thickness",
			"mate rim_width", "least_bearing"}},
		"tight-gauge": {tightGauge, 0.5, "1/2", []string{"gauge", "back_to_back", "flange_thickness",
			"mate flange_thickness"}},
		"open-point": {openPoint, 0.5, "1/2", []string{"open_clearance", "gauge", "back_to_back",
			"flange_thickness"}},
		"outer-tread": {outerTread, 0.75, "3/4", []string{"heel_rise", "tread_hollow", "ride_over"}},
		"point-climb": {pointClimb, 1, "full", []string{"flange_height", "point_top", "flange_tip_radius",
			"flange_angle", "contact_angle", "least_contact_angle"}},
		"point-pick":   {pointPick, 1, "full", []string{"point_gap", "allowed"}},
		"hollow-curve": {hollowCurve, 0.75, "3/4", []string{"tread_hollow", "allowed"}},
	}
	plan, ok := plans[p.Check]
	if !ok {
		return nil, fmt.Errorf("%w: %s", ErrNoDrawing, p.Check)
	}
	if l, ok := p.Read["back_to_back_max"]; ok && (p.Check == "frog-point" || p.Check == "tight-gauge") {
		read := map[string]Length{}
		for k, v := range p.Read {
			read[k] = v
		}
		read["back_to_back"] = l
		p.Read = read
	}
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
	f.bar(plan.words)
	return f.done(), nil
}

// Blank is the drawing of a place where no pair could be judged: its words alone.
func Blank(p Pair) []byte {
	f := &figure{sheet: newFigure(p.ID, p.Title, p.Desc), p: p}
	f.titles()
	return f.done()
}

// filled puts new dimensions where none are known.
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
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%sin" height="%sin" viewBox="0 0 %g %g" role="img" aria-labelledby="%s-t %s-d" font-family="sans-serif" font-size="14">`+"\n",
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

// fit shortens a text in its middle to at most n characters.
func fit(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n*2/3]) + "..." + string(r[len(r)-(n-n*2/3-3):])
}

// bar draws two inches of the object at the foot, by eighths.
func (f *figure) bar(words string) {
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
	if words != "full" {
		words += " of full"
	}
	f.label(x0+2*inch+8, y0, "start", "2 in, "+words+" size printed at 100 percent")
}
