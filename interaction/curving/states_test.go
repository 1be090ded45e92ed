package curving

import (
	"math"
	"testing"

	"flangeway/interaction/contact"
	"flangeway/internal/fixture"
	"flangeway/track/shape"
)

// fixed runs a truck the plain way, as a check of the march: steps of one length, each
// solved closely, over a curve that begins over the first ramp mm, until nothing moves.
func (p *problem) fixed(q vector, way, ramp float64) (vector, bool) {
	var w work
	count := 0
	defer func() { p.bend.curvature = p.curvature }()
	if ramp > 0 {
		p.bend.curvature = 0
	}
	step := func(way float64) (moved float64, ok bool) {
		from := p.now(&q)
		from.way = way
		try := q
		if _, ok := p.newton(&try, &from, 1e-6, 60, &count, &w); !ok {
			return 0, false
		}
		q = try
		return p.moved(&q, &from), true
	}
	for run := 0.0; run < 3*160*p.half; run += way {
		p.bend.curvature = p.curvature
		if run < ramp {
			p.bend.curvature = p.curvature * math.Min(1, (run+way)/ramp)
		}
		moved, ok := step(way)
		for k := 0; !ok && k < 8; k++ {
			if _, ok := step(way / 8); !ok {
				return q, false
			}
		}
		if ok && run > ramp && moved < 1e-5 {
			break
		}
	}
	end := q
	forever := state{way: math.Inf(1)}
	_, ok := p.newton(&end, &forever, exact, 50, &count, &w)
	from := p.now(&q)
	return end, ok && p.moved(&end, &from) < 0.5
}

// least is the least margin against climbing and rollover in a state.
func (p *problem) least(q *vector) float64 {
	var s Solution
	p.report(q, &s)
	return s.least()
}

func (p *problem) worst(states []steady) float64 {
	m := math.Inf(1)
	for i := range states {
		m = math.Min(m, p.least(&states[i].q))
	}
	return m
}

// trucks of the field, hollow as they come, against the plain march of steps of 0.35 m
// from the tangent, from either rail, and from the middle, which the search leaves out.
func againstFixedSteps(t *testing.T, f *field, n int) {
	t.Helper()
	several, missed, worse, open, off := 0, 0, 0, 0, 0
	for i := 0; i < n; {
		c := f.draw()
		p, err := new(Room).problem(c.truck, c.curve, c.mu)
		if err != nil {
			continue
		}
		i++
		found, stuck, _ := p.solve()
		if stuck != nil {
			open++
			continue
		}
		if len(found) > 1 {
			several++
		}
		begin := p.begin()
		for k, q := range append(begin[:], p.start()) {
			at := append(starts[:], "middle")[k]
			ramp := 0.0
			if at == "tangent" {
				ramp = runIn * p.half
			}
			ref, ok := p.fixed(q, 0.4*p.half, ramp)
			if !ok {
				off++
				continue
			}
			there := false
			for j := range found {
				there = there || p.apart(&found[j].q, &ref) < 2*alike
			}
			if there {
				continue
			}
			missed++
			got, want := p.worst(found), p.least(&ref)
			if want < got-0.01 {
				worse++
			}
			t.Logf("truck %d from the %s: place %.2f, yaw %.2f, margin %.3f is not among %d states, the worst %.3f", i,
				at, ref[iY], ref[iPsi], want, len(found), got)
		}
	}
	t.Logf("%d trucks, %d of them with several states, %d open; of the plain marches %d came to no end, %d to a "+
		"state that was not found, %d to a worse one", n, several, open, off, missed, worse)
	if several < n/50 {
		t.Errorf("only %d of %d trucks have several states: the test tests little", several, n)
	}
	if 200*worse > n {
		t.Errorf("%d of %d trucks can stand worse than was found", worse, n)
	}
}

func TestStatesAgainstFixedSteps(t *testing.T) { againstFixedSteps(t, newField(t, 11, 8), 25) }

