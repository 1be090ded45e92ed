package shaped

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/internal/parallel"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
)

// curves fills the computed verdicts of trucks in curves.
func (c *Computer) curves(places []*Place) {
	check := slices.IndexFunc(c.Checks, func(k *interaction.Check) bool { return k.Passes == interaction.InTruck })
	var at []*Table
	var curves []*curveJob
	var designed []bool
	for _, ps := range places {
		for _, t := range ps.Tables {
			if t.Check == check && t.Part.Missing == 0 {
				at = append(at, t)
				curves, designed = append(curves, c.curve(ps.F)), append(designed, ps.Designed)
			}
		}
	}
	if len(at) == 0 {
		return
	}
	shareLike(curves)
	c.listTrucks()
	step := c.steps("running trucks through curves", len(at)*len(c.trucks))
	for k, t := range at {
		t.Computed = make([]*Computed, len(c.Wheels))
		c.onCurve(curves[k], t, designed[k], step)
		c.forget(curves[k+1:])
	}
}

// mostFlanks is how many flanks, of about 40 kB, are kept for later curves and for what is computed again.
const mostFlanks = 5000

// forget drops what was made of rails that no later curve has, the flanks on them if there are too many, and the runs
// that were followed.
func (c *Computer) forget(later []*curveJob) {
	if c.again {
		return
	}
	c.followed.forget(func(followedKey) bool { return true })
	used := map[*trackshape.RailHead]bool{}
	for _, j := range later {
		for _, s := range slices.Concat(j.sites[:], j.others, j.inside, j.asRead.sites[:], j.asRead.others,
			j.asRead.inside) {
			used[s.rails[0]], used[s.rails[1]] = true, true
		}
	}
	if c.flanks.len() > mostFlanks {
		c.flanks.forget(func(k flankKey) bool { return !used[k.rail] })
	}
	c.made.Forget(func(r *trackshape.RailHead) bool { return !used[r] })
}

// onCurve computes every truck on a curve and gives each wheel its share.
func (c *Computer) onCurve(j *curveJob, t *Table, designed bool, step func()) {
	if j.broken != "" {
		for i := range t.Computed {
			t.Computed[i] = notComputable(j.broken, j.lacks)
		}
		return
	}
	parallel.Each(len(c.trucks)+1, func(i int) {
		if i == 0 { // one core has the usual trucks, the others those of the survey
			if !c.again && !designed { // nobody who asks again asks for causes
				names, _ := j.came.usual.get(true, func() ([]string, error) { return c.ordinary(j), nil })
				t.Ordinary = append(t.Ordinary, names...)
			}
			return
		}
		if truck := c.trucks[i-1]; !designed || c.mayConflict(truck, j) {
			c.truckTo(truck, j, t.Computed)
		} else {
			truck.lay(t.Computed, &Computed{Verdict: interaction.Undecided})
		}
		step()
	})
}

// mayConflict reports whether a truck can come to a conflict on a curve, as it is or for the share of its wheels that
// are not hollow without its hollow: it does only if it is one as written in some way. Of a curve as designed nothing
// else is asked.
func (c *Computer) mayConflict(t *truckJob, j *curveJob) bool {
	if t.broken != "" {
		return true // there is nothing to be saved
	}
	may := func(t *truckJob) bool {
		r := &running{c: c, t: t, j: j}
		order, ok := r.inOrder()
		return ok && slices.ContainsFunc(order, r.conflicts)
	}
	return may(t) || t.hollow && may(c.unhollowed(t))
}

// lay gives a verdict to all wheels of a truck.
func (t *truckJob) lay(computed []*Computed, k *Computed) {
	for n, x := range t.all() {
		if x != nil {
			computed[t.index[n]] = k
		}
	}
}

