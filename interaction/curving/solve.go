package curving

import "math"

// Unknowns, in this order: lateral place and yaw of the truck, warp, then of each axle
// slip and the load factors of both wheels. Each is counted in a unit that makes its
// usual changes about 1.
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
	unknowns
)

type vector [unknowns]float64

var unit = vector{1, 1e-3, 1e-3, 1e-3, 1, 1, 1e-3, 1, 1}

// state is where the truck was a step before, for the march into the curve.
type state struct {
	u, psi [2]float64
	q      vector
	way    float64 // run since, mm; +Inf: steady
}

// damping holds the truck back while it marches: a force of an axle's load against
// moving sideways by a hundredth of the way run, and in proportion against turning and
// against a change of the other unknowns. Sliding wheels resist with the same force
// at any speed, so without it a step of any length could end anywhere. In the steady
// state nothing moves and it is gone.
const damping = 100.0

func (p *problem) pose(q *vector, i int, from *state) pose {
	x := p.half
	if i == 1 {
		x = -x
	}
	k := p.bend.curvature
	yaw := q[iPsi] * unit[iPsi]
	o := iSlip1 + 3*i
	out := pose{
		u:    q[iY]*unit[iY] + x*yaw + x*x*k/2,
		psi:  yaw + q[iWarp]*unit[iWarp] + x*k,
		slip: q[o] * unit[o], high: q[o+1], low: q[o+2],
	}
	if !math.IsInf(from.way, 1) {
		out.du = (out.u - from.u[i]) / from.way
		out.dpsi = (out.psi - from.psi[i]) / from.way
	}
	return out
}

// balance turns the forces on both axles into the residuals, over the axle's load.
func (p *problem) balance(q *vector, f *[2]forces, from *state) (r vector) {
	w, s := p.load, p.axle[0].half
	r[iY] = (f[0].lateral + f[1].lateral + 2*p.side) / w
	turn := f[0].turn + f[1].turn + p.turning
	r[iPsi] = (p.half*(f[0].lateral-f[1].lateral) + turn) / (w * s)
	if p.warp > 0 {
		r[iWarp] = (turn - p.warp*q[iWarp]*unit[iWarp]) / (w * s)
	} else {
		r[iWarp] = q[iWarp]
	}
	for i := range 2 {
		o := iSlip1 + 3*i
		r[o] = f[i].torque / w
		r[o+1] = (f[i].high - p.vertical[0]) / w
		r[o+2] = (f[i].low - p.vertical[1]) / w
	}
	if !math.IsInf(from.way, 1) {
		p.hold(q, from, &r)
	}
	return r
}

// hold adds the damping of a step.
func (p *problem) hold(q *vector, from *state, r *vector) {
	s := p.axle[0].half
	var du, dpsi [2]float64
	for i := range 2 {
		x := p.pose(q, i, from)
		du[i], dpsi[i] = x.du, x.dpsi
	}
	turn := s * (dpsi[0] + dpsi[1])
	r[iY] -= damping * (du[0] + du[1])
	r[iPsi] -= damping * (p.half/s*(du[0]-du[1]) + turn)
	if p.warp > 0 {
		r[iWarp] -= damping * turn
	}
	for c := iSlip1; c < unknowns; c++ {
		r[c] += damping * unit[iY] * (q[c] - from.q[c]) / from.way
	}
}

// work is what an iteration needs room for.
type work struct {
	stand [2]stand
	moved stand
	loads [2][2]load
	f     [2]forces
	jac   [unknowns]vector
}

// residual leaves in w how the axles stand and what their wheels do.
func (p *problem) residual(q *vector, from *state, w *work) vector {
	for i, t := range p.axle {
		x := p.pose(q, i, from)
		t.stand(x.u, &p.bend, &w.stand[i])
		w.loads[i] = t.axle(&w.stand[i], &x, &p.bend)
		w.f[i] = sum(&w.loads[i], w.stand[i].lateral)
	}
	return p.balance(q, &w.f, from)
}

func norm(r *vector) float64 {
	best := 0.0
	for _, v := range r {
		if !(math.Abs(v) <= best) {
			best = math.Abs(v)
		}
	}
	return best
}

func square(r *vector) float64 {
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	return s
}

