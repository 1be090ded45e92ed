package curving

import "math"

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
var longest = vector{4, 6, 6, 4, 0.5, 0.5, 4, 0.5, 0.5}

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
