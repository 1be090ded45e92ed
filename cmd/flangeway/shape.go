package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
	"flangeway/interaction/contact"
	"flangeway/internal/measure"
	"flangeway/wheel"
)

type shapeOptions struct {
	format, draw                                    string
	wheel, rail, design                             string
	gauge, gaugeHeight, backToBack, cant, diameter  string
	hollow, flangeHeight, flangeThickness, vertical string
	maxShift, step, amplitude, load, degree         string
	headWear, faceWear, faceAngle                   string
	survey, car, position, at                       string
}

func newShapeCmd(s streams) *cobra.Command {
	var o shapeOptions
	cmd := &cobra.Command{
		Use: "shape", Short: "both wheels of an axle on both rails: contact, conicity, pressure",
		Long: `shape lays both wheels of an axle on both rails as rigid bodies, the roll solved,
over a range of lateral shifts: where they touch and at which angle, the rolling
radius difference (RRD), the play, the equivalent conicity and the contact ellipse.

A wheel is a design by name (S1002, "narrow flange 1:20", "wide flange 1:20"), a
plain cone (cone:1/20) or a CSV file of a traced profile (x,y); a rail is a section
by name (60E1, 90RA-A to 141RE) or a traced file. Two names with a comma between
are near and far. With --hollow, --flange-height, --flange-thickness or
--vertical-flange the worn wheel is rebuilt from the design and the readings.

Lengths without a unit are inches, as everywhere; --max-shift, --step, --amplitude
and --hollow are millimetres. --load is newtons without a unit (159kN, 35750lb).
Shifts run from 0 toward the near rail, from the other side too where the sides
differ.`,
		Example: "  flangeway shape --wheel S1002 --rail 60E1 --gauge 1435mm --cant 1:40\n  flangeway shape --hollow 3 --draw axle.svg",
		Args:    usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) error {
			return runShape(s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.StringVar(&o.draw, "draw", "", "also write a drawing to this `file` (SVG)")
	f.StringVar(&o.wheel, "wheel", "", "wheel design, cone:1/20 or traced file, `NEAR[,FAR]` (default narrow flange 1:20)")
	f.StringVar(&o.rail, "rail", "", "rail section or traced file, `NEAR[,FAR]` (default 136RE)")
	f.StringVar(&o.design, "design", "", "`design` whose tape line and gauge heights a traced wheel has")
	f.StringVar(&o.gauge, "gauge", "", "track `gauge` (default 56-1/2, 1435mm for EN sections)")
	f.StringVar(&o.gaugeHeight, "gauge-height", "", "`depth` below the top of the rail at which gauge is read (default 14 mm EN, 5/8 RE)")
	f.StringVar(&o.backToBack, "back-to-back", "", "`distance` of the flange backs (default the design's)")
	f.StringVar(&o.cant, "cant", "", "inward lean of the rails: `1:40`, 1:20, none (default 1:40)")
	f.StringVar(&o.diameter, "diameter", "", "wheel diameter at the tape line, `NEAR[,FAR]` (default 36, 920mm for S1002)")
	f.StringVar(&o.hollow, "hollow", "", "tread hollow, `NEAR[,FAR]`, mm without a unit")
	f.StringVar(&o.flangeHeight, "flange-height", "", "flange height, `NEAR[,FAR]`")
	f.StringVar(&o.flangeThickness, "flange-thickness", "", "flange thickness, `NEAR[,FAR]`")
	f.StringVar(&o.vertical, "vertical-flange", "", "height to which the face is vertical, `NEAR[,FAR]`")
	f.StringVar(&o.headWear, "head-wear", "", "vertical wear of both rail heads, a `length`")
	f.StringVar(&o.faceWear, "gauge-face-wear", "", "gauge face wear, `NEAR[,FAR]`")
	f.StringVar(&o.faceAngle, "gauge-face-angle", "", "angle of the worn gauge face, `degrees` from horizontal")
	f.StringVar(&o.maxShift, "max-shift", "", "last `shift`, mm without a unit (default the play, 10 for a cone)")
	f.StringVar(&o.step, "step", "", "`step` of the shift, mm without a unit (default 0.25)")
	f.StringVar(&o.amplitude, "amplitude", "", "`list` of amplitudes for the conicity, mm without a unit (default 3)")
	f.StringVar(&o.load, "load", "", "wheel `load` for the contact ellipse (default 35750lb)")
	f.StringVar(&o.degree, "degree", "", "`degree` of the curve whose needed difference is compared (default 4)")
	f.StringVar(&o.survey, "survey", "", "take readings from this survey `folder`; flags override")
	f.StringVar(&o.car, "car", "", "`car` in the survey")
	f.StringVar(&o.position, "position", "", "wheel `position` in the survey; it is the near wheel")
	f.StringVar(&o.at, "at", "", "`feature` in the survey, as curve/C3")
	return cmd
}

func runShape(s streams, o shapeOptions) error {
	if !slices.Contains(formats(), o.format) {
		return usagef("--format %q is not one of %s", o.format, strings.Join(formats(), ", "))
	}
	in, err := readShape(o)
	if err != nil {
		return err
	}
	answer, drawing, err := in.solve()
	if err != nil {
		return shapeError(err)
	}
	answer.Program = "flangeway " + version()
	if o.draw != "" {
		inputs := append(strings.Split(o.wheel, ","), strings.Split(o.rail, ",")...)
		if err := writeWhole(o.draw, draw.Shape(drawing), inputs...); err != nil {
			return err
		}
	}
	out := &checkedWriter{w: s.out}
	switch o.format {
	case "json":
		return out.done(export.ShapeJSON(out, answer))
	case "csv":
		return out.done(export.ShapeCSV(out, answer))
	}
	page, err := text.Shape(answer, o.format == "markdown")
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(out, page)
	return err
}

// shapeError turns what the shapes say about the input into an input error.
func shapeError(err error) error {
	for _, e := range []error{contact.ErrInput, contact.ErrOffRail, wheel.ErrShape, wheel.ErrContradiction} {
		if errors.Is(err, e) {
			return &inputError{err}
		}
	}
	return err
}

// fine is the shift step in mm of the table that conicity is taken from.
const fine = 0.02

// secondWithin is within what gap in mm a second place counts as nearly touching, and
// secondApart how far it must lie from the first.
const (
	secondWithin = 0.05
	secondApart  = 3.0
)

// solve computes everything that the command prints.
func (in *shapeInput) solve() (export.Shape, draw.Shapes, error) {
	out := export.Shape{Schema: 1, RRD: []export.ShapeRow{}, Conicity: []export.ShapeConicity{}, Hertz: []export.ShapeHertz{}, Jumps: []export.ShapeJump{},
		Second: []export.ShapeSecond{}, Inputs: in.used, Warnings: in.warnings, Degree: in.degree,
		Cautions: []string{"Rigid shapes at rest: speed, load, twist and motion are not in them. This page releases no track and no cars; a qualified person under the governing rule does."}}
	var pic draw.Shapes
	if out.Warnings == nil {
		out.Warnings = []string{}
	}
	warn := func(err error) { out.Warnings = append(out.Warnings, err.Error()) }
	solver, err := contact.NewSolver(in.axle)
	if err != nil {
		return out, pic, err
	}
	differ := in.differ()
	lo, hi := 0.0, in.maxShift
	play, err := solver.Play()
	if err == nil {
		v := export.Rounded(play)
		out.PlayMM = &v
		if hi == 0 {
			hi = play
		}
	} else if hi == 0 {
		hi = 10
		in.note("max shift", "10 mm", "default: no play")
		warn(err)
	}
	if differ {
		lo = -hi
		if in.maxShift == 0 {
			other, err := contact.NewSolver(in.mirrored())
			if err != nil {
				return out, pic, err
			}
			if p, err := other.Play(); err == nil {
				lo = -p
			}
		}
	}
	if (hi-lo)/in.step > 20000 {
		return out, pic, fmt.Errorf("%w: %g mm by %g mm are more than 20000 steps", contact.ErrInput, hi-lo, in.step)
	}
	if err := in.rows(solver, lo, hi, &out, &pic); err != nil {
		return out, pic, err
	}
	middle, err := solver.At(0)
	if err != nil {
		return out, pic, err
	}
	in.conicity(solver, differ, middle, &out, warn)
	for _, sd := range []struct {
		name string
		spot contact.Spot
	}{{"near", middle.Near}, {"far", middle.Far}} {
		h := export.ShapeHertz{Side: sd.name}
		if e, err := sd.spot.Press(in.load, contact.Steel); err != nil {
			warn(fmt.Errorf("%s contact: %w", sd.name, err))
		} else {
			a, b, p, d := export.Rounded(e.A), export.Rounded(e.B), export.Rounded(e.P0), export.Rounded(e.Approach)
			h.A, h.B, h.P0, h.Approach = &a, &b, &p, &d
		}
		out.Hertz = append(out.Hertz, h)
	}
	if in.degree > 0 {
		feet, err := measure.RadiusFt(in.degree)
		if err != nil {
			return out, pic, &usageError{err}
		}
		needed, err := contact.Needed((middle.Near.Radius+middle.Far.Radius)/2, middle.Spacing()/2, feet*12*measure.MMPerInch)
		if err != nil {
			return out, pic, err
		}
		out.NeededMM = export.Rounded(needed)
		if out.PlayMM != nil {
			st, err := solver.At(play)
			if err == nil {
				q, err := contact.SteeringIndex(st.RRD, needed)
				if err != nil {
					return out, pic, err
				}
				q = export.Rounded(q)
				out.Steering, out.SteeringText = &q, contact.SteeringDefinition
			}
		}
	}
	for _, sd := range []struct {
		name string
		w    *wheel.Shape
	}{{"near", in.axle.Near}, {"far", in.axle.Far}} {
		out.Wheels = append(out.Wheels, gaugesOf(sd.name, sd.w))
	}
	in.picture(solver, middle, &out, &pic)
	out.Inputs = in.used
	return out, pic, nil
}

// rows fills the table of the shifts, its jumps and second contacts.
func (in *shapeInput) rows(solver *contact.Solver, lo, hi float64, out *export.Shape, pic *draw.Shapes) error {
	var shifts []float64
	for i := math.Ceil(lo/in.step - 1e-9); i*in.step <= hi+1e-9; i++ {
		shifts = append(shifts, i*in.step)
	}
	if n := len(shifts); n == 0 || hi-shifts[n-1] > 1e-6 {
		shifts = append(shifts, hi)
	}
	deg := 180 / math.Pi
	var last contact.State
	for i, u := range shifts {
		st, err := solver.At(u)
		if err != nil {
			return err
		}
		out.RRD = append(out.RRD, export.ShapeRow{Shift: export.Rounded(u), RRD: export.Rounded(st.RRD), NearY: export.Rounded(st.Near.Y), FarY: export.Rounded(st.Far.Y),
			NearAngle: export.Rounded(st.Near.Angle * deg), FarAngle: export.Rounded(st.Far.Angle * deg)})
		pic.RRD = append(pic.RRD, [2]float64{u, st.RRD})
		for _, near := range []bool{true, false} {
			if sp, ok := solver.Second(st, near, secondApart, secondWithin); ok {
				out.Second = append(out.Second, export.ShapeSecond{Shift: export.Rounded(u), Side: sideName(near), Y: export.Rounded(sp.Y), Gap: export.Rounded(sp.Gap), Angle: export.Rounded(sp.Angle * deg)})
			}
			if i == 0 {
				continue
			}
			if j, ok := solver.Jump(last, st, near); ok {
				out.Jumps = append(out.Jumps, export.ShapeJump{Shift: export.Rounded(j.Shift), Side: sideName(j.Near), From: export.Rounded(j.From), To: export.Rounded(j.To)})
			}
		}
		last = st
	}
	return nil
}

func sideName(near bool) string {
	if near {
		return "near"
	}
	return "far"
}

// conicity fills the equivalent conicity and the wavelength at the first amplitude.
func (in *shapeInput) conicity(solver *contact.Solver, differ bool, middle contact.State, out *export.Shape, warn func(error)) {
	reach := slices.Max(in.amplitudes) + 0.5
	if differ { // the centre lies off the middle; look as far as the wheels stand on the rails
		reach += 15
	}
	var d contact.Difference
	var err error
	for ; reach > 0.1; reach *= 0.8 {
		if d, err = solver.Difference(-reach, reach, fine); !errors.Is(err, contact.ErrOffRail) {
			break
		}
	}
	if err != nil {
		warn(err)
		return
	}
	if c, err := d.Centre(); err == nil && differ {
		c = export.Rounded(c)
		out.CentreMM = &c
	}
	for _, amp := range in.amplitudes {
		row := export.ShapeConicity{Amplitude: amp}
		for _, m := range []struct {
			name string
			f    func(float64) (float64, error)
			to   **float64
		}{{"harmonic", d.Harmonic, &row.Harmonic}, {"integration", d.Integration, &row.Integration}, {"regression", d.Regression, &row.Regression}} {
			v, err := m.f(amp)
			if err != nil {
				warn(fmt.Errorf("%s at %g mm: %w", m.name, amp, err))
				continue
			}
			v = export.Rounded(v)
			*m.to = &v
		}
		out.Conicity = append(out.Conicity, row)
	}
	if h := out.Conicity[0].Integration; h != nil {
		if l, err := contact.Wavelength((middle.Near.Radius+middle.Far.Radius)/2, middle.Spacing()/2, *h); err == nil {
			l = export.Rounded(l / 1000)
			out.WavelengthM = &l
		}
	}
}

// gaugesOf lays the hand gauges on a shape; what a shape does not have is absent.
func gaugesOf(side string, w *wheel.Shape) export.ShapeWheel {
	out := export.ShapeWheel{Side: side, Name: w.Name}
	for _, g := range []struct {
		read func() (float64, error)
		to   **float64
	}{{w.FlangeHeight, &out.Height}, {w.FlangeThickness, &out.Thickness}, {w.VerticalFlange, &out.Vertical}, {w.TreadHollow, &out.Hollow},
		{func() (float64, error) { a, _, err := w.FlangeAngle(); return a * 180 / math.Pi, err }, &out.Angle}} {
		if v, err := g.read(); err == nil {
			v = export.Rounded(v)
			*g.to = &v
		}
	}
	return out
}

// picture collects what the drawing shows, the axle in the middle.
func (in *shapeInput) picture(solver *contact.Solver, st contact.State, out *export.Shape, pic *draw.Shapes) {
	make1 := func(near bool, w *wheel.Shape, rail string, sp contact.Spot) draw.Side {
		d := draw.Side{Name: fmt.Sprintf("%s: %s on %s", sideName(near), w.Name, rail), ContactY: sp.RailY, ContactZ: sp.RailZ,
			Note: fmt.Sprintf("contact %.3f in from the tape line, %.1f deg", sp.Y/measure.MMPerInch, sp.Angle*180/math.Pi)}
		d.Wheel, d.Rail = solver.Drawn(st, near)
		if two, ok := solver.Second(st, near, secondApart, secondWithin); ok {
			d.HasSecond, d.SecondY, d.Depth = true, two.RailY, two.RailZ
		}
		return d
	}
	pic.Near = make1(true, in.axle.Near, in.axle.NearRail.Name, st.Near)
	pic.Far = make1(false, in.axle.Far, in.axle.FarRail.Name, st.Far)
	pic.Title = "Both wheels on both rails, axle in the middle"
	pic.Gauge = fmt.Sprintf("gauge %s in, back-to-back %s in, 3/4 of full size", measure.Inch(in.axle.Gauge), measure.Inch(in.axle.BackToBack))
	pic.Desc = fmt.Sprintf("%s and %s. Contact marked with a cross. Below, the rolling radius difference over the lateral shift and the difference needed in a curve of %g degrees.", pic.Near.Name, pic.Far.Name, in.degree)
	pic.Needed, pic.Degree = out.NeededMM, in.degree
	if out.PlayMM != nil {
		pic.Play = *out.PlayMM
	}
}
