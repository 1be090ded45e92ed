package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// passageInput is what the passage command computes from, with where each value came from.
type passageInput struct {
	shapeInput
	figures  *configs.Passage
	overFrog bool
	frog     track.FrogPlan
	point    track.SwitchPlan
	frogAxle passage.Axle
	swAxle   passage.SwitchAxle
	climb    float64 // rad
	load     passage.Load
	opt      passage.FrogOptions
	given    map[string]bool   // built-in figures that a flag or the survey replaced
	settings []configs.Setting // that entered
	support  configs.TrackSupport
	detail   configs.SwitchDetail
}

func readPassage(o passageOptions) (*passageInput, error) {
	in := &passageInput{given: map[string]bool{}, overFrog: true}
	var err error
	if in.data, err = configs.Load(); err != nil {
		return nil, err
	}
	if in.shapes, err = in.data.LoadShapes(); err != nil {
		return nil, err
	}
	if in.figures, err = in.data.LoadPassage(); err != nil {
		return nil, err
	}
	place, err := in.fromSurvey(o)
	if err != nil {
		return nil, err
	}
	if err := in.kindOf(o, place); err != nil {
		return nil, err
	}
	// The wheel's defaults go by the rail only to tell metric from inch designs.
	if in.axle.NearRail, err = track.RailNamed(in.shapes, "136RE"); err != nil {
		return nil, err
	}
	if err := in.wheels(o.shapeOptions); err != nil {
		return nil, err
	}
	mate, err := in.axle.Far.FlangeThickness()
	if err != nil {
		return nil, &inputError{fmt.Errorf("the mate: %w", err)}
	}
	gauge, err := in.length("gauge", "gauge", o.gauge, "56-1/2", "default", "gauge")
	if err != nil {
		return nil, err
	}
	if in.overFrog {
		in.frogAxle = passage.Axle{BackToBack: in.axle.BackToBack, MateThickness: mate, Gauge: gauge}
		err = in.readFrog(o, place)
	} else {
		in.swAxle = passage.SwitchAxle{BackToBack: in.axle.BackToBack, MateThickness: mate, Gauge: gauge}
		err = in.readSwitch(o)
	}
	if err != nil {
		return nil, err
	}
	return in, in.readLoad(o)
}

// kindOf tells frog from switch.
func (in *passageInput) kindOf(o passageOptions, place *track.Feature) error {
	switch o.over {
	case "", "frog", "switch":
	default:
		return usagef("--over %q is not frog or switch", o.over)
	}
	over := o.over
	if place != nil {
		if place.Kind != track.Frog && place.Kind != track.Switch {
			return usagef("--at %q is no frog and no switch", o.at)
		}
		if over != "" && over != place.Kind.String() {
			return usagef("--over %s and --at %s do not go together", over, o.at)
		}
		over = place.Kind.String()
	}
	in.overFrog = over != "switch"
	frog := []string{o.number, o.typ, o.width, o.depth, o.treadWear, o.wornDown, o.wornBack, o.riser, o.slope, o.ramp, o.guardCheck}
	point := []string{o.detail, o.gap, o.thickness, o.chipDepth, o.chipLength, o.faceAngle, o.stockWear, o.undercut, o.heelRise, o.wheelbase}
	if strings.Join(point, "") != "" && in.overFrog {
		return usagef("a flag of a switch point stands with a frog (--over switch)")
	}
	if strings.Join(frog, "") != "" && !in.overFrog {
		return usagef("a flag of a frog stands with a switch")
	}
	return nil
}

// length takes a length by [shapeInput.choose]; 0 where there is none.
func (in *passageInput) length(name, flag, text, fallback, why, column string) (float64, error) {
	chosen := in.choose(name, text, fallback, why)
	if chosen == "" {
		return 0, nil
	}
	r, err := length(flag, chosen, in.data.Columns[column])
	return r.As, err
}

// figure takes a length over a built-in figure, noting that the figure is not used.
func (in *passageInput) figure(name, flag, text, figure string, spec measure.Spec) (float64, error) {
	if text == "" {
		return in.figures.Value(figure), nil
	}
	in.given[figure] = true
	r, err := length(flag, in.choose(name, text, "", ""), spec)
	return r.As, err
}

