package curving

import "math"

// Unknowns, in this order: lateral place and yaw of the truck, warp, then of each axle slip and the load factors of
// both wheels, and of a middle axle by how much it stands off the frame to the high rail. Each is counted in a unit
// that makes its usual changes about 1.
const (
	iY = iota
	iPsi
	iWarp
	iSlip1
	iHigh1
	iLow1
	iSlip2
	iHigh2
	iLow2
	iSlip3
	iHigh3
	iLow3
	iOff
	mostUnknowns
)

// mostAxles are those of the longest truck.
const mostAxles = 3

// vector holds the unknowns of the longest truck; a shorter one uses the first of them.
type vector [mostUnknowns]float64

var unit = vector{1, 1e-3, 1e-3, 1e-3, 1, 1, 1e-3, 1, 1, 1e-3, 1, 1, 1}

// unknowns is how many the truck has.
func (p *problem) unknowns() int {
	if p.axles == mostAxles {
		return mostUnknowns
	}
	return iSlip3
}

// state is where the truck was a step before, for the march into the curve.
type state struct {
	u, psi [mostAxles]float64
	q      vector
	way    float64 // run since, mm; +Inf: steady
}

// usualDamping holds the truck back while it marches: a force of an axle's load against moving sideways by a hundredth
// of the way run, and in proportion against turning and against a change of the other unknowns. Sliding wheels resist
// with the same force at any speed, so without it a step of any length could end anywhere. In the steady state nothing
// moves and it is gone.
const usualDamping = 100.0

func (p *problem) pose(q *vector, i int, from *state) pose {
	x := p.place(i)
	k := p.bend.curvature
	yaw := q[iPsi] * unit[iPsi]
	o := iSlip1 + 3*i
	out := pose{
		u:    q[iY]*unit[iY] + x*yaw + x*x*k/2,
		psi:  yaw + q[iWarp]*unit[iWarp] + x*k,
		slip: q[o] * unit[o], high: q[o+1], low: q[o+2],
	}
	if p.middle(i) {
		out.u += q[iOff] * unit[iOff]
	}
	if !math.IsInf(from.way, 1) {
		out.du = (out.u - from.u[i]) / from.way
		out.dpsi = (out.psi - from.psi[i]) / from.way
	}
	return out
}

// balance turns the forces on both axles into the residuals, over the axle's load.
func (p *problem) balance(q *vector, of *work, from *state) (r vector) {
	f, last := &of.f, p.axles-1
	w, s := p.load, p.axle[0].half
	all, turn := p.all(f)
	r[iY] = (all + float64(p.axles)*p.side) / w
	turn += p.turning
	r[iPsi] = (p.half*(f[0].lateral-f[last].lateral) + turn) / (w * s)
	if p.warp > 0 {
		r[iWarp] = (turn - p.warp*q[iWarp]*unit[iWarp]) / (w * s)
	} else {
		r[iWarp] = q[iWarp]
	}
	for i := range p.axles {
		o := iSlip1 + 3*i
		r[o] = f[i].torque / w
		r[o+1] = (f[i].high - p.vertical[0]) / w
		r[o+2] = (f[i].low - p.vertical[1]) / w
	}
	if p.axles == mostAxles {
		r[iOff] = (f[1].lateral - p.pushed(q[iOff]*unit[iOff])) / w
	}
	if !math.IsInf(from.way, 1) {
		p.hold(q, of, from, &r)
	}
	return r
}

// hold adds the damping of a step.
func (p *problem) hold(q *vector, of *work, from *state, r *vector) {
	s, last := p.axle[0].half, p.axles-1
	lead, trail := &of.pose[0], &of.pose[last]
	du, dpsi := lead.du, lead.dpsi
	for i := 1; i <= last; i++ {
		du, dpsi = du+of.pose[i].du, dpsi+of.pose[i].dpsi
	}
	turn := s * dpsi
	r[iY] -= p.damping * du
	r[iPsi] -= p.damping * (p.half/s*(lead.du-trail.du) + turn)
	if p.warp > 0 {
		r[iWarp] -= p.damping * turn
	}
	for c := iSlip1; c < iSlip1+3*p.axles; c++ {
		r[c] += p.damping * unit[iY] * (q[c] - from.q[c]) / from.way
	}
	if p.axles == mostAxles {
		r[iOff] -= p.damping * of.pose[1].du
	}
}

const (
	// Tolerance is the greatest residual, over the axle's load, of an answer that counts as converged.
	Tolerance = 1e-6
	// MostIterations bounds the Newton iterations from one start.
	MostIterations = 1000

	// settling is how many iterations may lead from where a march has come to to a steady state, settlingAlone if
	// there is no other one.
	settling, settlingAlone = 12, 40

	exact     = 1e-9 // aimed at
	marchGood = 1e-2 // enough while under way, because the steady state is solved for at the end
	drift     = 0.3  // mm of a step that may be left out with it
)

