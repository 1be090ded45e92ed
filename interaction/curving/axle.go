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

// forces are those of the rails on an axle: lateral to the high rail (N), turning moment about upright (N·mm, positive
// to the high rail), torque over the mean radius (N), and the upright force on each wheel (N).
type forces struct{ lateral, turn, torque, high, low float64 }

// load is the same of one wheel.
type load struct{ lateral, turn, torque, upright float64 }

func sum(l *[2]load, lateral float64) forces {
	return forces{l[0].lateral + l[1].lateral + lateral, l[0].turn + l[1].turn, l[0].torque + l[1].torque, l[0].upright,
		l[1].upright}
}

// foot is one part of a contact at a given shift, plain values.
type foot struct {
	node                           int32
	share, angle, sin, cos, radius float64
	railY, railZ, y                float64
	mu, spin, c11, c22, c23        float64

	// What the forces are reckoned with, worked out once for all poses at the shift.
	static  float64 // normal force at the table's load, N
	grip    float64 // 1/(mu static), 1/N
	perCos  float64 // 1/cos
	out     float64 // railY toward the wheel's own side, mm
	rolls   float64 // radius over the mean of the axle
	over    float64 // the same less 1
	perSize float64 // 1/radius, 1/mm
	touch           // at the pose that was worked out last
}

// mostParts bounds the parts of a wheel's contact: nodes of a shape 384 mm long. NewTable refuses a longer one.
const mostParts = 64

// stand is an axle at a given shift: what does not change with how it turns and rolls.
type stand struct {
	foot    [2][]foot
	near    [2]near
	lateral float64 // see beyond
	room    []part  // of blend
	eased   [2]eased
}

// eased is a wheel's normal load over the table's, which a part's normal force and spin force grow with, and its power
// 2/3, which the others do.
type eased struct{ load, load23 float64 }

// noShare is the share below which a part carries nothing.
const noShare = 1e-9

// stand works out where an axle bears at shift u.
func (t *Table) stand(u float64, b *bend, s *stand) {
	perRadius := 1 / t.radius
	for side, fl := range t.flank {
		sign := 1 - 2*float64(side)
		s.near[side] = fl.near(t.at(side, u), sign)
		at := &s.near[side]
		top, differs := b.top[side], b.face[side]-b.top[side]
		first, parts := fl.blend(at.row, &at.weight, &s.room)
		if cap(s.foot[side]) < len(parts) {
			s.foot[side] = make([]foot, len(parts)+spare)
		}
		feet := s.foot[side][:len(parts)]
		n := 0
		for i := range parts {
			q := &parts[i]
			if q.share < noShare { // as between tread and flange
				continue
			}
			inv := 1 / q.share
			c := &feet[n]
			n++
			c.node, c.share, c.angle = first+int32(i), q.share, q.angle*inv
			c.radius = t.size[side] + q.radius*inv
			c.railY, c.railZ, c.y = t.gauge+q.railY*inv, q.railZ*inv, q.y*inv
			c.c11, c.c22, c.c23 = q.c11, q.c22, q.c23
			c.sin, c.cos = math.Sincos(c.angle)
			c.perSize = 1 / c.radius
			c.spin = -sign*c.sin*c.perSize - c.cos*b.curvature
			c.mu = top
			if differs != 0 {
				c.mu += differs * face(c.angle)
			}
			c.static, c.perCos, c.out = c.share*t.load, 1/c.cos, sign*c.railY
			c.grip = 1 / (c.mu * c.static)
			c.rolls, c.over = c.radius*perRadius, (c.radius-t.radius)*perRadius
		}
		s.foot[side] = feet[:n]
	}
	s.lateral = t.beyond(u, 1) - t.beyond(u, 0)
}

// beyond is the force (N) that keeps an axle whose wheel has passed the steepest place of its flange, where the rail
// cannot hold it any more, on side 0 (high) or 1. No rail gives it: it stands for what is missing, so that a truck that
// climbs has an answer too, in which this force says by how much.
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

// beyondSlope is by how much beyond grows with the shift, N/mm.
func (t *Table) beyondSlope(u float64, side int) float64 {
	sign := 1 - 2*float64(side)
	d := sign*u - t.stop[side]
	if d <= 0 {
		return 0
	}
	return sign * 16 * t.load * d
}

// spare is how many parts more there is room for, because another contact may have more.
const spare = 4