func (in *passageInput) readFrog(o passageOptions, place *track.Feature) error {
	typ := in.choose("frog type", o.typ, "rbm", "default")
	if typ == "" {
		typ = "rbm"
	}
	if !track.FrogModelled(typ) {
		if !slices.Contains(configs.FrogTypes(), typ) {
			return usagef("--type %q is not one of %s", typ, strings.Join(track.ModelledFrogs(), ", "))
		}
		return inputf("frogs of the type %s have no sections here and keep the plain arithmetic of check (modelled: %s)", typ, strings.Join(track.ModelledFrogs(), ", "))
	}
	number, err := plainNumber("number", in.choose("frog number", o.number, "8", "default"), 2, 40)
	if err != nil {
		return err
	}
	p := track.NewFrogPlan(in.figures, typ, number)
	for _, g := range []struct {
		name, flag, text, fallback, why, column string
		to                                      *float64
	}{
		{"flangeway width", "flangeway-width", o.width, "1-7/8", "default: standard width", "flangeway_width", &p.FlangewayWidth},
		{"flangeway depth", "flangeway-depth", o.depth, "1-7/8", "default: a new frog", "flangeway_depth", &p.FlangewayDepth},
		{"tread wear", "tread-wear", o.treadWear, "", "", "tread_wear", &p.TreadWear},
		{"point worn down", "point-worn-down", o.wornDown, "", "", "point_worn_down", &p.PointWornDown},
	} {
		if *g.to, err = in.length(g.name, g.flag, g.text, g.fallback, g.why, g.column); err != nil {
			return err
		}
	}
	if back, err := in.length("point worn back", "point-worn-back", o.wornBack, "", "", "point_worn_back"); err != nil {
		return err
	} else if back > 0 {
		p.PointWornBack, in.given["point_worn_back"] = back, true
	}
	spec := measure.Spec{Column: "length", Unit: measure.Inches, Lo: 0, Hi: measure.MMPerInch}
	if p.PointDrop, err = in.figure("point drop", "point-drop", o.pointDrop, "frog_point_drop", spec); err != nil {
		return err
	}
	if p.WingRiser, err = in.figure("wing riser", "wing-riser", o.riser, "wing_riser", spec); err != nil {
		return err
	}
	if o.slope != "" {
		n, err := rate("wing-slope", in.choose("wing slope", o.slope, "", ""))
		if err != nil {
			return err
		}
		in.given["wing_slope"] = true
		if n > 0 {
			p.WingSlope = 1 / n
		}
	}
	if p.FloorRamp, err = rate("floor-ramp", in.choose("floor ramp", o.ramp, "blunt", "default: the worse")); err != nil {
		return err
	}
	in.frog = p
	fallback, why := "54-5/8", "default: as designed"
	if place != nil {
		fallback, why = "", ""
	}
	if typ == "self-guarded" {
		return nil
	}
	text := in.choose("guard check", o.guardCheck, fallback, why)
	if text == "n/m" || text == "-" || text == "" {
		in.warnings = append(in.warnings, "The guard check is not known: the axle is free within the flangeway and the play, and the position of the greatest dip is shown.")
		return nil
	}
	r, err := length("guard-check", text, in.data.Columns["guard_check"])
	in.frogAxle.GuardCheck = r.As
	return err
}

func (in *passageInput) readSwitch(o passageOptions) error {
	name := in.choose("detail", o.detail, "plain", "default")
	p, err := track.NewSwitchPlan(in.figures, name)
	if err != nil {
		return &usageError{err}
	}
	in.detail, _ = in.figures.Detail(name)
	undercut, thick, drop, rise := -1.0, -1.0, math.NaN(), math.NaN()
	for _, g := range []struct {
		name, flag, text, column string
		to                       *float64
	}{
		{"point gap", "point-gap", o.gap, "point_gap", &p.Gap},
		{"point thickness", "point-thickness", o.thickness, "point_thickness", &thick},
		{"point drop", "point-drop", o.pointDrop, "point_drop", &drop},
		{"chip depth", "chip-depth", o.chipDepth, "chip_depth", &p.ChipDepth},
		{"chip length", "chip-length", o.chipLength, "chip_length", &p.ChipLength},
		{"stock rail wear", "stock-rail-wear", o.stockWear, "stock_rail_wear", &p.StockWear},
		{"undercut", "undercut", o.undercut, "undercut", &undercut},
		{"heel rise", "heel-rise", o.heelRise, "heel_rise", &rise},
		{"face angle", "face-angle", o.faceAngle, "face_angle", &p.FaceAngle},
	} {
		text := in.choose(g.name, g.text, "", "")
		if text == "" {
			continue
		}
		r, err := length(g.flag, text, in.data.Columns[g.column])
		if err != nil {
			return err
		}
		*g.to = r.As
		if g.column == "chip_length" {
			in.given["chip_length"] = true
		}
	}
	p.Undercut, p.TipThickness, p.Drop, p.HeelRise = undercut, thick, drop, rise
	in.point = p
	in.climb = in.figures.Value("climb_angle") * math.Pi / 180
	wheelbase := in.setting("truck_wheelbase")
	r, err := length("wheelbase", in.fall("wheelbase", o.wheelbase, wheelbase), measure.Spec{Column: "truck_wheelbase", Unit: measure.Inches, Lo: 24 * measure.MMPerInch, Hi: 240 * measure.MMPerInch})
	in.swAxle.Wheelbase = r.As
	return err
}

