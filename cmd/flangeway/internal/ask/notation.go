package ask

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/track/shape"
)

// pair splits NEAR[,FAR].
func pair(text string) (near, far string, err error) {
	near, far, two := strings.Cut(text, ",")
	near, far = strings.TrimSpace(near), strings.TrimSpace(far)
	if !two {
		return near, near, nil
	}
	if near == "" || far == "" || strings.Contains(far, ",") {
		return "", "", fmt.Errorf("%q is not one value or two with a comma between", text)
	}
	return near, far, nil
}

// Millimetres is how a flag is read of which a bare number is mm.
func Millimetres(lo, hi float64) measure.Spec {
	return measure.Spec{Column: "value", Unit: measure.Millimetres, Lo: lo, Hi: hi}
}

// Inches is how a flag is read that is no column of a sheet; lo and hi are in inches.
func Inches(column string, lo, hi float64) measure.Spec {
	return measure.Spec{Column: column, Unit: measure.Inches, Lo: lo * measure.MMPerInch, Hi: hi * measure.MMPerInch}
}

// Plain is a number as one would write it.
func Plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// decimal reads a number as one would write it: neither a hexadecimal one nor one without an end.
func decimal(text string) (v float64, ok bool) {
	text = strings.TrimSpace(text)
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !strings.ContainsAny(strings.ToLower(text), "_xinp")
}

// Number reads a bare number within its range.
func Number(flag, text string, lo, hi float64) (float64, error) {
	v, ok := decimal(text)
	if !ok || v < lo || v > hi {
		return 0, cli.Usagef("--%s %q is not a number from %g to %g", flag, text, lo, hi)
	}
	return v, nil
}

// Speed reads a speed in mph, with or without its unit.
func Speed(flag, text string) (float64, error) {
	v, ok := decimal(strings.TrimSuffix(strings.TrimSpace(text), "mph"))
	if !ok || v < 0 || v > track.MaxSpeedMPH {
		return 0, cli.Usagef("--%s %q is not a speed in mph (0 to %d)", flag, text, track.MaxSpeedMPH)
	}
	return v, nil
}

// Friction reads a coefficient of friction.
func Friction(flag, text string) (float64, error) {
	v, ok := decimal(text)
	if !ok || v < 0.01 || v > 1 {
		return 0, cli.Usagef("--%s %q is not a friction coefficient from 0.01 to 1", flag, text)
	}
	return v, nil
}

// Rate reads n of 1:n; 0 for none, blunt or flat.
func Rate(flag, text string) (float64, error) {
	switch text {
	case "blunt", "none", "flat", "0":
		return 0, nil
	}
	if v, ok := oneTo(text, 1000); ok {
		return v, nil
	}
	return 0, cli.Usagef("--%s %q is not a rate such as 1:40 (1:5 to 1:1000)", flag, text)
}

// oneTo reads n of 1:n, from 5 to most.
func oneTo(text string, most float64) (n float64, ok bool) {
	if text, ok = strings.CutPrefix(strings.Replace(text, "/", ":", 1), "1:"); ok {
		n, ok = decimal(text)
	}
	return n, ok && n >= 5 && n <= most
}

// Cant reads the inward lean of the rails, rad.
func Cant(flag, text string) (float64, error) {
	if text == "none" || text == "0" {
		return 0, nil
	}
	if v, ok := oneTo(text, 10000); ok {
		return shape.CantOf(v), nil
	}
	return 0, cli.Usagef("--%s %q is not 1:40, 1:20 or none", flag, text)
}

// Newtons reads the load of a wheel: newtons without a unit, else N, kN, lb, lbf, kip.
func Newtons(flag, text string) (float64, error) { return force(flag, text, 1) }

// Pounds reads a weight: pounds without a unit, else as [Newtons]. It gives newtons.
func Pounds(flag, text string) (float64, error) { return force(flag, text, measure.NewtonsPerPound) }

func force(flag, text string, plain float64) (float64, error) {
	t := strings.ToLower(strings.NewReplacer(" ", "", ",", "").Replace(text))
	factor := plain
	for _, u := range []struct {
		unit string
		f    float64
	}{{"kn", 1000}, {"n", 1}, {"lbf", measure.NewtonsPerPound}, {"lb", measure.NewtonsPerPound},
		{"kips", 1000 * measure.NewtonsPerPound}, {"kip", 1000 * measure.NewtonsPerPound}} {
		if n, ok := strings.CutSuffix(t, u.unit); ok {
			t, factor = n, u.f
			break
		}
	}
	v, ok := decimal(t)
	if v *= factor; !ok || v <= 0 || v > 1e7 {
		return 0, cli.Usagef("--%s %q is not a force such as 100kN or 35750lb", flag, text)
	}
	return v, nil
}

// Moment reads a moment into N·mm: N·m without a unit, else N.m, kN.m.
func Moment(flag, text string) (float64, error) {
	t := strings.ToLower(strings.NewReplacer(" ", "", "·", "", ".m", "m", "*", "").Replace(strings.TrimSpace(text)))
	factor := 1.0
	if n, ok := strings.CutSuffix(t, "knm"); ok {
		t, factor = n, 1000
	} else if n, ok := strings.CutSuffix(t, "nm"); ok {
		t = n
	}
	v, ok := decimal(t)
	if !ok || math.Abs(v*factor) > 1e6 {
		return 0, cli.Usagef("--%s %q is not a moment such as 20000 (N.m) or 20kN.m", flag, text)
	}
	return v * factor * 1000, nil
}

// Feet reads a distance in whole feet, 1 to 100.
func Feet(flag, text string) (float64, error) {
	v, err := Number(flag, strings.TrimSuffix(strings.TrimSpace(text), " ft"), 1, 100)
	if err == nil && v != math.Trunc(v) {
		return 0, cli.Usagef("--%s %q is not a whole number of feet from 1 to 100", flag, text)
	}
	return v, err
}

// Stiffness reads a stiffness against warp into N·mm/rad: N·m/rad.
func Stiffness(flag, text string) (float64, error) {
	v, ok := decimal(text)
	if !ok || v <= 0 || v > 1e12 {
		return 0, cli.Usagef("--%s %q is not a stiffness in N.m/rad", flag, text)
	}
	return v * 1000, nil
}
