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

const (
	// Tolerance is the greatest residual, over the axle's load, of an answer that
	// counts as converged.
	Tolerance = 1e-6
	// MostIterations bounds the Newton iterations of one solution.
	MostIterations = 1000

	exact     = 1e-9 // aimed at
	marchGood = 1e-4 // enough while under way
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

// moved is by how far an axle has come sideways from where it was, mm.
func (p *problem) moved(q *vector, from *state) float64 {
	steady := state{way: math.Inf(1)}
	far := 0.0
	for i := range p.axle {
		far = math.Max(far, math.Abs(p.pose(q, i, &steady).u-from.u[i]))
	}
	return far
}

// leap is how far in mm a steady state may lie from where the march has come to; one
// farther off may be another than the truck comes to, so it rolls on first.
const leap = 3

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
		if p.newton(&try, &from, marchGood, 12, &count, &w) && !p.leapt(&try, &from) {
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
		if !p.leapt(&try, &from) {
			near := done && p.moved(&try, &from) < leap
			if n := norm(&r); n < bestRes || near {
				best, bestRes = try, n
			}
			if near {
				break
			}
		}
		// Roll on.
		good := 0
		for good < 4 && count < MostIterations-100 {
			from.way = way
			try := q
			if p.newton(&try, &from, marchGood, 12, &count, &w) && !p.leapt(&try, &from) {
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
