package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction/contact"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// truckInput is what the curve command computes from.
type truckInput struct {
	shapeInput
	positions [4]string             // high and low wheel of the lead axle, then of the trail axle
	shapes4   [4]*wheel.Shape       // in the same order
	fresh     [4]*wheel.Shape       // before wear
	readings  [4]wheel.WornReadings // that the shapes were rebuilt from
	diameters [4]float64            // mm
	backs     [2]float64            // of the lead and the trail axle, mm
	elevation float64               // mm
	speed     float64               // m/s
	atBalance bool                  // speed or elevation was not given: the one follows the other
	gross     float64               // N, of a four-axle car
	height    float64               // of the centre of gravity, mm
	wheelbase float64               // mm
	moment    float64               // N·mm
	warp      float64               // N·mm/rad; 0: rigid
	mu        [4]float64            // high rail, its face, low rail, its face
	holding   string
	car       *wheel.Car
	feature   *track.Feature
}

// highSide is which wheels run on the high rail unless --high says otherwise.
const highSide = "L"

// axles are both axles of the truck on the curve's rails, near on the high rail.
func (in *truckInput) axles() (lead, trail contact.Axle) {
	lead, trail = in.axle, in.axle
	lead.Near, lead.Far, lead.NearDiameter, lead.FarDiameter, lead.BackToBack = in.shapes4[0], in.shapes4[1], in.diameters[0], in.diameters[1], in.backs[0]
	trail.Near, trail.Far, trail.NearDiameter, trail.FarDiameter, trail.BackToBack = in.shapes4[2], in.shapes4[3], in.diameters[2], in.diameters[3], in.backs[1]
	return lead, trail
}

func readTruck(o curveOptions) (*truckInput, error) {
	in := &truckInput{}
	var err error
	if in.data, err = configs.Load(); err != nil {
		return nil, err
	}
	if in.shapes, err = in.data.LoadShapes(); err != nil {
		return nil, err
	}
	if err := in.place(o); err != nil {
		return nil, err
	}
	if err := in.rails(o.shapeOptions); err != nil {
		return nil, err
	}
	if err := in.stand(o); err != nil {
		return nil, err
	}
	if err := in.fourWheels(o); err != nil {
		return nil, err
	}
	return in, in.running(o)
}

// place reads the survey and takes the place from it.
func (in *truckInput) place(o curveOptions) error {
	if o.survey == "" {
		if o.car != "" || o.position != "" || o.at != "" {
			return usagef("--car, --position and --at need --survey")
		}
		return nil
	}
	var err error
	if in.read, err = survey.Read(o.survey); err != nil {
		return err
	}
	in.survey = map[string]surveyValue{}
	if o.at == "" {
		return nil
	}
	for _, f := range in.read.Track.Features {
		if f.Name() == o.at && f.Kind == track.Curve {
			in.feature = f
			in.surveyPlace(f)
			from := "survey " + f.Place.String()
			if r := f.Read(track.Elevation); r.Measured() {
				in.survey["elevation"] = surveyValue{r.Written, from}
			}
			if f.Speed > 0 {
				in.survey["speed"] = surveyValue{strconv.FormatFloat(f.Speed, 'g', -1, 64), from}
			}
			in.holding = f.Holding
			if f.Lubricated != "" {
				in.survey["lubricated"] = surveyValue{f.Lubricated, from}
			}
			return nil
		}
	}
	return usagef("--at %q is not a curve of the survey (such as curve/C3)", o.at)
}