// setting is a setting of the pair checks with its built-in value.
func (in *passageInput) setting(name string) configs.Setting {
	s, _ := survey.NewSettings(in.data.Settings).Setting(name)
	return s
}

// fall takes a value by [shapeInput.choose] that a setting stands for, and keeps the
// setting where it entered.
func (in *passageInput) fall(name, flag string, s configs.Setting) string {
	before := len(in.used)
	text := in.choose(name, flag, s.Written, "default")
	if len(in.used) > before && in.used[before].From == "default" {
		in.settings = append(in.settings, s)
	}
	return text
}

// plainNumber reads a bare number within its range.
func plainNumber(flag, text string, lo, hi float64) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || strings.ContainsAny(strings.ToLower(text), "_xinp") || !(v >= lo && v <= hi) {
		return 0, usagef("--%s %q is not a number from %g to %g", flag, text, lo, hi)
	}
	return v, nil
}

// rate reads n of 1:n; 0 for none, blunt or flat.
func rate(flag, text string) (float64, error) {
	switch text {
	case "blunt", "none", "flat", "0":
		return 0, nil
	}
	n, ok := strings.CutPrefix(strings.Replace(text, "/", ":", 1), "1:")
	if v, err := strconv.ParseFloat(n, 64); ok && err == nil && v >= 5 && v <= 1000 {
		return v, nil
	}
	return 0, usagef("--%s %q is not a rate such as 1:40 (1:5 to 1:1000)", flag, text)
}

const metresPerMile = 5280 * 12 * measure.MMPerInch / 1000

func (in *passageInput) readLoad(o passageOptions) error {
	mph, err := plainNumber("speed", in.choose("speed", o.speed, "10", "default, mph"), 0, 150)
	if err != nil {
		return err
	}
	in.load.Speed = mph * metresPerMile / 3600
	if o.load != "" {
		if in.load.Static, err = forceOf(in.choose("load", o.load, "", "")); err != nil {
			return err
		}
	} else {
		lb, err := plainNumber("gross", in.fall("gross weight", o.gross, in.setting("car_weight")), 1000, 2e6)
		if err != nil {
			return err
		}
		axles := 4.0
		if v, ok := in.survey["axles"]; ok && o.gross == "" {
			if axles, err = plainNumber("axles", in.choose("axles", "", v.text, v.from), 1, 16); err != nil {
				return err
			}
		}
		in.load.Static = lb * measure.NewtonsPerPound / (2 * axles)
	}
	name := in.choose("track", o.track, "main", "default")
	s, ok := in.figures.Support(name)
	if !ok {
		return usagef("--track %q is not main or short-line", name)
	}
	in.support = s
	in.load.Support = passage.Support{Mass: s.Mass, Damping: s.Damping, Stiffness: s.Stiffness}
	in.load.Unsprung, in.load.Bound = in.figures.Value("unsprung_mass"), in.figures.Value("force_bound")
	for _, g := range []struct {
		name, flag, text, figure string
		lo, hi                   float64
		to                       *float64
	}{
		{"unsprung mass", "unsprung", o.unsprung, "unsprung_mass", 10, 1e5, &in.load.Unsprung},
		{"bound", "bound", o.bound, "force_bound", 1, 1e5, &in.load.Bound},
		{"track stiffness", "track-stiffness", o.stiffness, "", 1e5, 1e10, &in.load.Support.Stiffness},
		{"track damping", "track-damping", o.damping, "", 0, 1e7, &in.load.Support.Damping},
		{"track mass", "track-mass", o.trackMass, "", 0, 1e4, &in.load.Support.Mass},
	} {
		if g.text == "" {
			continue
		}
		if *g.to, err = plainNumber(g.flag, in.choose(g.name, g.text, "", ""), g.lo, g.hi); err != nil {
			return err
		}
		if g.figure != "" {
			in.given[g.figure] = true
		}
	}
	in.load.Bound *= 1000
	if o.frogStep != "" {
		r, err := length("step", in.choose("step", o.frogStep, "", ""), millimetres(0.1, 200))
		if err != nil {
			return err
		}
		in.opt.Step = r.As
	}
	switch d := in.choose("direction", o.direction, "facing", "default"); d {
	case "facing", "both":
	case "trailing":
		in.opt.Trailing = true
	default:
		return usagef("--direction %q is not facing or trailing", d)
	}
	return nil
}

