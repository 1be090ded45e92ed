package load

import "math"

// Least share of its static load that a wheel may keep: more than 10 percent, 49 CFR 238 appendix C, for a car in
// quasi-static curving. It is written for passenger cars; flangeway holds every car against it.
const Least = 0.1

// Shares are the parts of its static load that a wheel loses, each with its worse sign.
type Shares struct{ Twist, Elevation, Imbalance float64 }

// Lost is their sum.
func (s Shares) Lost() float64 { return s.Twist + s.Elevation + s.Imbalance }

// Kept is the share that the lightest wheel keeps, V/P; below 0 if the car would lift it, were it held up.
func (s Shares) Kept() float64 { return 1 - s.Lost() }

// Sides are the loads of a car's truck sides in N: the truck at one end, then that at the
// other, of each the left side and the right one.
type Sides [2][2]float64

// Sides are the loads of the truck sides of a car of a weight in N. The shares are those that the left side of the
// first truck loses, negative if it gains: twist takes from the other truck what it gives there, elevation and load act
// on both trucks alike. A side that would be lifted carries nothing, and the other side of its truck all of it.
func (s Shares) Sides(weight float64) (out Sides) {
	quarter := weight / 4
	for truck, sign := range [2]float64{1, -1} {
		lost := sign*s.Twist + s.Elevation + s.Imbalance
		lost = math.Max(-1, math.Min(1, lost))
		out[truck] = [2]float64{quarter * (1 - lost), quarter * (1 + lost)}
	}
	return out
}

// Weight is the sum of the loads.
func (s Sides) Weight() float64 { return s[0][0] + s[0][1] + s[1][0] + s[1][1] }
