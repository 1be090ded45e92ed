package passage

import (
	"fmt"
	"math"
)

// HeldAngle is the least contact angle in rad at which a flange can stay down that comes at a facing point: 2 atan(mu),
// mu the friction of both wheels (0 to 1, 1 excluded).
//
// At the angle of a point (17 mrad and more) friction is spent across the track on both wheels. The tread of the other
// wheel, loaded alike, pushes the axle toward the point with mu of its load, whatever the truck adds; the flange climbs
// if that is over its own limit (tan d - mu)/(1 + mu tan d) (Nadal 1908). Derived from that limit.
func HeldAngle(mu float64) (float64, error) {
	if !(mu >= 0 && mu < 1) {
		return 0, fmt.Errorf("%w: friction %g (0 to under 1)", ErrInput, mu)
	}
	return 2 * math.Atan(mu), nil
}

// FacingAngle is the contact angle in degrees under which a flange climbs a facing point: least
// (degrees), or [HeldAngle] if that is more.
func FacingAngle(least, mu float64) (float64, error) {
	held, err := HeldAngle(mu)
	return math.Max(least, held*180/math.Pi), err
}
