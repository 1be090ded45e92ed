package interaction

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flangeway/interaction/load"
	"flangeway/internal/measure"
)

const eighth = measure.MMPerInch / 8

// figure writes a plain number with commas, as weights are.
func figure(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// keeps reports whether the lightest wheel keeps the reserve above the least at the worst.
func keeps(r *Rules, c *carLoad, t *twisted) bool {
	return c.shares(t, atWorst).Kept() >= load.Least+r.Value("reserve_unloading")/100-near
}

// given is a span that is one value.
func given(v float64) span { return span{least: v, as: v, most: v, tried: v, read: true} }

// down is the greatest multiple of a step, from one that is not above most down to 0, at which something is so.
func down(most, step float64, is func(v float64) bool) (v float64, ok bool) {
	for n := math.Floor(most/step + near); n >= 0; n-- {
		if is(n * step) {
			return n * step, true
		}
	}
	return 0, false
}

// readFirst asks for what was not read if that alone leaves a pair open; nil if work is to be measured by what was.
func readFirst(c *carLoad, t *twisted) []string {
	if c.shares(t, atMost).Kept() <= load.Least+near {
		return nil
	}
	place, columns := c.open(t)
	names := append(ReadingNames(place), columns...)
	if len(names) == 0 {
		return nil
	}
	return []string{"read " + strings.Join(names, " and ") + " first: what there is to do depends on it"}
}

// surface is the track side's repair: so much warp, else so much tilt.
func surface(x Fix) []string {
	c, t := x.parts(wheelUnloading())
	if len(c.lacks) > 0 {
		return nil
	}
	if first := readFirst(c, t); first != nil {
		return first
	}
	over := fmt.Sprintf("%.0f ft", t.over/foot)
	other := *t
	if w, ok := down(t.warp.tried, eighth, func(v float64) bool {
		other.warp = given(v)
		return keeps(x.Rules, c, &other)
	}); ok && t.warpBit != 0 {
		return []string{"surface the track: warp of " + measure.Inch(w) + " in or less within " + over}
	}
	for _, first := range []struct {
		does string
		warp span
	}{{"", t.warp}, {"no warp, and ", given(0)}} {
		other.warp = first.warp
		if e, ok := down(t.tilt.tried, eighth, func(v float64) bool {
			other.tilt = given(v)
			return keeps(x.Rules, c, &other)
		}); ok {
			return []string{"surface the track: " + first.does + measure.Inch(e) +
				" in or less of elevation over or under balance"}
		}
	}
	return []string{"none on the track side alone: the load stands too far to one side"}
}

// The steps in which a load is trimmed and weight is put on, percent and N, and the most of weight, that of the
// heaviest usual car (assumed).
const (
	trimStep   = 1.0
	weightStep = 5000 * measure.NewtonsPerPound
	weightMost = 315000 * measure.NewtonsPerPound
)

// trimLoad is the car side's repair: the load moved, or more of it.
func trimLoad(x Fix) []string {
	c, t := x.parts(wheelUnloading())
	if len(c.lacks) > 0 {
		return nil
	}
	if first := readFirst(c, t); first != nil {
		return first
	}
	var out []string
	trimmed := *c
	if p, ok := down(c.imbalance.tried, trimStep, func(v float64) bool {
		trimmed.imbalance = given(v)
		return keeps(x.Rules, &trimmed, t)
	}); ok && c.imbalance.read {
		out = append(out, fmt.Sprintf("move or trim the load: the heavier side of a truck at most %.0f percent over "+
			"half", p))
	}
	loaded := *c
	for w := math.Ceil(c.car.Weight/weightStep) * weightStep; w <= weightMost+near; w += weightStep {
		if loaded.car.Weight = w; keeps(x.Rules, &loaded, t) {
			return append(out, "hold the car off this place while it weighs less than "+
				figure(math.Round(w/measure.NewtonsPerPound))+" lb")
		}
	}
	if len(out) == 0 {
		return []string{"none that is enough alone: hold the car off this place"}
	}
	return out
}