// stand says which wheel stands where: which side is on the high rail and which axle
// leads.
func (in *truckInput) stand(o curveOptions) error {
	high, low := "L", "R"
	switch in.choose("wheels on the high rail", strings.ToUpper(o.high), highSide, "default") {
	case "L":
	case "R":
		high, low = "R", "L"
	default:
		return usagef("--high %q is not L or R", o.high)
	}
	lead, trail := 1, 2
	if o.position != "" || o.car != "" {
		if o.car == "" {
			return usagef("--position needs --car")
		}
		if in.car = in.read.Fleet.Car(o.car); in.car == nil {
			return usagef("the survey has no car %q", o.car)
		}
		trucks, ok := in.car.Trucks()
		if !ok || len(trucks[0]) != 2 {
			return usagef("car %q has no two-axle trucks that can be computed", o.car)
		}
		truck := trucks[0]
		if o.position != "" {
			at, ok := wheel.ParsePosition(o.position)
			if !ok {
				return usagef("--position %q is not L1 to L8 or R1 to R8", o.position)
			}
			if at.Axle == trucks[1][0] || at.Axle == trucks[1][1] {
				truck = trucks[1]
			} else if at.Axle != truck[0] && at.Axle != truck[1] {
				return usagef("car %q has no axle %d", o.car, at.Axle)
			}
		}
		lead, trail = truck[0], truck[1]
	}
	switch o.leading {
	case "", "B":
	case "A":
		lead, trail = trail, lead
	default:
		return usagef("--leading %q is not B or A (the end of the car that runs ahead)", o.leading)
	}
	in.positions = [4]string{high + fmt.Sprint(lead), low + fmt.Sprint(lead), high + fmt.Sprint(trail), low + fmt.Sprint(trail)}
	return nil
}

// perWheel reads a flag that is one value for all wheels or a list such as
// L1=3mm,R2=1mm; the index of a position that the truck does not have is an error.
func (in *truckInput) perWheel(flag, text string) (out [4]string, err error) {
	if !strings.Contains(text, "=") {
		for i := range out {
			out[i] = strings.TrimSpace(text)
		}
		return out, nil
	}
	for _, item := range strings.Split(text, ",") {
		at, v, ok := strings.Cut(item, "=")
		found := false
		for i, p := range in.positions {
			if strings.EqualFold(strings.TrimSpace(at), p) {
				out[i], found = strings.TrimSpace(v), true
			}
		}
		if !ok || !found || strings.TrimSpace(v) == "" {
			return out, usagef("--%s %q: %q is not POSITION=VALUE with a position of this truck (%s)", flag, text, item, strings.Join(in.positions[:], ", "))
		}
	}
	return out, nil
}

// surveyed is the wheel of the survey's car at a position of the truck, or nil.
func (in *truckInput) surveyed(i int) *wheel.Wheel {
	if in.car == nil {
		return nil
	}
	at, _ := wheel.ParsePosition(in.positions[i])
	a := in.car.Axle(at.Axle)
	switch {
	case a == nil:
		return nil
	case at.Side == 'L':
		return a.L
	}
	return a.R
}

// fourWheels reads designs, readings, diameters and back-to-backs.
func (in *truckInput) fourWheels(o curveOptions) error {
	var texts [4][4]string // by reading, by wheel
	columns := [4]string{"flange_height", "flange_thickness", "vertical_flange", "tread_hollow"}
	for g, f := range []struct{ flag, text string }{{"flange-height", o.flangeHeight}, {"flange-thickness", o.flangeThickness}, {"vertical-flange", o.vertical}, {"hollow", o.hollow}} {
		if f.text == "" {
			continue
		}
		var err error
		if texts[g], err = in.perWheel(f.flag, f.text); err != nil {
			return err
		}
		in.note(strings.ReplaceAll(f.flag, "-", " "), f.text, "flag")
	}
	metric := false
	for i := range 4 {
		design, r, err := in.oneWheel(o, i)
		if err != nil {
			return err
		}
		metric = metric || design.BackToBack == 1360
		for g, to := range []*measure.Reading{&r.Height, &r.Thickness, &r.Vertical, &r.Hollow} {
			if texts[g][i] == "" {
				continue
			}
			x, err := in.data.Columns[columns[g]].Parse(texts[g][i])
			if err != nil {
				return usagef("--%s: %v", strings.ReplaceAll(columns[g], "_", "-"), err)
			}
			*to = x
		}
		in.shapes4[i], in.fresh[i], in.readings[i] = design, design, r
		if r == (wheel.WornReadings{}) {
			continue
		}
		w, err := in.rebuilt(in.positions[i], design, r)
		if err != nil {
			return &inputError{fmt.Errorf("wheel %s cannot be rebuilt: %w", in.positions[i], err)}
		}
		in.shapes4[i] = w.Middle
	}
	return in.axleLengths(o, metric)
}

