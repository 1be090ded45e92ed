package paper

import (
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/track"
	"flangeway/wheel"
)

// verdictMeans says what a verdict of a pair means.
func verdictMeans(v interaction.Verdict) string {
	switch v {
	case interaction.Conflict:
		return "they hit, whatever the reading error"
	case interaction.Undecided:
		return "it may be either, for the reading error, for what was not read or for forms that are assumed"
	case interaction.NotMeasured:
		return "a reading is missing; a missing reading is never taken for zero, nor for clear"
	}
	return "they miss over the reading error; close: with little to spare, or none if what is assumed is not so; " +
		"stale: on an old or undated reading"
}

// verdictWord is the verdict of a line, a conflict in capitals.
func verdictWord(f *judge.Finding) string {
	if f.Verdict == interaction.Conflict {
		return "CONFLICT"
	}
	return f.Verdict.String()
}

// feature is the feature of a finding, kind/id.
func (f Form) feature(x *judge.Finding) string {
	return x.Feature.Kind.String() + "/" + f.name(x.Feature.ID)
}

// place is the feature of a finding in words where a drawing or a page names it; text names it as commands take it.
func (f Form) place(x *judge.Finding) string {
	if f != HTML {
		return f.feature(x)
	}
	return x.Feature.Kind.String() + " " + f.name(x.Feature.ID)
}

func (f Form) wheel(x *judge.Finding) string {
	return f.name(x.Wheel.Car.ID) + " " + x.Wheel.Position.String()
}

// checkAt names check and feature, and whether a clear pair has little to spare or rests on an old reading.
func (f Form) checkAt(x *judge.Finding) string {
	s := x.Check.ID + " " + f.feature(x)
	if x.Close && x.Verdict == interaction.Clear {
		s += " close"
	}
	if x.Stale && x.Verdict == interaction.Clear {
		s += " stale"
	}
	return s
}

// byPlace reports whether any ordinary wheel conflicts too.
func byPlace(f *judge.Finding) bool {
	return f.Verdict == interaction.Conflict && f.Cause == interaction.CausePlace
}

// worstWheel names the wheel of a line, and whether its readings are to be taken again.
func (f Form) worstWheel(x *judge.Finding) string {
	who := f.wheel(x)
	switch {
	case byPlace(x) && x.AtFault:
		who += ", at fault itself"
	case byPlace(x):
		who = "any ordinary wheel"
	}
	if x.Doubt != "" {
		who += ", read again"
	}
	return who
}

// who names the wheel of an explanation.
func (f Form) who(x *judge.Finding) string {
	who := f.wheel(x)
	switch {
	case byPlace(x) && x.AtFault:
		who += ", which is at fault itself"
	case byPlace(x):
		who = "any ordinary wheel (worst of the fleet: " + who + ")"
	}
	return who
}

// needs words the missing readings of a finding; gauge and loaded gauge stand for one another.
func needs(f *judge.Finding) string {
	return strings.Replace(strings.Join(f.SettleBy(), " and "), "gauge and loaded_gauge", "gauge or loaded_gauge", 1)
}

// SettleText says how a finding that is no conflict is settled; "" if nothing is to be.
func SettleText(f *judge.Finding) string {
	switch {
	case f.LookAt() != "":
		return "by no reading in the sheets; look at " + f.LookAt()
	case len(f.SettleBy()) > 0 && f.Verdict != interaction.Conflict:
		return settleBy(f)
	}
	return ""
}

// settleBy says what is to be read, and what, having been read, is to be read more closely. Of an
// undecided finding each entry settles it by itself.
func settleBy(f *judge.Finding) string {
	if f.Verdict == interaction.NotMeasured {
		return "by reading " + needs(f)
	}
	var unread, read []string
	for _, entry := range f.SettleBy() {
		if slices.ContainsFunc(strings.Split(entry, " and "), func(name string) bool { return !wasRead(f, name) }) {
			unread = append(unread, entry)
		} else {
			read = append(read, entry)
		}
	}
	var parts []string
	if len(unread) > 0 {
		parts = append(parts, "by reading "+strings.Join(unread, " or "))
	}
	if len(read) > 0 {
		parts = append(parts, "by reading "+strings.Join(read, " or ")+" more closely")
	}
	return strings.Join(parts, ", or ")
}

// wasRead reports whether a finding rests on a reading that was taken. Those of other wheels of a
// truck are not among its readings: one that is not known to be read is to be read.
func wasRead(f *judge.Finding, name string) bool {
	column, of, other := strings.Cut(name, " of ")
	w := f.Wheel
	switch {
	case w == nil:
	case of == "the mate":
		w = w.Mate()
	case other:
		w = nil
		for _, a := range f.Wheel.Car.AxleList {
			for _, x := range a.Wheels() {
				if x.Position.String() == of {
					w = x
				}
			}
		}
	}
	if q, ok := wheel.QuantityOf(column); ok && w != nil {
		return w.Read(q).Measured()
	}
	if q, ok := track.QuantityOf(column); ok && f.Feature != nil {
		return f.Feature.Read(q).Measured()
	}
	return slices.ContainsFunc(f.Readings, func(r interaction.Entered) bool {
		return r.Quantity == column && (r.Of != "") == other && !r.Default && r.Reading.Measured()
	})
}

func legalText(f *judge.Finding, federal bool) string {
	if !federal {
		return "federal set left out"
	}
	s := legalWord(f)
	if f.Verdict == interaction.Conflict && f.BothSharing > 0 && !f.BothLegal() {
		s += worded("; %d by no rule", f.BothSharing)
	}
	return s
}

func legalWord(f *judge.Finding) string {
	w, t := f.WheelWithinLimits, f.TrackWithinLimits
	switch {
	case !w.Stops() && !t.Stops():
		return "no rule"
	case w == limit.No && t == limit.No:
		return "both"
	case w == limit.No:
		return "the wheel"
	case t == limit.No:
		return "the track"
	}
	return "not known"
}

func causeText(f *judge.Finding) string {
	switch {
	case f.Cause == interaction.CausePlace && f.AllOrdinary:
		return "the place: any ordinary wheel, new or worn, conflicts there"
	case f.Cause == interaction.CausePlace:
		return "the place: of the ordinary wheels that every place is tried against, these conflict there: " +
			strings.Join(f.Ordinary, ", ")
	case f.Cause == interaction.CauseWheel:
		return "the wheel: it conflicts even on unworn track"
	}
	return "the pair: neither alone conflicts with new material"
}

func limitsText(f *judge.Finding, federal bool) string {
	if !federal {
		s := "the federal set is left out: not judged by it"
		for _, side := range []struct {
			name string
			word limit.Word
		}{{"wheel", f.WheelWithinPractice}, {"track", f.TrackWithinPractice}} {
			if side.word == limit.No {
				s += "; " + side.name + " past a figure of practice"
			}
		}
		return s
	}
	say := func(side string, w, practice limit.Word) string {
		s := side + " within federal limits: " + map[limit.Word]string{limit.Yes: "yes", limit.No: "no",
			limit.Unknown: "unknown (it is not known which rule holds: the class, the kind of car, its " +
				"service or its flange design)", limit.None: "none (no federal limit covers what was read)"}[w]
		if practice == limit.No {
			s += "; past a figure of practice"
		}
		return s
	}
	s := say("wheel", f.WheelWithinLimits, f.WheelWithinPractice) + "; " +
		say("track", f.TrackWithinLimits, f.TrackWithinPractice)
	if f.AtLimit {
		s += "; a reading stands at a federal limit: within as written, its reading error crosses"
	}
	return s
}
