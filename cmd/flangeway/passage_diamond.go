package main

import (
	"fmt"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/track/shape"
)

// readDiamond asks for the rail of a crossing diamond.
func (in *passageInput) readDiamond() error {
	typ := in.Ask("diamond type", ask.Flag("type"), ask.Default("rbm", "default")).Text
	if typ != "rbm" && typ != shape.BearingFrog {
		return usagef("--type %q is no diamond's: rbm or %s", typ, shape.BearingFrog)
	}
	angle, err := in.Number("crossing angle", shape.LeastDiamond, shape.MostDiamond, ask.Flag("angle"),
		ask.Default("90", "default"))
	if err != nil {
		return err
	}
	other, err := in.Length("gauge of the other track", in.Columns["gauge"], ask.Flag("other-gauge"), ask.Flag("gauge"),
		ask.Default("56-1/2", "default"))
	if err != nil {
		return err
	}
	p := shape.NewDiamondPlan(in.figures, angle, other, typ == shape.BearingFrog)
	depth := ask.Default("1-7/8", "default: a new crossing")
	ramp := ask.Default("blunt", "default: the worse")
	if c, ok := in.figures.Constant("bearing_depth"); ok && p.Bearing {
		depth = ask.Default(c.Written, "default: a new flange-bearing frog (assumed)")
		ramp = ask.Default(fmt.Sprintf("1:%g", p.FloorRamp), "default, from memory")
	}
	for _, g := range []struct {
		q        track.Quantity
		fallback ask.Source
		to       *float64
	}{
		{track.FlangewayWidth, ask.Default("1-7/8", "default: standard width"), &p.FlangewayWidth},
		{track.FlangewayDepth, depth, &p.FlangewayDepth},
		{track.PointWornDown, ask.Default("", ""), &p.WornDown},
	} {
		if *g.to, err = in.reading(g.q, g.fallback).Length(in.Columns[g.q.String()]); err != nil {
			return err
		}
	}
	if back, err := in.reading(track.PointWornBack).Length(in.Columns["point_worn_back"]); err != nil {
		return err
	} else if back > 0 {
		p.WornBack, in.given["point_worn_back"] = back, true
	}
	if p.FloorRamp, err = in.By("floor ramp", ask.Rate, ask.Flag("floor-ramp"), ramp); err != nil {
		return err
	}
	in.diamond = &p
	return nil
}

// rails are the rails that are tried: the one asked for, or both.
func (in *passageInput) rails() ([]bool, error) {
	switch r := in.Ask("rail", ask.Flag("rail"), ask.Default("both", "default: the worse is shown")).Text; r {
	case "flange-first":
		return []bool{false}, nil
	case "field-first":
		return []bool{true}, nil
	case "both":
		return []bool{false, true}, nil
	default:
		return nil, usagef("--rail %q is not flange-first or field-first", r)
	}
}

// overADiamond takes the wheel over a rail of a diamond: over the one whose path turns more, if none is asked for.
func (in *passageInput) overADiamond(w *passage.Wheel, out *export.Passage) (draw.Passages, error) {
	rails, err := in.rails()
	if err != nil {
		return draw.Passages{}, err
	}
	var model *shape.DiamondModel
	var shown *passage.FrogSolution
	for _, field := range rails {
		plan := *in.diamond
		plan.FieldFirst = field
		m, err := shape.NewDiamondModel(plan)
		if err != nil {
			return draw.Passages{}, err
		}
		s, err := passage.Diamond(m, w, in.frogAxle, in.opt)
		if err != nil {
			return draw.Passages{}, err
		}
		if shown == nil || s.Shown.Dip.Angle > shown.Shown.Dip.Angle {
			model, shown = m, s
		}
	}
	out.Rail = "flange-first"
	if model.Plan.FieldFirst {
		out.Rail = "field-first"
	}
	out.Cuts = []export.PassageCut{{From: export.Rounded(0), To: export.Rounded(model.Gap)},
		{From: export.Rounded(model.Apart - model.Gap), To: export.Rounded(model.Apart)}}
	if err := in.passed(w, shown, model.Plan.FlangewayDepth, model.Plan.Bearing, out); err != nil {
		return draw.Passages{}, err
	}
	return in.diamondPicture(model, w, shown.Shown, out), nil
}

func (in *passageInput) diamondPicture(m *shape.DiamondModel, w *passage.Wheel, p *passage.FrogPath,
	out *export.Passage) draw.Passages {
	pic := draw.Passages{Title: fmt.Sprintf("Wheel over a diamond at %g degrees, %s", m.Plan.AngleDeg, out.Rail),
		PathName: "tread at the tape line", TipName: "flange tip", FloorName: "floor of the flangeway",
		Plane: "tread plane", Metric: in.Survey != nil && in.Survey.Metric,
		Marks: []draw.PassageMark{{X: 0, Text: "first cut"}, {X: m.Apart - m.Gap, Text: "second cut"}}}
	for _, st := range p.Stations {
		pic.Path = append(pic.Path, [2]float64{st.X, st.Z})
		pic.Tip = append(pic.Tip, [2]float64{st.X, st.Z - w.Height})
		if z, ok := m.FloorAt(st.X); ok {
			pic.Floor = append(pic.Floor, [2]float64{st.X, -z})
		}
	}
	at, why := p.FloorX, "least tip clearance"
	if p.Dip.Angle > 0 {
		at, why = p.Dip.X, "where the path turns most"
	}
	z, on := p.At(at)
	pic.Section = m.Section(at).Outlines(sectionBelow)
	in.wheelPicture(&pic, w, p.Place.Tape, z, at)
	pic.SectionNote = fmt.Sprintf("section %.1f in behind the first cut, %s; rests on %s", at/measure.MMPerInch, why,
		restsOn(on, "the rail on both sides of a cut"))
	pic.Note = fmt.Sprintf("held by %s; lift %.1f mm, drop %.1f mm, dip %.1f mrad; %.0f kN at %.0f mph (static %.0f "+
		"kN)", p.Place.Why, p.Lift, p.Drop, p.Dip.Angle*1000, out.Most, in.load.Speed*3600/metresPerMile, out.Static)
	pic.Desc = fmt.Sprintf("%s. Above, heights along the rail, stretched: tread, flange tip and floor. Below, the "+
		"%s, to scale. %s.", pic.Title, pic.SectionNote, pic.Note)
	return pic
}
