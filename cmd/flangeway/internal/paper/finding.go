package paper

import (
	"fmt"
	"sort"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/judge"
)

// explained picks the findings to explain: as they are listed, but of those that hurt alike with the same verdict the
// ones first that no federal limit stops.
func explained(findings []*judge.Finding) []*judge.Finding {
	var out []*judge.Finding
	for _, f := range findings {
		if f.Verdict == interaction.Undecided || f.Verdict == interaction.Conflict && !f.OnlyWheels {
			out = append(out, f)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if x, y := a.Doubt != "", b.Doubt != ""; x != y {
			return y
		}
		if x, y := interaction.Harm(a.Check), interaction.Harm(b.Check); x != y {
			return x < y
		}
		if a.Verdict != b.Verdict {
			return a.Verdict < b.Verdict
		}
		return a.BothSharing > 0 && b.BothSharing == 0
	})
	return out
}

// findingTitle says what happens at a feature.
func (f Form) findingTitle(x *judge.Finding) string {
	s := f.place(x) + ": "
	switch x.Verdict {
	case interaction.Undecided:
		s += "it may be that the "
	case interaction.NotMeasured:
		return s + "not measured: " + x.Check.Meets
	case interaction.Clear:
		return s + "clear, the nearest pair: " + x.Check.Meets
	}
	return s + x.Check.Happens
}

// finding explains one pair, as much of it as there is room for.
func (c *checkPage) finding(f *judge.Finding, r room) Explained {
	head := strings.ToUpper(f.Verdict.String()) + " "
	if f.Doubt != "" && f.Verdict != interaction.Clear {
		head = "READ AGAIN FIRST (" + c.words(f.Doubt) + "): " + f.Verdict.String() + " "
	}
	out := Explained{Title: head + c.findingTitle(f) + " (" + f.Check.ID + ")"}
	add := out.item
	add("wheel", c.who(f)+": "+c.entered(f, "wheel"))
	add("track", c.entered(f, "track"))
	margin := c.margin(marginText(f.Margin))
	switch {
	case f.Computed != nil:
		add("computed", c.margin(f.Computed.Text())+": "+c.words(computedWhy(f)))
		add("plain rule", f.Plain.String()+", "+margin)
	case f.Unmarked():
		add("margin", margin+" (negative conflicts); what was seen tells against it")
	case f.Verdict == interaction.Undecided:
		add("margin", margin+" (negative conflicts); the reading error holds both answers")
	default:
		add("margin", margin+" (negative conflicts)")
	}
	add("pairs", fmt.Sprintf("%s on %s here with this verdict", plural(f.Sharing, "wheel", "wheels"),
		plural(f.CarsSharing, "car", "cars")))
	if f.Verdict == interaction.Conflict {
		add("whose", causeText(f))
		if f.BothSharing > 0 && c.in.Book.HasFederal() {
			add("legal", plural(f.BothSharing, "pair", "pairs")+
				" of these: NO FEDERAL LIMIT STOPS EITHER SIDE, and together they conflict")
		}
	}
	add("limits", limitsText(f, c.in.Book.HasFederal()))
	add("settle", SettleText(f))
	shown, left := map[string]int{}, 0
	for _, s := range fixes(f) {
		if shown[s.Label]++; shown[s.Label] > r.fixes {
			left++
			continue
		}
		add("fix "+s.Label, s.Text)
	}
	if left > 0 {
		add("fixes", worded("%d more: flangeway check %s --check %s --format json", left, c.judged(), f.Check.ID))
	}
	for _, s := range f.Notes {
		add("note", c.words(s))
	}
	if r.rules {
		add("rule", strings.Join(f.Check.Sources, "; "))
	} else {
		add("rule", "flangeway explain "+f.Check.ID)
	}
	return out
}

// fixes names what fixes a finding, on the side at fault.
func fixes(f *judge.Finding) []Fact {
	var out []Fact
	if f.Cause != interaction.CauseWheel || f.Verdict != interaction.Conflict {
		for _, s := range f.FixTrack {
			out = append(out, Fact{"track", s})
		}
	}
	if !byPlace(f) {
		for _, s := range f.FixWheel {
			out = append(out, Fact{"wheel", s})
		}
	}
	return out
}

// entered names the readings of one side of a finding, with where they stand.
func (c *checkPage) entered(f *judge.Finding, side string) string {
	if out := c.enteredOf(f.Readings, side, true); len(out) > 0 {
		return strings.Join(out, ", ")
	}
	return "no reading enters"
}

// enteredOf lists the readings of one side, the settings with those of the track; "" of both sides without the
// settings.
func (c *checkPage) enteredOf(list []interaction.Entered, side string, where bool) []string {
	var out, settings []string
	for _, r := range list {
		if r.Side == "" {
			settings = append(settings, r.Quantity+" "+c.name(r.Reading.Written))
		}
		if r.Side == "" || side != "" && r.Side != side {
			continue
		}
		s := r.Quantity + " "
		if r.Of != "" {
			s = r.Of + "'s " + s
		}
		switch {
		case r.Default:
			s += c.name(c.e.Text(r)) + " (" + c.words(r.From) + ", not read)"
		case !r.Reading.Measured():
			s += "not read"
		default:
			s += c.name(c.e.Text(r))
			if where {
				s += " (" + c.name(r.Reading.Place.Short()) + ")"
			}
		}
		out = append(out, s)
	}
	if side == "track" {
		out = append(out, settings...)
	}
	return out
}
