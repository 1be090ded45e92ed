package main

import (
	"errors"
	"fmt"
	"math"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction/contact"
	"flangeway/internal/measure"
	"flangeway/wheel/shape"
)

// value is a figure of an answer: rounded, absent if it does not exist.
func value(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	v = export.Rounded(v)
	return &v
}

func span(s contact.Span) *export.ShapeSpan {
	if math.IsNaN(s.Lo) {
		return nil
	}
	return &export.ShapeSpan{Least: export.Rounded(s.Lo), Greatest: export.Rounded(s.Hi)}
}

const degrees = 180 / math.Pi

// answer asks for everything that the command prints and puts it into its words.
func (in *shapeInput) answer() (export.Shape, draw.Shapes, error) {
	out := export.Shape{Schema: 1, Program: "flangeway " + version(), RRD: []export.ShapeRow{},
		Conicity: []export.ShapeConicity{}, Hertz: []export.ShapeHertz{}, Jumps: []export.ShapeJump{},
		Second: []export.ShapeSecond{}, Degree: export.Rounded(in.degree), Warnings: append([]string{}, in.Warnings...),
		Cautions: caution.Shape()}
	study := contact.Study{Axle: in.axle, MaxShift: in.maxShift, Step: in.step, Amplitudes: in.amplitudes,
		Load: in.load}
	if in.degree > 0 {
		feet, err := measure.RadiusFt(in.degree)
		if err != nil {
			return out, draw.Shapes{}, &usageError{Err: err}
		}
		study.CurveRadius = feet * 12 * measure.MMPerInch
	}
	a, err := study.Run()
	if err != nil {
		return out, draw.Shapes{}, err
	}
	for _, n := range a.Notes {
		out.Warnings = append(out.Warnings, n.Error())
	}
	for _, st := range a.Rows {
		out.RRD = append(out.RRD, export.ShapeRow{Shift: export.Rounded(st.Shift), RRD: export.Rounded(st.RRD),
			NearY: export.Rounded(st.Near.Y), FarY: export.Rounded(st.Far.Y),
			NearAngle: export.Rounded(st.Near.Angle * degrees), FarAngle: export.Rounded(st.Far.Angle * degrees)})
	}
	for _, j := range a.Jumps {
		out.Jumps = append(out.Jumps, export.ShapeJump{Shift: export.Rounded(j.Shift), Side: sideName(j.Near),
			From: export.Rounded(j.From), To: export.Rounded(j.To)})
	}
	for _, s := range a.Second {
		out.Second = append(out.Second, export.ShapeSecond{Shift: export.Rounded(s.Shift), Side: sideName(s.Near),
			Y: export.Rounded(s.Spot.Y), Gap: export.Rounded(s.Spot.Gap),
			Angle: export.Rounded(s.Spot.Angle * degrees)})
	}
	for _, c := range a.Conicity {
		out.Conicity = append(out.Conicity, export.ShapeConicity{Amplitude: c.Amplitude, Harmonic: value(c.Harmonic),
			Integration: value(c.Integration), Regression: value(c.Regression)})
	}
	for _, side := range []struct {
		near bool
		p    contact.Pressed
	}{{true, a.Near}, {false, a.Far}} {
		h := export.ShapeHertz{Side: sideName(side.near)}
		if e := side.p.Ellipse; side.p.Err != nil {
			out.Warnings = append(out.Warnings, fmt.Sprintf("%s contact: %v", h.Side, side.p.Err))
		} else {
			h.A, h.B, h.P0, h.Approach = value(e.A), value(e.B), value(e.P0), value(e.Approach)
		}
		out.Hertz = append(out.Hertz, h)
	}
	out.PlayMM, out.CentreMM, out.WavelengthM, out.NeededMM = value(a.Play), value(a.Centre), value(a.Wavelength/1000),
		value(a.Needed)
	if out.Steering = value(a.Steering); out.Steering != nil {
		out.SteeringText = contact.ReachedOverNeededIs
	}
	out.Wheels = []export.ShapeWheel{gaugesOf(sideName(true), in.axle.Near), gaugesOf(sideName(false), in.axle.Far)}
	if err := in.spread(study, &out); err != nil {
		return out, draw.Shapes{}, err
	}
	if err := in.turnings(&out); err != nil {
		return out, draw.Shapes{}, err
	}
	out.Inputs = usedInputs(in.Used)
	return out, in.picture(a), nil
}

func sideName(near bool) string {
	if near {
		return "near"
	}
	return "far"
}

