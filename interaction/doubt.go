package interaction

import (
	"fmt"
	"strings"

	"flangeway/track"
	"flangeway/wheel"
)

// A reading under a warning cannot be, or contradicts another. It counts as it is written,
// but it does not lead a finding where another pair of the same verdict can, and no repair
// is measured by it.

// wheelDoubts are the readings of a wheel that are under a warning.
func wheelDoubts(w *wheel.Wheel) mask {
	var m mask
	for q := wheel.Quantity(0); q < wheel.NumQuantities; q++ {
		if w.Doubted(q) {
			m |= wheelMask(q)
		}
	}
	if mate := w.Mate(); mate != nil && mate.Doubted(wheel.FlangeThickness) {
		m |= 1 << mateThickness
	}
	return m
}

// placeDoubts are the readings of a feature that are under a warning.
func placeDoubts(f *track.Feature) mask {
	var m mask
	for _, q := range f.Measured() {
		if f.Contradicted(q) {
			m |= trackMask(q)
		}
	}
	return m
}

// doubts are the readings under a warning that enter a pair.
func (e *Engine) doubts(wi int, ps *placeSide, pt *placeTable) mask {
	ws := &e.wheels[wi]
	return ws.doubts&ws.parts[pt.check].uses | ps.doubts&pt.part.uses
}

// doubtful words the readings of a pair that are under a warning, those of the wheel with
// its name.
func (e *Engine) doubtful(wi int, f *track.Feature, m mask) string {
	var own, place []string
	w := e.wheels[wi].w
	m.each(func(bit uint) {
		if bit >= trackBit {
			q := track.Quantity(bit - trackBit)
			place = append(place, q.String()+" "+PrintReading(e.Survey.Columns, q.String(), f.Read(q)))
			return
		}
		t := termOf(bit, false)
		of := w
		if t.mate {
			of = w.Mate()
		}
		own = append(own, bitName(bit)+" "+PrintReading(e.Survey.Columns, t.q.String(), of.Read(t.q)))
	})
	var parts []string
	if len(own) > 0 {
		parts = append(parts, fmt.Sprintf("%s %s (%s)", w.Car.ID, w.Position, strings.Join(own, ", ")))
	}
	if len(place) > 0 {
		parts = append(parts, fmt.Sprintf("%s (%s)", f.Name(), strings.Join(place, ", ")))
	}
	return strings.Join(parts, " and ")
}

// lead says whether a pair may lead a finding; the lower the sooner.
type lead uint8

const (
	mayLead lead = iota
	// faultOfItsOwn: the place is at fault, and the wheel would conflict without it. How far
	// the place is off is not to be read from such a wheel.
	faultOfItsOwn
	underWarning // a reading is under a warning
)

func (e *Engine) leadOf(wi int, ps *placeSide, pt *placeTable, v Verdict) lead {
	switch {
	case e.doubts(wi, ps, pt) != 0:
		return underWarning
	case v == Conflict && pt.anyWheel && e.wheels[wi].faulty[pt.check]:
		return faultOfItsOwn
	}
	return mayLead
}

// setAside says which pairs would lead a finding by their margin and were left out, and
// why.
func (e *Engine) setAside(t *Tally) []string {
	if t.first == t.worst {
		return nil
	}
	ps := &e.places[t.Place]
	pt := &ps.tables[t.table]
	var out [underWarning + 1]struct {
		n, first int
		m        margin
	}
	led := e.leadOf(t.worst, ps, pt, t.worstM.verdict)
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if !ws.chosen || !e.listed(ws.w, t.Check) {
			continue
		}
		m := e.pair(wi, pt)
		l := e.leadOf(wi, ps, pt, m.verdict)
		if m.verdict != t.worstM.verdict || l <= led || !worse(m, t.worstM) {
			continue
		}
		if o := &out[l]; o.n == 0 || worse(m, o.m) {
			o.first, o.m = wi, m
		}
		out[l].n++
	}
	and := func(n int) string {
		if n < 2 {
			return ""
		}
		return fmt.Sprintf(" and %d more", n-1)
	}
	var notes []string
	if o := out[faultOfItsOwn]; o.n > 0 {
		w := e.wheels[o.first].w
		notes = append(notes, fmt.Sprintf("left out, since they conflict even on unworn track: %s %s%s", w.Car.ID, w.Position, and(o.n)))
	}
	if o := out[underWarning]; o.n > 0 {
		notes = append(notes, "left out, since a reading is under a warning: "+e.doubtful(o.first, t.Feature, e.doubts(o.first, ps, pt))+and(o.n)+"; read it again")
	}
	return notes
}