// truckTo computes a truck on a curve and lays each wheel's share down.
func (c *Computer) truckTo(truck *truckJob, j *curveJob, computed []*Computed) {
	if truck.broken != "" {
		truck.lay(computed, notComputable(truck.broken, truck.lacks))
		return
	}
	fresh := c.freshOn(j, truck, &j.sites[written], truck.gross)
	k, ran, w := c.anyKindOn(truck, j)
	k.truck, k.curve, k.way = ran, j, w
	said := ""
	if len(truck.unread) > 0 && k.Mechanism != "" {
		said = "; hollow not read at " + strings.Join(truck.unread, ", ") + " and taken as none, so nothing is clear"
	}
	if !c.again { // nobody who asks again asks for words
		k.Why = c.why(truck, j, k, w, fresh) + said
	}
	if k.Mechanism != "" {
		rough, bad := c.roughText(ran, j)
		guard, rests := c.guardText(ran, j, w)
		for _, text := range []string{rough, guard} {
			if text != "" {
				k.Why += "; " + text
			}
		}
		k.ByAssumption = k.ByAssumption || (bad || rests) && k.Verdict == interaction.Clear
	}
	k.ByAssumption = k.ByAssumption || k.Verdict == interaction.Clear && truck.anyMismatched()
	var sound *Computed // the truck without its hollow, if that is asked for
	for n, x := range truck.all() {
		if x == nil {
			continue
		}
		own := k
		if q := x.Read(wheel.TreadHollow); truck.hollow && q.Measured() && !isHollow(q) &&
			k.Verdict != interaction.Clear {
			if sound == nil {
				bare := c.unhollowed(truck)
				b, ran, w := c.anyKindOn(bare, j)
				b.truck, b.curve, b.way = ran, j, w
				sound = &b
			}
			own = *sound
			own.Why = "this wheel is not hollow, so it answers for its truck without hollow; another wheel of its " +
				"truck: " + k.Verdict.String()
			if own.Mechanism != "" {
				own.Why += " (" + k.Mechanism + ")"
			}
		}
		if own.Mechanism != "" {
			own.wantHollow(truck, x)
			c.tooHollow(&own, x)
			own.readAgain(truck)
		}
		computed[truck.index[n]] = &own
	}
}

// tooHollow makes undecided of what would be clear for a wheel that may be deepest_hollow or more:
// the form of so deep a hollow is assumed, and was held against nothing.
func (c *Computer) tooHollow(k *Computed, w *wheel.Wheel) {
	q, deepest := w.Read(wheel.TreadHollow), c.Rules.Value("deepest_hollow")
	if k.Verdict != interaction.Clear || !q.Measured() || q.Hi < deepest-measure.Near {
		return
	}
	var want interaction.Mask
	if q.Lo < deepest-measure.Near {
		want = interaction.WheelMask(wheel.TreadHollow)
	}
	k.notClear(want)
	k.Why += fmt.Sprintf("; hollow of deepest_hollow (%g mm) or more is clear in no curve", deepest)
}

// readAgain makes undecided of what would be clear for a truck with readings that the wheels of one axle cannot have.
// It was computed as if they were matched, which one of them may well not be. Flange heights tell by how much
// diameters differ that were not read.
func (k *Computed) readAgain(t *truckJob) {
	if k.Verdict != interaction.Clear {
		return
	}
	for a := range t.axles {
		l, r := t.wheels[2*a], t.wheels[2*a+1]
		if l == nil || r == nil {
			continue
		}
		sized := pointed(l.Read(wheel.Diameter)) && pointed(r.Read(wheel.Diameter))
		for _, q := range []wheel.Quantity{wheel.Diameter, wheel.FlangeHeight} {
			if l.Axle().Unmated(q) && !(q == wheel.FlangeHeight && sized) {
				k.Again = append(k.Again, Again{l, q}, Again{r, q})
				k.Why += fmt.Sprintf("; %s %s of %s and %s of %s cannot be those of one axle: nothing is clear until "+
					"they are read again", q, l.Read(q).Written, l.Position, r.Read(q).Written, r.Position)
			}
		}
	}
	if len(k.Again) > 0 {
		k.notClear(0)
	}
}

// wantHollow makes undecided of what would be clear for a wheel of a truck of which the hollow
// of some wheel was not read, and names these.
func (k *Computed) wantHollow(t *truckJob, of *wheel.Wheel) {
	if k.Verdict != interaction.Clear || len(t.unread) == 0 {
		return
	}
	k.notClear(0)
	for _, name := range t.unread {
		if name == of.Position.String() {
			k.settle = interaction.WheelMask(wheel.TreadHollow)
			continue
		}
		k.Columns = append(k.Columns, wheel.TreadHollow.String()+" of "+name)
	}
}

// ordinary names the wheels on which a usual truck conflicts in a curve: new ones, and the reference wheels.
func (c *Computer) ordinary(j *curveJob) (names []string) {
	references := append([]*wheel.Wheel{nil}, interaction.ReferenceWheels(c.data)...)
	for i, name := range append([]string{"a usual truck on new wheels"}, interaction.ReferenceNames(c.data)...) {
		t := &truckJob{car: &wheel.Car{Kind: "freight"}, number: 1, axles: 2}
		if w := references[i]; w != nil {
			t.wheels = [mostWheels]*wheel.Wheel{w, w.Mate(), w, w.Mate()}
			t.hollow = isHollow(w.Read(wheel.TreadHollow))
		}
		c.prepare(t)
		if k, _ := c.truckOn(t, j); k.Verdict == interaction.Conflict {
			names = append(names, name)
		}
	}
	return names
}

