package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/configs"
	"flangeway/interaction/contact"
	"flangeway/internal/measure"
	"flangeway/internal/outline"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// shapeInput is what the shape command computes from, with where each value came from.
type shapeInput struct {
	data                         *configs.Data
	shapes                       *configs.Shapes
	axle                         contact.Axle
	maxShift, step, load, degree float64 // mm, mm, N, degrees; maxShift 0: the play
	amplitudes                   []float64
	used                         []export.ShapeInput
	warnings                     []string
	survey                       map[string]surveyValue // by flag
	designs                      [2]*wheel.Shape        // near, far, before wear
	worn                         [2]*wheel.Worn         // as rebuilt from readings; nil: not
	turning                      [2]wheel.Lathe
	kind                         string // of the car in the survey, "" unknown
	read                         *survey.Survey
}

// inputs are the files that no drawing may be written over: traced profiles and the
// survey's own.
func (in *shapeInput) inputs(o shapeOptions) []string {
	var files []string
	for _, name := range append(strings.Split(o.wheel, ","), strings.Split(o.rail, ",")...) {
		files = append(files, strings.TrimSpace(name))
	}
	if in.read != nil {
		files = append(files, inputsOf(in.read)...)
	}
	return files
}

// surveyValue is a reading of a survey that stands in for a flag.
type surveyValue struct{ text, from string }

func (in *shapeInput) note(name, value, from string) {
	in.used = append(in.used, export.ShapeInput{Name: name, Value: value, From: from})
}

// choose takes the flag, else the survey's value, else the default, and notes which.
func (in *shapeInput) choose(name, flag, fallback, why string) string {
	switch v, ok := in.survey[name]; {
	case flag != "":
		in.note(name, flag, "flag")
		return flag
	case ok:
		in.note(name, v.text, v.from)
		return v.text
	}
	if fallback != "" {
		in.note(name, fallback, why)
	}
	return fallback
}

// pair splits NEAR[,FAR].
func pair(text string) (string, string, error) {
	a, b, two := strings.Cut(text, ",")
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	if !two {
		return a, a, nil
	}
	if a == "" || b == "" || strings.Contains(b, ",") {
		return "", "", fmt.Errorf("%q is not one value or two with a comma between", text)
	}
	return a, b, nil
}

// length parses a length of a flag.
func length(flag, text string, spec measure.Spec) (measure.Reading, error) {
	r, err := spec.Parse(text)
	if err == nil && !r.Measured() {
		err = fmt.Errorf("a value is expected")
	}
	if err != nil {
		return r, usagef("--%s: %v", flag, err)
	}
	return r, nil
}

// millimetres is how a flag is read of which a bare number is mm.
func millimetres(lo, hi float64) measure.Spec {
	return measure.Spec{Column: "value", Unit: measure.Millimetres, Lo: lo, Hi: hi}
}

func readShape(o shapeOptions) (*shapeInput, error) {
	in := &shapeInput{}
	var err error
	if in.data, err = configs.Load(); err != nil {
		return nil, err
	}
	if in.shapes, err = in.data.LoadShapes(); err != nil {
		return nil, err
	}
	if err := in.fromSurvey(o); err != nil {
		return nil, err
	}
	if err := in.rails(o); err != nil {
		return nil, err
	}
	if err := in.wheels(o); err != nil {
		return nil, err
	}
	return in, in.numbers(o)
}

