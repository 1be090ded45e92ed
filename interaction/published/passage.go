package published

import (
	"fmt"
	"math"

	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// passageFormula computes one of the formulas of frogs, switch points and the forces on them, with the figures it
// takes; lengths are inches unless the name says otherwise.
func (c *recomputer) passageFormula(name string, a []float64) (v float64, known bool, err error) {
	need := map[string]int{"frog_angle_deg": 1, "throat_to_theoretical": 2, "throat_to_half_inch": 2, "wing_overlap": 4,
		"wing_drop": 4, "floor_clearance": 2,
		"gap_drop": 2, "gap_angle": 2, "p2_N": 4, "p1_N": 6, "step_angle": 3, "step_force_kN": 4, "ramp_force_kN": 2,
		"joint_dip": 2, "yaw_in_play": 4, "point_angle_mrad": 3,
		"contact_angle_of_shape": 3}
	if known, err := takes(need, name, a); !known || err != nil {
		return 0, known, err
	}
	switch name {
	case "frog_angle_deg":
		v, err = track.FrogAngleDeg(a[0])
	case "throat_to_theoretical", "throat_to_half_inch":
		v, err = c.frogLength(name, a[0], a[1])
	case "wing_overlap": // rim, flange thickness, flangeway, point width
		v = trackshape.WingOverlap(a[0], a[1], a[2], a[3])
	case "wing_drop": // one over the taper, flangeway, point width, tape line to flange face
		v = passage.WingDrop(1/a[0], a[1], a[2], a[3])
	case "floor_clearance": // flangeway depth, flange height
		v = c.marginAt("frog-floor", survey.NewSettings(c.data.Settings),
			map[wheel.Quantity]float64{wheel.FlangeHeight: a[1]},
			map[track.Quantity]float64{track.FlangewayDepth: a[0]})
	case "gap_drop":
		v, _, err = passage.GapDrop(a[0]/2, a[1])
	case "gap_angle":
		_, v, err = passage.GapDrop(a[0]/2, a[1])
	case "joint_dip":
		v, err = passage.JointDip(a[0], a[1])
	case "yaw_in_play": // back-to-back, both flanges, gauge, wheelbase
		in := measure.MMPerInch
		axle := passage.SwitchAxle{BackToBack: a[0] * in, MateThickness: a[1] * in, Gauge: a[2] * in,
			Wheelbase: a[3] * in}
		v, _, err = axle.Yaw(a[1] * in)
	case "point_angle_mrad": // heel spread, thickness of the tip, length
		in := measure.MMPerInch
		v, err = trackshape.PointAngle(a[0]*in, a[1]*in, a[2]*in)
		v *= 1000
	case "contact_angle_of_shape": // flange height, tip radius, top of the point down
		v, err = c.shapeContactAngle(a[0], a[1], a[2])
	default:
		v, err = c.force(name, a)
	}
	return v, true, err
}

// frogLength is a length along the axis of the modelled frog.
func (c *recomputer) frogLength(name string, number, flangeway float64) (float64, error) {
	figures, err := c.data.LoadPassage()
	if err != nil {
		return 0, err
	}
	p := trackshape.NewFrogPlan(figures, "rbm", number)
	p.FlangewayWidth = flangeway * measure.MMPerInch
	m, err := trackshape.NewFrogModel(p)
	if err != nil {
		return 0, err
	}
	if name == "throat_to_half_inch" {
		return (m.Tip - m.Throat) / measure.MMPerInch, nil
	}
	return -m.Throat / measure.MMPerInch, nil
}

// shapeContactAngle is the contact angle in degrees of a narrow-flange wheel with the tip radius on the sharp edge of a
// point whose top lies down below the tread.
func (c *recomputer) shapeContactAngle(height, radius, down float64) (float64, error) {
	shapes, err := c.data.LoadShapes()
	if err != nil {
		return 0, err
	}
	rec, ok := shapes.Wheel("narrow flange 1:20")
	if !ok {
		return 0, fmt.Errorf("no narrow-flange wheel")
	}
	f := *rec.Freight
	f.FlangeHeight, f.TipRadius = height*measure.MMPerInch, radius*measure.MMPerInch
	rec.Freight = &f
	s, err := wheelshape.New(rec)
	if err != nil {
		return 0, err
	}
	w, err := passage.NewWheel(s, 36*measure.MMPerInch)
	if err != nil {
		return 0, err
	}
	angle, _ := w.ContactAngle(down * measure.MMPerInch)
	return angle * 180 / math.Pi, nil
}

// force are the vertical forces with the constants of the main track.
func (c *recomputer) force(name string, a []float64) (float64, error) {
	if name == "p1_N" { // load, angle, speed, unsprung mass, contact stiffness, rail mass
		return passage.P1(a[0], a[1], a[2], a[3], a[4], a[5])
	}
	figures, err := c.data.LoadPassage()
	if err != nil {
		return 0, err
	}
	t, ok := figures.Support("main")
	if !ok {
		return 0, fmt.Errorf("no main track")
	}
	s := passage.Support{Mass: t.Mass, Damping: t.Damping, Stiffness: t.Stiffness}
	const mass, mph, in = 1000.0, measure.MetresPerSecondPerMPH, measure.MMPerInch
	switch name {
	case "p2_N": // load, angle, speed m/s, unsprung mass
		return passage.P2(a[0], a[1], a[2], a[3], s)
	case "step_angle": // wheel diameter, flange height, step
		return passage.StepAngle((a[0]/2+a[1])*in, a[2]*in)
	case "step_force_kN": // and speed in mph
		angle, err := passage.StepAngle((a[0]/2+a[1])*in, a[2]*in)
		if err != nil {
			return 0, err
		}
		f, err := passage.StrikeForce(angle, a[2]*in, a[3]*mph, mass, s)
		return f / 1000, err
	}
	angle, err := passage.RampAngle(a[0]) // ramp_force_kN: 1:n, speed in mph
	if err != nil {
		return 0, err
	}
	f, err := passage.StrikeForce(angle, 200, a[1]*mph, mass, s)
	return f / 1000, err
}