// A thousand trucks and more, over the whole field. Run once, without the race detector.
func TestVolumeStatesAgainstFixedSteps(t *testing.T) {
	fixture.InVolumes(t, "large volume")
	t.Parallel()
	againstFixedSteps(t, newField(t, 12, 120), 1050)
	againstFixedSteps(t, threeAxleField(t, 12, 40), 200)
}

// evenly is a three-piece truck with the same hollow on all wheels, 115RE at 57 in.
func evenly(t testing.TB, hollow float64) Truck {
	t.Helper()
	w := worn(t, wheelNamed(t, "narrow flange 1:20"), 0, hollow)
	return threePiece(american(t, w, w, "115RE"))
}

// A hundredth of a millimetre of hollow does not turn a truck over: the march with four
// steps of 35 m came to rest now against one rail, now against the other.
func TestHollowSteps(t *testing.T) {
	fixture.LeftToVolumes(t)
	c := Curve{Radius: radiusOf(6), Elevation: 2 * inch, Speed: 10 * 0.44704}
	last := math.NaN()
	for _, h := range []float64{6.20, 6.22, 6.23, 6.24, 6.25, 6.26, 6.30} {
		s := solved(t, evenly(t, h), c, Same(0.5))
		t.Logf("hollow %.2f: %d states, rollover %.4f", h, len(s.States), s.Rollover.Margin)
		if math.Abs(s.Rollover.Margin-last) > 0.01 {
			t.Errorf("hollow %.2f mm: rollover margin %.3f after %.3f", h, s.Rollover.Margin, last)
		}
		last = s.Rollover.Margin
	}
}

// The states do not hang on how hard the march is held back, nor on the length over which
// the curve begins: neither is a property of the truck.
func TestStatesAreTheTrucks(t *testing.T) {
	fixture.LeftToVolumes(t)
	f := newField(t, 13, 10)
	for i := 0; i < 30; {
		c := f.draw()
		p, err := new(Room).problem(c.truck, c.curve, c.mu)
		if err != nil {
			continue
		}
		i++
		found, stuck, _ := p.solve()
		if stuck != nil {
			continue
		}
		for _, d := range []float64{usualDamping / 4, usualDamping * 4} {
			held := *p
			held.damping = d
			other, stuck, _ := held.solve()
			if a, b := p.worst(found), p.worst(other); stuck == nil && math.Abs(a-b) > 0.01 {
				t.Errorf("truck %d: worst margin %.3f, with %g times the damping %.3f (%d and %d states)", i, a,
					d/usualDamping, b, len(found), len(other))
			}
		}
	}
}

// The figures of a solution are the worst state's, and each state stands once, in balance.
func TestStatesAndAnswer(t *testing.T) {
	c := Curve{Radius: radiusOf(4), Elevation: inch, Speed: 10 * 0.44704}
	several := false
	for _, h := range []float64{0, 2, 4, 6, 8} {
		s := solved(t, evenly(t, h), c, Same(0.5))
		several = several || len(s.States) > 1
		least := math.Inf(1)
		for i, x := range s.States {
			least = math.Min(least, x.least())
			if !(x.Residual < Tolerance) || x.From == "" {
				t.Errorf("hollow %g, state %d: residual %g, from %q", h, i, x.Residual, x.From)
			}
			for _, y := range s.States[:i] {
				if math.Abs(x.Lead.Shift-y.Lead.Shift) < alike && math.Abs(x.Lead.Attack-y.Lead.Attack) < 1e-4 {
					t.Errorf("hollow %g: one state twice, shift %g", h, x.Lead.Shift)
				}
			}
		}
		if s.least() != least {
			t.Errorf("hollow %g: the answer's margin is %g, the worst state's %g", h, s.least(), least)
		}
	}
	if !several {
		t.Error("no truck has several states: the test tests nothing")
	}
}

// A truck on wheels whose rolling radius rises toward the flange has one state; so for
// such only one start is tried. Against all starts.
func TestUnworn(t *testing.T) {
	fixture.LeftToVolumes(t)
	for _, f := range []*field{newField(t, 14, 1), threeAxleField(t, 14, 1)} {
		unworn(t, f)
	}
}

