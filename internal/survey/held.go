package survey

import (
	"flangeway/track"
	"flangeway/wheel"
)

// Held are cars that are kept off features, by the ids of the cars and the names of the features. No sheet says so: it
// is tried.
type Held map[[2]string]bool

// From reports whether a car is kept off a feature.
func (h Held) From(c *wheel.Car, f *track.Feature) bool {
	return len(h) > 0 && h[[2]string{c.ID, f.Name()}]
}