// oneWheel is the design of a wheel and its readings in the survey.
func (in *truckInput) oneWheel(o curveOptions, i int) (*wheel.Shape, wheel.WornReadings, error) {
	w := in.surveyed(i)
	if o.wheel != "" || w == nil {
		name := o.wheel
		if name == "" {
			name = "narrow flange 1:20"
		}
		if i == 0 {
			in.choose("wheel", o.wheel, "narrow flange 1:20", "default")
		}
		var r wheel.WornReadings
		if w != nil {
			r = w.WornReadings()
		} else if in.car != nil {
			in.warnings = append(in.warnings, fmt.Sprintf("wheel %s is not in the survey: a new one stands in", in.positions[i]))
		}
		s, err := in.openWheel(o.shapeOptions, name)
		return s, r, badNameOrNil(err)
	}
	s, assumed, err := w.DesignShape(in.data, in.shapes)
	if err != nil {
		return nil, wheel.WornReadings{}, &inputError{err}
	}
	from := "survey " + w.Place.String()
	if assumed {
		from += ", design by the flange thickness"
	}
	r := w.WornReadings()
	written := func(x measure.Reading) string {
		if !x.Measured() {
			return "n/m"
		}
		return x.Written
	}
	in.note("wheel "+in.positions[i], fmt.Sprintf("%s: height %s, thickness %s, vertical %s, hollow %s", s.Name, written(r.Height), written(r.Thickness), written(r.Vertical), written(r.Hollow)), from)
	return s, r, nil
}

func badNameOrNil(err error) error {
	if err == nil {
		return nil
	}
	return badName(err)
}

// axleLengths reads back-to-back and diameters.
func (in *truckInput) axleLengths(o curveOptions, metric bool) error {
	for a := range 2 {
		text, from := o.backToBack, "flag"
		if text == "" {
			if w := in.surveyed(2 * a); w != nil && w.Read(wheel.BackToBack).Measured() {
				text, from = w.Read(wheel.BackToBack).Written, "survey "+w.Place.String()
			}
		}
		if text == "" {
			text, from = "53-3/8", "default of the design"
			if b := in.shapes4[2*a].BackToBack; b > 0 {
				text = measure.Inch(b)
			}
			if metric {
				text = "1360mm"
			}
		}
		r, err := length("back-to-back", text, in.data.Columns["back_to_back"])
		if err != nil {
			return err
		}
		in.backs[a] = r.As
		in.note("back-to-back, axle "+in.positions[2*a][1:], text, from)
	}
	given, err := in.perWheel("diameter", o.diameter)
	if err != nil {
		return err
	}
	for i := range 4 {
		text, from := given[i], "flag"
		if w := in.surveyed(i); text == "" && w != nil && w.Read(wheel.Diameter).Measured() {
			text, from = w.Read(wheel.Diameter).Written, "survey "+w.Place.String()
		}
		if text == "" {
			if text, from = "36", "default"; metric {
				text = "920mm"
			}
		}
		r, err := length("diameter", text, in.data.Columns["diameter"])
		if err != nil {
			return err
		}
		in.diameters[i] = r.As
		if i == 0 || from != "default" {
			in.note("diameter "+in.positions[i], text, from)
		}
	}
	return nil
}

// setting is a figure of the survey's settings, or of the built-in ones.
func (in *truckInput) setting(name string) configs.Setting {
	list := survey.NewSettings(in.data.Settings)
	if in.read != nil {
		list = in.read.Settings
	}
	s, _ := list.Setting(name)
	return s
}

