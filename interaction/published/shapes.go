package published

import (
	"fmt"
	"math"
	"strconv"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// shapeFormula computes one of the formulas of shapes and their contact, with the figures it takes after its name; what
// is a length is mm unless the name says otherwise.
func (c *recomputer) shapeFormula(name string, a []float64) (v float64, known bool, err error) {
	need := map[string]int{"ellipse_m": 1, "ellipse_n": 1, "ellipse_along_in": 5, "ellipse_across_in": 5,
		"ellipse_psi": 5, "wavelength_m": 3, "radius_difference_needed": 3,
		"s1002_height": 0, "s1002_thickness_at": 1, "head_depth_60e1": 1, "conicity_s1002_60e1": 3,
		"conicity_cone_knife": 2, "nadal": 2, "climb_distance_ft": 3, "creep_share": 1, "rollover": 3}
	if known, err := takes(need, name, a); !known || err != nil {
		return 0, known, err
	}
	switch name {
	case "ellipse_m", "ellipse_n":
		v, err = ellipseFactor(a[0], name == "ellipse_m")
	case "ellipse_along_in", "ellipse_across_in", "ellipse_psi":
		v, err = ellipseOfPound(name, a)
	case "wavelength_m":
		v, err = contact.Wavelength(a[0], a[1], a[2])
		v /= 1000
	case "radius_difference_needed": // wheel diameter in, contacts apart in, degree
		var feet float64
		if feet, err = measure.RadiusFt(a[2]); err == nil {
			v, err = contact.Needed(a[0]/2*measure.MMPerInch, a[1]/2*measure.MMPerInch, feet*12*measure.MMPerInch)
		}
	case "nadal": // contact angle in degrees, friction
		v, err = curving.Nadal(a[0]*math.Pi/180, a[1])
	case "climb_distance_ft": // angle of attack mrad, flange angle degrees, its length in
		v, err = curving.ClimbDistance(a[0]/1000, a[1]*math.Pi/180, a[2]*measure.MMPerInch)
		v /= 12 * measure.MMPerInch
	case "creep_share":
		v = curving.Saturate(a[0])
	case "rollover": // base, offset toward the gauge side, height, in
		v, err = curving.RolloverLimit(a[0]*measure.MMPerInch, a[1]*measure.MMPerInch, a[2]*measure.MMPerInch)
	case "conicity_cone_knife":
		v, err = coneConicity(a[0], a[1])
	default:
		v, err = c.standardShape(name, a)
	}
	return v, true, err
}

// ellipseFactor is m or n of the table of the contact ellipse at an angle theta in degrees: the semi-axis of a contact
// whose 3P/(4E*(A+B)) is 1.
func ellipseFactor(theta float64, long bool) (float64, error) {
	cos := math.Cos(theta * math.Pi / 180)
	unit := contact.Material{E: 2, Nu: 0} // E* = 1
	e, err := contact.Hertz(4.0/3, 1-cos, 1+cos, unit)
	if long {
		return e.A, err
	}
	return e.B, err
}

// ellipseOfPound is the contact of a cylindrical wheel (radius in) on a rail head (radius in) under a load in pounds, E
// in psi and nu: semi-axes in inches or the pressure in psi. The arithmetic is the same in any consistent unit.
func ellipseOfPound(what string, a []float64) (float64, error) {
	e, err := contact.Hertz(a[2], 1/a[0], 1/a[1], contact.Material{E: a[3], Nu: a[4]})
	switch what {
	case "ellipse_along_in":
		return e.A, err
	case "ellipse_across_in":
		return e.B, err
	}
	return e.P0, err
}

// coneConicity is the conicity by integration of a plain cone of the taper on rails of one edge at an amplitude in mm.
func coneConicity(taper, amplitude float64) (float64, error) {
	cone, err := wheelshape.ConeNamed("cone:" + strconv.FormatFloat(taper, 'g', -1, 64))
	if err != nil {
		return 0, err
	}
	edge := trackshape.KnifeEdge()
	return conicityOf(contact.Axle{Near: cone, Far: cone, NearRail: edge, FarRail: edge, NearDiameter: 920,
		FarDiameter: 920, BackToBack: 1360, Gauge: 1435, GaugeHeight: edge.GaugeHeight}, amplitude)
}

func conicityOf(a contact.Axle, amplitude float64) (float64, error) {
	s, err := contact.NewSolver(a)
	if err != nil {
		return 0, err
	}
	d, err := s.Difference(-amplitude-0.5, amplitude+0.5, 0.05)
	if err != nil {
		return 0, err
	}
	return d.Integration(amplitude)
}

// standardShape has the measures of the exact shapes of the standards.
func (c *recomputer) standardShape(name string, a []float64) (float64, error) {
	shapes, err := c.data.LoadShapes()
	if err != nil {
		return 0, err
	}
	w, err := wheelshape.Named(shapes, "S1002")
	if err != nil {
		return 0, err
	}
	r, err := trackshape.RailNamed(shapes, "60E1")
	if err != nil {
		return 0, err
	}
	switch name {
	case "s1002_height":
		return w.FlangeHeight()
	case "s1002_thickness_at":
		return w.FlangeThicknessAt(a[0])
	case "head_depth_60e1": // below the top, where the head is so wide
		o := r.Outline
		for i := 1; i < len(o); i++ {
			if p, q := o[i-1], o[i]; p.Y > 0 && 2*p.Y < a[0]-measure.Near && 2*q.Y >= a[0]-measure.Near {
				return p.Z + (q.Z-p.Z)*(a[0]/2-p.Y)/(q.Y-p.Y), nil
			}
		}
		return 0, fmt.Errorf("the head is not %g mm wide", a[0])
	}
	// gauge, one over the cant, amplitude
	return conicityOf(contact.Axle{Near: w, Far: w, NearRail: r, FarRail: r, NearDiameter: 920, FarDiameter: 920,
		BackToBack: w.BackToBack, Gauge: a[0], GaugeHeight: r.GaugeHeight, Cant: trackshape.CantOf(a[1])}, a[2])
}
