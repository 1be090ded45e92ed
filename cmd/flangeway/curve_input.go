package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/contact"
	"flangeway/interaction/shaped"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// truckInput holds the inputs of the curve command.
type truckInput struct {
	*ask.Start
	axle      contact.Axle // the rails, without wheels
	positions []string     // high and low wheel of the lead axle, then of those that follow
	wheels    ask.Truck    // in the same order
	diameters []float64    // mm, without what mates have lost of their treads
	sized     []bool       // of which wheels the diameter was read
	backs     []float64    // of the axles from the lead axle on, mm
	degree    float64      // of the curve
	elevation float64      // mm
	speed     float64      // m/s
	atBalance bool         // speed or elevation was not given: the one follows the other
	loaded    float64      // gauge under load as read, mm; 0: not read
	gross     float64      // N, of a four-axle car
	rules     *interaction.Rules
	height    float64               // of the centre of gravity, mm
	wheelbase float64               // between neighbouring axles, mm
	clearance float64               // of a middle axle in the frame, each way, mm
	moment    float64               // N·mm
	warp      float64               // N·mm/rad; 0: rigid
	mu        [4]float64            // high rail, its face, low rail, its face
	uneven    interaction.Unloading // twist and load to one side; Over is that of the run
	holding   string                // of the place
	car       *wheel.Car            // of the survey, or nil
	feature   *track.Feature        // of the survey, or nil
}

// axleAt is an axle of the truck on the curve's rails, near on the high rail; the lead axle is the first.
func (in *truckInput) axleAt(i int) contact.Axle {
	a := in.axle
	a.Near, a.Far, a.BackToBack = in.wheels[2*i].Shape, in.wheels[2*i+1].Shape, in.backs[i]
	a.NearDiameter, a.FarDiameter = in.diameters[2*i], in.diameters[2*i+1]
	near, far := in.lost(i)
	a.NearDiameter, a.FarDiameter = a.NearDiameter-near, a.FarDiameter-far
	return a
}

// lost is by how much in mm the diameters of an axle's wheels are less because their treads have worn unlike: a wheel
// whose diameter was not read follows its mate's, so that both flange tips are equal.
func (in *truckInput) lost(i int) (near, far float64) {
	of := func(k int) shaped.WornTread {
		w := &in.wheels[k]
		fresh, _ := w.Design.FlangeHeight()
		return shaped.WornTread{Height: w.Readings.Height, Hollow: w.Readings.Hollow, New: fresh}
	}
	by := 2 * shaped.MoreLost(of(2*i), of(2*i+1))
	switch a, b := in.sized[2*i], in.sized[2*i+1]; {
	case a && b:
		return 0, 0
	case a:
		// The mate's default is that of any wheel: it is as large as this one, tip for tip.
		return 0, in.diameters[2*i+1] - in.diameters[2*i] - by
	case b:
		return in.diameters[2*i] - in.diameters[2*i+1] + by, 0
	}
	return by / 2, -by / 2
}

// sayMates says which axles have their diameters as read and which equal flange tips.
func (in *truckInput) sayMates() {
	for i := range in.backs {
		name := "mates, axle " + in.positions[2*i][1:]
		if in.sized[2*i] && in.sized[2*i+1] {
			in.Note(name, "diameters as read", "their readings")
			continue
		}
		near, far := in.lost(i)
		text := "equal flange tips"
		if near != far {
			text += fmt.Sprintf(": diameter %s in at %s, %s in at %s", measure.Inch(in.diameters[2*i]-near),
				in.positions[2*i], measure.Inch(in.diameters[2*i+1]-far), in.positions[2*i+1])
		}
		in.Note(name, text, "assumed, diameters not read")
	}
}

func readTruck(f ask.Flags) (*truckInput, error) {
	start, err := ask.Open(f)
	if err != nil {
		return nil, err
	}
	return truckFrom(start)
}