// start is the truck in the middle of the track, not yet turned by the curve.
func (p *problem) start() (q vector) {
	for i := range p.axles {
		q[iHigh1+3*i] = p.vertical[0] / p.axle[i].load
		q[iLow1+3*i] = p.vertical[1] / p.axle[i].load
	}
	return q
}

// moved is by how far an axle has come sideways from where it was, mm.
func (p *problem) moved(q *vector, from *state) float64 {
	steady := state{way: math.Inf(1)}
	far := 0.0
	for i := range p.axles {
		far = math.Max(far, math.Abs(p.pose(q, i, &steady).u-from.u[i]))
	}
	return far
}

// A step of the march goes as far as the truck keeps to the way it was on: then no state
// is passed, and what is found does not hang on the steps.
const (
	runIn    = 160  // half wheelbases over which a curve begins
	stride   = 6.0  // mm that an axle may move sideways within a step
	astray   = 1.5  // mm by which it may come out beside where the step before pointed
	calm     = 1.0  // mm within a step: a steady state is looked for
	beside   = 2.0  // mm: farther off it is another one than the truck comes to
	followed = 8.0  // mm: the same if readings change a little
	alike    = 0.05 // mm: states nearer than this are one
	caught   = 3.0  // mm: a march that is so near to a known state and comes nearer ends in it
	longWay  = 1e7  // mm, the longest step
	shortWay = 1e-3 // mm, the shortest
)

// now is the truck as a step starts from it.
func (p *problem) now(q *vector) (s state) {
	steady := state{way: math.Inf(1)}
	for i := range p.axles {
		x := p.pose(q, i, &steady)
		s.u[i], s.psi[i] = x.u, x.psi
	}
	s.q = *q
	return s
}

// apart is by how far two ways to stand differ, mm at the axles and at the ends of the wheelbase.
func (p *problem) apart(a, b *vector) float64 {
	from := p.now(b)
	steady := state{way: math.Inf(1)}
	far := p.moved(a, &from)
	for i := range p.axles {
		far = math.Max(far, math.Abs(p.pose(a, i, &steady).psi-from.psi[i])*p.half)
	}
	return far
}

// steady is a state in which the truck can run on for ever.
type steady struct {
	q        vector
	residual float64
	from     string
	holds    bool // against a small push
}

// search is one march.
type search struct {
	p     *problem
	known []steady // found before
	count int
}

// march lets the truck roll on from q until it has settled. If that is in a known
// state it is given back as it was found first.
//
// Over the first ramp mm the curvature grows from nothing to the curve's.
func (s *search) march(q vector, ramp float64) (steady, bool) {
	p := s.p
	defer func() { p.bend.curvature = p.curvature }()
	if ramp > 0 {
		p.bend.curvature = 0
	}
	run := 0.0
	from, best := p.now(&q), steady{q: q, residual: math.Inf(1)}
	way := p.half / 4
	still := calm
	var went vector // by how much the unknowns went within the step before
	wentWay := math.Inf(1)
	far := make([]float64, len(s.known)) // to each known state, as the step begins
	for i := range far {
		far[i] = p.apart(&q, &s.known[i].q)
	}
	for most := s.count + MostIterations; s.count < most; {
		if run < ramp {
			way = math.Min(way, math.Max(ramp-run, p.half/16))
			p.bend.curvature = p.curvature * math.Min(1, (run+way)/ramp)
		}
		from.way = way
		guess := q
		for c, k := range went {
			guess[c] += k * way / wentWay
		}
		for c := iHigh1; c < iSlip1+3*p.axles; c += 3 {
			guess[c], guess[c+1] = math.Max(guess[c], 0.2*q[c]), math.Max(guess[c+1], 0.2*q[c+1])
		}
		try, counted := guess, s.count
		_, ok := p.newton(&try, &from, math.Min(marchGood, drift*p.damping/way), 8, &s.count, s.p.room)
		if s.count == counted { // a step that is good as it was guessed counts too, else there is no end of them
			s.count++
		}
		pointed := p.now(&guess)
		moved, off := p.moved(&try, &from), p.moved(&try, &pointed)
		// What it comes out beside grows with the square of the way.
		longer := 0.8 * math.Min(stride/(moved+shortWay), math.Sqrt(astray/(off+shortWay)))
		if !ok || moved > stride || off > 2*astray {
			if ok {
				way *= math.Max(longer, 0.3)
			} else {
				way /= 3
				went, wentWay = vector{}, math.Inf(1)
			}
			if way < shortWay {
				return best, false
			}
			continue
		}
		for c := range went {
			went[c] = try[c] - q[c]
		}
		q, wentWay, run = try, way, run+way
		from = p.now(&q)
		for i := range far {
			was := far[i]
			if far[i] = p.apart(&q, &s.known[i].q); far[i] < caught && far[i] < was && run >= ramp {
				return s.known[i], true
			}
		}
		if run < ramp {
			way *= math.Min(math.Max(longer, 0.3), 4)
			continue
		}
		if moved < still && way > p.half || way >= longWay {
			still = moved / 2
			if end, done := s.settle(q, &best, beside); done {
				return end, true
			}
		}
		way = math.Min(way*math.Min(math.Max(longer, 0.3), 4), longWay)
	}
	return best, best.residual < Tolerance // it never came to rest in another one
}