// figuresOf says by which readings the figures of a truck are that are told.
func (t *truckJob) figuresOf() string {
	if t.anyMismatched() {
		return "as written but for the diameters"
	}
	return "as written"
}

// why says how a computed verdict came about, how the truck stands against the published
// limits and against new wheels, and what is not in it.
func (c *Computer) why(t *truckJob, j *curveJob, k Computed, w way, fresh margins) string {
	parts := []string{k.Why}
	if k.Mechanism != "" {
		parts = []string{fmt.Sprintf("%s of the truck at the %s end, %s, dry rail", k.Mechanism,
			[3]string{"", "B", "A"}[t.number], w),
			t.figuresOf() + " against published limits (Nadal; truck side 0.6 and a wheel's least load of 10 " +
				"percent, 49 CFR 238 appendix C): " + limitsText(k.margins),
			"new wheels here: " + limitsText(fresh)}
		if a, b := k.margins[rollover], fresh[rollover]; !math.IsNaN(a) && !math.IsNaN(b) {
			parts = append(parts, fmt.Sprintf("a rail held by nothing: %+.2f, with new wheels %+.2f L/V", round2(a),
				round2(b)))
		}
		if k.ByAssumption {
			parts = append(parts, "clear by what is assumed alone: that fastenings hold the rail up, or that gauge "+
				"opens no farther under load than it was read")
		}
	}
	notes := slices.Concat(j.notes, t.notes)
	slices.Sort(notes)
	parts = append(parts, slices.Compact(notes)...)
	return strings.Join(append(parts, c.loadText(t, j, k, w)), "; ")
}

// loadText says what twist and a load to one side take, and which of them would clear the truck if it alone were gone.
func (c *Computer) loadText(t *truckJob, j *curveJob, k Computed, w way) string {
	s, _, _ := c.Rules.Lost(t.car, j.f, t.gross)
	if !j.f.Read(track.Warp).Measured() && s.Imbalance == 0 {
		return "warp was not read here: twist is not in these figures, wheel-unloading judges it"
	}
	text := fmt.Sprintf("in these figures twist takes %.2f and a load to one side %.2f of the load of the lightest "+
		"wheel",
		s.Twist, s.Imbalance)
	if k.Verdict == interaction.Clear || k.Mechanism == "" || k.Mechanism == mechanisms[bearing].name ||
		s.Twist+s.Imbalance < measure.Near || c.clearAsWritten(t, j, w) {
		return text
	}
	for _, x := range []struct {
		name string
		of   float64
		to   func(*truckJob)
	}{{"twist", s.Twist, func(n *truckJob) { n.untwisted = true }},
		{"the load to one side", s.Imbalance, func(n *truckJob) { n.trimmed = true }}} {
		if x.of < measure.Near {
			continue
		}
		n := *t
		x.to(&n)
		if c.clearAsWritten(&n, j, w) {
			text += "; clear as written without " + x.name + " alone"
		}
	}
	return text
}

// clearAsWritten reports whether a truck is clear in one way with its readings as written; what the bearing comes
// to is the gauge's.
func (c *Computer) clearAsWritten(t *truckJob, j *curveJob, w way) bool {
	r, err := c.run(t, j, w, point{&t.fits[written], &j.sites[written], math.Max(t.level[written], 0), dry})
	if err != nil {
		return false
	}
	a, err := c.solve(r)
	if openCause(a, err) != "" {
		return false
	}
	return c.clearIn(r.marginsOf(a), c.freshOn(j, t, &j.sites[written], t.fits[written].gross)[rollover], j)
}

// clearIn reports whether margins are clear by every mechanism but the bearing; fresh is what the rollover of new
// wheels comes to there.
func (c *Computer) clearIn(m margins, fresh float64, j *curveJob) bool {
	for k := range numMechanisms {
		if k == bearing || math.IsNaN(m[k]) {
			continue
		}
		if v, _ := mechanismVerdict(c.Rules, k, m, fresh, j.ground); v != interaction.Clear {
			return false
		}
	}
	return true
}

func round2(v float64) float64 { return math.Round(v*100)/100 + 0 }

// limitsText writes the margins that published limits give.
func limitsText(m margins) string {
	var out []string
	for _, k := range []int{climb, side, unloading} {
		if !math.IsNaN(m[k]) {
			out = append(out, fmt.Sprintf("%s %+.2f", mechanisms[k].name, round2(m[k])))
		}
	}
	return strings.Join(out, ", ")
}