// rails reads section, wear, gauge, its height and the cant.
func (in *shapeInput) rails(o shapeOptions) error {
	near, far, err := pair(in.choose("rail", o.rail, "136RE", "default"))
	if err != nil {
		return usagef("--rail: %v", err)
	}
	height := 0.0
	if o.gaugeHeight != "" {
		r, err := length("gauge-height", o.gaugeHeight, measure.Spec{Column: "gauge height", Unit: measure.Inches, Lo: 0, Hi: 2 * measure.MMPerInch})
		if err != nil {
			return err
		}
		height = r.As
	}
	open := func(name string) (*track.RailHead, error) {
		if _, ok := in.shapes.Rail(name); !ok {
			if data, ok, err := traced(name); err != nil || ok {
				if err != nil {
					return nil, err
				}
				depth := height
				if depth == 0 {
					depth = measure.MMPerInch * 5 / 8
				}
				r, q, err := track.RailFromTrace(name, data, depth, false)
				if err == nil {
					in.quality(name, q)
				}
				return r, err
			}
		}
		return track.RailNamed(in.shapes, name)
	}
	a := &in.axle
	if a.NearRail, err = open(near); err != nil {
		return badName(err)
	}
	if a.FarRail = a.NearRail; far != near {
		if a.FarRail, err = open(far); err != nil {
			return badName(err)
		}
	}
	if err := in.wear(o); err != nil {
		return err
	}
	en := a.NearRail.GaugeHeight < 15
	if height == 0 {
		height = a.NearRail.GaugeHeight
		in.note("gauge height", measure.Inch(height)+" in", "default of the section")
		if en {
			in.used[len(in.used)-1].Value = "14 mm"
		}
	} else {
		in.note("gauge height", o.gaugeHeight, "flag")
	}
	a.GaugeHeight = height
	fallback := "56-1/2"
	if en {
		fallback = "1435mm"
	}
	r, err := length("gauge", in.choose("gauge", o.gauge, fallback, "default"), in.data.Columns["gauge"])
	if err != nil {
		return err
	}
	a.Gauge = r.As
	a.Cant, err = cantOf(in.choose("cant", o.cant, "1:40", "default"))
	return err
}

// wear applies head and gauge-face wear.
func (in *shapeInput) wear(o shapeOptions) error {
	head, face, angle := in.choose("head wear", o.headWear, "", ""), in.choose("gauge face wear", o.faceWear, "", ""), in.choose("gauge face angle", o.faceAngle, "", "")
	if head == "" && face == "" {
		return nil
	}
	var h, deg float64
	var f [2]float64
	if head != "" {
		r, err := length("head-wear", head, in.data.Columns["head_wear"])
		if err != nil {
			return err
		}
		h = r.As
	}
	if face != "" {
		n, m, err := pair(face)
		if err != nil {
			return usagef("--gauge-face-wear: %v", err)
		}
		for i, t := range []string{n, m} {
			r, err := length("gauge-face-wear", t, in.data.Columns["gauge_face_wear"])
			if err != nil {
				return err
			}
			f[i] = r.As
		}
	}
	if angle != "" {
		r, err := length("gauge-face-angle", angle, in.data.Columns["gauge_face_angle"])
		if err != nil {
			return err
		}
		deg = r.As
	}
	a := &in.axle
	near, err := a.NearRail.Worn(h, f[0], deg)
	if err != nil {
		return &inputError{err}
	}
	far := near
	if f[0] != f[1] || a.FarRail != a.NearRail {
		if far, err = a.FarRail.Worn(h, f[1], deg); err != nil {
			return &inputError{err}
		}
	}
	a.NearRail, a.FarRail = near, far
	return nil
}

func cantOf(text string) (float64, error) {
	if text == "none" || text == "0" {
		return 0, nil
	}
	n, ok := strings.CutPrefix(strings.Replace(text, "/", ":", 1), "1:")
	if v, err := strconv.ParseFloat(n, 64); ok && err == nil && v >= 5 && v <= 10000 {
		return track.CantOf(v), nil
	}
	return 0, usagef("--cant %q is not 1:40, 1:20 or none", text)
}