func truckFrom(start *ask.Start) (*truckInput, error) {
	in := &truckInput{Start: start}
	var err error
	if in.feature, err = in.Place("curve/C3", track.Curve); err != nil {
		return nil, err
	}
	if in.feature != nil {
		in.holding = in.feature.Holding
		if g := in.feature.GuardRail; g != "" {
			in.Ask("guard rail", ask.Word(g, in.feature.Place))
		}
	}
	rails, err := in.Rails(in.feature)
	if err != nil {
		return nil, err
	}
	in.axle = contact.Axle{NearRail: rails.Near, FarRail: rails.Far, Gauge: rails.Gauge,
		GaugeHeight: rails.GaugeHeight, Cant: rails.Cant}
	if in.loaded, err = in.Length("loaded gauge", in.Columns["loaded_gauge"], ask.Flag("loaded-gauge"),
		ask.At(in.feature, track.LoadedGauge)); err != nil {
		return nil, err
	}
	for _, step := range []func() error{in.stand, in.askWheels, in.curve, in.truck, in.unloading, in.frame,
		in.friction} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	in.SayReadings("unread_thickness")
	return in, nil
}

// axles is how many the car has: 4 or 6, and how many its survey says.
func (in *truckInput) axles() (int, error) {
	switch text := in.Flags["axles"]; text {
	case "":
		return 4, nil
	case "4", "6":
		in.Note("axles", text, "flag")
		return int(text[0] - '0'), nil
	default:
		return 0, usagef("--axles %q is not 4 or 6", text)
	}
}

