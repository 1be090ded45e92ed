package ask

import (
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// Truck are the wheels of a truck by position: high and low wheel of the lead axle, then of those that follow. A list
// of them is typed by position: L1=3mm,R2=1mm.
type Truck []Wheel

// byPosition reads a flag that is one value for all wheels or a list by position.
func (s *Start) byPosition(t Truck, flag string) (out []string, err error) {
	text := s.Flags[flag]
	out = make([]string, len(t))
	if !strings.Contains(text, "=") {
		for i := range out {
			out[i] = strings.TrimSpace(text)
		}
		return out, nil
	}
	labels := each.Of(t, func(w Wheel) string { return w.Label })
	for item := range strings.SplitSeq(text, ",") {
		at, v, ok := strings.Cut(item, "=")
		i := slices.IndexFunc(labels, func(p string) bool { return strings.EqualFold(strings.TrimSpace(at), p) })
		if v = strings.TrimSpace(v); !ok || i < 0 || v == "" {
			return out, cli.Usagef("--%s %q: %q is not POSITION=VALUE with a position of this truck (%s)", flag, text,
				item, strings.Join(labels, ", "))
		}
		if out[i] != "" {
			return out, cli.Usagef("--%s %q: %s stands twice (each position once)", flag, text, labels[i])
		}
		out[i] = v
	}
	return out, nil
}

// Wheels asks for design and readings of the truck's wheels, each with its label and its wheel in the survey, on a rail
// (which tells metric from inch designs of a trace), and rebuilds those that are worn.
func (s *Start) Wheels(t Truck, rail *trackshape.RailHead) error {
	var texts [4][]string // by reading, by wheel; nil: not typed
	for g, flag := range wornFlags() {
		if s.Flags[flag] == "" {
			continue
		}
		var err error
		if texts[g], err = s.byPosition(t, flag); err != nil {
			return err
		}
		s.Note(wornNames()[g], s.Flags[flag], "flag")
	}
	var plain *Wheel // of the flag, or a new one
	for i := range t {
		w := &t[i]
		w.Readings = wornOf(w.Of)
		var from string
		if s.Flags["wheel"] != "" || w.Of == nil {
			if plain == nil {
				plain = &Wheel{}
				if err := s.Open(plain, s.Ask("wheel", Flag("wheel"), Default(newWheel, "default")).Text,
					rail); err != nil {
					return err
				}
			}
			w.Shape, w.Design = plain.Shape, plain.Design
		} else {
			design, assumed, err := wheelshape.Of(w.Of, s.Data, s.Shapes)
			if err != nil {
				return &cli.InputError{Err: err}
			}
			if w.Shape, w.Design = design, design; assumed {
				from = ", design by the flange thickness"
			}
		}
		var list []string
		for g, r := range fields(&w.Readings) {
			name := [4]string{"height", "thickness", "vertical", "hollow"}[g]
			text := Written(*r)
			if texts[g] != nil && texts[g][i] != "" {
				var err error
				if *r, err = s.wornSpecs()[g].Parse(texts[g][i]); err != nil {
					return cli.Usagef("--%s: %v", wornFlags()[g], err)
				}
				*r, text = bare(*r), "by the flag"
			}
			list = append(list, name+" "+text)
		}
		if w.Of != nil {
			s.Note("wheel "+w.Label, w.Design.Name+": "+strings.Join(list, ", "), row(w.Of.Place)+from)
		}
		if err := s.OneRunning(w); err != nil {
			return err
		}
		if err := s.Rebuild(w); err != nil {
			return err
		}
	}
	for low := 1; low < len(t); low += 2 { // whose rims bear when the high wheels' flanges are at their rail
		if err := s.Rim(&t[low]); err != nil {
			return err
		}
	}
	return nil
}

// Lengths asks for the back-to-back of the axles and the diameters of the wheels, mm; read says of which wheels a
// flag or the survey has the diameter.
func (t Truck) Lengths(s *Start) (backs, diameters []float64, read []bool, err error) {
	backs, diameters, read = make([]float64, len(t)/2), make([]float64, len(t)), make([]bool, len(t))
	metric := false
	for _, w := range t {
		metric = metric || w.Design.BackToBack == 1360
	}
	for a := range backs {
		fallback := "53-3/8"
		switch b := t[2*a].Design.BackToBack; {
		case metric:
			fallback = "1360mm"
		case b > 0:
			fallback = measure.Inch(b)
		}
		of := t[2*a].Of
		if of == nil { // a reading of the axle stands with either wheel
			of = t[2*a+1].Of
		}
		backs[a], err = s.Length("back-to-back, axle "+t[2*a].Label[1:], s.Columns["back_to_back"],
			Flag("back-to-back"), Of(of, wheel.BackToBack), Default(fallback, newBacks))
		if err != nil {
			return backs, diameters, read, err
		}
	}
	given, err := s.byPosition(t, "diameter")
	if err != nil {
		return backs, diameters, read, err
	}
	for i, w := range t {
		typed := func(*Start) (Value, bool) {
			return Value{Text: given[i], From: "flag", flag: "diameter"}, given[i] != ""
		}
		v := s.askOnce("diameter "+w.Label, typed, Of(w.Of, wheel.Diameter), s.newDiameter(metric))
		if diameters[i], err = v.Length(s.Columns["diameter"]); err != nil {
			return backs, diameters, read, err
		}
		read[i] = given[i] != "" || w.Of != nil && w.Of.Read(wheel.Diameter).Measured()
	}
	return backs, diameters, read, nil
}

// Weight asks for the gross weight of a car of the survey or of none (nil), N. usual is where one comes from that
// neither a flag nor the survey gives; without it that is a mistake.
func (s *Start) Weight(car *wheel.Car, usual ...Source) (float64, error) {
	read := nothing
	if car != nil {
		read = Known(car.GrossLb, car.GrossLb > 0, Plain(car.GrossLb)+" lb", car.Place)
	}
	v := s.Ask("gross", append([]Source{Flag("gross"), read}, usual...)...)
	if !v.Given() {
		return 0, cli.Usagef("--gross is missing: there is no usual weight of such a car")
	}
	n, err := v.By(Pounds)
	if v.Readings != nil { // a number of pounds
		n *= measure.NewtonsPerPound
	}
	return n, err
}
