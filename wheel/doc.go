// Package wheel holds a wheel, its axle, its truck and its car: the car and wheel sheets, which limits apply to them,
// and what the pair checks need to know of a wheel. Lengths are millimetres.
package wheel