// traced reads a file of a traced profile; ok is false where there is none.
func traced(name string) ([]byte, bool, error) {
	st, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist), err != nil && !strings.ContainsAny(name, `./\`):
		return nil, false, nil
	case err != nil:
		return nil, false, inputf("%s: %s", name, survey.Why(err))
	case st.IsDir():
		return nil, false, inputf("%s is a folder, not a traced profile", name)
	case st.Size() > 8<<20:
		return nil, false, inputf("%s is larger than 8 MiB", name)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, false, inputf("%s: %s", name, survey.Why(err))
	}
	return data, true, nil
}

// badName is the error of a wheel or rail that cannot be had: a wrong name is usage,
// a file that cannot be used is input.
func badName(err error) error {
	var input *inputError
	if errors.As(err, &input) {
		return err
	}
	if strings.Contains(err.Error(), "(known: ") {
		return &usageError{err}
	}
	return &inputError{err}
}

func (in *shapeInput) quality(name string, q outline.Quality) {
	unit := q.Unit
	if q.Guessed {
		unit += " (told by the size; the file does not say)"
	}
	in.note("trace "+name, fmt.Sprintf("%d points in %s, %d left out, longest gap %.2f mm, noise %.3f mm", q.Points, unit, q.Doubled+q.Spikes, q.Gap, q.Noise), "cleaned")
}

// wheels reads design, readings, back-to-back and diameters.
func (in *shapeInput) wheels(o shapeOptions) error {
	near, far, err := pair(in.choose("wheel", o.wheel, "narrow flange 1:20", "default"))
	if err != nil {
		return usagef("--wheel: %v", err)
	}
	a := &in.axle
	if a.Near, err = in.openWheel(o, near); err != nil {
		return badName(err)
	}
	if a.Far = a.Near; far != near {
		if a.Far, err = in.openWheel(o, far); err != nil {
			return badName(err)
		}
	}
	in.designs = [2]*wheel.Shape{a.Near, a.Far}
	for i, w := range []*wheel.Shape{a.Near, a.Far} {
		if w.Of != nil { // a trace
			in.designs[i] = w.Of
		}
	}
	backs := a.Near.BackToBack
	metric := backs == 1360
	if err := in.rebuild(o); err != nil {
		return err
	}
	fallback := "53-3/8"
	switch {
	case metric || backs == 0 && in.european():
		fallback, metric = "1360mm", true
	case backs > 0:
		fallback = measure.Inch(backs)
	}
	r, err := length("back-to-back", in.choose("back-to-back", o.backToBack, fallback, "default of the design"), in.data.Columns["back_to_back"])
	if err != nil {
		return err
	}
	a.BackToBack = r.As
	fallback = "36"
	if metric {
		fallback = "920mm"
	}
	dn, df, err := pair(in.choose("diameter", o.diameter, fallback, "default"))
	if err != nil {
		return usagef("--diameter: %v", err)
	}
	for _, d := range []struct {
		text string
		to   *float64
	}{{dn, &a.NearDiameter}, {df, &a.FarDiameter}} {
		r, err := length("diameter", d.text, in.data.Columns["diameter"])
		if err != nil {
			return err
		}
		*d.to = r.As
	}
	return nil
}

// european reports whether the near rail is a section of the EN, whose gauge is read
// 14 mm down.
func (in *shapeInput) european() bool { return in.axle.NearRail.GaugeHeight < 15 }

// openWheel is a design by name, a plain cone or a traced file.
func (in *shapeInput) openWheel(o shapeOptions, name string) (*wheel.Shape, error) {
	_, known := in.shapes.Wheel(name)
	if known || strings.HasPrefix(name, "cone:") {
		return wheel.ShapeNamed(in.shapes, name)
	}
	data, ok, err := traced(name)
	if err != nil {
		return nil, err
	}
	if !ok {
		return wheel.ShapeNamed(in.shapes, name)
	}
	of := o.design
	if of == "" {
		if of = "narrow flange 1:20"; in.european() {
			of = "S1002"
		}
		in.note("design of "+name, of, "default")
	}
	d, err := wheel.ShapeNamed(in.shapes, of)
	if err != nil {
		return nil, err
	}
	w, q, err := wheel.FromTrace(name, data, d)
	if err == nil {
		w.BackToBack = d.BackToBack
		in.quality(name, q)
	}
	return w, err
}

// rebuild rebuilds the wheels from readings where any is given.
func (in *shapeInput) rebuild(o shapeOptions) error {
	var r [2]wheel.WornReadings
	any := false
	for _, g := range []struct {
		name, flag, text, column string
		to                       [2]*measure.Reading
	}{
		{"flange height", "flange-height", o.flangeHeight, "flange_height", [2]*measure.Reading{&r[0].Height, &r[1].Height}},
		{"flange thickness", "flange-thickness", o.flangeThickness, "flange_thickness", [2]*measure.Reading{&r[0].Thickness, &r[1].Thickness}},
		{"vertical flange", "vertical-flange", o.vertical, "vertical_flange", [2]*measure.Reading{&r[0].Vertical, &r[1].Vertical}},
		{"hollow", "hollow", o.hollow, "tread_hollow", [2]*measure.Reading{&r[0].Hollow, &r[1].Hollow}},
	} {
		text := in.choose(g.name, g.text, "", "")
		if text == "" {
			continue
		}
		n, f, err := pair(text)
		if err != nil {
			return usagef("--%s: %v", g.flag, err)
		}
		any = true
		for i, t := range []string{n, f} {
			if t == "n/m" || t == "-" {
				continue
			}
			x, err := length(g.flag, t, in.data.Columns[g.column])
			if err != nil {
				return err
			}
			*g.to[i] = x
		}
	}
	if !any {
		return nil
	}
	a := &in.axle
	same := a.Near == a.Far && r[0] == r[1]
	for i, w := range []**wheel.Shape{&a.Near, &a.Far} {
		if i == 1 && same {
			a.Far, in.worn[1] = a.Near, in.worn[0]
			break
		}
		if r[i] == (wheel.WornReadings{}) {
			continue
		}
		x, err := in.rebuilt(sideName(i == 0), *w, r[i])
		if err != nil {
			return &inputError{fmt.Errorf("the %s wheel cannot be rebuilt: %w", sideName(i == 0), err)}
		}
		*w, in.worn[i] = x.Middle, x
	}
	return nil
}

// rebuilt is the worn wheel. Readings given by hand must go together; those of a survey
// stand as they were written, so what contradicts the others is set aside and said.
func (in *shapeInput) rebuilt(side string, design *wheel.Shape, r wheel.WornReadings) (*wheel.Worn, error) {
	if in.survey == nil {
		return wheel.Rebuild(design, r)
	}
	w, aside, why, err := wheel.RebuildFrom(design, r)
	if len(aside) > 0 {
		in.warnings = append(in.warnings, fmt.Sprintf("%s wheel: %s set aside: %v", side, quantities(aside), why))
	}
	return w, err
}

func quantities(list []wheel.Quantity) string {
	var names []string
	for _, q := range list {
		names = append(names, q.String())
	}
	return strings.Join(names, ", ")
}

// lathe reads what the wheel lathe is asked for and what rim the wheels have.
func (in *shapeInput) lathe(o shapeOptions) error {
	rims := in.choose("rim thickness", o.rim, "", "")
	var rim [2]string
	var err error
	if rims != "" {
		if rim[0], rim[1], err = pair(rims); err != nil {
			return usagef("--rim-thickness: %v", err)
		}
	}
	for i := range in.turning {
		t := &in.turning[i]
		for _, g := range []struct {
			flag, text, column string
			to                 *float64
		}{{"rim-thickness", rim[i], "rim_thickness", &t.Rim.Thickness}, {"cut", o.cut, "rim_thickness", &t.Cut}, {"turned-flange", o.turned, "flange_thickness", &t.Thickness}} {
			if g.text == "" || g.text == "n/m" || g.text == "-" {
				continue
			}
			r, err := length(g.flag, g.text, in.data.Columns[g.column])
			if err != nil {
				return err
			}
			*g.to = r.As
			if g.to == &t.Rim.Thickness {
				*g.to = r.Lo // what is surely there
			}
		}
	}
	if rims == "" {
		return nil
	}
	kind := in.kind
	if kind == "" {
		kind = "freight"
	}
	for _, r := range in.data.Sets["federal"].Rules {
		if r.Subject != "wheel" || !slices.Contains(r.Kinds, kind) {
			continue
		}
		for _, c := range r.Condemns {
			if c.Quantity == wheel.RimThickness.String() && o.rimLimit == "" {
				from := fmt.Sprintf("%s (%s)", r.Source, kind)
				if sure := configs.HowKnown(r.Sure); sure != "" {
					from += ", " + sure
				}
				in.note("rim limit", c.Written, from)
				in.rimLimit(c.Value, c.Op == "<")
				return nil
			}
		}
	}
	limit := in.choose("rim limit", o.rimLimit, "", "")
	if limit == "" {
		in.note("rim limit", "none", "no federal limit for "+kind)
		return nil
	}
	r, err := length("rim-limit", limit, in.data.Columns["rim_thickness"])
	in.rimLimit(r.As, true) // the least that is allowed
	return err
}

// rimLimit sets to what the rims may be turned, mm, and whether that itself is allowed.
func (in *shapeInput) rimLimit(limit float64, holds bool) {
	for i := range in.turning {
		in.turning[i].Rim.Limit, in.turning[i].Rim.LimitHolds = limit, holds
	}
}

// numbers reads what is neither wheel nor rail.
func (in *shapeInput) numbers(o shapeOptions) error {
	if o.maxShift != "" {
		r, err := length("max-shift", in.choose("max shift", o.maxShift, "", ""), millimetres(0.001, 100))
		if err != nil {
			return err
		}
		in.maxShift = r.As
	}
	r, err := length("step", in.choose("step", o.step, "0.25 mm", "default"), millimetres(0.001, 50))
	if err != nil {
		return err
	}
	in.step = r.As
	for _, t := range strings.Split(in.choose("amplitude", o.amplitude, "3 mm", "default"), ",") {
		r, err := length("amplitude", strings.TrimSpace(t), millimetres(0.01, 50))
		if err != nil {
			return err
		}
		in.amplitudes = append(in.amplitudes, r.As)
	}
	if len(in.amplitudes) > 100 {
		return usagef("--amplitude: more than 100 amplitudes")
	}
	if in.load, err = forceOf(in.choose("load", o.load, "35750 lb", "default: a wheel of a 286,000 lb car")); err != nil {
		return err
	}
	d, err := measure.ParseDegree(in.choose("degree", o.degree, "4", "default"))
	if err != nil || !d.Measured() {
		return usagef("--degree: %v", err)
	}
	in.degree = d.As
	return in.lathe(o)
}

// forceOf reads the load of a wheel: newtons without a unit, else N, kN, lb, lbf, kip.
func forceOf(text string) (float64, error) { return forceIn("load", text, "n") }

// forceIn reads the force of a flag, in the unit plain where none is written.
func forceIn(flag, text, plain string) (float64, error) {
	t := strings.ToLower(strings.NewReplacer(" ", "", ",", "").Replace(text))
	factor := 1.0
	if plain == "lb" {
		factor = measure.NewtonsPerPound
	}
	for _, u := range []struct {
		unit string
		f    float64
	}{{"kn", 1000}, {"n", 1}, {"lbf", measure.NewtonsPerPound}, {"lb", measure.NewtonsPerPound}, {"kips", 1000 * measure.NewtonsPerPound}, {"kip", 1000 * measure.NewtonsPerPound}} {
		if n, ok := strings.CutSuffix(t, u.unit); ok {
			t, factor = n, u.f
			break
		}
	}
	v, err := strconv.ParseFloat(t, 64)
	if v *= factor; err != nil || strings.ContainsAny(t, "_xinp") || !(v > 0 && v <= 1e7) || math.IsNaN(v) {
		return 0, usagef("--%s %q is not a force such as 100kN or 35750lb", flag, text)
	}
	return v, nil
}

// fromSurvey takes what a survey knows of a wheel, its axle and a place.
func (in *shapeInput) fromSurvey(o shapeOptions) error {
	if o.survey == "" {
		if o.car != "" || o.position != "" || o.at != "" {
			return usagef("--car, --position and --at need --survey")
		}
		return nil
	}
	if (o.car == "") != (o.position == "") {
		return usagef("--car and --position go together")
	}
	sv, err := survey.Read(o.survey)
	if err != nil {
		return err
	}
	in.read, in.survey = sv, map[string]surveyValue{}
	if o.car != "" {
		if err := in.surveyWheel(sv, o); err != nil {
			return err
		}
	}
	if o.at == "" {
		return nil
	}
	for _, f := range sv.Track.Features {
		if f.Name() == o.at {
			in.surveyPlace(f)
			return nil
		}
	}
	return usagef("--at %q is not a feature of the survey (such as curve/C3)", o.at)
}

// surveyWheel takes the wheel at the position as the near one and its mate as the far
// one; a reading that the mate lacks stays unknown there.
func (in *shapeInput) surveyWheel(sv *survey.Survey, o shapeOptions) error {
	at, ok := wheel.ParsePosition(o.position)
	if !ok {
		return usagef("--position %q is not L1 to L8 or R1 to R8", o.position)
	}
	var near *wheel.Wheel
	for _, w := range sv.Fleet.Wheels {
		if w.Car.ID == o.car && w.Position == at {
			near = w
		}
	}
	if near == nil {
		return usagef("the survey has no wheel %s of car %q", o.position, o.car)
	}
	from := "survey " + near.Place.String()
	far := near.Mate()
	in.kind = near.Car.Kind
	var names [2]string
	for i, w := range []*wheel.Wheel{near, far} {
		if w == nil {
			w = near
		}
		design, assumed, err := w.DesignShape(in.data, in.shapes)
		if err != nil {
			return &inputError{err}
		}
		if names[i] = design.Name; assumed {
			from = "survey " + near.Place.String() + ", design by the flange thickness"
		}
	}
	in.survey["wheel"] = surveyValue{names[0] + "," + names[1], from}
	from = "survey " + near.Place.String()
	written := func(w *wheel.Wheel, q wheel.Quantity) string {
		if w == nil || !w.Read(q).Measured() {
			return "n/m"
		}
		return w.Read(q).Written
	}
	for _, g := range []struct {
		name string
		q    wheel.Quantity
	}{{"flange height", wheel.FlangeHeight}, {"flange thickness", wheel.FlangeThickness}, {"vertical flange", wheel.VerticalFlange}, {"hollow", wheel.TreadHollow}, {"rim thickness", wheel.RimThickness}} {
		n, f := written(near, g.q), written(far, g.q)
		if n != "n/m" || f != "n/m" {
			in.survey[g.name] = surveyValue{n + "," + f, from}
		}
	}
	if d := written(near, wheel.Diameter); d != "n/m" {
		if f := written(far, wheel.Diameter); f != "n/m" {
			d += "," + f
		}
		in.survey["diameter"] = surveyValue{d, from}
	}
	if b := written(near, wheel.BackToBack); b != "n/m" {
		in.survey["back-to-back"] = surveyValue{b, from}
	}
	return nil
}

// surveyPlace takes gauge, rail, wear, cant and degree of a feature. Gauge-face wear is
// that of the near rail.
func (in *shapeInput) surveyPlace(f *track.Feature) {
	from := "survey " + f.Place.String()
	for _, g := range []struct {
		name string
		q    track.Quantity
	}{{"gauge", track.Gauge}, {"head wear", track.HeadWear}, {"gauge face wear", track.GaugeFaceWear}, {"gauge face angle", track.GaugeFaceAngle}, {"degree", track.Degree}} {
		r := f.Read(g.q)
		if !r.Measured() {
			continue
		}
		text := r.Written
		if g.name == "gauge face wear" {
			text += ",none"
		}
		in.survey[g.name] = surveyValue{text, from}
	}
	if f.Rail != "" {
		in.survey["rail"] = surveyValue{f.Rail, from}
	}
	if f.Cant != "" {
		in.survey["cant"] = surveyValue{f.Cant, from}
	}
}
