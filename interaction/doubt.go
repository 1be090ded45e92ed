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

// setAside says which pairs would lead a finding if none of their readings were under a
// warning, and why none of its repairs is measured where it rests on one itself; "" where
// there is nothing to say.
func (e *Engine) setAside(t *Tally) string {
	if t.first == t.worst {
		return ""
	}
	ps := &e.places[t.Place]
	pt := &ps.tables[t.table]
	n := 0
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if !ws.chosen || !e.listed(ws.w, t.Check) || e.doubts(wi, ps, pt) == 0 {
			continue
		}
		if m := e.pair(wi, pt); m.verdict == t.worstM.verdict && worse(m, t.worstM) {
			n++
		}
	}
	s := "left out, since a reading is under a warning: " + e.doubtful(t.first, t.Feature, e.doubts(t.first, ps, pt))
	if n > 1 {
		s += fmt.Sprintf(" and %d more", n-1)
	}
	return s + "; read it again"
}