// assumed takes a setting for what was not given, and notes it.
func (in *truckInput) assumed(what, name string) float64 {
	s := in.setting(name)
	in.note(what, s.Text(), "setting "+name+" ("+s.Kind+")")
	return s.Value
}

// running reads the curve, the car and the friction.
func (in *truckInput) running(o curveOptions) error {
	text := in.choose("degree", o.degree, "", "")
	if text == "" {
		return usagef("--degree is missing (or --survey with --at)")
	}
	d, err := measure.ParseDegree(text)
	if err != nil || !d.Measured() {
		return usagef("--degree: %v", err)
	}
	in.degree = d.As
	if err := in.balance(o); err != nil {
		return err
	}
	if err := in.truck(o); err != nil {
		return err
	}
	return in.friction(o)
}

// radius of the curve in mm; +Inf on tangent track.
func (in *truckInput) radius() (float64, error) {
	if in.degree == 0 {
		return math.Inf(1), nil
	}
	feet, err := measure.RadiusFt(in.degree)
	return feet * 12 * measure.MMPerInch, err
}

// balance reads elevation and speed; where one is missing it is the one that balances
// the other.
func (in *truckInput) balance(o curveOptions) error {
	elevation, speed := in.choose("elevation", o.elevation, "", ""), in.choose("speed", o.speed, "", "")
	if elevation != "" {
		r, err := length("elevation", elevation, in.data.Columns["elevation"])
		if err != nil {
			return err
		}
		in.elevation = r.As
	}
	if speed != "" {
		v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(speed), "mph"), 64)
		if err != nil || !(v >= 0 && v <= 150) {
			return usagef("--speed %q is not a speed in mph (0 to 150)", speed)
		}
		in.speed = v * measure.MetresPerSecondPerMPH
	}
	switch {
	case elevation == "" && speed == "":
		in.atBalance = true
		in.note("elevation and speed", "balanced", "default")
	case speed == "":
		in.atBalance = true
		in.note("speed", "that the elevation balances", "default")
	case elevation == "":
		in.note("elevation", "0 in", "default")
	}
	return nil
}

// truck reads the car's weight and the truck.
func (in *truckInput) truck(o curveOptions) error {
	var err error
	switch {
	case o.gross != "":
		if in.gross, err = forceIn("gross", in.choose("gross", o.gross, "", ""), "lb"); err != nil {
			return err
		}
	case in.car != nil && in.car.GrossLb > 0:
		in.gross = in.car.GrossLb * measure.NewtonsPerPound
		in.note("gross", strconv.FormatFloat(in.car.GrossLb, 'f', -1, 64)+" lb", "survey "+in.car.Place.String())
	default:
		in.gross = in.assumed("gross", "car_weight") * measure.NewtonsPerPound
	}
	long := measure.Spec{Column: "length", Unit: measure.Inches, Lo: 0, Hi: 300 * measure.MMPerInch}
	switch {
	case o.wheelbase != "":
		r, err := length("wheelbase", in.choose("wheelbase", o.wheelbase, "", ""), long)
		if err != nil {
			return err
		}
		in.wheelbase = r.As
	case in.car != nil && in.car.TruckWheelbase.Measured():
		in.wheelbase = in.car.TruckWheelbase.As
		in.note("wheelbase", in.car.TruckWheelbase.Written, "survey "+in.car.Place.String())
	default:
		in.wheelbase = in.assumed("wheelbase", "truck_wheelbase")
	}
	if o.height != "" {
		r, err := length("cg-height", in.choose("height of the centre of gravity", o.height, "", ""), long)
		if err != nil {
			return err
		}
		in.height = r.As
	} else {
		in.height = in.assumed("height of the centre of gravity", "gravity_height")
	}
	return in.frame(o)
}

