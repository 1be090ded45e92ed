package paper

import (
	"fmt"
	"strings"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/measure"
)

// Passage is the page of the passage command.
func Passage(a export.Passage, form Form) *Document {
	p := &Document{Form: form}
	switch a.Over {
	case "frog":
		p.heading(1, "One wheel through a frog")
	case "diamond":
		p.heading(1, "One wheel over a diamond")
	default:
		p.heading(1, "One wheel over a switch point")
	}
	judgedItems(p, a)
	p.heading(2, "What happens")
	p.item("held", "by "+a.Held+".")
	if a.Over == "switch" {
		switchItems(p, a)
	} else {
		frogItems(p, a)
	}
	forceItems(p, a)
	p.gap()
	if len(a.Positions) > 1 {
		p.heading(2, "At other positions across")
		var rows [][]string
		for _, q := range a.Positions {
			rows = append(rows, []string{q.Why, inch(q.TransferX), fmt.Sprintf("%.2f", q.Lift),
				fmt.Sprintf("%.2f", q.Drop), fmt.Sprintf("%.1f", q.DipAngle), inch(q.TipClearance), inch(q.PointRoom)})
		}
		p.table([]string{"held by", "transfer in", "lift mm", "drop mm", "dip mrad", "tip in", "point in"}, rows, 1,
			2, 3, 4, 5, 6)
		p.gap()
	}
	stations(p, a)
	inputsEntered(p, a.Inputs)
	p.heading(2, "Built-in figures that entered")
	for _, d := range a.Assumed {
		p.item(d.Setting, fmt.Sprintf("%s (%s: %s).", d.Value, d.Kind, d.Source))
	}
	footer(p, a.Warnings, a.Cautions)
	return p
}

// at writes a station in inches.
func at(mm *float64) string {
	if mm == nil {
		return "-"
	}
	return inchTenth(*mm) + " in"
}

func inchTenth(mm float64) string { return fmt.Sprintf("%.1f", mm/measure.MMPerInch) }

// both writes a length in inches and millimetres.
func both(mm float64) string { return fmt.Sprintf("%.3f in (%.2f mm)", mm/measure.MMPerInch, mm) }

func frogItems(p *Document, a export.Passage) {
	if n := len(a.Cuts); n > 0 {
		p.item("cuts", worded("%d flangeways of the other track cut the rail, each %s long: from %s and from %s. A "+
			"wheel comes to the far side %s.", n, both(a.Cuts[0].To-a.Cuts[0].From), at(&a.Cuts[0].From),
			at(&a.Cuts[n-1].From), map[string]string{"flange-first": "with its flange side first",
				"field-first": "with its field side first"}[a.Rail]))
	}
	if a.LiftX != nil {
		p.item("lift", fmt.Sprintf("%s over the height at the start, at %s.", both(a.Lift), at(a.LiftX)))
	} else {
		p.item("lift", "none over the height at the start.")
	}
	if a.TransferX != nil && a.Over == "diamond" {
		p.item("transfer", fmt.Sprintf("the load passes over the last cut at %s (x from the first one).",
			at(a.TransferX)))
	} else if a.TransferX != nil {
		p.item("transfer", fmt.Sprintf("the load passes between wing and point at %s (x from the theoretical point "+
			"to the heel).", at(a.TransferX)))
	} else {
		p.item("transfer", "none: the load stays where it is.")
	}
	p.item("drop", fmt.Sprintf("%s from the height before, at %s.", both(a.Drop), at(a.DropX)))
	if b := a.Bearing; b != nil {
		bearingItem(p, b)
	} else if a.TipClearance != nil {
		word := "the flange tip clears the floor by"
		v := *a.TipClearance
		if v < 0 {
			word, v = "THE FLANGE BEARS ON THE FLOOR by", -v
		}
		plain := ""
		if a.PlainFloor != nil {
			plain = fmt.Sprintf(" Plain arithmetic, depth less flange height: %s in.", inch(a.PlainFloor))
		}
		p.item("floor", fmt.Sprintf("%s %s at %s.%s", word, both(v), at(a.TipClearanceX), plain))
	}
	if a.PointRoom != nil {
		if v := *a.PointRoom; v < 0 {
			p.item("point", fmt.Sprintf("THE FLANGE MEETS THE BLUNT POINT by %s.", both(-v)))
		} else {
			p.item("point", fmt.Sprintf("the flange clears the side of the blunt point by %s.", both(v)))
		}
	}
}