// spread lays the extreme shapes of the readings on the rails too.
func (in *shapeInput) spread(study contact.Study, out *export.Shape) error {
	if in.near.Worn == nil && in.far.Worn == nil && in.rooms == nil {
		return nil
	}
	var shapes [2][]*shape.Shape
	for i, w := range []ask.Wheel{in.near, in.far} {
		if w.Worn != nil {
			shapes[i] = w.Worn.Extremes()
		}
	}
	sp, err := study.Over(shapes[0], shapes[1], in.rooms...)
	if err != nil {
		return err
	}
	out.Range = &export.ShapeRange{Shapes: sp.Shapes, Rooms: len(in.rooms) > 0, Play: span(sp.Play),
		Flange: span(sp.Flange), Harmonic: span(sp.Harmonic), Steering: span(sp.Steering)}
	return nil
}

// turnings says for each worn wheel what the lathe must take.
func (in *shapeInput) turnings(out *export.Shape) error {
	for i, w := range []ask.Wheel{in.near, in.far} {
		design, lathe := w.Design, in.lathe.Turning[i]
		if design == w.Shape || design.NoFlange {
			continue
		}
		least, most, err := shape.TurnOver(w.Shape, w.Worn, design, lathe)
		switch {
		case errors.Is(err, shape.ErrContradiction), errors.Is(err, shape.ErrShape):
			out.Warnings = append(out.Warnings, fmt.Sprintf("turning the %s wheel: %v", sideName(i == 0), err))
			continue
		case err != nil:
			return err
		}
		t := export.ShapeTurning{Side: sideName(i == 0), Design: design.Name, Cut: export.Rounded(most.Cut),
			CutLeast: export.Rounded(least.Cut), Need: export.Rounded(most.Least),
			Thickness: export.Rounded(most.Thickness)}
		if most.RimKnown {
			t.RimLeft, t.RimLimit, t.Holds, t.More = value(most.RimLeft), value(lathe.Rim.Limit), nil, &most.More
			held := in.lathe.Held(most.RimLeft, most.RimHolds)
			if t.Action = held.Action; held.Known {
				t.Holds = &held.Holds
			}
		}
		out.Turning = append(out.Turning, t)
	}
	return nil
}

// gaugesOf lays the hand gauges on a shape; what a shape does not have is absent.
func gaugesOf(side string, w *shape.Shape) export.ShapeWheel {
	out := export.ShapeWheel{Side: side, Name: w.Name}
	for _, g := range []struct {
		read func() (float64, error)
		to   **float64
	}{{w.FlangeHeight, &out.Height}, {w.FlangeThickness, &out.Thickness}, {w.VerticalFlange,
		&out.Vertical}, {w.TreadHollow, &out.Hollow},
		{func() (float64, error) { a, _, err := w.FlangeAngle(); return a * 180 / math.Pi, err }, &out.Angle}} {
		if v, err := g.read(); err == nil {
			v = export.Rounded(v)
			*g.to = &v
		}
	}
	if rim, ok := w.RimThickness(); ok {
		out.Rim = value(rim)
	}
	if _, length, err := w.FlangeAngle(); err == nil {
		out.Length = value(length)
	}
	return out
}

// picture collects what the drawing shows, the axle in the middle.
func (in *shapeInput) picture(a *contact.Answer) draw.Shapes {
	var pic draw.Shapes
	make1 := func(near bool, w *shape.Shape, rail string, sp contact.Spot) draw.Side {
		d := draw.Side{Name: fmt.Sprintf("%s: %s on %s", sideName(near), w.Name, rail),
			ContactY: sp.RailY, ContactZ: sp.RailZ, Note: fmt.Sprintf("contact %.3f in from the tape line, %.1f deg",
				sp.Y/measure.MMPerInch, sp.Angle*180/math.Pi)}
		d.Wheel, d.Rail = a.Solver.Drawn(a.Middle, near)
		if two, ok := a.Solver.SecondNear(a.Middle, near); ok {
			d.HasSecond, d.SecondY, d.Depth = true, two.RailY, two.RailZ
		}
		return d
	}
	pic.Near = make1(true, in.axle.Near, in.axle.NearRail.Name, a.Middle.Near)
	pic.Far = make1(false, in.axle.Far, in.axle.FarRail.Name, a.Middle.Far)
	pic.Metric = in.Survey != nil && in.Survey.Metric
	pic.Title = "Both wheels on both rails, axle in the middle"
	pic.Gauge = fmt.Sprintf("gauge %s in, back-to-back %s in, 3/4 of full size", measure.Inch(in.axle.Gauge),
		measure.Inch(in.axle.BackToBack))
	pic.Desc = fmt.Sprintf("%s and %s. Contact marked with a cross. Below, the rolling radius difference over the "+
		"lateral shift and the difference needed in a curve of %g degrees.", pic.Near.Name, pic.Far.Name,
		math.Round(in.degree*100)/100)
	pic.Degree = math.Round(in.degree*100) / 100
	if !math.IsNaN(a.Needed) {
		pic.Needed = a.Needed
	}
	if !math.IsNaN(a.Play) {
		pic.Play = a.Play
	}
	for _, st := range a.Rows {
		pic.RRD = append(pic.RRD, [2]float64{st.Shift, st.RRD})
	}
	return pic
}
