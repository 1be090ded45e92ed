package curving_test

import (
	"fmt"
	"math"

	"flangeway/configs"
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// The leading truck of a car of 286 000 lb with new wheels on 115 lb rail, gauge 57 in, 10
// degrees, 10 mph.
func Example() {
	const inch, poundForce = measure.MMPerInch, 4.4482216
	data, err := configs.Load()
	if err != nil {
		fmt.Println(err)
		return
	}
	shapes, err := data.LoadShapes()
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := wheelshape.Named(shapes, "narrow flange 1:20")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := trackshape.RailNamed(shapes, "115RE")
	if err != nil {
		fmt.Println(err)
		return
	}
	table, err := curving.NewTable(contact.Axle{Near: w, Far: w, NearDiameter: 36 * inch, FarDiameter: 36 * inch,
		BackToBack: 53.375 * inch,
		NearRail:   r, FarRail: r, Gauge: 57 * inch, GaugeHeight: r.GaugeHeight, Cant: trackshape.CantOf(40)},
		35750*poundForce, contact.Steel)
	if err != nil {
		fmt.Println(err)
		return
	}
	truck := curving.Truck{Lead: table, Trail: table, Wheelbase: 70 * inch, AxleLoad: 71500 * poundForce,
		CentreHeight:  90 * inch,
		TurningMoment: 24e6, WarpStiffness: 3e9}
	curve := curving.Curve{Radius: 100 * 12 * inch / (10 * math.Pi / 180), Speed: 10 * 0.44704}
	s, err := curving.Solve(truck, curve, curving.Same(0.5))
	if err != nil || !s.Converged {
		fmt.Println(err, s.Reason)
		return
	}
	fmt.Println("flange bears on the high rail:", s.Lead.High.Flanging)
	fmt.Println("holds against climbing:", s.ClimbMargin > 0)
	fmt.Println("rails stand by themselves:", s.Rollover.Margin > 0)
	// Output:
	// flange bears on the high rail: true
	// holds against climbing: true
	// rails stand by themselves: true
}
