package curving

import "math"

// slopes is by how much a wheel's load changes with each of what its axle stands and runs
// by.
type slopes struct {
	shift  load // per mm
	angle  load // of attack, per rad
	slip   load
	factor load // of the wheel's own load
}

// footSlope is by how much a foot changes with the shift of its axle, per mm.
type footSlope struct {
	share, angle, radius, railY, mu, spin, c11, c22, c23 float64
}

// slope of a foot, of which moved is how the sums of its rows change.
func (c *foot) slope(t *Table, side int, b *bend, moved *part) (d footSlope) {
	sign := 1 - 2*float64(side)
	inv := 1 / c.share
	d.share = moved.share
	d.angle = (moved.angle - c.angle*moved.share) * inv
	d.radius = (moved.radius - (c.radius-t.size[side])*moved.share) * inv
	d.railY = (moved.railY - (c.railY-t.gauge)*moved.share) * inv
	d.c11, d.c22, d.c23 = moved.c11, moved.c22, moved.c23
	d.spin = -sign*(c.cos*d.angle-c.sin*d.radius/c.radius)/c.radius + c.sin*d.angle*b.curvature
	if differs := b.face[side] - b.top[side]; differs != 0 {
		d.mu = differs * faceSlope(c.angle) * d.angle
	}
	return d
}

// slopes is by how much a wheel's load changes. rate is by how much the shift and the turn
// per way run change with the shift and the angle of attack, 1/mm.
func (t *Table) slopes(s *stand, side int, p *pose, b *bend, rate float64) (out slopes) {
	moved := &s.room
	first, _ := t.flank[side].blend(s.near[side].row, &s.near[side].slope, moved)
	l, l23 := s.factors(p, side)
	sign := 1 - 2*float64(side)
	dl23 := 2.0 / 3 * l23 / l
	for i := range s.n[side] {
		c := &s.foot[side][i]
		toward := &moved[c.node-first]
		d := c.slope(t, side, b, toward)
		normal := c.share * l * t.load
		spread := sign * (b.curvature - p.dpsi)
		nx := c.railY*spread - (c.radius-t.radius)/t.radius - p.slip*c.radius/t.radius
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
		// add takes the change of both linear forces and of the normal force, and that of the
		// friction as a share of it.
		add := func(to *load, dx, dy, dn, dmu float64) (fx, ft float64) {
			dtau := -tau * (dn/normal + dmu)
			if h > 0 {
				dtau += (x*dx + y*dy) / (h * c.mu * normal)
			}
			fx, ft = dx*scale+x*bent*dtau, dy*scale+y*bent*dtau
			to.lateral += -sign*dn*c.sin + ft*c.cos
			to.turn -= sign * c.railY * fx
			to.torque += fx * c.radius / t.radius
			to.upright += dn*c.cos + sign*ft*c.sin
			return fx, ft
		}
		add(&out.angle, l23*c.c11*sign*c.railY*rate, l23*c.c22/c.cos, 0, 0)
		add(&out.slip, l23*c.c11*c.radius/t.radius, 0, 0, 0)
		add(&out.factor, -dl23*c.c11*nx, -dl23*c.c22*nt-c.c23*c.spin, c.share*t.load, 0)

		dnx := d.railY*spread - d.radius/t.radius*(1+p.slip)
		dnt := (rate + (p.du-p.psi)*c.sin/c.cos*d.angle) / c.cos
		add(&out.shift, -l23*(d.c11*nx+c.c11*dnx), -l23*(d.c22*nt+c.c22*dnt)-l*(d.c23*c.spin+c.c23*d.spin),
			d.share*l*t.load, d.mu/c.mu)
		// The place and the slope of the foot change too.
		fx, ft := x*scale, y*scale
		out.shift.lateral -= (sign*normal*c.cos + ft*c.sin) * d.angle
		out.shift.turn -= sign * d.railY * fx
		out.shift.torque += fx * d.radius / t.radius
		out.shift.upright += (sign*ft*c.cos - normal*c.sin) * d.angle
	}
	return out
}
