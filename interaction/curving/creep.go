package curving

import "math"

// Saturate is the share of friction that a force of the linear law comes to: force is the linear resultant over
// friction times normal force (>= 0). Cubic of Vermeulen and Johnson 1964, taken with Kalker's coefficients and the
// resultant as Shen, Hedrick and Elkins 1983 do: tau - tau²/3 + tau³/27 up to 3, then 1.
func Saturate(tau float64) float64 {
	if tau >= 3 {
		return 1
	}
	return tau * (1 - tau*(1-tau/9)/3)
}

// saturated is Saturate(tau)/tau: by what the linear forces are to be multiplied.
func saturated(tau float64) float64 {
	if tau >= 3 {
		return 1 / tau
	}
	return 1 - tau*(1-tau/9)/3
}

// saturatedSlope is by how much saturated changes with tau.
func saturatedSlope(tau float64) float64 {
	if tau >= 3 {
		return -1 / (tau * tau)
	}
	return -(1 - 2*tau/9) / 3
}

const faceLo, faceHi = 20 * math.Pi / 180, 45 * math.Pi / 180

// face is how much of the gauge-face friction acts at a contact angle (rad): none up
// to 20 degrees, all from 45, a smooth step between. The bounds are this project's own.
func face(angle float64) float64 {
	switch t := (angle - faceLo) / (faceHi - faceLo); {
	case t <= 0:
		return 0
	case t >= 1:
		return 1
	default:
		return t * t * (3 - 2*t)
	}
}

// faceSlope is by how much face grows with the contact angle.
func faceSlope(angle float64) float64 {
	t := (angle - faceLo) / (faceHi - faceLo)
	if t <= 0 || t >= 1 {
		return 0
	}
	return 6 * t * (1 - t) / (faceHi - faceLo)
}
