package shaped

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
)

// freshlyTurned names the wheels of a truck whose treads are rough from the lathe.
func (c *Computer) freshlyTurned(t *truckJob) (names []string) {
	for _, w := range t.all() {
		if w == nil || !w.Turned.Known() || !c.Today.Known() {
			continue
		}
		if days := c.Today.DaysSince(w.Turned); days >= 0 &&
			float64(days) <= c.Rules.Value("freshly_turned")+measure.Near {
			names = append(names, w.Position.String())
		}
	}
	return names
}

// roughText says of a truck on freshly turned wheels how it stands as written at the friction of rough treads, in its
// worst way, and names what investigations name together; "" of others. bad says that it is not clear so.
func (c *Computer) roughText(t *truckJob, j *curveJob) (text string, bad bool) {
	names := c.freshlyTurned(t)
	if len(names) == 0 {
		return "", false
	}
	m, fresh := noMargins(), c.freshOn(j, t, &j.sites[written], t.fits[written].gross)[rollover]
	for _, w := range ways() {
		r, err := c.run(t, j, w, point{&t.fits[written], &j.sites[written], math.Max(t.level[written], 0), rough})
		if err != nil {
			return "", false
		}
		a, err := c.solve(r)
		if openCause(a, err) != "" {
			return "", false
		}
		m = m.worse(r.marginsOf(a))
	}
	for _, k := range []int{climb, side} {
		v, _ := mechanismVerdict(c.Rules, k, m, fresh, j.ground)
		bad = bad || !math.IsNaN(m[k]) && v != interaction.Clear
	}
	text = fmt.Sprintf("%s turned within %g days: treads still rough, at a friction of %g (rough_friction, assumed) %s",
		strings.Join(names, ", "), c.Rules.Value("freshly_turned"), c.Rules.Value("rough_friction"), limitsText(m))
	greased := j.f.Lubricated == "high" || j.f.Lubricated == "both"
	if d := j.f.Read(track.Degree).As; d >= c.Rules.Value("sharp_curve")-measure.Near && !greased &&
		j.f.GuardRail != "yes" {
		text += "; freshly turned wheels on a dry, sharp curve without a guard rail: investigations of climb at low " +
			"speed name these together"
	}
	return text, bad
}

// guardText says what a guard rail along the curve does for a truck, and what comes on it as written. rests says that
// without it the lead high wheel would not be clear.
func (c *Computer) guardText(t *truckJob, j *curveJob, w way) (text string, rests bool) {
	if j.f.GuardRail != "yes" {
		return "", false
	}
	text = "a guard rail runs along the curve: it keeps the lead high wheel from climbing"
	r, err := c.run(t, j, w, point{&t.fits[written], &j.sites[written], math.Max(t.level[written], 0), dry})
	if err != nil {
		return text, true
	}
	a, err := c.solve(r)
	if openCause(a, err) != "" {
		return text, true
	}
	most := 0.0
	for _, s := range a.States {
		most = math.Max(most, s.Guard)
	}
	r.Guarded = false
	bare, err := c.solve(r)
	if rests = openCause(bare, err) != ""; !rests {
		v, _ := mechanismVerdict(c.Rules, climb, r.marginsOf(bare), 0, j.ground)
		rests = v != interaction.Clear
	}
	return text + fmt.Sprintf(" and takes up to %.0f kN (%.0f lb) on the back of the low wheel's flange; its "+
		"flangeway and fastenings here were not read", most/1000, most/measure.NewtonsPerPound), rests
}
