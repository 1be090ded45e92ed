package main

import (
	"fmt"
	"math"
	"slices"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/interaction"
	"flangeway/interaction/curving"
	"flangeway/interaction/load"
	"flangeway/interaction/shaped"
	"flangeway/internal/measure"
	wheelshape "flangeway/wheel/shape"
)

func (in *truckInput) run() (shaped.TruckRun, error) {
	radius, err := in.radius()
	if err != nil {
		return shaped.TruckRun{}, &usageError{Err: err}
	}
	last := len(in.backs) - 1
	r := shaped.TruckRun{Lead: in.axleAt(0), Trail: in.axleAt(last), Gross: in.gross, Wheelbase: in.wheelbase *
		float64(last), Clearance: in.clearance, CentreHeight: in.height, TurningMoment: in.moment,
		WarpStiffness: in.warp, Curve: curving.Curve{Radius: radius, Elevation: in.elevation, Speed: in.speed},
		Friction:     curving.Friction{High: in.mu[0], HighFace: in.mu[1], Low: in.mu[2], LowFace: in.mu[3]},
		Allowance:    in.Setting(interaction.AllowanceSetting(in.holding)).Value,
		LeastBearing: in.Setting("least_bearing").Value, LoadedGauge: in.loaded}
	r.Guarded = in.feature != nil && in.feature.GuardRail == "yes"
	if last == 2 {
		r.Middle = in.axleAt(1)
	}
	if in.atBalance { // speed and elevation cancel
		r.Curve.Elevation, r.Curve.Speed = 0, 0
	}
	return r, nil
}

