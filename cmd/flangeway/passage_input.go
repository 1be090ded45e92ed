package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/configs"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/track/shape"
	"flangeway/wheel"
)

type passageInput struct {
	*ask.Start
	figures  *configs.Passage
	axle     ask.Axle
	overFrog bool               // or a diamond
	diamond  *shape.DiamondPlan // if it is one
	frog     shape.FrogPlan
	point    shape.SwitchPlan
	frogAxle passage.Axle
	swAxle   passage.SwitchAxle
	climb    float64 // rad
	mu       float64 // friction on the switch point
	load     passage.Load
	opt      passage.FrogOptions
	given    map[string]bool // built-in figures that a flag or the survey replaced
	support  configs.TrackSupport
	detail   configs.SwitchDetail
	of       *wheel.Wheel   // of the survey, or nil
	at       *track.Feature // of the survey, or nil
}

func readPassage(f ask.Flags) (*passageInput, error) {
	start, err := ask.Open(f)
	if err != nil {
		return nil, err
	}
	in := &passageInput{Start: start, given: map[string]bool{}}
	if in.figures, err = in.Data.LoadPassage(); err != nil {
		return nil, err
	}
	if in.of, err = in.Wheel(); err != nil {
		return nil, err
	}
	if in.at, err = in.Place("frog/F4"); err != nil {
		return nil, err
	}
	for _, step := range []func() error{in.kind, in.wheels, in.across, in.weight, in.track, in.run} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	in.SayReadings("unread_vertical", "unread_hollow")
	return in, nil
}

// kind tells frog from switch.
func (in *passageInput) kind() error {
	over := in.Flags["over"]
	switch over {
	case "", "frog", "switch":
	case "diamond":
		in.diamond = &shape.DiamondPlan{}
	default:
		return usagef("--over %q is not frog, switch or diamond", over)
	}
	if at := in.at; at != nil {
		if at.Kind != track.Frog && at.Kind != track.Switch {
			return usagef("--at %q is no frog and no switch", in.Flags["at"])
		}
		if over != "" && over != at.Kind.String() {
			return usagef("--over %s and --at %s do not go together", over, in.Flags["at"])
		}
		over = at.Kind.String()
	}
	in.overFrog = over != "switch"
	if in.diamond == nil && in.Flags.Any("angle", "other-gauge", "rail") {
		return usagef("a flag of a diamond stands without one (--over diamond)")
	}
	if in.diamond != nil && in.Flags.Any("number", "route", "tread-wear", "wing-riser", "wing-slope", "guard-check",
		"point-drop") {
		return usagef("a flag of a frog stands with a diamond")
	}
	if in.overFrog && in.Flags.Any("detail", "point-gap", "point-thickness", "chip-depth", "chip-length", "face-angle",
		"stock-rail-wear", "undercut", "heel-rise", "wheelbase", "point-length", "mu") {
		return usagef("a flag of a switch point stands with a frog (--over switch)")
	}
	if !in.overFrog && in.Flags.Any("number", "type", "flangeway-width", "flangeway-depth", "tread-wear",
		"point-worn-down", "point-worn-back", "route", "wing-riser", "wing-slope", "floor-ramp", "guard-check") {
		return usagef("a flag of a frog stands with a switch")
	}
	return nil
}

func (in *passageInput) wheels() error {
	// The wheel's defaults go by the rail only to tell metric from inch designs.
	rail, err := shape.RailNamed(in.Shapes, "136RE")
	if err != nil {
		return err
	}
	if in.axle, err = in.Axle(in.of, rail, true); err != nil {
		return err
	}
	if in.of != nil && in.axle.Far.Of == nil {
		in.Warn("The mate of wheel %s is not in the survey: a new one stands in.", in.of.Position)
	}
	if err := in.OneShape(&in.axle.Near); err != nil {
		return err
	}
	return in.OneFlange(&in.axle.Far)
}