// frame reads the moment that holds the truck back and the frame. Without a survey both
// default to the plain truck of the textbooks; with one, to what check takes.
func (in *truckInput) frame(o curveOptions) error {
	var err error
	switch {
	case o.moment != "":
		if in.moment, err = momentOf(in.choose("rotation moment", o.moment, "", "")); err != nil {
			return err
		}
	case in.read != nil:
		in.moment = in.assumed("rotation moment", "turning_moment") * 1e6
	default:
		in.note("rotation moment", "0", "default")
	}
	if o.truckOf == "trailing" {
		in.moment = -in.moment
	} else if o.truckOf != "" && o.truckOf != "leading" {
		return usagef("--truck %q is not leading or trailing", o.truckOf)
	}
	frame := o.frame
	if frame == "" && o.warp != "" {
		frame = "three-piece"
	}
	fallback, why := "rigid", "default"
	if in.read != nil && in.car != nil && in.car.Kind == "freight" {
		fallback, why = "three-piece", "default of a freight car"
	}
	switch in.choose("frame", frame, fallback, why) {
	case "rigid":
		if o.warp != "" {
			return usagef("--warp-stiffness needs --frame three-piece")
		}
	case "three-piece":
		if o.warp == "" {
			in.warp = in.assumed("warp stiffness", "warp_stiffness") * 1e9
			break
		}
		v, err := strconv.ParseFloat(in.choose("warp stiffness", o.warp, "", ""), 64)
		if err != nil || !(v > 0 && v <= 1e12) {
			return usagef("--warp-stiffness %q is not a stiffness in N.m/rad", o.warp)
		}
		in.warp = v * 1000
	default:
		return usagef("--frame %q is not rigid or three-piece", o.frame)
	}
	return nil
}

// friction reads the coefficients of both rails.
func (in *truckInput) friction(o curveOptions) error {
	both := o.mu
	value := func(flag, text string) (float64, error) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v >= 0.01 && v <= 1) {
			return 0, usagef("--%s %q is not a friction coefficient from 0.01 to 1", flag, text)
		}
		return v, nil
	}
	for i, f := range []struct{ flag, text string }{{"mu-high", o.muHigh}, {"mu-low", o.muLow}} {
		text, flag := f.text, f.flag
		if text == "" {
			text, flag = both, "mu"
		}
		var v float64
		var err error
		if text == "" {
			if i == 0 || o.muHigh != "" {
				v = in.assumed("friction", "dry_friction")
			} else {
				v = in.setting("dry_friction").Value
			}
		} else {
			if v, err = value(flag, text); err != nil {
				return err
			}
			if flag != "mu" || i == 0 {
				in.note("friction ("+flag+")", text, "flag")
			}
		}
		in.mu[2*i], in.mu[2*i+1] = v, v
	}
	if o.mu != "" || o.muHigh != "" || o.muLow != "" {
		return nil
	}
	greased := in.survey["lubricated"]
	if greased.text == "" || greased.text == "none" {
		return nil
	}
	v := in.assumed("friction of a lubricated face ("+greased.text+")", "greased_friction")
	if greased.text != "low" {
		in.mu[1] = v
	}
	if greased.text != "high" {
		in.mu[3] = v
	}
	return nil
}

// momentOf reads a moment into N·mm: N·m without a unit, else N.m, kN.m.
func momentOf(text string) (float64, error) {
	t := strings.ToLower(strings.NewReplacer(" ", "", "·", "", ".m", "m", "*", "").Replace(strings.TrimSpace(text)))
	factor := 1.0
	if n, ok := strings.CutSuffix(t, "knm"); ok {
		t, factor = n, 1000
	} else if n, ok := strings.CutSuffix(t, "nm"); ok {
		t = n
	}
	v, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v*factor) > 1e6 {
		return 0, usagef("--rotation-moment %q is not a moment such as 20000 (N.m) or 20kN.m", text)
	}
	return v * factor * 1000, nil
}
