package curving

// slopes is by how much a wheel's load changes with each of what its axle stands and runs by.
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
	d.spin = -sign*(c.cos*d.angle-c.sin*d.radius*c.perSize)*c.perSize + c.sin*d.angle*b.curvature
	if differs := b.face[side] - b.top[side]; differs != 0 {
		d.mu = differs * faceSlope(c.angle) * d.angle
	}
	return d
}

// slopes is by how much a wheel's load changes from that which wheel has worked out. rate is by how much
// the shift and the turn per way run change with the shift and the angle of attack, 1/mm.
func (t *Table) slopes(s *stand, side int, p *pose, b *bend, rate float64) (out slopes) {
	first, moved := t.flank[side].blend(s.near[side].row, &s.near[side].slope, &s.room)
	w := s.rolling(side, p, b)
	l, l23 := w.load, w.load23
	sign := 1 - 2*float64(side)
	perRadius := 1 / t.radius
	feet := s.foot[side]
	for i := range feet {
		c := &feet[i]
		d := c.slope(t, side, b, &moved[c.node-first])
		x, y, scale := c.lx, c.lt, c.scale
		bent := saturatedSlope(c.tau)
		if b.law != nil && c.tau > 0 {
			const step = 1e-6
			bent = (b.law(c.tau+step)/(c.tau+step) - scale) / step
		}
		xBent, yBent := x*bent, y*bent
		grip := 0.0 // that turns a change of the resultant, times it, into one of tau
		if c.drawn > 0 {
			grip = c.grip * w.perLoad / c.drawn
		}
		// add takes the change of both linear forces, that of the normal force, and those of it and of
		// the friction as a share of them.
		add := func(to *load, dx, dy, dn, share float64) {
			dtau := (x*dx+y*dy)*grip - c.tau*share
			fx, ft := dx*scale+xBent*dtau, dy*scale+yBent*dtau
			to.lateral += -sign*dn*c.sin + ft*c.cos
			to.turn -= c.out * fx
			to.torque += fx * c.rolls
			to.upright += dn*c.cos + sign*ft*c.sin
		}
		along, across := l23*c.c11, l23*c.c22
		add(&out.angle, along*c.out*rate, across*c.perCos, 0, 0)
		add(&out.slip, along*c.rolls, 0, 0, 0)
		spins := c.c23 * c.spin
		add(&out.factor, 2.0/3*x*w.perLoad, 2.0/3*(y+l*spins)*w.perLoad-spins, c.static, w.perLoad)

		dnx := sign*d.railY*w.spread - d.radius*perRadius*(1+p.slip)
		dnt := (rate + w.aside*c.sin*c.perCos*d.angle) * c.perCos
		add(&out.shift, -l23*d.c11*c.nx-along*dnx, -l23*d.c22*c.nt-across*dnt-l*(d.c23*c.spin+c.c23*d.spin),
			d.share*l*t.load, d.share/c.share+d.mu/c.mu)
		// The place and the slope of the foot change too.
		out.shift.lateral -= (sign*c.normal*c.cos + c.ft*c.sin) * d.angle
		out.shift.turn -= sign * d.railY * c.fx
		out.shift.torque += c.fx * d.radius * perRadius
		out.shift.upright += (sign*c.ft*c.cos - c.normal*c.sin) * d.angle
	}
	return out
}
