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

// load is the same of one wheel.
type load struct{ lateral, turn, torque, upright float64 }

func sum(l *[2]load, lateral float64) forces {
	return forces{l[0].lateral + l[1].lateral + lateral, l[0].turn + l[1].turn, l[0].torque + l[1].torque, l[0].upright, l[1].upright}
}

// foot is one part of a contact at a given shift, plain values.
type foot struct {
	node                           int32
	share, angle, sin, cos, radius float64
	railY, railZ, y                float64
	mu, spin, c11, c22, c23        float64
}

// mostParts bounds the parts of a wheel's contact: nodes of a shape 384 mm long. NewTable
// refuses a longer one.
const mostParts = 64

// stand is an axle at a given shift: what does not change with how it turns and rolls.
type stand struct {
	n       [2]int
	foot    [2][mostParts]foot
	lateral float64 // see beyond
}

// noShare is the share below which a part carries nothing.
const noShare = 1e-9

// stand works out where an axle bears at shift u.
func (t *Table) stand(u float64, b *bend, s *stand) {
	for side, fl := range t.flank {
		at := fl.near(t.at(side, u))
		sign := 1 - 2*float64(side)
		x, y, z := &fl.rows[at.row], &fl.rows[at.row+1], &fl.rows[at.row+2]
		first, last := min(x.lo, y.lo, z.lo), max(x.lo+x.n, y.lo+y.n, z.lo+z.n)
		n := 0
		for g := first; g < last && n < mostParts; g++ {
			share := fl.share(&at, g)
			if share < noShare { // as between tread and flange
				continue
			}
			q := fl.blend(&at, g)
			inv := 1 / share
			c := &s.foot[side][n]
			n++
			*c = foot{node: g, share: share, angle: q.angle * inv, radius: t.size[side] + q.radius*inv, railY: t.gauge + q.railY*inv, railZ: q.railZ * inv, y: q.y * inv,
				c11: q.c11, c22: q.c22, c23: q.c23}
			c.sin, c.cos = math.Sincos(c.angle)
			c.spin = -sign*c.sin/c.radius - c.cos*b.curvature
			c.mu = b.top[side]
			if d := b.face[side] - c.mu; d != 0 {
				c.mu += d * face(c.angle)
			}
		}
		s.n[side] = n
	}
	s.lateral = t.beyond(u, 1) - t.beyond(u, 0)
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

// share is that of one part as the mean of three rows.
func (fl *Flank) share(at *near, g int32) (share float64) {
	for i, w := range at.weight {
		r := &fl.rows[at.row+i]
		if j := g - r.lo; j >= 0 && j < r.n {
			share += w * fl.parts[r.at+j].share
		}
	}
	return share
}

// blend is one part as the mean of three rows, but for its share.
func (fl *Flank) blend(at *near, g int32) (p part) {
	for i, w := range at.weight {
		r := &fl.rows[at.row+i]
		j := g - r.lo
		if j < 0 || j >= r.n {
			continue
		}
		q := &fl.parts[r.at+j]
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

// touch is the force at one part: normal, along the rail, across it along the surface
// (to the high rail), and the creepages.
type touch struct{ normal, fx, ft, nx, nt float64 }

// factors are a wheel's normal load over the table's, which a part's normal force and
// spin force grow with, and its power 2/3, which the others do.
func factors(p *pose, side int) (float64, float64) {
	l := p.high
	if side == 1 {
		l = p.low
	}
	l = math.Max(l, 1e-6)
	c := math.Cbrt(l)
	return l, c * c
}

// press works out the force at one part of a wheel on side 0 (high rail) or 1.
func (t *Table) press(c *foot, side int, p *pose, b *bend, load, load23 float64) (f touch) {
	sign := 1 - 2*float64(side)
	f.normal = c.share * load * t.load
	f.nx = sign*c.railY*(b.curvature-p.dpsi) - (c.radius-t.radius)/t.radius - p.slip*c.radius/t.radius
	f.nt = (p.du - p.psi) / c.cos
	x := -load23 * c.c11 * f.nx
	y := -load23*c.c22*f.nt - load*c.c23*c.spin
	tau := math.Sqrt(x*x+y*y) / (c.mu * f.normal)
	scale := saturated(tau)
	if b.law != nil && tau > 0 {
		scale = b.law(tau) / tau
	}
	f.fx, f.ft = x*scale, y*scale
	return f
}

// wheel is the load of one wheel.
func (t *Table) wheel(s *stand, side int, p *pose, b *bend) (out load) {
	l, l23 := factors(p, side)
	sign := 1 - 2*float64(side)
	for i := range s.n[side] {
		c := &s.foot[side][i]
		f := t.press(c, side, p, b, l, l23)
		out.lateral += -sign*f.normal*c.sin + f.ft*c.cos
		out.turn -= sign * c.railY * f.fx
		out.torque += f.fx * c.radius / t.radius
		out.upright += f.normal*c.cos + sign*f.ft*c.sin
	}
	return out
}

// slopes is by how much a wheel's load changes with the angle of attack (rad), with the
// slip, and with its own load factor. rate is by how much the turn per way run changes
// with the angle, 1/mm.
func (t *Table) slopes(s *stand, side int, p *pose, b *bend, rate float64) (psi, slip, factor load) {
	l, l23 := factors(p, side)
	sign := 1 - 2*float64(side)
	dl23 := 2.0 / 3 * l23 / l
	for i := range s.n[side] {
		c := &s.foot[side][i]
		normal := c.share * l * t.load
		nx := sign*c.railY*(b.curvature-p.dpsi) - (c.radius-t.radius)/t.radius - p.slip*c.radius/t.radius
		nt := (p.du - p.psi) / c.cos
		x, y := -l23*c.c11*nx, -l23*c.c22*nt-l*c.c23*c.spin
		h := math.Sqrt(x*x + y*y)
		tau := h / (c.mu * normal)
		scale, bent := saturated(tau), saturatedSlope(tau)
		if b.law != nil && tau > 0 {
			const step = 1e-6
			scale = b.law(tau) / tau
			bent = (b.law(tau+step)/(tau+step) - scale) / step
		}
		add := func(to *load, dx, dy, dn float64) {
			dtau := -tau * dn / normal
			if h > 0 {
				dtau += (x*dx + y*dy) / (h * c.mu * normal)
			}
			fx, ft := dx*scale+x*bent*dtau, dy*scale+y*bent*dtau
			to.lateral += -sign*dn*c.sin + ft*c.cos
			to.turn -= sign * c.railY * fx
			to.torque += fx * c.radius / t.radius
			to.upright += dn*c.cos + sign*ft*c.sin
		}
		add(&psi, l23*c.c11*sign*c.railY*rate, l23*c.c22/c.cos, 0)
		add(&slip, l23*c.c11*c.radius/t.radius, 0, 0)
		add(&factor, -dl23*c.c11*nx, -dl23*c.c22*nt-c.c23*c.spin, c.share*t.load)
	}
	return psi, slip, factor
}

// axle is the load of both wheels.
func (t *Table) axle(s *stand, p *pose, b *bend) [2]load {
	return [2]load{t.wheel(s, 0, p, b), t.wheel(s, 1, p, b)}
}