// bearingItem says what a flange does over a frog that is made to bear it.
func bearingItem(p *Document, b *export.PassageBearing) {
	s := fmt.Sprintf("the flange carries the wheel from %s to %s and lifts the tread by up to %s", at(&b.From),
		at(&b.To), both(b.Lift))
	if !b.Whole {
		s += "; NOT OVER EVERY GAP: the tread dips at one"
	}
	p.item("bearing", s+fmt.Sprintf(". A floor worn deeper by %s is out of its reach. The wheel turns %.1f %% slower "+
		"on its flange, and slides by as much on the ramps.", both(b.Reach), b.Slower))
	if b.Pressure != nil {
		p.item("pressure", fmt.Sprintf("%.0f N/mm2 by the static load on a flat floor; a groove that fits the flange "+
			"has less.", *b.Pressure))
	}
}

// climbs is check's verdict of the flange on the point if it is not clear; else "".
func climbs(a export.Passage) string {
	for _, j := range a.Judged {
		if j.OnPoint && j.Verdict != "clear" {
			return j.Verdict
		}
	}
	return ""
}

// judgedItems put check's verdicts before the one passage: what is undecided is said first.
func judgedItems(p *Document, a export.Passage) {
	if len(a.Judged) == 0 {
		return
	}
	p.heading(2, "What check says of this wheel here")
	for _, j := range a.Judged {
		s := strings.ToUpper(j.Verdict) + ", "
		if j.Close {
			s += "close, "
		}
		s += j.Text
		if j.Doubt != "" && j.Verdict != "clear" {
			s = "READ AGAIN FIRST (" + j.Doubt + "): " + j.Verdict + ", " + j.Text
		}
		if j.Settle != "" {
			s += "; settle: " + SpokenText(j.Settle)
		}
		p.item(j.Check, s)
	}
	p.para("This is over the ends of what was read and over what was not read can be; what follows is one passage, " +
		"as written.")
	p.gap()
}

func switchItems(p *Document, a export.Passage) {
	if a.YawMrad != nil {
		p.item("yaw", fmt.Sprintf("%.1f mrad, all that the play allows.", *a.YawMrad))
	}
	if a.PointMrad != nil {
		with := ""
		if a.AttackMrad != nil {
			with = fmt.Sprintf(", with the yaw %.1f", *a.AttackMrad)
		}
		p.item("attack", fmt.Sprintf("the point stands at %.1f mrad to the stock rail%s: friction is spent across "+
			"the track there, and at %.2g a flange that is met below %.1f degrees climbs whatever the truck "+
			"adds, both wheels of the axle loaded alike.", *a.PointMrad, with, *a.Friction, *a.HeldAngle))
	}
	switch {
	case a.TipRoom == nil:
		p.item("tip", "THE FLANGE PASSES ABOVE THE TIP.")
	case *a.TipRoom < 0:
		p.item("tip", fmt.Sprintf("THE FLANGE MEETS THE TIP END-ON by %s.", both(-*a.TipRoom)))
	default:
		p.item("tip", fmt.Sprintf("the flange clears the side of the tip by %s; x runs from the tip to the heel.",
			both(*a.TipRoom)))
	}
	if a.FirstX != nil {
		of := ""
		if a.ShapeAngle != nil {
			of = fmt.Sprintf(" (%.1f by the shape with its vertical flange, which check does not rely "+
				"on beside the tip)", *a.ShapeAngle)
		}
		p.item("angle", fmt.Sprintf("the flange first meets the point at %s; the least contact angle is %.1f "+
			"degrees%s, at %s.", at(a.FirstX), *a.LeastAngle, of, at(a.LeastAngleX)))
	}
	if a.RideUpX != nil {
		p.item("ride up", fmt.Sprintf("A FLANGE CAN RIDE UP from %s on.", at(a.RideUpX)))
	}
	if a.BehindX != nil {
		p.item("behind", fmt.Sprintf("A FLANGE CAN PASS BEHIND OR OVER THE POINT at %s.", at(a.BehindX)))
	}
	if a.StepX != nil {
		p.item("chip", fmt.Sprintf("the step behind it, at %s, is met at %.1f degrees.", at(a.StepX), *a.StepAngle))
	}
	switch {
	case a.RideUpX != nil || a.BehindX != nil:
	case climbs(a) != "":
		p.item("ride up", "not at this one passage by the shape as written; check says "+strings.ToUpper(climbs(a))+
			", as above.")
	case a.StepX != nil:
		p.item("ride up", "not by these readings: the contact angle stays above the climb angle, at the step behind "+
			"the chip too.")
	case a.Chipped:
		p.item("ride up", "not by these readings: the contact angle stays above the climb angle and the flange on "+
			"its side; the chip has no step to meet, for it is under 2 in long or no deeper than the point lies "+
			"there anyhow.")
	default:
		p.item("ride up", "nowhere: the contact angle stays above the climb angle and the flange on its side.")
	}
	if a.TransferX != nil {
		p.item("transfer", fmt.Sprintf("the load passes to the point at %s.", at(a.TransferX)))
	}
	if a.FalseFlange != nil {
		if v := *a.FalseFlange; v < 0 {
			p.item("outer tread", fmt.Sprintf("THE FALSE FLANGE RIDES THE STOCK RAIL at the heel, %s higher than the "+
				"point carries it.", both(-v)))
		} else {
			p.item("outer tread",
				fmt.Sprintf("it clears the stock rail by %s where the point has its whole rise.", both(v)))
		}
	}
}