// across asks for what holds the axle across the track, and for frog or switch.
func (in *passageInput) across() error {
	mate, err := in.axle.Far.Shape.FlangeThickness()
	if err != nil {
		return &inputError{Err: fmt.Errorf("the mate: %w", err)}
	}
	gauge, err := in.Length("gauge", in.Columns["gauge"], ask.Flag("gauge"), ask.At(in.at, track.Gauge),
		ask.Default("56-1/2", "default"))
	if err != nil {
		return err
	}
	if in.overFrog {
		in.frogAxle = passage.Axle{BackToBack: in.axle.BackToBack, MateThickness: mate, Gauge: gauge}
		if in.diamond != nil {
			return in.readDiamond()
		}
		return in.readFrog()
	}
	in.swAxle = passage.SwitchAxle{BackToBack: in.axle.BackToBack, MateThickness: mate, Gauge: gauge}
	return in.readSwitch()
}

// reading asks for a reading of the place by its column: the flag is the column with hyphens, the name with blanks.
func (in *passageInput) reading(q track.Quantity, fallback ...ask.Source) ask.Value {
	column := q.String()
	sources := []ask.Source{ask.Flag(strings.ReplaceAll(column, "_", "-")), ask.At(in.at, q)}
	return in.Ask(strings.ReplaceAll(column, "_", " "), append(sources, fallback...)...)
}

// figure asks for a length that a built-in figure stands for, noting that the figure is not used.
func (in *passageInput) figure(flag, figure string) (float64, error) {
	v := in.Ask(strings.ReplaceAll(flag, "-", " "), ask.Flag(flag))
	if !v.Given() {
		return in.figures.Value(figure), nil
	}
	in.given[figure] = true
	return v.Length(ask.Inches("length", 0, 1))
}

func (in *passageInput) readFrog() error {
	typ := in.Ask("frog type", ask.Flag("type"), ask.FrogType(in.at), ask.Default("rbm", "default")).Text
	if !shape.FrogModelled(typ) {
		modelled := strings.Join(shape.ModelledFrogs(), ", ")
		if !slices.Contains(configs.FrogTypes(), typ) {
			return usagef("--type %q is not one of %s", typ, modelled)
		}
		return inputf("frogs of the type %s have no sections here and keep the plain arithmetic of check "+
			"(with sections: %s)", typ, modelled)
	}
	number, err := in.Number("frog number", 2, 40, ask.Flag("number"), ask.FrogNumber(in.at),
		ask.Default("8", "default"))
	if err != nil {
		return err
	}
	p := shape.NewFrogPlan(in.figures, typ, number)
	depth := ask.Default("1-7/8", "default: a new frog")
	if c, ok := in.figures.Constant("bearing_depth"); ok && typ == shape.BearingFrog {
		depth = ask.Default(c.Written, "default: a new flange-bearing frog (assumed)")
	}
	if err := in.route(&p); err != nil {
		return err
	}
	for _, g := range []struct {
		q        track.Quantity
		fallback ask.Source
		to       *float64
	}{
		{track.FlangewayWidth, ask.Default("1-7/8", "default: standard width"), &p.FlangewayWidth},
		{track.FlangewayDepth, depth, &p.FlangewayDepth},
		{track.TreadWear, ask.Default("", ""), &p.TreadWear},
		{track.PointWornDown, ask.Default("", ""), &p.PointWornDown},
	} {
		if *g.to, err = in.reading(g.q, g.fallback).Length(in.Columns[g.q.String()]); err != nil {
			return err
		}
	}
	if back, err := in.reading(track.PointWornBack).Length(in.Columns["point_worn_back"]); err != nil {
		return err
	} else if back > 0 {
		p.PointWornBack, in.given["point_worn_back"] = back, true
	}
	if p.PointDrop, err = in.figure("point-drop", "frog_point_drop"); err != nil {
		return err
	}
	if p.WingRiser, err = in.figure("wing-riser", "wing_riser"); err != nil {
		return err
	}
	if p.WingSlope, err = in.wingSlope(p.WingSlope); err != nil {
		return err
	}
	ramp := ask.Default("blunt", "default: the worse")
	if typ == shape.BearingFrog {
		ramp = ask.Default(fmt.Sprintf("1:%g", p.FloorRamp), "default, from memory")
	}
	if p.FloorRamp, err = in.By("floor ramp", ask.Rate, ask.Flag("floor-ramp"), ramp); err != nil {
		return err
	}
	in.frog = p
	if typ == "self-guarded" { // its raised guard holds the rim
		return in.Rim(&in.axle.Near)
	}
	return in.guard()
}

