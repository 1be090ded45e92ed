package main

import (
	"strings"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/interaction/contact"
	"flangeway/internal/measure"
	"flangeway/wheel"
)

type shapeInput struct {
	*ask.Start
	axle                         contact.Axle
	near, far                    ask.Wheel
	rooms                        []contact.Room // at the ends of what a survey read of gauge and back-to-back
	lathe                        ask.Lathe
	maxShift, step, load, degree float64 // mm, mm, N, degrees; maxShift 0: the play
	amplitudes                   []float64
}

func readShape(f ask.Flags) (*shapeInput, error) {
	start, err := ask.Open(f)
	if err != nil {
		return nil, err
	}
	in := &shapeInput{Start: start}
	of, err := in.Wheel()
	if err != nil {
		return nil, err
	}
	at, err := in.Place("curve/C3")
	if err != nil {
		return nil, err
	}
	rails, err := in.Rails(at)
	if err != nil {
		return nil, err
	}
	axle, err := in.Axle(of, rails.Near, false)
	if err != nil {
		return nil, err
	}
	in.axle, in.near, in.far = onRails(axle, rails), axle.Near, axle.Far
	in.BothEnds(&in.near)
	in.BothEnds(&in.far)
	in.SayReadings()
	if g, b := rails.GaugeRead, axle.BackRead; in.Survey != nil && g.Width()+b.Width() > 0 {
		in.rooms = []contact.Room{{Gauge: g.Lo, BackToBack: b.Hi}, {Gauge: g.Hi, BackToBack: b.Lo}}
	}
	if in.maxShift, err = in.Length("max shift", ask.Millimetres(0.001, 100), ask.Flag("max-shift")); err != nil {
		return nil, err
	}
	if in.step, err = in.Length("step", ask.Millimetres(0.001, 50), ask.Flag("step"),
		ask.Default("0.25 mm", "default")); err != nil {
		return nil, err
	}
	if err := in.waves(); err != nil {
		return nil, err
	}
	if in.load, err = in.wheelLoad(of); err != nil {
		return nil, err
	}
	if in.degree, err = in.By("degree", degreeOf, ask.Flag("degree"), ask.Degree(at),
		ask.Default("4", "default")); err != nil {
		return nil, err
	}
	in.lathe, err = in.Lathe(axle)
	return in, err
}

// onRails lays an axle on the rails of a track.
func onRails(a ask.Axle, r ask.Rails) contact.Axle {
	return contact.Axle{Near: a.Near.Shape, Far: a.Far.Shape, NearDiameter: a.Diameter[0], FarDiameter: a.Diameter[1],
		BackToBack: a.BackToBack,
		NearRail:   r.Near, FarRail: r.Far, Gauge: r.Gauge, GaugeHeight: r.GaugeHeight, Cant: r.Cant}
}

// waves asks for the amplitudes of the conicity.
func (in *shapeInput) waves() error {
	v := in.Ask("amplitude", ask.Flag("amplitude"), ask.Default("3 mm", "default"))
	for text := range strings.SplitSeq(v.Text, ",") {
		mm, err := ask.Length("amplitude", strings.TrimSpace(text), ask.Millimetres(0.01, 50))
		if err != nil {
			return err
		}
		in.amplitudes = append(in.amplitudes, mm)
	}
	if len(in.amplitudes) > 100 {
		return usagef("--amplitude: more than 100 amplitudes")
	}
	return nil
}

func degreeOf(flag, text string) (float64, error) {
	d, err := measure.ParseDegree(text)
	if err != nil || !d.Measured() {
		return 0, usagef("--%s: %v", flag, err)
	}
	return d.As, nil
}

// axlesOfCar is how many axles a car has whose sheet does not say.
const axlesOfCar = 4

// wheelLoad asks for the load of a wheel, N: its share of the car's weight if no load is given.
func (in *shapeInput) wheelLoad(of *wheel.Wheel) (float64, error) {
	weight := in.Setting("car_weight")
	switch {
	case in.Flags["load"] == "" && of != nil && of.Car.GrossLb > 0:
		axles := of.Car.Axles
		if axles == 0 {
			axles = axlesOfCar
		}
		lb := of.Car.GrossLb / float64(2*axles)
		in.Note("load", ask.Plain(lb)+" lb", "survey "+of.Car.Place.String()+": "+ask.Plain(of.Car.GrossLb)+" lb on "+
			""+ask.Plain(float64(axles))+" axles")
		return lb * measure.NewtonsPerPound, nil
	case in.Flags["load"] == "" && weight.Given:
		lb := weight.Value / (2 * axlesOfCar)
		in.Note("load", ask.Plain(lb)+" lb", "setting car_weight (railroad.yaml): "+weight.Text()+" on 4 axles")
		return lb * measure.NewtonsPerPound, nil
	}
	return in.By("load", ask.Newtons, ask.Flag("load"), ask.Default("35750 lb", "default: a wheel of a 286,000 lb car"))
}