func (in *truckInput) answer() (export.Curve, draw.TruckCurve, error) {
	var pic draw.TruckCurve
	out := export.Curve{Schema: 1, Program: "flangeway " + version(), Degree: export.Rounded(in.degree),
		Inputs: usedInputs(in.Used), Warnings: append([]string{}, in.Warnings...), Cautions: caution.Curve()}
	r, err := in.run()
	if err != nil {
		return out, pic, err
	}
	a, shares, warning, err := in.solved(r)
	if err != nil {
		return out, pic, err
	}
	if shares != nil {
		out.Unloading = export.NewUnloading(*shares)
	}
	if warning != "" {
		out.Warnings = append(out.Warnings, warning)
	}
	if !math.IsInf(r.Curve.Radius, 1) {
		out.RadiusFt = value(r.Curve.Radius / measure.MMPerInch / 12)
	}
	out.SpeedMPH = export.Rounded(r.Curve.Speed / measure.MetresPerSecondPerMPH)
	out.Unbalance = export.Rounded(a.Unbalance * contactSpacing / measure.MMPerInch)
	if in.atBalance {
		out.SpeedMPH = export.Rounded(shaped.BalanceMPH(r.Curve.Radius, in.elevation, contactSpacing))
	}
	out.Lead, out.Trail = in.axleAnswer(a.Lead, 0), in.axleAnswer(a.Trail, len(in.wheels)-2)
	if a.Middle != nil {
		middle := in.axleAnswer(*a.Middle, 2)
		out.Middle = &middle
	}
	out.TruckSide = export.CurveSides{High: export.Rounded(a.High.LV), Low: export.Rounded(a.Low.LV)}
	if a.Climbing != "" {
		out.Nadal, out.ClimbMargin, out.ClimbWheel = value(a.Nadal), value(a.ClimbMargin), a.Climbing
	}
	if w, attack := a.Nearest(); w != nil {
		for _, t := range []struct{ name, setting string }{
			{"threshold for climb in curves (trade journal)", "wheel_lv_curve"},
			{"threshold for new cars (trade journal)", "wheel_lv_new_cars"}} {
			limit := in.Setting(t.setting).Value
			out.Thresholds = append(out.Thresholds, export.Threshold{Name: t.name, Limit: limit,
				LV: export.Rounded(w.LV), Margin: export.Rounded(limit - w.LV)})
		}
		if w.Flanging && math.Abs(attack) < curving.LeastAttack {
			out.Warnings = append(out.Warnings, fmt.Sprintf("the flange of the %s wheel attacks at %.1f mrad: below "+
				"%.0f mrad the law of creep used here gives 0.14 to 0.2 of the friction more across the flange than "+
				"adding the contact up in strips with spin does; its L/V is less sure by so much", a.Climbing,
				math.Abs(attack)*1000, curving.LeastAttack*1000))
		}
	}
	if a.ClimbError != nil {
		out.Warnings = append(out.Warnings, "no climb distance: "+a.ClimbError.Error())
	} else {
		out.ClimbDistanceFt = value(a.ClimbDistance / measure.MMPerInch / 12)
	}
	if r.Guarded {
		out.GuardKN = value(a.Guard / 1000)
	}
	if a.Rollover.Defined {
		out.RolloverLimit, out.RolloverMargin = value(a.Rollover.Limit), value(a.Rollover.Margin)
		out.RolloverHeld = value(a.Rollover.Fastened(in.Setting("fastening_hold").Value))
		out.RolloverRail = "high"
		if a.Rollover == a.Low {
			out.RolloverRail = "low"
		}
	} else {
		out.Warnings = append(out.Warnings, "no rollover limit: the rail's base and height are not known")
	}
	out.States = []export.CurveState{}
	for _, x := range a.States {
		state := export.CurveState{From: x.From, Shift: export.Rounded(x.Lead.Shift),
			Attack: export.Rounded(x.Lead.Attack * 1000)}
		if x.Climbing != "" {
			state.ClimbMargin = value(x.ClimbMargin)
		}
		if x.Rollover.Defined {
			state.RolloverMargin = value(x.Rollover.Margin)
		}
		out.States = append(out.States, state)
	}
	out.SpreadingKN, out.WearN = export.Rounded(a.Spreading/1000), export.Rounded(a.Wear)
	out.LoadedGaugeMM, out.BearingMM = value(a.Gauge), value(a.Bearing)
	if in.warp > 0 {
		out.WarpMrad = value(a.Warp * 1000)
	}
	out.Residual, out.Iterations, out.Converged, out.Reason = a.Residual, a.Iterations, a.Converged, a.Reason
	return out, in.drawn(out), nil
}

// mostLost is the share of its load that a wheel may lose for its forces to be solved.
const mostLost = 0.95

// solved runs the truck; where load stands unevenly, with either side the lighter one, and gives the worse.
// shares are the parts of its load that a wheel loses; nil where the unbalance is beyond what they are computed for.
func (in *truckInput) solved(r shaped.TruckRun) (a shaped.TruckAnswer, shares *load.Shares, warning string, err error) {
	uneven := in.uneven
	uneven.Over = -r.Curve.Unbalance(contactSpacing) * contactSpacing
	s, err := in.rules.Shares(uneven)
	lost := s.Twist + s.Imbalance
	if err == nil {
		shares = &s
	}
	if lost < measure.Near {
		a, err = r.Solve()
		return a, shares, "", err
	}
	if err != nil {
		return a, nil, "", err
	}
	if most := mostLost - s.Elevation; lost > most {
		lost = math.Max(0, most)
		warning = fmt.Sprintf("the lightest wheel keeps %.2f of its load: its forces are those of one that keeps %.2f",
			math.Max(0, s.Kept()), 1-mostLost)
	}
	tables, err := r.Tables()
	if err != nil {
		return a, nil, "", err
	}
	least := math.Inf(1)
	for _, shift := range []float64{-lost, lost} {
		r.LoadShift = shift
		one, err := r.On(tables)
		if err != nil {
			return one, nil, "", err
		}
		margin := math.Inf(-1)
		if one.Converged {
			margin = one.ClimbMargin
			if one.Rollover.Defined {
				margin = math.Min(margin, one.Rollover.Margin)
			}
		}
		if margin < least {
			a, least = one, margin
		}
	}
	return a, shares, warning, nil
}

