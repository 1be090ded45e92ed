package paper

import (
	"fmt"
	"math"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/measure"
)

// Shape is the page of the shape command.
func Shape(s export.Shape, form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, "Both wheels on both rails")
	turning(p, s.Turning)
	shapeAnswers(p, s)
	var rows [][]string
	for _, w := range s.Wheels {
		rows = append(rows, []string{w.Side, inch(w.Height), inch(w.Thickness), inch(w.Vertical), number(w.Hollow, 2),
			number(w.Angle, 1), inch(w.Length), inch(w.Rim)})
	}
	p.heading(2, "What the gauges read on the shapes")
	p.table([]string{"wheel", "height in", "thickness in", "vertical in", "hollow mm", "face deg", "face in",
		"rim in"}, rows, 1, 2, 3, 4, 5, 6, 7)
	p.gap()
	p.heading(2, "Contact over the lateral shift (json and csv have every step)")
	p.para("Near is the rail shifted toward. y: on the wheel from the tape line, to the field positive. Angles from " +
		"the track plane.")
	p.gap()
	rows = nil
	every := max(1, len(s.RRD)/shownShifts)
	for i, r := range s.RRD {
		if i%every != 0 && i != len(s.RRD)-1 && (every == 1 || math.Abs(r.Shift) > measure.Near) {
			continue
		}
		rows = append(rows, []string{fmt.Sprintf("%.3f", r.Shift/measure.MMPerInch), fmt.Sprintf("%.2f", r.Shift),
			fmt.Sprintf("%.3f", r.RRD), fmt.Sprintf("%.2f", r.NearY), fmt.Sprintf("%.2f", r.FarY),
			fmt.Sprintf("%.2f", r.NearAngle), fmt.Sprintf("%.2f", r.FarAngle)})
	}
	p.table([]string{"shift in", "mm", "radii differ mm", "near y mm", "far y mm", "near deg", "far deg"}, rows,
		0, 1, 2, 3, 4, 5, 6)
	p.gap()
	for _, j := range s.Jumps {
		p.item("jump",
			fmt.Sprintf("at %.3f mm the %s contact moves from y %.2f to %.2f mm.", j.Shift, j.Side, j.From, j.To))
	}
	for _, j := range s.Second {
		p.item("second", fmt.Sprintf("at %.3f mm the %s wheel nearly touches at y %.2f mm too (%.3f mm off, %.1f deg).",
			j.Shift, j.Side, j.Y, j.Gap, j.Angle))
	}
	rows = nil
	for _, c := range s.Conicity {
		rows = append(rows, []string{fmt.Sprintf("%g", c.Amplitude), number(c.Harmonic, 4), number(c.Integration, 4),
			number(c.Regression, 4)})
	}
	p.heading(2, "Equivalent conicity (methods of EN 15302)")
	p.table([]string{"amplitude mm", "harmonic", "integration", "regression"}, rows, 0, 1, 2, 3)
	p.gap()
	if r := s.Range; r != nil {
		p.heading(2, "Over the intervals of the readings")
		rooms := ""
		if r.Rooms {
			rooms = " Each on the tightest and the widest of gauge less back-to-back as well."
		}
		p.para(worded("%d pairs of shapes: as written and at the ends of the intervals of one wheel at a time, as "+
			"far as they do not contradict each other.%s", r.Shapes, rooms))
		rows = nil
		for _, v := range []struct {
			what   string
			span   *export.ShapeSpan
			digits int
			unit   string
		}{{"play", r.Play, 2, " mm"}, {"radii differ at the flange by", r.Flange, 2, " mm"},
			{"conicity, harmonic", r.Harmonic, 3, ""}, {"reached over needed", r.Steering, 2, ""}} {
			if v.span != nil {
				rows = append(rows, []string{v.what, number(&v.span.Least, v.digits) + v.unit,
					number(&v.span.Greatest, v.digits) + v.unit})
			}
		}
		p.gap()
		p.table([]string{"what", "least", "greatest"}, rows, 1, 2)
		p.gap()
	}
	rows = nil
	for _, h := range s.Hertz {
		rows = append(rows, []string{h.Side, number(h.A, 3), number(h.B, 3), number(h.P0, 0), number(h.Approach, 4)})
	}
	p.heading(2, "Contact ellipse after Hertz, axle in the middle")
	p.table([]string{"side", "half length mm", "half width mm", "pressure MPa", "flattened mm"}, rows, 1, 2, 3, 4)
	p.gap()
	inputsEntered(p, s.Inputs)
	footer(p, s.Warnings, s.Cautions)
	return p
}

// shownShifts is about how many shifts the page shows.
const shownShifts = 24

// turning says what the lathe must take, before anything else: it is what a worn wheel is asked about.
func turning(p *Document, list []export.ShapeTurning) {
	if len(list) == 0 {
		return
	}
	p.heading(2, "What the lathe must take")
	p.para("The least cut off the radius, in sixteenths, that leaves the full profile; from the shape alone, cracks " +
		"and hard spots may ask for more.")
	p.gap()
	var rows [][]string
	for _, t := range list {
		cut := measure.Inch(t.Cut)
		if t.CutLeast < t.Cut {
			cut = measure.Inch(t.CutLeast) + " to " + cut
		}
		rim, holds, more := "-", "rim not known", "-"
		if t.RimLeft != nil {
			rim, more = inch(t.RimLeft), fmt.Sprint(*t.More)
			switch {
			case t.Holds == nil:
				holds = "not known: " + t.Action
			case *t.Holds && t.Action != "":
				holds = "yes: " + t.Action
			case *t.Holds:
				holds = "yes"
			default:
				holds = "no: " + t.Action
			}
		}
		rows = append(rows, []string{t.Side, cut, inch(&t.Thickness), rim, inch(t.RimLimit), holds, more})
	}
	p.table([]string{"wheel", "cut in", "flange in", "rim left in", "limit in", "rim holds", "turnings more"},
		rows, 2, 3, 4, 6)
	p.gap()
}

// shapeAnswers are the figures of an axle, those that are read first.
func shapeAnswers(p *Document, s export.Shape) {
	if s.PlayMM != nil {
		p.item("play", fmt.Sprintf("%.2f mm to one side before the flange bears.", *s.PlayMM))
	}
	if s.CentreMM != nil {
		p.item("centre", fmt.Sprintf("the radii are equal at a shift of %.2f mm.", *s.CentreMM))
	}
	if s.WavelengthM != nil {
		p.item("wavelength", fmt.Sprintf("%.2f m at the first amplitude.", *s.WavelengthM))
	}
	if s.NeededMM != nil {
		p.item("needed", fmt.Sprintf("%.2f mm of radius difference in a curve of %g degrees.", *s.NeededMM,
			math.Round(s.Degree*100)/100))
	}
	if s.Steering != nil {
		p.item("steering", fmt.Sprintf("where the flange bears it reaches %.2f times "+
			"the difference that this curve needs; from 1 on the axle can lie radial in it.", *s.Steering))
	}
	p.gap()
}

func number(v *float64, digits int) string {
	if v == nil {
		return "-"
	}
	v0 := math.Round(*v*math.Pow10(digits)) / math.Pow10(digits)
	return fmt.Sprintf("%.*f", digits, v0+0) // no negative zero
}

func inch(v *float64) string {
	if v == nil {
		return "-"
	}
	in := *v / measure.MMPerInch
	return number(&in, 3)
}
