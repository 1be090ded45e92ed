// Package shape holds the shape of a wheel: designs as new, worn wheels rebuilt from hand
// gauge readings, traced profiles, and what a lathe makes of them. y is in mm from the tape
// line, positive to the field; z is in mm, positive toward the flange tip.
package shape