// fromSurvey takes what a survey knows of a wheel, its axle and a frog or switch.
func (in *passageInput) fromSurvey(o passageOptions) (*track.Feature, error) {
	if o.survey == "" {
		return nil, in.shapeInput.fromSurvey(o.shapeOptions)
	}
	if (o.car == "") != (o.position == "") {
		return nil, usagef("--car and --position go together")
	}
	sv, err := survey.Read(o.survey)
	if err != nil {
		return nil, err
	}
	in.read, in.survey = sv, map[string]surveyValue{}
	if o.car != "" {
		if err := in.surveyWheel(sv, o.shapeOptions); err != nil {
			return nil, err
		}
		in.surveyCar(sv, o)
	}
	if o.at == "" {
		return nil, nil
	}
	var known []string
	for _, f := range sv.Track.Features {
		if f.Name() == o.at {
			in.surveyFeature(f)
			return f, nil
		}
		known = append(known, f.Name())
	}
	for _, k := range known {
		if strings.HasSuffix(k, "/"+o.at) { // the id without its kind
			return nil, usagef("--at %q is not a feature of the survey (did you mean %q?)", o.at, k)
		}
	}
	return nil, usagef("--at %q is not a feature of the survey (such as frog/F4)", o.at)
}

// surveyCar takes weight, axles and wheelbase of the car, and the greatest back-to-back.
func (in *passageInput) surveyCar(sv *survey.Survey, o passageOptions) {
	at, _ := wheel.ParsePosition(o.position)
	for _, w := range sv.Fleet.Wheels {
		if w.Car.ID != o.car || w.Position != at {
			continue
		}
		if r := w.Read(wheel.BackToBackMax); r.Measured() {
			in.survey["back-to-back"] = surveyValue{r.Written, "survey " + w.Place.String()}
		}
		from := "survey " + w.Car.Place.String()
		if w.Car.GrossLb > 0 {
			in.survey["gross weight"] = surveyValue{strconv.FormatFloat(w.Car.GrossLb, 'f', -1, 64), from}
			if w.Car.Axles > 0 {
				in.survey["axles"] = surveyValue{strconv.Itoa(w.Car.Axles), from}
			}
		}
		if r := w.Car.TruckWheelbase; r.Measured() {
			in.survey["wheelbase"] = surveyValue{r.Written, from}
		}
		return
	}
}

// surveyFeature takes the readings of a frog or switch.
func (in *passageInput) surveyFeature(f *track.Feature) {
	from := "survey " + f.Place.String()
	take := func(name, text string) {
		if text != "" {
			in.survey[name] = surveyValue{text, from}
		}
	}
	for _, q := range f.Measured() {
		if r := f.Read(q); r.Measured() {
			name := strings.ReplaceAll(q.String(), "_", " ")
			take(name, r.Written)
		}
	}
	if f.SpeedKnown {
		take("speed", strconv.FormatFloat(f.Speed, 'f', -1, 64))
	}
	if f.Kind == track.Frog {
		take("frog type", f.Type)
		if f.Number > 0 {
			take("frog number", strconv.FormatFloat(f.Number, 'f', -1, 64))
		}
		return
	}
	if d := track.DetailOf(f); d != "plain" {
		take("detail", d)
	}
	if f.Direction == "trailing" {
		take("direction", "trailing")
	}
}
