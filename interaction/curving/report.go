package curving

import (
	"fmt"
	"math"
)

// bearing is from which share of a wheel's upright force a contact counts.
const bearing = 0.05

// noContact is the share of a part below which it separates two contacts.
const noContact = 1e-3

// report reads everything from a solution.
func (p *problem) report(q *vector, out *Solution) {
	steady := state{way: math.Inf(1)}
	var sides [2]sideSum
	if p.axles == mostAxles {
		out.Middle = new(Axle)
	}
	before := 0.0 // half of what the axle before presses outward
	for i, a := range out.Axles() {
		pose := p.pose(q, i, &steady)
		t := p.axle[i]
		a.Attack, a.Shift = pose.psi, pose.u
		s := &p.room.stand[i]
		t.stand(pose.u, &p.bend, s)
		for side, w := range []*Wheel{&a.High, &a.Low} {
			p.wheel(t, s, side, &pose, w, &sides[side])
		}
		a.Sum = math.Abs(a.High.LV) + math.Abs(a.Low.LV)
		if a.High.Steepest > 0 {
			if limit, err := AxleSumLimit(a.High.Steepest, p.bend.face[0], p.bend.top[1]); err == nil {
				a.SumLimit = limit
			}
		}
		out.Climbs = out.Climbs || math.Max(a.High.Missing, a.Low.Missing) > Tolerance*p.load
		outward := (math.Max(0, a.High.L) + math.Max(0, a.Low.L)) / 2
		out.Spreading, before = math.Max(out.Spreading, before+outward), outward
		out.Wear += a.High.Wear + a.Low.Wear
	}
	out.Warp = q[iWarp] * unit[iWarp]
	out.High, out.Low = sides[0].side(p.axle[0].flank[0].rail), sides[1].side(p.axle[0].flank[1].rail)
	out.Rollover = out.High
	if !out.High.Defined || out.Low.Defined && out.Low.Margin < out.High.Margin {
		out.Rollover = out.Low
	}
	p.climb(out)
}

// climb picks the wheel nearest to climbing.
func (p *problem) climb(out *Solution) {
	best := math.Inf(1)
	for i, a := range out.Axles() {
		for side, w := range []*Wheel{&a.High, &a.Low} {
			first := i == 0 && side == 0
			if w.Steepest == 0 || !(first || w.Flanging) {
				continue
			}
			if first && p.guarded {
				if w.Flanging {
					out.Guard = math.Max(0, w.L)
				}
				continue
			}
			if w.ClimbMargin < best || out.Climbing == "lead high" && !out.Lead.High.Flanging {
				best = w.ClimbMargin
				out.Nadal, out.ClimbMargin = w.Nadal, w.ClimbMargin
				out.Climbing = out.axleNames()[i] + [...]string{" high", " low"}[side]
				attack := a.Attack
				if side == 1 {
					attack = -attack
				}
				f := p.axle[i].flank[side]
				out.ClimbDistance, out.ClimbError = ClimbDistance(attack, f.steep, f.length)
			}
		}
	}
	switch {
	case out.Climbing != "":
	case p.guarded:
		out.ClimbError = fmt.Errorf("%w: a guard rail keeps the lead high wheel from climbing, and no other flange "+
			"bears",
			ErrInput)
	default:
		out.ClimbError = fmt.Errorf("%w: the wheels have no flange", ErrInput)
	}
}

// wheel reads one wheel and adds it to its truck side.
func (p *problem) wheel(t *Table, s *stand, side int, pose *pose, w *Wheel, sum *sideSum) {
	rolls := s.rolling(side, pose, &p.bend)
	sign := 1 - 2*float64(side)
	r := t.flank[side].rail
	r.middle += t.gauge
	// A contact is a run of parts that carry.
	var upright, normal, angle float64
	var uprights, angles [4]float64
	n := 0
	closeRun := func() {
		if normal > 0 && n < len(angles) {
			uprights[n], angles[n] = upright, angle/normal
			n++
		}
		upright, normal, angle = 0, 0, 0
	}
	for i := range s.foot[side] {
		c := &s.foot[side][i]
		c.press(&rolls, &p.bend)
		f := &c.touch
		l := f.normal*c.sin - sign*f.ft*c.cos
		v := f.normal*c.cos + sign*f.ft*c.sin
		if c.share < noContact || i > 0 && s.foot[side][i-1].node < c.node-1 {
			closeRun()
		}
		if c.share >= noContact {
			upright += f.normal * c.cos
			normal += f.normal
			angle += f.normal * c.angle
		}
		w.L += l
		w.V += v
		w.TreadY += c.y * f.normal * c.cos
		w.Radius += c.radius * f.normal * c.cos
		e := r.middle - c.railY
		w.Offset += e * f.normal * c.cos
		w.Wear += math.Abs(f.fx*f.nx) + math.Abs(f.ft*f.nt)
		w.Slip = math.Max(w.Slip, math.Hypot(f.fx, f.ft)/(c.mu*f.normal))
		sum.l += l
		sum.v += v
		sum.turning += l * (r.height - c.railZ)
		sum.place += v * e
	}
	closeRun()
	if w.Missing = t.beyond(pose.u, side); w.Missing > 0 {
		w.L += w.Missing
		sum.l += w.Missing
		sum.turning += w.Missing * r.height
	}
	all := 0.0
	for _, u := range uprights[:n] {
		all += u
	}
	if all > 0 {
		w.TreadY /= all
		w.Radius /= all
		w.Offset /= all
	}
	w.ContactAngle = math.Inf(-1)
	for k := range n {
		if uprights[k] >= bearing*all {
			w.ContactAngle = math.Max(w.ContactAngle, angles[k])
			w.Contacts++
		}
	}
	if w.Contacts == 0 {
		w.ContactAngle = 0
	}
	w.LV = w.L / w.V
	w.FieldSide = w.Offset < 0
	if t.flank[side].flange < leastFlange {
		return
	}
	w.Steepest = t.flank[side].steep
	w.Flanging = w.ContactAngle > t.flank[side].flange/2
	if limit, err := Nadal(w.Steepest, p.bend.face[side]); err == nil {
		w.Nadal, w.ClimbMargin = limit, limit-w.LV
		if w.Missing > Tolerance*p.load { // friction along the rail may let it hold more or less than Nadal's limit
			w.ClimbMargin = math.Min(w.ClimbMargin, -w.Missing/w.V)
		}
	}
}

// sideSum adds up a truck side: forces (N) and moments about the base (N·mm).
type sideSum struct{ l, v, turning, place float64 }

func (s *sideSum) side(r rail) (out Side) {
	out.LV, out.Offset = s.l/s.v, s.place/s.v
	if r.height == 0 || r.base == 0 {
		return out
	}
	out.Height = r.height
	if s.l > 0.02*s.v { // else the height of hardly any force means nothing
		out.Height = math.Min(math.Max(s.turning/s.l, r.height/2), r.height*1.2)
	}
	limit, err := RolloverLimit(r.base, out.Offset, out.Height)
	if err != nil {
		return out
	}
	out.Limit, out.Margin, out.Defined = limit, limit-out.LV, true
	return out
}
