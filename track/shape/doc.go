// Package shape holds the shapes of track: rail heads as new, worn and traced, and the
// sections of frogs and switch points at any station. Lengths are in mm.
package shape
