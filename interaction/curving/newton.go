package curving

import "math"

// work is the room of an iteration.
type work struct {
	pose  [mostAxles]pose
	stand [mostAxles]stand
	loads [mostAxles][2]load
	f     [mostAxles]forces
	off   float64 // of the middle axle from the frame, mm
	jac   [mostUnknowns]vector
}

// Room is the memory in which trucks are solved, one after the other. Its zero value is ready; a goroutine
// at a time may use it.
type Room struct {
	work  work
	stand stand // of a table that is joined
}

// residual leaves in w how the axles stand and what their wheels do.
func (p *problem) residual(q *vector, from *state, w *work) vector {
	for i, t := range p.axle[:p.axles] {
		w.pose[i] = p.pose(q, i, from)
		x := &w.pose[i]
		t.stand(x.u, &p.bend, &w.stand[i])
		w.loads[i] = t.axle(&w.stand[i], x, &p.bend)
		w.f[i] = sum(&w.loads[i], w.stand[i].lateral)
	}
	w.off = q[iOff] * unit[iOff]
	return p.balance(q, w, from)
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

func (f *forces) scale(by float64) {
	*f = forces{by * f.lateral, by * f.turn, by * f.torque, by * f.high, by * f.low}
}

// jacobian is how the residuals change with the unknowns. They are linear in the forces
// and, with given ones, in the unknowns, for which w is as residual left it.
func (p *problem) jacobian(from *state, w *work) {
	var by [mostAxles][5]forces // shift (mm), angle (rad), slip (unit), high, low
	for i, t := range p.axle[:p.axles] {
		x := &w.pose[i]
		rate := 0.0
		if !math.IsInf(from.way, 1) {
			rate = 1 / from.way
		}
		high, low := t.slopes(&w.stand[i], 0, x, &p.bend, rate), t.slopes(&w.stand[i], 1, x, &p.bend, rate)
		both := func(a, b load) forces { return sum(&[2]load{a, b}, 0) }
		by[i][0] = both(high.shift, low.shift)
		by[i][0].lateral += t.beyondSlope(x.u, 1) - t.beyondSlope(x.u, 0)
		by[i][1] = both(high.angle, low.angle)
		by[i][2] = both(high.slip, low.slip)
		by[i][3], by[i][4] = both(high.factor, load{}), both(load{}, low.factor)
		by[i][2].scale(unit[iSlip1])
	}
	unknowns, last := p.unknowns(), p.axles-1
	for c := range unknowns {
		var g [mostAxles]forces
		switch {
		case c == iY:
			for i := range p.axles {
				g[i].add(unit[iY], &by[i][0])
			}
		case c == iPsi:
			g[0].add(unit[iPsi]*p.half, &by[0][0])
			g[last].add(-unit[iPsi]*p.half, &by[last][0])
			fallthrough
		case c == iWarp:
			for i := range p.axles {
				g[i].add(unit[iPsi], &by[i][1])
			}
		case c == iOff:
			g[1].add(unit[iOff], &by[1][0])
		default:
			i, k := (c-iSlip1)/3, (c-iSlip1)%3
			g[i] = by[i][2+k]
		}
		n := p.change(c, &g, from)
		for i := range unknowns {
			w.jac[i][c] = n[i]
		}
	}
	if p.axles == mostAxles {
		w.jac[iOff][iOff] -= p.pushedSlope(w.off) * unit[iOff] / p.load
	}
}

// change is by how much the residuals of balance change with unknown c, with which the forces change by f.
func (p *problem) change(c int, f *[mostAxles]forces, from *state) (r vector) {
	w, s, last := p.load, p.axle[0].half, p.axles-1
	all, turn := p.all(f)
	r[iY] = all / w
	r[iPsi] = (p.half*(f[0].lateral-f[last].lateral) + turn) / (w * s)
	if p.warp > 0 {
		if c == iWarp {
			turn -= p.warp * unit[iWarp]
		}
		r[iWarp] = turn / (w * s)
	} else if c == iWarp {
		r[iWarp] = 1
	}
	for i := range p.axles {
		o := iSlip1 + 3*i
		r[o], r[o+1], r[o+2] = f[i].torque/w, f[i].high/w, f[i].low/w
	}
	if p.axles == mostAxles {
		r[iOff] = f[1].lateral / w
	}
	if math.IsInf(from.way, 1) {
		return r
	}
	held, axles := p.damping/from.way, float64(p.axles) // of a step, as hold adds it
	switch c {
	case iY:
		r[iY] -= axles * held * unit[iY]
		if p.axles == mostAxles {
			r[iOff] -= held * unit[iY]
		}
	case iPsi, iWarp:
		if c == iPsi {
			r[iPsi] -= 2 * held * p.half / s * p.half * unit[iPsi]
		}
		r[iPsi] -= axles * held * s * unit[c]
		if p.warp > 0 {
			r[iWarp] -= axles * held * s * unit[c]
		}
	case iOff:
		r[iY] -= held * unit[iOff]
		r[iOff] -= held * unit[iOff]
	default:
		r[c] += held * unit[iY]
	}
	return r
}

// eliminate solves j x = -r in place for the first unknowns by elimination with row exchanges; false if it is singular.
// From the last one on, because what one axle does says nothing of the slip and loads of another, and what is nothing
// is left out. By hand because the library's factors take memory on each call.
func eliminate(j *[mostUnknowns]vector, r *vector, unknowns int) (x vector, ok bool) {
	for i := range unknowns {
		x[i] = -r[i]
	}
	for c := unknowns - 1; c >= 0; c-- {
		best := pivot(j, c)
		if !(math.Abs(j[best][c]) > 1e-14) {
			return x, false
		}
		if best != c {
			j[c], j[best] = j[best], j[c]
			x[c], x[best] = x[best], x[c]
		}
		top := &j[c]
		per := 1 / top[c]
		for i := range c {
			row := &j[i]
			if row[c] == 0 {
				continue
			}
			f := row[c] * per
			for k := range c {
				row[k] -= f * top[k]
			}
			x[i] -= f * x[c]
		}
	}
	for c := range unknowns {
		top := &j[c]
		for k := range c {
			x[c] -= top[k] * x[k]
		}
		x[c] /= top[c]
	}
	return x, true
}

// pivot is the row up to c with the greatest entry in column c.
func pivot(j *[mostUnknowns]vector, c int) int {
	best := c
	for i := range c {
		if math.Abs(j[i][c]) > math.Abs(j[best][c]) {
			best = i
		}
	}
	return best
}

// determinant is that of j in the first unknowns, which it changes.
func determinant(j *[mostUnknowns]vector, unknowns int) float64 {
	d := 1.0
	for c := unknowns - 1; c >= 0; c-- {
		best := pivot(j, c)
		if j[best][c] == 0 {
			return 0
		}
		if best != c {
			j[c], j[best] = j[best], j[c]
			d = -d
		}
		top := &j[c]
		d *= top[c]
		per := 1 / top[c]
		for i := range c {
			row := &j[i]
			if row[c] == 0 {
				continue
			}
			f := row[c] * per
			for k := range c {
				row[k] -= f * top[k]
			}
		}
	}
	return d
}

// longest steps of one iteration, in units.
var longest = vector{4, 6, 6, 4, 0.5, 0.5, 4, 0.5, 0.5, 4, 0.5, 0.5, 4}

// newton goes on from q until the residual is below exact, counts its iterations and gives what residual is left. If it
// is below, w is as residual leaves it.
func (p *problem) newton(q *vector, from *state, exact float64, most int, count *int, w *work) (left float64, ok bool) {
	r := p.residual(q, from, w)
	j, unknowns, loads := &w.jac, p.unknowns(), iSlip1+3*p.axles
	for range most {
		if left = norm(&r); left < exact {
			return left, true
		}
		*count++
		p.jacobian(from, w)
		for c := iSlip1; c < loads; c++ { // keeps a column of a slid wheel from being empty
			if math.Abs(j[c][c]) < 1e-12 {
				j[c][c] -= 1e-12
			}
		}
		x, ok := eliminate(j, &r, unknowns)
		if !ok {
			return left, false
		}
		cut := 1.0
		for i := range unknowns {
			if a := math.Abs(x[i]); a*cut > longest[i] {
				cut = longest[i] / a
			}
		}
		was := square(&r)
		good := false
		for range 12 {
			n := *q
			for i := range unknowns {
				n[i] += cut * x[i]
			}
			for i := iHigh1; i < loads; i += 3 {
				n[i], n[i+1] = max(n[i], 0.05*q[i]), max(n[i+1], 0.05*q[i+1])
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
			return left, false
		}
	}
	left = norm(&r)
	return left, left < exact
}
