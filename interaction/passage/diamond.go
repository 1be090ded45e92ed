package passage

import (
	"fmt"
	"math"

	"flangeway/track/shape"
)

// Diamond takes a wheel over one rail of a crossing diamond, like [Frog]: over both flangeways of the other track that
// cut the rail. It is run with the gauge line, in the middle of the play, and with the flange's back on the guard that
// stands beside it. What of the other track's heads lies beside the rail carries nothing.
func Diamond(m *shape.DiamondModel, w *Wheel, a Axle, o FrogOptions) (*FrogSolution, error) {
	if m == nil || w == nil {
		return nil, fmt.Errorf("%w: a diamond or a wheel is missing", ErrInput)
	}
	step := o.Step
	if step == 0 {
		step = m.Gap / diamondSteps
	}
	n := (m.Heel - m.Toe) / step
	if !(step > 0) || !(n >= minStations && n <= maxStations) {
		return nil, fmt.Errorf("%w: step %g mm (%d to %d stations)", ErrInput, step, minStations, maxStations)
	}
	var xs []float64
	for i := range int(math.Ceil(n)) + 1 {
		xs = append(xs, math.Min(m.Toe+float64(i)*step, m.Heel))
	}
	from, to := m.FloorEnds()
	c := &Cuts{model: m, ramp: m.Plan.FloorRamp, carries: m.Plan.Bearing}
	c.cut(append(append(xs, from, to), m.Breaks()...), m.Toe, m.Heel)
	tape := w.Shape.Tape
	places, err := a.between(w, Place{Tape: tape - w.Thickness, Why: "the gauge line"},
		Place{Tape: tape - m.Plan.FlangewayWidth, Why: "the guard"})
	if err != nil {
		return nil, err
	}
	return c.through(w, places, o)
}

// diamondSteps is how many stations there are over the length of a cut if no step is given.
const diamondSteps = 24
