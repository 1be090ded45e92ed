package judge

import (
	"fmt"
	"strings"

	"flangeway/interaction"
)

// Evidence is what was seen at one side of a pair and tells against what its readings say.
type Evidence struct {
	Where  string // kind/id, or wheel/CAR POSITION
	Column string // marks or condition
	Word   string // the mark, or none
	Says   string
	Asks   []string // the readings that answer it, any one of them
	Across bool     // they are of the other side: the mark stays until it is looked for again
	// Passes are the conflicting passes a year that left no mark; 0 of a mark that was seen.
	Passes float64
}

// Text words it for a note.
func (v Evidence) Text() string {
	if v.Passes > 0 {
		return fmt.Sprintf("contradicted by %s %s at %s: %s, and about %.0f conflicting passes a year are counted; "+
			"read %s again, and look again", v.Column, v.Word, v.Where, v.Says, v.Passes, strings.Join(v.Asks, " and "))
	}
	again := ""
	if v.Across {
		again = " and " + v.Where + " looked at again"
	}
	return fmt.Sprintf("%s %s at %s: %s; clear by the readings, and undecided until %s is read again%s", v.Column,
		v.Word, v.Where, v.Says, strings.Join(v.Asks, " or "), again)
}

// evidence is what was seen of a pair, for its finding.
func (e *Engine) evidence(f *Finding, at pairAt, m judged) (out []Evidence) {
	c, ws, pt := f.Check, &e.wheels[at.wheel], &e.places[at.place].tables[at.table]
	where := func(r *interaction.MarkRule) string {
		if r.OfWheel() {
			return fmt.Sprintf("wheel/%s %s", f.Wheel.Car.ID, f.Wheel.Position)
		}
		return f.Feature.Name()
	}
	c.EachMark(m.against, func(r *interaction.MarkRule) {
		out = append(out, Evidence{Where: where(r), Column: r.Column, Word: r.Word, Says: r.Says,
			Asks: interaction.ReadingNames(r.Asks), Across: r.Across()})
	})
	if m.Verdict != interaction.Conflict || e.computer == nil {
		return out
	}
	c.EachMark(c.Unmarked(&ws.Parts[pt.Check], &pt.Part), func(r *interaction.MarkRule) {
		passes := e.conflictingPasses(at, r.OfWheel())
		if passes < e.Rules.Value("marking_passes") {
			return
		}
		bits := r.Asks | ws.Parts[pt.Check].Uses | pt.Part.Uses
		out = append(out, Evidence{Where: where(r), Column: r.Column, Word: "none", Says: r.None,
			Asks: interaction.ReadingNames(bits), Passes: passes})
	})
	return out
}

// conflictingPasses are those of a year at a place and check, of all wheels in conflict there or of one alone.
func (e *Engine) conflictingPasses(at pairAt, one bool) float64 {
	pt := &e.places[at.place].tables[at.table]
	c, f := e.Checks[pt.Check], e.places[at.place].f
	passes := func(wi int) float64 {
		car := e.wheels[wi].W.Car
		if !e.exposure.Meets(car, f) {
			return 0
		}
		return e.exposure.Trips(car) * e.exposure.PerTrip(c, car, f)
	}
	if one {
		return passes(at.wheel)
	}
	e.passes.Lock()
	defer e.passes.Unlock()
	if sum, ok := e.passes.at[pt]; ok {
		return sum
	}
	sum := 0.0
	for wi := range e.wheels {
		if c.ListedAt(e.wheels[wi].W) && e.pair(wi, pt).Verdict == interaction.Conflict {
			sum += passes(wi)
		}
	}
	if e.passes.at == nil {
		e.passes.at = map[*placeTable]float64{}
	}
	e.passes.at[pt] = sum
	return sum
}
