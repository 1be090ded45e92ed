package curving

import "math"

// pose is how an axle runs.
type pose struct {
	u, psi    float64 // shift to the high rail, mm; angle of attack, rad
	slip      float64 // by which share it turns faster than forward speed over the mean radius
	high, low float64 // normal load of each wheel over the table's
	du, dpsi  float64 // shift and turn per way run: 0 when steady, 1 and rad/mm
}

// bend is the curve as an axle sees it.
type bend struct {
	curvature float64                   // 1/mm, positive toward the low rail
	top, face [2]float64                // friction on high and low rail
	law       func(tau float64) float64 // another law of creep than the cubic, as a check; nil: the cubic
}

// forces are what the rails do to an axle: lateral to the high rail (N), turning moment
// about upright (N·mm, positive to the high rail), torque over the mean radius (N), and
// the upright force on each wheel (N).
type forces struct{ lateral, turn, torque, high, low float64 }

// at sums the forces of an axle in a pose.
func (t *Table) at(p *pose, b *bend) forces {
	at := t.near(p.u)
	var out forces
	t.wheel(&t.high, &at, 0, p, b, &out)
	t.wheel(&t.low, &at, 1, p, b, &out)
	out.lateral -= t.beyond(p.u, 0)
	out.lateral += t.beyond(p.u, 1)
	return out
}

// beyond is the force (N) that keeps an axle whose wheel has passed the steepest place
// of its flange, where the rail cannot hold it any more, on side 0 (high) or 1. No rail
// gives it: it stands for what is missing, so that a truck that climbs has an answer
// too, in which this force says by how much.
func (t *Table) beyond(u float64, side int) float64 {
	if side == 1 {
		u = -u
	}
	d := u - t.stop[side]
	if d <= 0 {
		return 0
	}
	return 8 * t.load * d * d // both wheels' load within half a millimetre
}

// blend is one part as the mean of three rows.
func (fl *flank) blend(at *near, g int32) (p part) {
	for i, w := range at.weight {
		r := &fl.rows[at.row+i]
		j := g - r.lo
		if j < 0 || j >= r.n {
			continue
		}
		q := &fl.parts[r.at+j]
		p.share += w * q.share
		p.angle += w * q.angle
		p.radius += w * q.radius
		p.railY += w * q.railY
		p.railZ += w * q.railZ
		p.y += w * q.y
		p.c11 += w * q.c11
		p.c22 += w * q.c22
		p.c23 += w * q.c23
	}
	return p
}

// span is the first part of three rows and the one after the last.
func (fl *flank) span(at *near) (lo, hi int32) {
	a, b, c := &fl.rows[at.row], &fl.rows[at.row+1], &fl.rows[at.row+2]
	return min(a.lo, b.lo, c.lo), max(a.lo+a.n, b.lo+b.n, c.lo+c.n)
}

// noShare is the share below which a part carries nothing.
const noShare = 1e-9

// touch is the force at one part: normal, along the rail, across it along the surface
// (to the high rail), friction there and creepages.
type touch struct {
	normal, fx, ft, mu, nx, nt, spin    float64
	angle, radius, railY, railZ, y, sin float64
	cos                                 float64
}

// press works out the force at one part. side is 0 on the high rail, 1 on the low one;
// load is the wheel's normal load over the table's.
func (t *Table) press(q *part, side int, p *pose, b *bend, load, load23 float64) (c touch) {
	inv := 1 / q.share
	c.angle, c.radius, c.railY, c.railZ, c.y = q.angle*inv, q.radius*inv, q.railY*inv, q.railZ*inv, q.y*inv
	c.sin, c.cos = math.Sincos(c.angle)
	c.normal = q.share * load * t.load
	sign := 1 - 2*float64(side)
	arm := sign * c.railY
	c.nx = arm*(b.curvature-p.dpsi) - (c.radius-t.radius)/t.radius - p.slip*c.radius/t.radius
	c.nt = (p.du - p.psi) / c.cos
	c.spin = -sign*c.sin/c.radius - c.cos*b.curvature
	x := -load23 * q.c11 * c.nx
	y := -load23*q.c22*c.nt - load*q.c23*c.spin
	c.mu = b.top[side]
	if d := b.face[side] - c.mu; d != 0 {
		c.mu += d * face(c.angle)
	}
	tau := math.Sqrt(x*x+y*y) / (c.mu * c.normal)
	scale := saturated(tau)
	if b.law != nil && tau > 0 {
		scale = b.law(tau) / tau
	}
	c.fx, c.ft = x*scale, y*scale
	return c
}

// wheel adds one wheel's forces.
func (t *Table) wheel(fl *flank, at *near, side int, p *pose, b *bend, out *forces) {
	load := p.high
	sign := 1 - 2*float64(side)
	if side == 1 {
		load = p.low
	}
	load = math.Max(load, 1e-6)
	load23 := math.Cbrt(load)
	load23 *= load23
	first, last := fl.span(at)
	for g := first; g < last; g++ {
		q := fl.blend(at, g)
		if q.share < noShare {
			continue
		}
		c := t.press(&q, side, p, b, load, load23)
		upright := c.normal*c.cos + sign*c.ft*c.sin
		out.lateral += -sign*c.normal*c.sin + c.ft*c.cos
		out.turn -= sign * c.railY * c.fx
		out.torque += c.fx * c.radius / t.radius
		if side == 0 {
			out.high += upright
		} else {
			out.low += upright
		}
	}
}
