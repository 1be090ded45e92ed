package plan

import "math"

// weights are the weights of a pass by check if passes are minimised.
func (m *model) weights(by string) []float64 {
	out := make([]float64, len(m.trial.Checks))
	for i, c := range m.trial.Checks {
		w := m.matrix.Weights[c.Severity-1]
		switch by {
		case ByHarm:
			out[i] = w.Harm / m.matrix.Weights[0].Harm
		case ByMoney:
			out[i] = w.Money / m.matrix.Weights[0].Money
		default:
			out[i] = 1
		}
	}
	return out
}

// passesLeft is the expected conflicting passes a year that a choice with its holds leaves, not weighed.
func (m *model) passesLeft(c chosen, holds map[[2]int]bool) float64 {
	sum, alike := 0.0, m.weights(ByPasses)
	for ci := range m.cars {
		car := &m.cars[ci]
		own := m.exposure.Own(car.car)
		pool := max(0, m.exposure.Trips(car.car)-own)
		for pi := range m.places {
			p := &m.places[pi]
			if !car.meets[pi] || holds[[2]int{ci, pi}] && pool == 0 {
				continue
			}
			var trip [][2][]float64
			count := func(level func(int) int, trips float64) {
				m.eachMarked(car, p, c.place(pi), level, func(axle, side, check int, bad, _ bool) {
					if trip == nil {
						trip = m.tripWeights(m.chances, car, p, alike)
					}
					if bad {
						sum += trips * trip[axle][side][check]
					}
				})
			}
			if !holds[[2]int{ci, pi}] {
				count(func(k int) int { return c.level(ci, k) }, own)
			}
			if pool > 0 { // the cars behind the sample are neither worked on nor held
				count(asRead, pool)
			}
		}
	}
	return sum
}

// leastPasses is what no plan within the limits leaves fewer passes than, whatever is minimised; no more than what one
// leaves.
func (m *model) leastPasses(after float64) float64 {
	s := newSpendingBy(m, ByPasses)
	if s.bounding != nil {
		s = s.bounding
	}
	return math.Min(after, float64(s.leastLeft(int64(math.Ceil(after*perPass))))/perPass)
}