// settle solves the steady equations from where the march has come to. Of what it finds
// the nearest is kept in best. A state farther off than near (mm) is another than the truck
// comes to, and one that does not hold against a small push is none.
func (s *search) settle(q vector, best *steady, near float64) (steady, bool) {
	p := s.p
	forever := state{way: math.Inf(1)}
	end := steady{q: q}
	var done bool
	most := settling
	if p.one() { // wherever it comes to rest is where a march would end
		most = settlingAlone
	}
	end.residual, done = p.newton(&end.q, &forever, exact, most, &s.count, s.p.room)
	end.holds = done && p.holds(s.p.room)
	if end.residual < best.residual && end.holds == best.holds || end.holds && !best.holds {
		*best = end
	}
	return end, end.holds && p.moved(&end.q, &state{u: p.now(&q).u}) < near
}

// holds reports that a small push from a steady state (w as residual left it there) does not grow by itself: the
// determinant of the residuals over the unknowns has the sign that it has where every residual answers its own unknown.
// What moves with the truck, its place, its yaw, in a three-piece frame its warp and on three axles the middle one,
// answers against the push, slip and loads along with it. However the truck is damped, the sign is the same.
func (p *problem) holds(w *work) bool {
	forever := state{way: math.Inf(1)}
	p.jacobian(&forever, w)
	d := determinant(&w.jac, p.unknowns())
	if p.warp > 0 {
		d = -d
	}
	if p.axles == mostAxles {
		d = -d
	}
	return d > 0
}

// The starts of the search, in the order in which they are tried.
var starts = [...]string{"tangent", "high rail", "low rail"}

// one reports that there is one state only: if the difference of both rolling radii grows all the way as an axle
// shifts, as on wheels that are not hollow, an axle that is off its place steers back to it, from wherever.
func (p *problem) one() bool {
	for _, t := range p.axle[:p.axles] {
		if !t.steers {
			return false
		}
	}
	return true
}

// begin is where the truck stands at the starts.
func (p *problem) begin() (out [len(starts)]vector) {
	high, low := math.Inf(1), math.Inf(1)
	for _, t := range p.axle[:p.axles] {
		high, low = math.Min(high, math.Min(t.touch[0], t.stop[0])), math.Min(low, math.Min(t.touch[1], t.stop[1]))
	}
	for i, y := range [len(starts)]float64{0, high, -low} {
		out[i] = p.start()
		out[i][iY] = y / unit[iY]
	}
	return out
}

// solve finds the steady states that the truck comes to: from tangent track, and in the curve from either rail. A
// hollow truck can have several. One that can have no more than one need not roll there: it is solved for at once, if
// that succeeds. If a march comes to none, that which it came nearest to is stuck.
func (p *problem) solve() (found []steady, stuck *steady, count int) {
	p.bend.curvature = p.curvature
	s := search{p: p}
	one := p.one()
	if one {
		var none steady
		if end, ok := s.settle(p.start(), &none, math.Inf(1)); ok {
			end.from = starts[0]
			return []steady{end}, nil, s.count
		}
	}
	for i, q := range p.begin() {
		if i > 0 && one {
			break
		}
		ramp := 0.0
		if starts[i] == "tangent" {
			ramp = runIn * p.half
		}
		end, ok := s.march(q, ramp)
		if !ok {
			if end.from = starts[i]; stuck == nil || end.residual < stuck.residual {
				stuck = &end
			}
			continue
		}
		if k := s.find(&end.q); k != nil {
			k.from += ", " + starts[i]
			continue
		}
		end.from = starts[i]
		s.known = append(s.known, end)
	}
	return s.known, stuck, s.count
}

// find is the known state that q is in; nil if it is a new one.
func (s *search) find(q *vector) *steady {
	for k := range s.known {
		if s.p.apart(&s.known[k].q, q) < alike {
			return &s.known[k]
		}
	}
	return nil
}
