package curving

import (
	"fmt"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/track"
	"flangeway/wheel"
)

func show(name string, s Solution, err error) {
	fmt.Printf("%s: err %v conv %v %s it %d\n", name, err, s.Converged, s.Reason, s.Iterations)
	for i, a := range []Axle{s.Lead, s.Trail} {
		fmt.Printf("  axle %d attack %.2f shift %.2f spread %.1f sum %.2f/%.2f\n", i, a.Attack*1e3, a.Shift, a.Spreading/1e3, a.Sum, a.SumLimit)
		for _, w := range []Wheel{a.High, a.Low} {
			fmt.Printf("     L %.1f V %.1f LV %.3f ang %.1f n %d y %.1f e %.1f flanging %v steep %.1f nadal %.2f margin %.2f wear %.0f slip %.2f\n", w.L/1e3, w.V/1e3, w.LV, w.ContactAngle/degree, w.Contacts, w.TreadY, w.Offset, w.Flanging, w.Steepest/degree, w.Nadal, w.ClimbMargin, w.Wear, w.Slip)
		}
	}
	fmt.Printf("  high %.3f<%.3f low %.3f<%.3f (e %.1f h %.1f) climb %s %.2f dist %.0f %v spreading %.1f wear %.0f\n", s.High.LV, s.High.Limit, s.Low.LV, s.Low.Limit, s.Low.Offset, s.Low.Height, s.Climbing, s.ClimbMargin, s.ClimbDistance, s.ClimbError, s.Spreading/1e3, s.Wear)
}

func TestDbg(t *testing.T) {
	d := wheelNamed(t, "narrow flange 1:20")
	hollow := worn(t, d, 0, 4)
	tab := european(t)
	s, err := Solve(Truck{Lead: tab, Trail: tab, Wheelbase: 1800, AxleLoad: 200e3, CentreHeight: 1800}, Curve{Radius: 200e3}, Same(.35))
	show("R200", s, err)
	for _, rn := range []string{"100RE", "115RE"} {
		r := railNamed(t, rn)
		mk := func(h, l *wheel.Shape) *Table {
			a := contact.Axle{Near: h, Far: l, NearDiameter: 36 * inch, FarDiameter: 36 * inch, BackToBack: 53.375 * inch,
				NearRail: r, FarRail: r, Gauge: 57 * inch, GaugeHeight: 0.625 * inch, Cant: track.CantOf(40)}
			return tableOf(t, a, 35750*4.4482216, contact.Steel)
		}
		c := Curve{Radius: 572.9578 * 12 * inch, Speed: 10 * .44704, Elevation: 0}
		for _, x := range []struct {
			n    string
			h, l *wheel.Shape
		}{{"new", d, d}, {"hollow low", d, hollow}, {"hollow high", hollow, d}, {"hollow both", hollow, hollow}} {
			tb := mk(x.h, x.l)
			tr := Truck{Lead: tb, Trail: tb, Wheelbase: 70 * inch, AxleLoad: 71500 * 4.4482216, CentreHeight: 90 * inch}
			s, err := Solve(tr, c, Same(.5))
			show(rn+" rigid "+x.n, s, err)
			tr.TurningMoment = 20e6
			tr.WarpStiffness = 3e9
			s, err = Solve(tr, c, Same(.5))
			show(rn+" 3-piece "+x.n, s, err)
		}
	}
}
