// Package track holds a frog, a switch, a curve, a joint and a spot: their sheets, which limits apply to them, and what
// the pair checks need to know of a place. Lengths are millimetres.
package track