func forceItems(p *Document, a export.Passage) {
	if a.DipX != nil {
		p.item("dip", fmt.Sprintf("%.1f mrad at %s: the blow behind it (P2) is %.1f kN, static %.1f kN.", a.DipAngle,
			at(a.DipX), a.P2, a.Static))
	} else {
		p.item("dip", fmt.Sprintf("none; static %.1f kN.", a.Static))
	}
	for _, k := range a.Strikes {
		capped := ""
		if k.Capped {
			capped = ", all that the track's spring can give"
		}
		off := ""
		if k.OffAdded != nil {
			off = fmt.Sprintf("; coming off it turns by %.1f mrad and adds %.1f kN", *k.OffAngle, *k.OffAdded)
		}
		from, to, met := k.From, k.To, ""
		if k.How == "step" {
			met = fmt.Sprintf(", overlaps the edge by %.2f mm", k.Met)
		}
		p.item("strike", fmt.Sprintf("%s, met as a %s of %.1f mrad, carries from %s to %s%s and lifts by %.2f mm: "+
			"adds %.1f kN%s%s.", k.What, k.How, k.Angle, at(&from), at(&to), met, k.Rise, k.Added, capped, off))
	}
	bound := fmt.Sprintf("%g kN", a.Bound)
	if a.BoundFrom != "" {
		bound += " (" + a.BoundFrom + ")"
	}
	if a.BoundMPH != nil {
		p.item("P2 most", fmt.Sprintf("%s is reached at %.1f mph.", bound, *a.BoundMPH))
	} else {
		p.item("P2 most", bound+" is not reached.")
	}
}

// shownStations is about how many stations the page shows.
const shownStations = 24

func stations(p *Document, a export.Passage) {
	p.heading(2, "Station by station (json and csv have all)")
	plane := "tread plane, x from the theoretical point"
	switch a.Over {
	case "switch":
		plane = "top of the stock rail, x from the tip"
	case "diamond":
		plane = "tread plane, x from the first cut; point is the rail between both cuts, wing the rail " +
			"before and behind,"
	}
	p.para("Heights of the tread at the tape line over the " + plane + " to the heel.")
	p.gap()
	every := max(1, len(a.Stations)/shownStations)
	var rows [][]string
	last := ""
	for i, s := range a.Stations {
		switch s := s.(type) {
		case export.PassageStation:
			if i%every == 0 || i == len(a.Stations)-1 || s.RestsOn != last {
				rows = append(rows, []string{inchTenth(s.X), inch(&s.Z), s.RestsOn, inch(s.TipClearance)})
			}
			last = s.RestsOn
		case export.SwitchStation:
			if i%every == 0 || i == len(a.Stations)-1 || s.RestsOn != last {
				rows = append(rows,
					[]string{inchTenth(s.X), inch(&s.Z), s.RestsOn, inch(s.Down), inch(s.Exposed), number(s.Angle, 1)})
			}
			last = s.RestsOn
		}
	}
	if a.Over != "switch" {
		p.table([]string{"x in", "height in", "rests on", "tip clearance in"}, rows, 0, 1, 3)
	} else {
		p.table([]string{"x in", "height in", "rests on", "point down in", "stands out in", "contact deg"}, rows,
			0, 1, 3, 4, 5)
	}
	p.gap()
}