func (f *forces) add(h float64, d *forces) {
	f.lateral += h * d.lateral
	f.turn += h * d.turn
	f.torque += h * d.torque
	f.high += h * d.high
	f.low += h * d.low
}

// slope is (b - a)/h.
func slope(a, b *forces, h float64) forces {
	return forces{(b.lateral - a.lateral) / h, (b.turn - a.turn) / h, (b.torque - a.torque) / h, (b.high - a.high) / h, (b.low - a.low) / h}
}

// jacobian by differences: of each axle by its shift, angle and slip, of each wheel by
// its load; the residuals are linear in the forces. w is as residual left it for q.
func (p *problem) jacobian(q *vector, from *state, r *vector, w *work) {
	const h = 1e-6
	var by [2][5]forces // shift (mm), angle (rad), slip (unit), high, low
	for i, t := range p.axle {
		x := p.pose(q, i, from)
		try := func(k int, x *pose, s *stand, step float64) {
			l := t.axle(s, x, &p.bend)
			f := sum(&l, s.lateral)
			by[i][k] = slope(&w.f[i], &f, step)
		}
		rate := 0.0
		if !math.IsInf(from.way, 1) {
			rate = 1 / from.way
		}
		y := x
		y.u += h
		y.du += h * rate
		t.stand(y.u, &p.bend, &w.moved)
		try(0, &y, &w.moved, h)
		y = x
		y.psi += h * unit[iPsi]
		y.dpsi += h * unit[iPsi] * rate
		try(1, &y, &w.stand[i], h*unit[iPsi])
		y = x
		y.slip += h * unit[iSlip1]
		try(2, &y, &w.stand[i], h)
		for side := range 2 {
			y = x
			if side == 0 {
				y.high += h
			} else {
				y.low += h
			}
			l := w.loads[i]
			l[side] = t.wheel(&w.stand[i], side, &y, &p.bend)
			f := sum(&l, w.stand[i].lateral)
			by[i][3+side] = slope(&w.f[i], &f, h)
		}
	}
	for c := range unknowns {
		step, g := *q, w.f
		step[c] += h
		switch {
		case c == iY:
			for i := range 2 {
				g[i].add(h*unit[iY], &by[i][0])
			}
		case c == iPsi:
			g[0].add(h*unit[iPsi]*p.half, &by[0][0])
			g[1].add(-h*unit[iPsi]*p.half, &by[1][0])
			fallthrough
		case c == iWarp:
			for i := range 2 {
				g[i].add(h*unit[iPsi], &by[i][1])
			}
		default:
			i, k := (c-iSlip1)/3, (c-iSlip1)%3
			g[i].add(h, &by[i][2+k])
		}
		n := p.balance(&step, &g, from)
		for i := range unknowns {
			w.jac[i][c] = (n[i] - r[i]) / h
		}
	}
}

// eliminate solves j x = -r in place by elimination with row exchanges; false where it
// is singular. By hand because the library's factors take memory on each call.
func eliminate(j *[unknowns]vector, r *vector) (x vector, ok bool) {
	for i := range x {
		x[i] = -r[i]
	}
	for c := range unknowns {
		best := c
		for i := c + 1; i < unknowns; i++ {
			if math.Abs(j[i][c]) > math.Abs(j[best][c]) {
				best = i
			}
		}
		if !(math.Abs(j[best][c]) > 1e-14) {
			return x, false
		}
		j[c], j[best] = j[best], j[c]
		x[c], x[best] = x[best], x[c]
		for i := c + 1; i < unknowns; i++ {
			f := j[i][c] / j[c][c]
			if f == 0 {
				continue
			}
			for k := c + 1; k < unknowns; k++ {
				j[i][k] -= f * j[c][k]
			}
			x[i] -= f * x[c]
		}
	}
	for c := unknowns - 1; c >= 0; c-- {
		for k := c + 1; k < unknowns; k++ {
			x[c] -= j[c][k] * x[k]
		}
		x[c] /= j[c][c]
	}
	return x, true
}

// longest steps of one iteration, in units.
var longest = vector{2, 4, 4, 4, 0.5, 0.5, 4, 0.5, 0.5}

