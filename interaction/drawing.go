package interaction

import (
	"fmt"
	"strings"

	"flangeway/internal/measure"
)

// Drawing is a kind of drawing of a pair.
type Drawing uint8

// The drawings that there are, package draw has one of each.
const (
	_               Drawing = iota
	TipOverFloor            // a flange tip over the floor of a frog
	FlangeAtFrog            // a flange beside the frog's point, the mate held by the guard rail
	BacksOverGuard          // the backs of an axle over guard rail and wing
	FlangeInFrog            // a flange between wing and frog point
	FlangeAtGuard           // a flange between guard rail and running rail
	TreadOnWing             // a hollow tread on a frog's wing
	TipOverBar              // a flange tip over a joint bar
	AxleInWide              // an axle hard against one rail of wide gauge
	AxleInTight             // an axle between the rails of tight gauge
	BackAtOpenPoint         // a flange back at an open switch point
	TreadOverStock          // a false flange over the stock rail
	TipOnPoint              // a flange tip on a switch point
	FlangeAtGap             // a flange beside the gap of a switch point
	TreadOnRail             // a hollow tread on a rail
	RailsOutOfLevel         // both rails at one truck of a car, and at the other
	NumDrawings
)

// Dimension is one dimension line of a drawing: mm, or degrees of an angle.
type Dimension struct {
	MM     float64 // as written; the given end of a one-sided reading
	Lo, Hi float64 // its interval
	Text   string  // as written, with its unit
}

// Drawn holds the dimensions of a pair for its drawing.
type Drawn struct {
	// Read holds what entered, by the name of its column or setting; a reading of the mate has "mate " before it.
	Read       map[string]Dimension
	Verdict    Verdict
	As, Lo, Hi *float64 // the margin; nil if not known
}

// allowedHollow adds the hollow that is allowed, from the margin.
func allowedHollow(d Drawn) {
	if q, ok := d.Read["tread_hollow"]; ok && d.Hi != nil {
		v := *d.Hi + q.Lo
		d.Read["allowed"] = Dimension{MM: v, Lo: v, Hi: v, Text: tenths(v) + " mm"}
	}
}

// greatestSpread puts the greatest back-to-back in the place of the least, if it was read.
func greatestSpread(d Drawn) {
	if most, ok := d.Read["back_to_back_max"]; ok {
		d.Read["back_to_back"] = most
	}
}

// tenths writes a figure with at most one decimal.
func tenths(v float64) string {
	s := fmt.Sprintf("%.1f", v)
	return strings.TrimSuffix(strings.Replace(s, "-0.0", "0.0", 1), ".0")
}

// between64ths writes an interval in inches.
func between64ths(lo, hi float64) string {
	return measure.NearestInch(lo, 64) + ".." + measure.NearestInch(hi, 64)
}