// contactSpacing is the usual distance of both contacts on standard gauge in mm, 59-1/2 in, for inches of unbalance.
const contactSpacing = 59.5 * measure.MMPerInch

func (in *truckInput) axleAnswer(a curving.Axle, first int) export.CurveAxle {
	wheelAnswer := func(w curving.Wheel, i int) export.CurveWheel {
		return export.CurveWheel{Position: in.positions[i], L: export.Rounded(w.L / 1000),
			V: export.Rounded(w.V / 1000), LV: export.Rounded(w.LV),
			Angle: export.Rounded(math.Abs(w.ContactAngle) * degrees), Y: export.Rounded(w.TreadY),
			Contacts: w.Contacts, Flanging: w.Flanging, FieldSide: w.FieldSide, WearN: export.Rounded(w.Wear)}
	}
	out := export.CurveAxle{Attack: export.Rounded(a.Attack * 1000), Shift: export.Rounded(a.Shift),
		High: wheelAnswer(a.High, first), Low: wheelAnswer(a.Low, first+1), Sum: export.Rounded(a.Sum)}
	if a.SumLimit > 0 {
		out.SumLimit = value(a.SumLimit)
	}
	return out
}

// drawn collects what the drawing shows.
func (in *truckInput) drawn(out export.Curve) draw.TruckCurve {
	pic := draw.TruckCurve{Title: fmt.Sprintf("A truck in a curve of %g degrees", math.Round(in.degree*100)/100),
		Desc: "Plan of the axles between the rails, angles ten times as large, the forces of the wheels on the rails " +
			"as arrows. Below, how near each is to its limit."}
	drawn := func(w export.CurveWheel) draw.TruckWheel {
		return draw.TruckWheel{Name: w.Position, L: w.L, V: w.V, Note: fmt.Sprintf("L/V %.2f, %.0f deg", w.LV, w.Angle)}
	}
	for _, a := range out.Axles() {
		pic.Axles = append(pic.Axles,
			draw.TruckAxle{Name: a.Name, Attack: a.Attack, Shift: a.Shift, High: drawn(a.High), Low: drawn(a.Low)})
	}
	bar := func(name string, is, limit *float64, beyond string) {
		if is != nil && limit != nil {
			pic.Bars = append(pic.Bars, draw.Bar{Name: name, Value: *is, Limit: *limit, Beyond: beyond})
		}
	}
	if out.Nadal != nil {
		lv := *out.Nadal - *out.ClimbMargin
		bar("L/V of the wheel nearest to climbing ("+out.ClimbWheel+")", &lv, out.Nadal, "Nadal's limit")
	}
	if out.RolloverLimit != nil {
		lv := *out.RolloverLimit - *out.RolloverMargin
		bar("L/V of the truck side on the "+out.RolloverRail+" rail", &lv, out.RolloverLimit, "a free rail rolls over")
	}
	bar("L/V of both wheels of the lead axle", &out.Lead.Sum, out.Lead.SumLimit, "axle sum limit")
	return pic
}

// hollowed is the input with another hollow (mm) on all of its wheels. What the sweep sets goes before the other
// readings: one that contradicts it is set aside.
func (in *truckInput) hollowed(q float64) (*truckInput, error) {
	c := *in
	c.wheels = slices.Clone(in.wheels)
	for i, w := range in.wheels {
		w.Readings.Hollow = measure.Exact(q, fmt.Sprintf("%g", q))
		worn, _, _, err := wheelshape.RebuildFrom(w.Design, w.Readings)
		if err != nil {
			return nil, err
		}
		c.wheels[i].Readings = w.Readings
		shape := *worn.Middle
		shape.Rim = w.Shape.Rim // as read
		c.wheels[i].Shape = &shape
	}
	return &c, nil
}