// blend adds up three rows from one on, by weights: parts, which lie in the room, are those of node first and on.
func (fl *Flank) blend(from int, weight *[3]float64, room *[]part) (first int32, parts []part) {
	rows := fl.rows[from : from+3]
	first, last := rows[0].lo, rows[0].lo+rows[0].n
	for _, r := range rows[1:] {
		first, last = min(first, r.lo), max(last, r.lo+r.n)
	}
	if cap(*room) < int(last-first) {
		*room = make([]part, last-first+spare)
	}
	parts = (*room)[:last-first]
	if n := rows[0].n; n == rows[1].n && n == rows[2].n && n == last-first { // the same nodes
		x, y, z := fl.parts[rows[0].at:][:n], fl.parts[rows[1].at:][:n], fl.parts[rows[2].at:][:n]
		a, b, c := weight[0], weight[1], weight[2]
		for j := range parts {
			p, x, y, z := &parts[j], &x[j], &y[j], &z[j]
			p.share = a*x.share + b*y.share + c*z.share
			p.angle = a*x.angle + b*y.angle + c*z.angle
			p.radius = a*x.radius + b*y.radius + c*z.radius
			p.railY = a*x.railY + b*y.railY + c*z.railY
			p.railZ = a*x.railZ + b*y.railZ + c*z.railZ
			p.y = a*x.y + b*y.y + c*z.y
			p.c11 = a*x.c11 + b*y.c11 + c*z.c11
			p.c22 = a*x.c22 + b*y.c22 + c*z.c22
			p.c23 = a*x.c23 + b*y.c23 + c*z.c23
		}
		return first, parts
	}
	clear(parts)
	for i, w := range weight {
		r := rows[i]
		of := fl.parts[r.at : r.at+r.n]
		sum := parts[r.lo-first:][:len(of)]
		for j := range of {
			p, q := &sum[j], &of[j]
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
	}
	return first, parts
}

// touch is the force at one part: normal, along the rail, across it along the surface
// (to the high rail), and the creepages. lx and lt are both forces by the linear law, drawn is their resultant, tau
// that over what friction gives, and scale what of them is left by it.
type touch struct{ normal, fx, ft, nx, nt, lx, lt, drawn, tau, scale float64 }

// factors are those of a wheel, worked out where its load is another than before.
func (s *stand) factors(p *pose, side int) (load, load23 float64) {
	l := p.high
	if side == 1 {
		l = p.low
	}
	l = max(l, 1e-6)
	e := &s.eased[side]
	if e.load != l {
		c := math.Cbrt(l)
		*e = eased{l, c * c}
	}
	return e.load, e.load23
}

// rolling holds the values that all feet of a wheel have in common: its load over the table's, that to 2/3 and one over
// it, by how much the curve and the axle's turning draw along the rail each mm from the middle, by how much it slides
// aside.
type rolling struct{ load, load23, perLoad, spread, slip, aside float64 }

func (s *stand) rolling(side int, p *pose, b *bend) rolling {
	l, l23 := s.factors(p, side)
	return rolling{l, l23, 1 / l, b.curvature - p.dpsi, p.slip, p.du - p.psi}
}

// press works out the force at one part of a wheel.
func (c *foot) press(w *rolling, b *bend) {
	nx := c.out*w.spread - c.over - w.slip*c.rolls
	nt := w.aside * c.perCos
	x := -w.load23 * c.c11 * nx
	y := -w.load23*c.c22*nt - w.load*c.c23*c.spin
	drawn := math.Sqrt(x*x + y*y)
	tau := drawn * c.grip * w.perLoad
	scale := saturated(tau)
	if b.law != nil && tau > 0 {
		scale = b.law(tau) / tau
	}
	c.touch = touch{c.static * w.load, x * scale, y * scale, nx, nt, x, y, drawn, tau, scale}
}

// wheel is the load of one wheel.
func (t *Table) wheel(s *stand, side int, p *pose, b *bend) (out load) {
	w := s.rolling(side, p, b)
	sign := 1 - 2*float64(side)
	feet := s.foot[side]
	for i := range feet {
		c := &feet[i]
		c.press(&w, b)
		out.lateral += -sign*c.normal*c.sin + c.ft*c.cos
		out.turn -= c.out * c.fx
		out.torque += c.fx * c.rolls
		out.upright += c.normal*c.cos + sign*c.ft*c.sin
	}
	return out
}

// axle is the load of both wheels.
func (t *Table) axle(s *stand, p *pose, b *bend) [2]load {
	return [2]load{t.wheel(s, 0, p, b), t.wheel(s, 1, p, b)}
}