func unworn(t *testing.T, f *field) {
	t.Helper()
	for i, name := range []string{"narrow flange 1:20", "wide flange 1:20"} {
		d := wheelNamed(t, name)
		f.wheels[i] = nil
		for _, thin := range []float64{0, 0.95, 1.1} {
			f.wheels[i] = append(f.wheels[i], worn(t, d, thin*inch, 0))
		}
	}
	tried := 0
	for i := 0; i < 40; i++ {
		c := f.draw()
		p, err := new(Room).problem(c.truck, c.curve, c.mu)
		if err != nil || !p.one() {
			continue
		}
		tried++
		one, _, _ := p.solve()
		found, stuck := everyStart(p)
		if stuck != nil || len(one) != 1 || len(found) != 1 || p.apart(&one[0].q, &found[0].q) > alike {
			t.Errorf("truck %d: %d states from one start, %d from all", i, len(one), len(found))
		}
	}
	if tried < 20 {
		t.Errorf("only %d trucks have one state: the test tests little", tried)
	}
}

// everyStart solves a truck that is taken to have one state from all starts.
func everyStart(p *problem) ([]steady, *steady) {
	all := *p
	for k, t := range p.axle[:p.axles] {
		n := *t
		n.steers = false
		all.axle[k] = &n
	}
	found, stuck, _ := all.solve()
	return found, stuck
}

// A truck with hollow wheels whose mates make up for them has one state too.
func TestSteersThoughHollow(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	againstEveryStart(t, 15, 3, 4)
}

// Many more of them. Run once, without the race detector.
func TestVolumeSteersThoughHollow(t *testing.T) {
	fixture.InVolumes(t, "large volume")
	t.Parallel()
	againstEveryStart(t, 16, 60, 60)
}

func againstEveryStart(t *testing.T, seed uint64, n, kinds int) {
	t.Helper()
	f := newField(t, seed, kinds)
	drawn := 0
	for tried := 0; tried < n; drawn++ {
		if drawn > 100*n {
			t.Fatalf("only %d of %d trucks steer though hollow", tried, drawn)
		}
		c := f.draw()
		p, err := new(Room).problem(c.truck, c.curve, c.mu)
		if err != nil || !p.one() {
			continue
		}
		rising := true
		for _, a := range p.axle[:p.axles] {
			rising = rising && a.flank[0].rising && a.flank[1].rising
		}
		if rising {
			continue
		}
		tried++
		one, _, _ := p.solve()
		found, stuck := everyStart(p)
		if stuck != nil || len(one) != 1 || len(found) != 1 || p.apart(&one[0].q, &found[0].q) > alike {
			t.Errorf("truck %d: %d states from one start, %d from all", drawn, len(one), len(found))
		}
	}
	t.Logf("%d of %d trucks steer though hollow", n, drawn)
}

// The rolling radius of a new wheel rises toward the flange, that of a hollow one does not.
func TestRising(t *testing.T) {
	d, r := wheelNamed(t, "narrow flange 1:20"), railNamed(t, "115RE")
	for _, tt := range []struct {
		name, reason string
		thin, hollow float64
		want         bool
	}{
		{"new", "a cone and a throat", 0, 0, true},
		{"thin flange", "wear of the face is on the flange", 0.95 * inch, 0, true},
		{"hollow 1/2 mm", "the false flange is larger than the middle of the tread", 0, 0.5, false},
		{"hollow 4 mm", "much larger", 0, 4, false},
	} {
		w := worn(t, d, tt.thin, tt.hollow)
		f, err := NewFlank(w, r, 457, 0.625*inch, shape.CantOf(40), 150e3, contact.Steel)
		if err != nil {
			t.Fatal(err)
		}
		if f.rising != tt.want {
			t.Errorf("%s: rising %t (%s)", tt.name, f.rising, tt.reason)
		}
	}
}