// route asks which route of a spring frog is run.
func (in *passageInput) route(p *shape.FrogPlan) error {
	if !p.Closed {
		if in.Flags.Any("route") {
			return usagef("--route stands with a frog of the type spring")
		}
		return nil
	}
	switch r := in.Ask("route", ask.Flag("route"), ask.Default("closed", "default")).Text; r {
	case "closed":
	case "open":
		p.Closed = false
	default:
		return usagef("--route %q is not closed or open", r)
	}
	return nil
}

// wingSlope asks for the rise of the frog's tops, per width. If none is given the built-in figure stands, kept within
// the settings that bound what check tries.
func (in *passageInput) wingSlope(builtIn float64) (float64, error) {
	if v := in.Ask("wing slope", ask.Flag("wing-slope")); v.Given() {
		in.given["wing_slope"] = true
		n, err := v.By(ask.Rate)
		if n == 0 || err != nil {
			return 0, err
		}
		return 1 / n, nil
	}
	for _, x := range []configs.Setting{in.Setting("wing_slope_least"), in.Setting("wing_slope_most")} {
		if x.Given && (x.Name == "wing_slope_least") == (x.Value > builtIn) && x.Value != builtIn {
			in.given["wing_slope"] = true
			return in.By("wing slope", nil, ask.Setting(x.Name))
		}
	}
	return builtIn, nil
}

// guard asks for the guard check. Of a frog of the survey that has none it is not known.
func (in *passageInput) guard() error {
	fallback := ask.Default("54-5/8", "default: as designed")
	if in.at != nil {
		fallback = ask.Default("", "")
	}
	v := in.reading(track.GuardCheck, fallback)
	if v.Text == "n/m" || v.Text == "-" || !v.Given() {
		in.Warn("The guard check is not known: the axle is free within the flangeway and the play, and the position " +
			"of the greatest dip is shown.")
		return nil
	}
	var err error
	in.frogAxle.GuardCheck, err = v.Length(in.Columns["guard_check"])
	return err
}

func (in *passageInput) readSwitch() error {
	name := in.Ask("detail", ask.Flag("detail"), ask.Detail(in.at), ask.Default("plain", "default")).Text
	p, err := shape.NewSwitchPlan(in.figures, name)
	if err != nil {
		return &usageError{Err: err}
	}
	in.detail, _ = in.figures.Detail(name)
	for _, g := range []struct {
		q  track.Quantity
		to *float64
	}{
		{track.PointGap, &p.Gap}, {track.PointThickness, &p.TipThickness}, {track.PointDrop, &p.Drop}, {track.ChipDepth,
			&p.ChipDepth}, {track.ChipLength, &p.ChipLength},
		{track.StockRailWear, &p.StockWear}, {track.Undercut, &p.Undercut}, {track.HeelRise, &p.HeelRise},
		{track.FaceAngle, &p.FaceAngle},
	} {
		v := in.reading(g.q)
		if !v.Given() {
			continue
		}
		if *g.to, err = v.Length(in.Columns[g.q.String()]); err != nil {
			return err
		}
		in.given[g.q.String()] = true
	}
	if in.at != nil && !in.given[track.FaceAngle.String()] {
		in.Warn("face_angle of the point was not read: this passage takes the face unworn. check judges by tip "+
			"height besides, with the flange by its height and thickness alone and over the ends of its readings, "+
			"and may find a lesser angle; a face under %g degrees would climb.",
			in.Setting("least_contact_angle").Value)
	}
	if v := in.Ask("point length", ask.Flag("point-length")); v.Given() {
		length, err := v.Length(ask.Inches("point length", 60, 590))
		if err != nil {
			return err
		}
		if err := p.Stretch(length); err != nil {
			return err
		}
		in.given["point_length"] = true
	}
	in.point = p
	if in.mu, err = in.By("friction", ask.Friction, ask.Flag("mu"), ask.Setting("dry_friction")); err != nil {
		return err
	}
	in.climb = in.figures.Value("climb_angle") * math.Pi / 180
	if in.Setting("least_contact_angle").Given {
		deg, err := in.Length("climb angle", measure.Spec{}, ask.Setting("least_contact_angle"))
		if err != nil {
			return err
		}
		in.climb, in.given["climb_angle"] = deg*math.Pi/180, true
	}
	in.swAxle.Wheelbase, err = in.Length("wheelbase", ask.Inches("truck_wheelbase", 24, 240), ask.Flag("wheelbase"),
		ask.Wheelbase(ask.CarOf(in.of)), ask.Setting("truck_wheelbase"))
	return err
}

