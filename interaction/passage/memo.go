package passage

import (
	"sync"

	"flangeway/track"
	"flangeway/wheel"
)

// Memo solves distinct frogs, wheels and positions once. It may be used by several
// goroutines.
type Memo struct {
	mu     sync.Mutex
	wheels map[wheelKey]wheelAnswer
	frogs  map[frogKey]frogAnswer
	models map[track.FrogPlan]modelAnswer
}

// NewMemo is an empty memory.
func NewMemo() *Memo {
	return &Memo{wheels: map[wheelKey]wheelAnswer{}, frogs: map[frogKey]frogAnswer{}, models: map[track.FrogPlan]modelAnswer{}}
}

type wheelKey struct {
	design   *wheel.Shape
	readings wheel.WornReadings
	diameter float64
}

// Rebuilt is a wheel made of a design and readings.
type Rebuilt struct {
	Middle *Wheel // as the readings are written
	// Aside are the readings that contradict the others and were left out, Why says how.
	Aside []wheel.Quantity
	Why   error

	worn     *wheel.Worn
	diameter float64
	once     sync.Once
	extremes []*Wheel
	err      error
}

// Extremes are the wheels at the ends of the readings' intervals, made when first asked
// for.
func (r *Rebuilt) Extremes() ([]*Wheel, error) {
	r.once.Do(func() {
		if r.worn == nil {
			return
		}
		for _, s := range r.worn.Extremes() {
			w, err := NewWheel(s, r.diameter)
			if err != nil {
				r.err = err
				return
			}
			r.extremes = append(r.extremes, w)
		}
	})
	return r.extremes, r.err
}

type wheelAnswer struct {
	wheel *Rebuilt
	err   error
}

type frogKey struct {
	plan  track.FrogPlan
	wheel *Wheel
	axle  Axle
	opt   FrogOptions
}

type frogAnswer struct {
	solution *FrogSolution
	err      error
}

type modelAnswer struct {
	model *track.FrogModel
	err   error
}

// Wheel is the wheel of a design and readings at a diameter (mm), rebuilt once. The
// error is that of [wheel.RebuildFrom] or [NewWheel].
func (m *Memo) Wheel(design *wheel.Shape, r wheel.WornReadings, diameter float64) (*Rebuilt, error) {
	key := wheelKey{design, r, diameter}
	m.mu.Lock()
	a, ok := m.wheels[key]
	m.mu.Unlock()
	if ok {
		return a.wheel, a.err
	}
	a.wheel, a.err = rebuilt(design, r, diameter)
	m.mu.Lock()
	defer m.mu.Unlock()
	if have, ok := m.wheels[key]; ok { // another goroutine was first; its pointer is in use
		return have.wheel, have.err
	}
	m.wheels[key] = a
	return a.wheel, a.err
}

func rebuilt(design *wheel.Shape, r wheel.WornReadings, diameter float64) (*Rebuilt, error) {
	out := &Rebuilt{diameter: diameter}
	shape := design
	if r != (wheel.WornReadings{}) {
		var err error
		if out.worn, out.Aside, out.Why, err = wheel.RebuildFrom(design, r); err != nil {
			return nil, err
		}
		if out.worn == nil {
			return nil, out.Why
		}
		shape = out.worn.Middle
	}
	var err error
	out.Middle, err = NewWheel(shape, diameter)
	return out, err
}

// Frog is [Frog] of a plan, solved once. Wheels count as the same when they are one
// pointer, as [Memo.Wheel] gives them.
func (m *Memo) Frog(plan track.FrogPlan, w *Wheel, a Axle, o FrogOptions) (*FrogSolution, error) {
	key := frogKey{plan, w, a, o}
	m.mu.Lock()
	have, ok := m.frogs[key]
	model, known := m.models[plan]
	m.mu.Unlock()
	if ok {
		return have.solution, have.err
	}
	if !known {
		model.model, model.err = track.NewFrogModel(plan)
	}
	if have.err = model.err; have.err == nil {
		have.solution, have.err = Frog(model.model, w, a, o)
	}
	m.mu.Lock()
	m.models[plan] = model
	m.frogs[key] = have
	m.mu.Unlock()
	return have.solution, have.err
}
