package interaction

import (
	"fmt"
	"math"
	"strings"

	"flangeway/internal/measure"
	"flangeway/wheel"
)

// standardGauge in mm: 4 ft 8-1/2 in.
const standardGauge = 56.5 * measure.MMPerInch

// worthwhile is from which gain in L/V, or inches, a remedy is named.
const worthwhile = 0.02

// remedies says what would change the verdict of a truck in a curve: hollow turned away,
// the rail's face lubricated, less speed, the gauge put right, each by itself and as
// written.
func (c *computer) remedies(k *Computed) (wheels, rails []string) {
	if k.truck == nil || k.Mechanism == "" {
		return nil, nil
	}
	m := 0
	for mechanisms[m].name != k.Mechanism {
		m++
	}
	limits := c.e.Rules.allowances()[m]
	is := func(r TruckRun) (float64, bool) {
		a, err := c.solve(r)
		if openCause(a, err) != "" {
			return 0, false
		}
		v := marginsOf(a)[m]
		return v, !math.IsNaN(v) && (v-k.Margin)*mechanisms[m].scale > worthwhile
	}
	say := func(what string, v float64) string {
		return fmt.Sprintf("%s: %s margin %s instead of %s%s", what, k.Mechanism, k.write(v), k.write(k.Margin),
			map[Verdict]string{Clear: ", clear as written", Conflict: ", still a conflict"}[limits.judge(v)])
	}
	run := c.run(k.truck, k.curve, k.way, written)
	if r, turned, err := c.turned(k); err == nil && len(turned) > 0 {
		if v, helps := is(r); helps {
			wheels = append(wheels, say("turn the wheelsets of "+strings.Join(turned, ", "), v))
		}
	}
	greased := c.e.Rules.value("greased_friction")
	if run.Friction.HighFace > greased {
		r := run
		r.Friction.HighFace = greased
		if v, helps := is(r); helps {
			rails = append(rails, say("grease the gauge face of the high rail", v))
		}
	}
	if r := run; r.Curve.Speed > 5*measure.MetresPerSecondPerMPH {
		r.Curve.Speed /= 2
		if v, helps := is(r); helps {
			rails = append(rails, say(fmt.Sprintf("slow to %.0f mph", r.Curve.Speed/measure.MetresPerSecondPerMPH), v))
		}
	}
	if g := k.curve.gauge[written]; g > standardGauge+measure.MMPerInch/8 {
		r := run
		r.Lead.Gauge, r.Trail.Gauge = standardGauge, standardGauge
		r.LoadedGauge = math.Max(0, r.LoadedGauge-(g-standardGauge))
		if v, helps := is(r); helps {
			rails = append(rails, say("regauge to 56-1/2", v))
		}
	}
	return wheels, rails
}

// turned is the truck with every hollow turned away, the flange as it is, and which wheels
// that are.
func (c *computer) turned(k *Computed) (TruckRun, []string, error) {
	t := *k.truck
	var names []string
	for i, w := range t.wheels {
		if w == nil || !(w.Read(wheel.TreadHollow).As > 0) {
			continue
		}
		r := atEnd(w.WornReadings(), written)
		r.Hollow = measure.Exact(0, "none")
		design, _, err := w.DesignShape(c.data, c.shapes)
		if err != nil {
			return TruckRun{}, nil, err
		}
		s, _, err := c.wornShape(design, r)
		if err != nil {
			return TruckRun{}, nil, err
		}
		t.shapes[written][i] = s
		names = append(names, w.Position.String())
	}
	return c.run(&t, k.curve, k.way, written), names, nil
}

// write writes a computed margin in the unit that people read it in.
func (k *Computed) write(v float64) string {
	unit := k.Unit
	switch {
	case unit == "mm" && !k.metric:
		v, unit = v/measure.MMPerInch, "in"
	case unit == "deg":
		return fmt.Sprintf("%+.1f deg", math.Round(v*10)/10+0)
	}
	v = math.Round(v*100)/100 + 0 // no negative zero
	return fmt.Sprintf("%+.2f %s", v, unit)
}

// Text is the computed margin with its range, as a report prints it.
func (k *Computed) Text() string {
	if k.Mechanism == "" {
		return "not computed"
	}
	bare := func(v float64) string { return strings.Fields(k.write(v))[0] }
	if math.IsNaN(k.Margin) {
		return bare(k.Low) + ".." + k.write(k.High)
	}
	return fmt.Sprintf("%s (%s..%s)", k.write(k.Margin), bare(k.Low), bare(k.High))
}