// weight asks for speed and load.
func (in *passageInput) weight() error {
	mph, err := in.By("speed", ask.Speed, ask.Flag("speed"), ask.SpeedAt(in.at), ask.Default("10", "default, mph"))
	if err != nil {
		return err
	}
	in.load.Speed = mph * measure.MetresPerSecondPerMPH
	if v := in.Ask("load", ask.Flag("load")); v.Given() {
		in.load.Static, err = v.By(ask.Newtons)
		return err
	}
	gross, err := in.Number("gross weight", 1000, 2e6, ask.Flag("gross"), ask.Gross(ask.CarOf(in.of)),
		ask.Setting("car_weight"))
	if err != nil {
		return err
	}
	axles := float64(axlesOfCar)
	if car := ask.CarOf(in.of); car != nil && car.GrossLb > 0 && car.Axles > 0 && in.Flags["gross"] == "" {
		if axles, err = in.Number("axles", 1, 16, ask.Known(float64(car.Axles), true, ask.Plain(float64(car.Axles)),
			car.Place)); err != nil {
			return err
		}
	}
	in.load.Static = gross * measure.NewtonsPerPound / (2 * axles)
	return nil
}

// track asks for the track under the wheel and for the force whose speed is asked.
func (in *passageInput) track() error {
	name := in.Ask("track", ask.Flag("track"), ask.Default("main", "default")).Text
	s, ok := in.figures.Support(name)
	if !ok {
		return usagef("--track %q is not main or short-line", name)
	}
	in.support = s
	in.load.Support = passage.Support{Mass: s.Mass, Damping: s.Damping, Stiffness: s.Stiffness}
	in.load.Unsprung, in.load.Bound = in.figures.Value("unsprung_mass"), in.figures.Value("force_bound")
	for _, g := range []struct {
		name, flag, figure string
		lo, hi             float64
		to                 *float64
	}{
		{"unsprung mass", "unsprung", "unsprung_mass", 10, 1e5, &in.load.Unsprung},
		{"bound", "bound", "force_bound", 1, 1e5, &in.load.Bound},
		{"track stiffness", "track-stiffness", "", 1e5, 1e10, &in.load.Support.Stiffness},
		{"track damping", "track-damping", "", 0, 1e7, &in.load.Support.Damping},
		{"track mass", "track-mass", "", 0, 1e4, &in.load.Support.Mass},
	} {
		v := in.Ask(g.name, ask.Flag(g.flag))
		if !v.Given() {
			continue
		}
		var err error
		if *g.to, err = v.By(func(flag, text string) (float64, error) {
			return ask.Number(flag, text, g.lo, g.hi)
		}); err != nil {
			return err
		}
		in.given[g.figure] = true
	}
	in.load.Bound *= 1000
	return nil
}

// run asks for the stations and the direction.
func (in *passageInput) run() error {
	var err error
	if in.opt.Step, err = in.Length("step", ask.Millimetres(0.1, 200), ask.Flag("step")); err != nil {
		return err
	}
	switch d := in.Ask("direction", ask.Flag("direction"), ask.Trailing(in.at),
		ask.Default("facing", "default")).Text; d {
	case "facing", "both":
	case "trailing":
		in.opt.Trailing = true
	default:
		return usagef("--direction %q is not facing or trailing", d)
	}
	return nil
}

const metresPerMile = 3600 * measure.MetresPerSecondPerMPH