// newton goes on from q until the residual is below exact; it counts its iterations.
func (p *problem) newton(q *vector, from *state, exact float64, most int, count *int, w *work) bool {
	r := p.residual(q, from, w)
	j := &w.jac
	for range most {
		if norm(&r) < exact {
			return true
		}
		*count++
		p.jacobian(q, from, &r, w)
		for c := range unknowns { // keeps a column of a slid wheel from being empty
			if c >= iSlip1 && math.Abs(j[c][c]) < 1e-12 {
				j[c][c] -= 1e-12
			}
		}
		x, ok := eliminate(j, &r)
		if !ok {
			return false
		}
		cut := 1.0
		for i := range x {
			if a := math.Abs(x[i]); a*cut > longest[i] {
				cut = longest[i] / a
			}
		}
		was := square(&r)
		good := false
		for range 12 {
			n := *q
			for i := range n {
				n[i] += cut * x[i]
			}
			for _, i := range [...]int{iHigh1, iLow1, iHigh2, iLow2} {
				n[i] = math.Max(n[i], 0.05*q[i])
			}
			nr := p.residual(&n, from, w)
			if s := square(&nr); s < was*(1-1e-4*cut) {
				*q, r = n, nr
				good = true
				break
			}
			cut /= 2
		}
		if !good {
			return norm(&r) < exact
		}
	}
	return norm(&r) < exact
}

const (
	// Tolerance is the greatest residual, over the axle's load, of an answer that
	// counts as converged.
	Tolerance = 1e-6
	// MostIterations bounds the Newton iterations of one solution.
	MostIterations = 2000

	exact     = 1e-9 // aimed at
	marchGood = 1e-5 // enough while under way
)

// start is the truck in the middle of tangent track.
func (p *problem) start() (q vector) {
	for i := range 2 {
		q[iHigh1+3*i] = p.vertical[0] / p.axle[i].load
		q[iLow1+3*i] = p.vertical[1] / p.axle[i].load
	}
	return q
}

// leapt says that an iteration went from a place where an axle's flange still holds to
// one past its steepest, without having come there step by step.
func (p *problem) leapt(q *vector, from *state) bool {
	const far = 0.5 // mm
	steady := state{way: math.Inf(1)}
	for i, t := range p.axle {
		u := p.pose(q, i, &steady).u
		if u > t.stop[0] && from.u[i] < math.Min(u, t.stop[0])-far || -u > t.stop[1] && -from.u[i] < math.Min(-u, t.stop[1])-far {
			return true
		}
	}
	return false
}

// solve runs the truck from tangent track into the curve: first the curvature grows
// over some steps, then the truck rolls on until nothing changes. A step is the
// equations with the creep that comes from moving sideways and turning over the way
// run, so that it is the truck's own way into the curve, and of several steady states
// the one is found that it comes to.
func (p *problem) solve() (q vector, residual float64, count int, ok bool) {
	q = p.start()
	var w work
	steady := state{way: math.Inf(1)}
	full := p.curvature
	const ramp = 4
	way := 40 * p.half
	from := state{}
	remember := func() {
		for i := range 2 {
			x := p.pose(&q, i, &steady)
			from.u[i], from.psi[i] = x.u, x.psi
		}
		from.q = q
	}
	p.bend.curvature = 0
	remember()
	for i := 0; i < ramp; {
		p.bend.curvature = full * float64(i+1) / ramp
		from.way = way
		try := q
		if p.newton(&try, &from, marchGood, 20, &count, &w) && !p.leapt(&try, &from) {
			q = try
			remember()
			i++
			continue
		}
		if way < p.half/64 {
			break
		}
		way /= 4
	}
	p.bend.curvature = full
	best, bestRes := q, math.Inf(1)
	for count < MostIterations-100 {
		try := q
		done := p.newton(&try, &steady, exact, 25, &count, &w)
		r := p.residual(&try, &steady, &w)
		if p.leapt(&try, &from) {
			done = false
		} else if n := norm(&r); n < bestRes {
			best, bestRes = try, n
		}
		if done {
			break
		}
		// Roll on.
		good := 0
		for good < 4 && count < MostIterations-100 {
			from.way = way
			try := q
			if p.newton(&try, &from, marchGood, 20, &count, &w) && !p.leapt(&try, &from) {
				q = try
				remember()
				way *= 2
				good++
			} else {
				way /= 4
				if way < 1e-3 {
					return best, bestRes, count, bestRes < Tolerance
				}
			}
		}
		if way > 1e7 {
			way = 1e7
		}
	}
	return best, bestRes, count, bestRes < Tolerance
}
