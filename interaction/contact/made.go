package contact

import (
	"fmt"
	"math"
	"sync"

	"flangeway/internal/outline"
	trackshape "flangeway/track/shape"
	wheelshape "flangeway/wheel/shape"
)

// Made keeps the curves of a wheel's shape alone and of a rail alone, so that a wheel on many rails, and a rail under
// many wheels, is made ready once. The zero value is ready; many goroutines can share one.
type Made struct {
	lock   sync.Mutex
	wheels map[*wheelshape.Shape]*madeWheel
	rails  map[placing]*madeRail
	rests  map[pairing]*rests
}

// pairing is a wheel over a rail in its place, its tape line so far (mm) from the middle of the track.
type pairing struct {
	wheel *wheelshape.Shape
	on    placing
	out   float64
}

// placing is where a rail is placed: see [trackshape.RailHead.Place].
type placing struct {
	rail               *trackshape.RailHead
	gauge, depth, cant float64
}

// madeWheel is a wheel as a rail sees it.
type madeWheel struct {
	curve  *outline.Curve
	window []float64 // see windows
	spread spread    // the last that was asked for, see spreadOf
	flange float64   // flange angle, rad; 0: it has none
	length float64   // of the flange for the climb distance, mm; 0: it has none
}

// madeRail is a rail in its place.
type madeRail struct {
	placed *trackshape.Placed
	face   float64 // steepest angle of its gauge side down to the gauge line, rad
	// clear is by how much in mm a place over each bin must be farther than a strip that is looked for to be none.
	clear []float64
}

// Forget drops the rails that are not wanted any more.
func (m *Made) Forget(unwanted func(*trackshape.RailHead) bool) {
	m.lock.Lock()
	defer m.lock.Unlock()
	for k := range m.rails {
		if unwanted(k.rail) {
			delete(m.rails, k)
		}
	}
	for k := range m.rests {
		if unwanted(k.on.rail) {
			delete(m.rests, k)
		}
	}
}

// usualRests is at how many shifts a wheel is laid on a rail, about.
const usualRests = 128

// rest gives where a wheel was laid on a rail before.
func (m *Made) rest(at pairing) *rests {
	m.lock.Lock()
	defer m.lock.Unlock()
	out := m.rests[at]
	if out == nil {
		if m.rests == nil {
			m.rests = map[pairing]*rests{}
		}
		out = &rests{at: make(map[float64]rested, usualRests)}
		m.rests[at] = out
	}
	return out
}

// wheel makes a wheel ready, once.
func (m *Made) wheel(w *wheelshape.Shape) (*madeWheel, error) {
	m.lock.Lock()
	defer m.lock.Unlock()
	if out := m.wheels[w]; out != nil {
		return out, nil
	}
	curve, err := outline.SeenFromBelow(w.Outline)
	if err != nil {
		return nil, fmt.Errorf("wheel %s: %w", w.Name, err)
	}
	out := &madeWheel{curve: curve, window: windows(curve)}
	if !w.NoFlange {
		if angle, _, err := w.FlangeAngle(); err == nil {
			out.flange = angle
		}
	}
	if length, err := w.FlangeLength(); err == nil {
		out.length = length
	}
	if m.wheels == nil {
		m.wheels = map[*wheelshape.Shape]*madeWheel{}
	}
	m.wheels[w] = out
	return out, nil
}

// strips cuts a wheel into strips of a step, once if it is always the same.
func (m *Made) strips(w *madeWheel, step float64) spread {
	m.lock.Lock()
	defer m.lock.Unlock()
	if w.spread.step != step {
		w.spread = spreadOf(w.curve, step)
	}
	return w.spread
}

// rail places a rail, once.
func (m *Made) rail(at placing) (*madeRail, error) {
	m.lock.Lock()
	defer m.lock.Unlock()
	if out := m.rails[at]; out != nil {
		return out, nil
	}
	placed, err := at.rail.Place(at.gauge, at.depth, at.cant)
	if err != nil {
		return nil, err
	}
	out := &madeRail{placed: placed}
	c := placed.Curve
	for i, k := range c.S0 { // the gauge side, down to the gauge line
		if c.Y[i] < placed.Middle && c.Z[i+1] <= at.depth {
			out.face = math.Max(out.face, math.Max(-math.Atan(k), -math.Atan(c.S1[i])))
		}
	}
	out.clear = clearings(c)
	if m.rails == nil {
		m.rails = map[placing]*madeRail{}
	}
	m.rails[at] = out
	return out, nil
}
