package judge

import (
	"fmt"
	"strings"

	"flangeway/interaction"
	"flangeway/track"
	"flangeway/wheel"
)

// A reading under a warning cannot be, or contradicts another. It counts as it is written, but it does not lead a
// finding if another pair of the same verdict can, and no repair is measured by it.

// wheelDoubts are the readings of a wheel that are under a warning.
func wheelDoubts(w *wheel.Wheel) interaction.Mask {
	var m interaction.Mask
	for q := range wheel.NumQuantities {
		if w.Doubted(q) {
			m |= interaction.WheelMask(q)
		}
	}
	if mate := w.Mate(); mate != nil && mate.Doubted(wheel.FlangeThickness) {
		m |= 1 << interaction.MateThickness
	}
	return m
}

// placeDoubts are the readings of a feature that are under a warning.
func placeDoubts(f *track.Feature) interaction.Mask {
	var m interaction.Mask
	for _, q := range f.Measured() {
		if f.Contradicted(q) {
			m |= interaction.TrackMask(q)
		}
	}
	return m
}

// doubts are the readings under a warning that enter a pair.
func (e *Engine) doubts(wi int, ps *placeSide, pt *placeTable) interaction.Mask {
	ws := &e.wheels[wi]
	return ws.doubts&ws.Parts[pt.Check].Uses | ps.doubts&pt.Part.Uses
}

// Doubt says whose readings are to be taken again before anything is done by a pair.
type Doubt struct{ Wheel, Place bool }

// InDoubt is the doubt of the pairs at a feature and check, by a warning or by what was seen, in the order of the
// fleet; nil if there is none.
func (e *Engine) InDoubt(f *track.Feature, check int) []Doubt {
	ps, pt := e.placeOf(f, check)
	if pt == nil {
		return nil
	}
	var out []Doubt
	for wi := range e.wheels {
		if !e.meet(e.Checks[check], e.wheels[wi].W, f) {
			continue
		}
		own, mate, place := interaction.ColumnsOf(e.readAgain(wi, ps, pt))
		if len(own)+len(mate)+len(place) == 0 {
			continue
		}
		if out == nil {
			out = make([]Doubt, len(e.wheels))
		}
		out[wi] = Doubt{len(own)+len(mate) > 0, len(place) > 0}
	}
	return out
}

// Doubted names the readings under a warning that a pair rests on, and those that a mark tells against: those of the
// wheel, of its mate and of the place, by column.
func (e *Engine) Doubted(f *track.Feature, check, wi int) (own, mate, place []string) {
	if ps, pt := e.placeOf(f, check); pt != nil {
		return interaction.ColumnsOf(e.readAgain(wi, ps, pt))
	}
	return nil, nil, nil
}

// readAgain are the readings that a pair waits for before anything is done by it: those under a warning, and those that
// a mark tells against.
func (e *Engine) readAgain(wi int, ps *placeSide, pt *placeTable) interaction.Mask {
	return e.doubts(wi, ps, pt) | e.Checks[pt.Check].Asked(e.pair(wi, pt).against)
}

// Against reports whether what was seen tells against a pair that is clear by its readings.
func (e *Engine) Against(f *track.Feature, check, wi int) bool {
	_, pt := e.placeOf(f, check)
	return pt != nil && e.pair(wi, pt).against != 0
}

// doubtful words the readings of a pair that are under a warning, those of the wheel with its name.
func (e *Engine) doubtful(wi int, f *track.Feature, m interaction.Mask) string {
	var own, place []string
	w := e.wheels[wi].W
	m.Each(func(bit uint) {
		if bit >= interaction.TrackBit {
			q := track.Quantity(bit - interaction.TrackBit)
			place = append(place, q.String()+" "+PrintReading(e.Survey.Columns, q.String(), f.Read(q)))
			return
		}
		of := w
		q, mate := interaction.WheelReading(bit)
		if mate {
			of = w.Mate()
		}
		own = append(own, interaction.ReadingName(bit)+" "+PrintReading(e.Survey.Columns, q.String(), of.Read(q)))
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
	// faultOfItsOwn: the place is at fault, and the wheel would conflict without it. How far the place is off is not to
	// be read from such a wheel.
	faultOfItsOwn
	underWarning // a reading is under a warning
)

func (e *Engine) leadOf(wi int, ps *placeSide, pt *placeTable, v interaction.Verdict) lead {
	switch {
	case e.doubts(wi, ps, pt) != 0:
		return underWarning
	case v == interaction.Conflict && pt.AnyWheel() && e.wheels[wi].faulty[pt.Check]:
		return faultOfItsOwn
	}
	return mayLead
}

// setAside says which pairs would lead a finding by their margin and were left out, and why.
func (e *Engine) setAside(t *Tally) []string {
	if t.first == t.worst {
		return nil
	}
	ps := &e.places[t.Place]
	pt := &ps.tables[t.table]
	n, first := 0, 0
	var worstM interaction.Margin
	for wi := range e.wheels {
		ws := &e.wheels[wi]
		if !ws.chosen || !e.meet(t.Check, ws.W, t.Feature) {
			continue
		}
		m := e.pair(wi, pt)
		if m.Verdict != t.worstM.Verdict || e.doubts(wi, ps, pt) == 0 || !interaction.Worse(m.Margin, t.worstM.Margin) {
			continue
		}
		if n == 0 || interaction.Worse(m.Margin, worstM) {
			first, worstM = wi, m.Margin
		}
		n++
	}
	more := ""
	if n > 1 {
		more = fmt.Sprintf(" and %d more", n-1)
	}
	return []string{"left out, since a reading is under a warning: " +
		e.doubtful(first, t.Feature, e.doubts(first, ps, pt)) + more + "; read it again"}
}
