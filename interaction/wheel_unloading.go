package interaction

import (
	"fmt"
	"math"
	"strings"

	"flangeway/interaction/load"
	"flangeway/internal/measure"
	"flangeway/track"
)

func wheelUnloading() *Check {
	return &Check{
		ID: "wheel-unloading", Meets: "a car on twisted or tilted track",
		Severity: Critical, // a wheel without load climbs or drops
		Drawing:  RailsOutOfLevel, Derived: drawnTwist,
		Happens: "lightest wheel keeps a tenth of its load or less",
		Works:   Surface, Car: true, ComputedOnly: true, Percent: true, Even: true, Reserve: "reserve_unloading",
		Formula: "1 - twist - elevation - load to one side - 0.10, in percent of the static wheel load; clear above " +
			"zero",
		Hurts: []string{"derailment"},
		Believe: "The car stands, or runs at any speed up to the feature's. The warp that was read may lie within " +
			"the truck centers as a whole or in part. Springs, center plates, side bearings and the body take it up: " +
			"a truck side loses 4M/(W s), twist alone at most what a body that lies on its bearings loses, so that " +
			"the lightest wheel lifts by twist with elevation or with a load to one side. Elevation over or under " +
			"what the speed balances takes 2hE/s2. The shares add up with their worse signs, since no sheet says " +
			"which way they go, so the pair is listed at the car's first wheel. Stiffnesses and sizes are assumed " +
			"(settings). What was not read is tried over what it can be: warp, crosslevel and elevation up to the " +
			"federal limit of the class, of class 1 where it is not known or excepted; a body as a stiff one; truck " +
			"centers up to unread_truck_centers; a load to one side up to unread_load_imbalance; speed up to 3 in of " +
			"unbalance. Warp has no column at a switch: what it could take there marks a clear pair close. The " +
			"height of the center of gravity is gravity_height for every weight, so that a lighter car is never " +
			"better. Not in the model: motion, worn center plates, warp within a truck, frames that do not pitch " +
			"freely, as of locomotives, whose side bearings and springs are taken as those of a freight car. No " +
			"published figures were found to hold it against; it is statics.",
		Settings: unloadingSettings(),
		Look:     "the crosslevel over the car's truck centers, and how its load stands",
		Sources: []string{"least wheel load above 10 percent of the static load: 49 CFR 238 appendix C, written for " +
			"passenger cars", "twist, elevation, load: statics, worked out for this project (flangeway sources)",
			"balance: 0.0007 D V2 of 49 CFR 213.57(b)"},
		Reminders: []string{"213.63(a)-note2"},
		Kinds:     []track.Kind{track.Curve, track.Switch, track.Spot},
		AnyOf:     []track.Quantity{track.Warp, track.Crosslevel, track.Elevation},
		wheel:     carUnderLoad,
		place:     twistedTrack,
		Join:      unloadingMargin,
		FixTrack:  surface,
		FixWheel:  trimLoad,
		Notes:     unloadingNotes,
		Wants:     unloadingWants,
		Assumes:   unloadingAssumes,
		Unloading: unloadingShares,
	}
}

// unloadingSettings are the settings that enter the load of a wheel.
func unloadingSettings() []string {
	return []string{"truck_centers", "body", "body_ordinary", "body_soft", "nest_stiffness", "nest_spacing",
		"center_plate_radius", "side_bearing_spacing", "side_bearing_clearance", "gravity_height",
		"unread_truck_centers", "unread_load_imbalance"}
}

// span is one figure that the load of a wheel rests on; the more of it, the less is left.
type span struct {
	least, as, most float64 // of what was read, or of the setting in its place
	tried           float64 // the most that it can be if it was not read, else most
	read            bool
	blurred         bool // read by a bound alone
}

// ends of the figures that a car and a place leave open.
const (
	asRead  = iota // as written, what was not read as nothing or as set
	atLeast        // with the least of what was read
	atMost         // with the most of what was read
	atWorst        // and with what was not read at its worst
	numLoadEnds
)

func (s span) at(end int) float64 { return [numLoadEnds]float64{s.as, s.least, s.most, s.tried}[end] }

// shares are the parts of its load that the lightest wheel loses at one end.
func (c *carLoad) shares(t *twisted, end int) load.Shares {
	return load.Shares{Twist: c.twist(t.between(c, end), end), Elevation: c.tilt(t.tilt.at(end)),
		Imbalance: c.imbalance.at(end) / 100}
}

// unloadingMargin is the margin in percent of the static wheel load.
func unloadingMargin(_ *Rules, w, p *Part) Margin {
	c, t := w.car, p.twisted
	if c == nil || t == nil || len(c.lacks) > 0 {
		return Margin{Verdict: NotMeasured}
	}
	of := func(end int) float64 { return 100 * (c.shares(t, end).Kept() - load.Least) }
	m := Margin{As: of(asRead), Lo: of(atWorst), Hi: of(atLeast),
		NoAs: t.warp.blurred || t.tilt.blurred || c.centers.blurred || c.imbalance.blurred}
	switch m.Verdict = VerdictOf(m.Lo, m.Hi); {
	case m.Verdict == Clear && m.Lo <= near: // the published least is one to be kept above
		m.Verdict = Undecided
	case m.Verdict == Clear:
		return m
	}
	if m.Verdict == Undecided {
		m.Settle, _ = c.open(t)
	}
	return m
}

