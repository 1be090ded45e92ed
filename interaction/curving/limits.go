package curving

import (
	"errors"
	"fmt"
	"math"

	"flangeway/internal/measure"
)

// ErrOutOfFit says that a published fit is asked outside the range it was made for.
var ErrOutOfFit = errors.New("outside the range of the published fit")

const degree = math.Pi / 180

// Nadal is the L/V at which a sliding flange begins to climb (Nadal 1908): (tan d - mu)/(1 + mu tan d), d the contact
// angle in rad (0 to 90 degrees, ends excluded), mu the friction (0 to 1.5).
func Nadal(angle, mu float64) (float64, error) {
	if !(angle > 0 && angle < math.Pi/2) || !(mu >= 0 && mu <= 1.5) {
		return 0, fmt.Errorf("%w: Nadal's limit at %g rad with friction %g", ErrInput, angle, mu)
	}
	t := math.Tan(angle)
	return (t - mu) / (1 + mu*t), nil
}

// AxleSumLimit is Nadal's limit of the flanging wheel, at the friction of its rail's face, plus the friction on top of
// the other wheel's rail: what |L/V| of both wheels of an axle may add up to (Weinstock 1984).
func AxleSumLimit(angle, face, other float64) (float64, error) {
	n, err := Nadal(angle, face)
	return n + other, err
}

// Ranges that the fit of ClimbDistance holds in: flange angle in degrees, flange length in inches.
const (
	fitAngleLo, fitAngleHi   = 63.0, 75.0
	fitLengthLo, fitLengthHi = 0.3, 0.8
)

// ClimbDistance is the way in mm over which a wheel climbs that stays over Nadal's limit: TCRP Report 71 volume 5,
// equation 2.4. attack is the angle of attack in rad (0 to 0.1), angle the steepest angle of the flange in rad, length
// that of its arc from there to the tip in mm (FlangeLength of a wheel's shape). ErrOutOfFit is returned outside 63 to
// 75 degrees and 0.3 to 0.8 in, where the fit has poles. The layout of the printed equation was rebuilt; at 75 degrees
// it agrees with the report's own 26.33/(AoA + 1.2) ft (from memory) within 4 percent.
func ClimbDistance(attack, angle, length float64) (float64, error) {
	a, d, l := attack*1000, angle/degree, length/measure.MMPerInch
	if !(a >= 0 && a <= 100) {
		return 0, fmt.Errorf("%w: angle of attack %.2f mrad (from 0)", ErrOutOfFit, a)
	}
	const within = 0.05 // degrees: a face drawn at 75 degrees counts as 75
	if !(d >= fitAngleLo-within && d <= fitAngleHi+within) {
		return 0, fmt.Errorf("%w: flange angle %.1f degrees (from %g to %g)", ErrOutOfFit, d, fitAngleLo, fitAngleHi)
	}
	if !(l >= fitLengthLo && l <= fitLengthHi) {
		return 0, fmt.Errorf("%w: flange length %.3f in (from %g to %g)", ErrOutOfFit, l, fitLengthLo, fitLengthHi)
	}
	p := (100/(-1.9128*d+146.56)+3.1)*l - 1/(-0.0092*d*d+1.2152*d-39.031) + 1.23
	q := (10/(-21.157*l+2.1052)+0.05)*d + 10/(0.2688*l-0.0266) - 5
	return p * q * l / (a + q*l) * 12 * measure.MMPerInch, nil
}

// RolloverLimit is the L/V of a truck side at which a rail held by nothing turns about the field edge of its base:
// (base/2 + e)/h, e the load's place from the middle of the rail toward the gauge side, h the height of the lateral
// force over the base, all in mm. Rail stiffness against twisting, fastenings and other wheels come on top.
func RolloverLimit(base, e, h float64) (float64, error) {
	if !(base > 0) || !(h > 0) || math.IsNaN(e) || math.Abs(e) > base {
		return 0, fmt.Errorf("%w: rollover of a base of %g mm, load %g mm from the middle, height %g mm", ErrInput,
			base, e, h)
	}
	return (base/2 + e) / h, nil
}

// Holding is the resistance of ties and fastenings to spreading.
type Holding struct {
	Give    float64 // by how much gauge opens under spreading, mm per N
	Assumed bool    // not measured here
}

// LoadedGauge is the gauge in mm under a spreading force (N, as in Solution.Spreading):
// gauge plus give times force. Straight only while ties and fastenings stay elastic.
func LoadedGauge(gauge, spreading float64, h Holding) (float64, error) {
	if !(gauge > 0) || !(h.Give >= 0) || math.IsNaN(spreading) || math.IsInf(h.Give*spreading, 0) {
		return 0, fmt.Errorf("%w: gauge %g mm, spreading %g N, give %g mm/N", ErrInput, gauge, spreading, h.Give)
	}
	return gauge + h.Give*math.Max(spreading, 0), nil
}