// stand says which wheel stands where: which side is on the high rail and which axle leads.
func (in *truckInput) stand() error {
	high, low := "L", "R"
	switch text := in.Flags["high"]; in.Ask("wheels on the high rail", ask.Flag("high"),
		ask.Default("L", "default")).Text {
	case "L", "l":
	case "R", "r":
		high, low = "R", "L"
	default:
		return usagef("--high %q is not L or R", text)
	}
	count, err := in.axles()
	if err != nil {
		return err
	}
	truck := []int{1, 2, 3}[:count/2]
	if in.Flags.Any("position", "car") {
		if in.Flags["car"] == "" {
			return usagef("--position needs --car")
		}
		if in.car, err = in.Car(); err != nil {
			return err
		}
		trucks, ok := in.car.Trucks()
		switch {
		case !ok:
			return usagef("car %q has no trucks of two or three axles that can be computed", in.car.ID)
		case in.Flags["axles"] != "" && len(trucks[0]) != len(truck):
			return usagef("--axles %d: car %q has %d", count, in.car.ID, 2*len(trucks[0]))
		}
		truck = trucks[0]
		if in.Flags["position"] != "" {
			at, err := in.Position()
			if err != nil {
				return err
			}
			i := slices.IndexFunc(trucks, func(axles []int) bool { return slices.Contains(axles, at.Axle) })
			if i < 0 {
				return usagef("car %q has no axle %d", in.car.ID, at.Axle)
			}
			truck = trucks[i]
		}
	}
	switch text := in.Flags["leading"]; text {
	case "", "B":
	case "A":
		truck = slices.Clone(truck)
		slices.Reverse(truck)
	default:
		return usagef("--leading %q is not B or A (the end of the car that runs ahead)", text)
	}
	for _, n := range truck {
		in.positions = append(in.positions, high+fmt.Sprint(n), low+fmt.Sprint(n))
	}
	return nil
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

// askWheels asks for designs, readings, diameters and back-to-backs.
func (in *truckInput) askWheels() error {
	in.wheels = make(ask.Truck, len(in.positions))
	for i := range in.wheels {
		in.wheels[i] = ask.Wheel{Label: in.positions[i], Of: in.surveyed(i)}
		if in.car != nil && in.wheels[i].Of == nil {
			in.Warn("wheel %s is not in the survey: a new one stands in", in.positions[i])
		}
	}
	err := in.Wheels(in.wheels, in.axle.NearRail)
	if err == nil {
		in.backs, in.diameters, in.sized, err = in.wheels.Lengths(in.Start)
	}
	if err == nil {
		in.sayMates()
	}
	return err
}

// curve asks for the curve and how fast it is run. If elevation or speed is missing it is
// the one that balances the other.
func (in *truckInput) curve() error {
	degree := in.Ask("degree", ask.Flag("degree"), ask.Degree(in.feature))
	if !degree.Given() {
		return usagef("--degree is missing (or --survey with --at)")
	}
	var err error
	if in.degree, err = degree.By(degreeOf); err != nil {
		return err
	}
	elevation := in.Ask("elevation", ask.Flag("elevation"), ask.At(in.feature, track.Elevation))
	if in.elevation, err = elevation.Length(in.Columns["elevation"]); err != nil {
		return err
	}
	speed := in.Ask("speed", ask.Flag("speed"), ask.SpeedAt(in.feature))
	mph, err := speed.By(ask.Speed)
	if err != nil {
		return err
	}
	in.speed = mph * measure.MetresPerSecondPerMPH
	switch {
	case !elevation.Given() && !speed.Given():
		in.atBalance = true
		in.Note("elevation and speed", "balanced", "default")
	case !speed.Given():
		in.atBalance = true
		in.Note("speed", "that the elevation balances", "default")
	case !elevation.Given():
		in.Note("elevation", "0 in", "default")
	}
	return nil
}

// radius of the curve in mm; +Inf on tangent track.
func (in *truckInput) radius() (float64, error) {
	if in.degree == 0 {
		return math.Inf(1), nil
	}
	feet, err := measure.RadiusFt(in.degree)
	return feet * 12 * measure.MMPerInch, err
}

// truck asks for the car's weight and the truck.
func (in *truckInput) truck() error {
	var err error
	weight, spacing := []ask.Source{ask.Setting("car_weight")}, "truck_wheelbase"
	if in.threeAxles() { // there is no usual weight of such a car
		weight, spacing = nil, "truck_wheelbase_three"
	}
	if in.gross, err = in.Weight(in.car, weight...); err != nil {
		return err
	}
	long := ask.Inches("length", 0, 300)
	if in.wheelbase, err = in.Length("wheelbase", long, ask.Flag("wheelbase"), ask.Wheelbase(in.car),
		ask.Setting(spacing)); err != nil {
		return err
	}
	if in.threeAxles() {
		in.clearance, err = in.Length("clearance of the middle axle", long, ask.Setting("middle_axle_clearance"))
		if err != nil {
			return err
		}
	}
	in.rules = interaction.NewRules(in.Settings, in.Data)
	height := in.rules.GravityHeight(in.kind(), in.gross)
	in.height, err = in.Length("height of the centre of gravity", long, ask.Flag("cg-height"), in.atWeight(height,
		measure.NearestInch(height, 16)+" in", "gravity_height", "gravity_height_empty", "empty_weight"))
	return err
}

func (in *truckInput) threeAxles() bool { return len(in.backs) == 3 }

// unloading asks for what of the load stands unevenly: warp and a load to one side. What neither a flag nor
// the survey gives is level and even.
func (in *truckInput) unloading() error {
	u := &in.uneven
	*u = interaction.Unloading{Gross: in.gross, CentreHeight: in.height, WarpOver: track.WarpFt,
		TruckCenters: in.Setting("truck_centers").Value}
	var car wheel.Car // the survey's, or one of which nothing is known
	if in.car != nil {
		car = *in.car
	}
	warped := in.Flags.Any("warp", "warp-over", "truck-centers", "body") ||
		in.feature != nil && in.feature.Read(track.Warp).Measured()
	var err error
	if warped {
		if u.Warp, err = in.Length("warp", in.Columns["warp"], ask.Flag("warp"), ask.At(in.feature, track.Warp),
			ask.Default("0", "default")); err != nil {
			return err
		}
		over := ask.Default(fmt.Sprint(track.WarpFt), "default")
		if in.feature != nil {
			over = ask.Known(in.feature.WarpOverFt, true, ask.Plain(in.feature.WarpOverFt)+" ft", in.feature.Place)
		}
		if u.WarpOver, err = in.By("warp read over", ask.Feet, ask.Flag("warp-over"), over); err != nil {
			return err
		}
		if u.TruckCenters, err = in.Length("truck centers", in.Columns["truck_centers"], ask.Flag("truck-centers"),
			ask.Read(car.TruckCenters, car.Place), ask.Setting("truck_centers")); err != nil {
			return err
		}
		u.Body = in.Ask("body in twist", ask.Flag("body"), ask.Word(car.Body, car.Place), ask.Setting("body")).Text
		if !slices.Contains(configs.Bodies(), u.Body) {
			return usagef("--body %q is not %s", u.Body, strings.Join(configs.Bodies(), ", "))
		}
	}
	u.WarpOver *= 12 * measure.MMPerInch
	if in.Flags.Any("load-imbalance") || car.LoadImbalance.Measured() {
		u.Imbalance, err = in.Length("load to one side, percent", in.Columns["load_imbalance"],
			ask.Flag("load-imbalance"), ask.Read(car.LoadImbalance, car.Place))
	}
	return err
}

// kind is that of the survey's car; "" is unknown.
func (in *truckInput) kind() string {
	if in.car == nil {
		return ""
	}
	return in.car.Kind
}

// atWeight is a setting at the car's weight, where that is not the reference weight: its value there, and
// the settings besides that enter.
func (in *truckInput) atWeight(value float64, text, name string, besides ...string) ask.Source {
	return func(s *ask.Start) (ask.Value, bool) {
		v, ok := ask.Setting(name)(s)
		if in.gross == s.Setting("reference_weight").Value*measure.NewtonsPerPound {
			return v, ok
		}
		for _, other := range append([]string{"reference_weight"}, besides...) {
			ask.Setting(other)(s)
		}
		v.Text, v.Readings = text, []measure.Reading{measure.Exact(value, text)}
		v.From += ", at the car's weight"
		return v, ok
	}
}

// frame asks for the moment that holds the truck back and for the frame. Without a survey
// both default to the plain truck of the textbooks; with one, to what check takes.
func (in *truckInput) frame() error {
	read := ask.Default("0", "default")
	if in.Survey != nil {
		at := in.rules.TurningMoment(in.gross) / 1e6
		read = in.atWeight(at, fmt.Sprintf("%.1f kN.m", at), "turning_moment")
	}
	moment := in.Ask("rotation moment", ask.Flag("rotation-moment"), read)
	var err error
	if in.moment, err = moment.By(ask.Moment); err != nil {
		return err
	}
	if moment.Readings != nil { // the setting is in kN·m
		in.moment *= 1e6
	}
	switch text := in.Flags["truck"]; text {
	case "", "leading":
	case "trailing":
		in.moment = -in.moment
	default:
		return usagef("--truck %q is not leading or trailing", text)
	}
	typed, usual := ask.Flag("frame"), ask.Default("rigid", "default")
	if in.Flags["frame"] == "" && in.Flags["warp-stiffness"] != "" {
		typed = ask.Default("three-piece", "flag warp-stiffness")
	}
	if in.car != nil && !in.threeAxles() && (in.car.Kind == "freight" || in.car.Kind == "") {
		usual = ask.Default("three-piece", "default of a freight car")
	}
	switch frame := in.Ask("frame", typed, usual).Text; frame {
	case "rigid":
		if in.Flags["warp-stiffness"] != "" {
			return usagef("--warp-stiffness needs --frame three-piece")
		}
	case "three-piece":
		if in.threeAxles() {
			return usagef("--frame three-piece: a frame with three axles is taken as rigid")
		}
		worn, name := in.car != nil && in.car.WarpStiffness == "worn", "warp_stiffness"
		if worn {
			name = "warp_stiffness_worn"
		}
		at := in.rules.WarpStiffness(worn, in.gross) / 1e9
		v := in.Ask("warp stiffness", ask.Flag("warp-stiffness"),
			in.atWeight(at, fmt.Sprintf("%.2f MN.m/rad", at), name))
		if in.warp, err = v.By(ask.Stiffness); v.Readings != nil { // the setting is in MN·m/rad
			in.warp *= 1e9
		}
		return err
	default:
		return usagef("--frame %q is not rigid or three-piece", frame)
	}
	return nil
}

// friction asks for the coefficients of both rails, on top and on the face.
func (in *truckInput) friction() error {
	dry := ask.Setting("dry_friction")
	name, low := "friction", dry
	switch f := in.Flags; {
	case f.Any("mu-high", "mu-low"):
		name, low = "friction (mu-high)", nil
	case f.Any("mu"):
		name = "friction (mu)"
	}
	high, err := in.By(name, ask.Friction, ask.Flag("mu-high"), ask.Flag("mu"), dry)
	if err != nil {
		return err
	}
	in.mu = [4]float64{high, high, high, high}
	if low == nil {
		v, err := in.By("friction (mu-low)", ask.Friction, ask.Flag("mu-low"), ask.Flag("mu"), dry)
		in.mu[2], in.mu[3] = v, v
		return err
	}
	if in.feature == nil || in.Flags.Any("mu") {
		return nil
	}
	greased := in.feature.Lubricated
	if greased == "" || greased == "none" {
		return nil
	}
	face, err := in.By("friction of a lubricated face ("+greased+")", ask.Friction, ask.Setting("greased_friction"))
	if greased != "low" {
		in.mu[1] = math.Min(high, face)
	}
	if greased != "high" {
		in.mu[3] = math.Min(high, face)
	}
	return err
}
