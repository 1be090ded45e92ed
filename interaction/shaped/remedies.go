package shaped

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
)

// worthwhile is from which gain in L/V, or inches, a remedy is named.
const worthwhile = 0.02

// Remedies says what would change the verdict of a truck in a curve: hollow turned away, a load trimmed, the rail's
// face lubricated, less speed, the gauge put right, the twist taken out, each by itself and as written.
func (c *Computer) Remedies(k *Computed) (wheels, rails []string) {
	if k.truck == nil || k.Mechanism == "" {
		return nil, nil
	}
	m := 0
	for mechanisms[m].name != k.Mechanism {
		m++
	}
	judge := func(v margins) interaction.Verdict {
		out, _ := mechanismVerdict(c.Rules, m, v, k.fresh, k.curve.ground)
		return out
	}
	// is is the truck as written with something changed, at every level of its hollow.
	is := func(t *truckJob, change func(*TruckRun)) (margins, bool) {
		v := noMargins()
		for level := 0.0; level <= t.level[written]+measure.Near; level += hollowStep {
			r, err := c.run(t, k.curve, k.way, point{&t.fits[written], &k.curve.sites[written], level, dry})
			if err != nil {
				return v, false
			}
			change(&r)
			a, err := c.solve(r)
			if openCause(a, err) != "" {
				return v, false
			}
			v = v.worse(r.marginsOf(a))
		}
		return v, !math.IsNaN(v[m]) && (v[m]-k.Margin)*mechanisms[m].scale > worthwhile
	}
	// The mechanism and its margin as it is stand with what was computed, once. A remedy clears if nothing else fails.
	say := func(what string, v margins) string {
		out := ""
		switch own := judge(v); {
		case own == interaction.Conflict:
			out = ", still a conflict"
		case own == interaction.Clear && c.clearIn(v, k.fresh, k.curve):
			out = ", clear as written"
		}
		return fmt.Sprintf("%s: margin %s%s", what, k.write(v[m]), out)
	}
	site := &k.curve.sites[written]
	if names := k.truck.hollowed(); len(names) > 0 {
		if v, helps := is(c.unhollowed(k.truck), func(*TruckRun) {}); helps {
			wheels = append(wheels, say("turn the wheelsets of "+strings.Join(names, ", "), v))
		}
	}
	lost, _, _ := c.Rules.Lost(k.truck.car, k.curve.f, k.truck.gross)
	if trimmed := *k.truck; lost.Imbalance > measure.Near {
		trimmed.trimmed = true
		if v, helps := is(&trimmed, func(*TruckRun) {}); helps {
			wheels = append(wheels, say("move or trim the load to the middle", v))
		}
	}
	if even := *k.truck; lost.Twist > measure.Near {
		even.untwisted = true
		if v, helps := is(&even, func(*TruckRun) {}); helps {
			rails = append(rails, say("surface the track until nothing of its warp is left", v))
		}
	}
	if greased := c.Rules.Value("greased_friction"); k.curve.friction[dry].HighFace > greased {
		if v, helps := is(k.truck, func(r *TruckRun) { r.Friction.HighFace = greased }); helps {
			rails = append(rails, say("grease the gauge face of the high rail", v))
		}
	}
	if slow := site.curve.Speed / 2; slow > 2.5*measure.MetresPerSecondPerMPH {
		if v, helps := is(k.truck, func(r *TruckRun) { r.Curve.Speed = slow }); helps {
			rails = append(rails, say(fmt.Sprintf("slow to %.0f mph", slow/measure.MetresPerSecondPerMPH), v))
		}
	}
	if g := site.gauge; g > interaction.StandardGauge+measure.MMPerInch/8 {
		regauged := func(r *TruckRun) {
			for _, a := range r.axles() {
				a.Gauge = interaction.StandardGauge
			}
			r.LoadedGauge = math.Max(0, r.LoadedGauge-(g-interaction.StandardGauge))
		}
		if v, helps := is(k.truck, regauged); helps {
			rails = append(rails, say("regauge to 56-1/2", v))
		}
	}
	return wheels, rails
}

// hollowed names the wheels of a truck that are hollow as written.
func (t *truckJob) hollowed() []string {
	var names []string
	for i, w := range t.all() {
		if w != nil && t.level[written]+t.over[written][i] > measure.Near {
			names = append(names, w.Position.String())
		}
	}
	return names
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