// open names what would decide a pair: what was not read if that takes load, else the reading that leaves most open.
func (c *carLoad) open(t *twisted) (place Mask, columns []string) {
	worst, most, least := c.shares(t, atWorst), c.shares(t, atMost), c.shares(t, atLeast)
	if !t.warp.read && t.warp.tried > near && worst.Twist > most.Twist+near {
		place |= t.warpBit
	}
	if worst.Elevation > most.Elevation+near {
		if !t.tilt.read {
			place |= t.tiltBit
		}
		columns = append(columns, t.speed...)
	}
	if stiff := c.twist(t.between(c, atWorst), atMost); !c.bodyRead && worst.Twist > stiff+near {
		columns = append(columns, "body")
	}
	if !c.centers.read && t.between(c, atWorst) > t.betweenAt(c.centers.most, atWorst)+near {
		columns = append(columns, "truck_centers")
	}
	if !c.imbalance.read && worst.Imbalance > near {
		columns = append(columns, "load_imbalance")
	}
	if place != 0 || len(columns) > 0 {
		return place, columns
	}
	twist, tilt, side := most.Twist-least.Twist, most.Elevation-least.Elevation, most.Imbalance-least.Imbalance
	switch widest := math.Max(twist, math.Max(tilt, side)); {
	case widest <= near:
	case twist >= widest:
		return t.warpBit, nil
	case tilt >= widest:
		return t.tiltBit, nil
	default:
		return 0, []string{"load_imbalance"}
	}
	return 0, nil
}

// parts are the shares of the wheel and the place that a wording looks at.
func (x Fix) parts(c *Check) (*carLoad, *twisted) {
	return c.WheelPart(x.Rules, x.Wheel, false).car, c.PlacePart(x.Rules, x.Feature, false).twisted
}

func unloadingWants(x Fix) []string {
	c, t := x.parts(wheelUnloading())
	switch {
	case len(c.lacks) > 0:
		return c.lacks
	case x.Margin.Verdict == Undecided:
		_, columns := c.open(t)
		return columns
	}
	return nil
}

// unloadingAssumes says what a clear pair rests on that no sheet can hold; "" for nothing.
func unloadingAssumes(x Fix) string {
	c, t := x.parts(wheelUnloading())
	if len(c.lacks) > 0 || t.noWarp == 0 {
		return ""
	}
	u := *t
	u.warp.tried = t.noWarp
	if c.shares(&u, atWorst).Kept() > load.Least+near {
		return ""
	}
	return "that the track is less twisted here than its class allows (" +
		measure.Inch(math.Floor(t.noWarp/eighth+near)*eighth) +
		" in within 62 ft); no sheet has a column for warp along a switch"
}

func unloadingShares(x Fix) *load.Shares {
	c, t := x.parts(wheelUnloading())
	if len(c.lacks) > 0 {
		return nil
	}
	s := c.shares(t, asRead)
	return &s
}

// unloadingNotes names the shares and which of them would clear the pair alone, if it were gone.
func unloadingNotes(x Fix) []string {
	c, t := x.parts(wheelUnloading())
	if len(c.lacks) > 0 {
		return nil
	}
	s := c.shares(t, asRead)
	out := []string{fmt.Sprintf("shares of the load lost, with the readings as written: twist %.2f, elevation %.2f, "+
		"load to one side %.2f; the lightest wheel keeps %.2f of its load", s.Twist, s.Elevation, s.Imbalance,
		math.Max(0, s.Kept()))}
	if !c.imbalance.read {
		out = append(out, "load_imbalance was not read and counts as none but for the lower end of the margin")
	}
	if c.axles != 4 || c.framed {
		out = append(out, "its trucks are taken as those of a four-axle freight car; frames that do not pitch freely "+
			"lose more on warp within a truck")
	}
	if x.Margin.Verdict != Conflict && x.Margin.Verdict != Undecided {
		return out
	}
	if t.warp.read && t.over > c.centers.as+measure.MMPerInch {
		out = append(out, fmt.Sprintf("how much of the warp lies within the truck centers is not known: warp read "+
			"over them, %.0f ft, with warp_over so, tells more", c.centers.as/foot))
	}
	w := c.shares(t, atWorst)
	var alone []string
	for _, k := range []struct {
		name string
		of   float64
	}{{"twist", w.Twist}, {"elevation", w.Elevation}, {"load to one side", w.Imbalance}} {
		if k.of > near && w.Kept()+k.of > load.Least+near {
			alone = append(alone, k.name)
		}
	}
	if len(alone) == 0 {
		return append(out, "none of the shares clears it alone if it is taken away")
	}
	return append(out, "clear, if it alone is taken away: "+strings.Join(alone, "; "))
}
