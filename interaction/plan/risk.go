package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
)

// Risk is how bad a place is among those that were looked at.
type Risk struct {
	Location string
	Rank, Of int // 1 the worst of so many places
	// Reason says in words why it stands there; Short in a few letters.
	Reason, Short string
	NotKnown      int // pairs that were not measured
	// What leads: a check with conflicts, else one with undecided pairs; nil if there is neither.
	Check  *interaction.Check
	Often  configs.Level
	Bands  []configs.Level // of which that is one, from the most to the least
	Level  string          // of the matrix: High, Serious, Medium, Low
	Passes float64         // expected conflicting passes a year at that check and place
	// Harm is what the place is expected to cost a year, of all its checks; FirstPercent in how many of a hundred draws
	// of what is assumed it is the first.
	Harm         Harm
	FirstPercent float64
	Logged       *Logged // what happened there, if the railroad keeps a log; harm counts it
	order        riskOrder
	passes       []float64 // by check, by which the place is ranked
}

// riskOrder is by what places are ranked, in this order.
type riskOrder struct {
	grade    grade
	harm     float64              // expected, at what is usual; where nothing else is known, of all that may be
	severity interaction.Severity // of what leads
	passes   float64              // of what leads
	beyond   int                  // readings beyond a federal limit
	open     int                  // undecided pairs
	notKnown int
}

// grade is the worst that is known of a place.
type grade uint8

// The grades, the worst first. A place of which nothing is known may be anything: it stands before those that are
// surely clear, and behind those that are known to be wrong.
const (
	conflicting grade = iota
	beyondLimit
	undecided
	notKnown
	allClear
)

// Risks ranks the places of a result, the worst first, by the verdicts that it shows; how often they are met is from
// the assessment of the same survey.
func Risks(r *judge.Result, a *Assessment) ([]Risk, error) {
	matrix, err := configs.LoadRisk()
	if err != nil {
		return nil, err
	}
	beyond := map[string][]judge.LimitFinding{}
	for _, l := range r.Limits {
		if l.Place != "" && l.Kind == "regulation" && l.Verdict == limit.Beyond {
			beyond[l.Place] = append(beyond[l.Place], l)
		}
	}
	var out []Risk
	for _, l := range r.Locations() {
		out = append(out, riskOf(matrix, r.Engine(), l, a, beyond[l.Name]))
	}
	slices.SortStableFunc(out, func(x, y Risk) int {
		a, b := x.order, y.order
		return cmp.Or(cmp.Compare(a.grade, b.grade), cmp.Compare(b.harm, a.harm),
			cmp.Compare(a.severity, b.severity),
			cmp.Compare(b.passes, a.passes),
			cmp.Compare(b.beyond, a.beyond), cmp.Compare(b.open, a.open), cmp.Compare(b.notKnown, a.notKnown),
			cmp.Compare(x.Location, y.Location))
	})
	var worst [][]float64 // those among which what is assumed decides which is the first
	for i := range out {
		out[i].Rank, out[i].Of = i+1, len(out)
		if s := out[i].order.grade; s != allClear && s == out[0].order.grade {
			worst = append(worst, out[i].passes)
		}
	}
	for i, v := range firstOf(matrix, r.Engine().Checks, worst) {
		out[i].FirstPercent = v
	}
	for i := range out {
		out[i].Reason += out[i].harmWords(a.Currency)
	}
	return out, nil
}

// Leading is the worst finding of the check that leads at the first of the ranked places that has one, so that what is
// said first is what the list of places begins with. One that rests on a reading under a warning leads only if every
// other does too. Nil if nothing conflicts or is undecided.
func Leading(r *judge.Result, risks []Risk) (first *judge.Finding) {
	for _, x := range risks {
		if x.Check == nil || first != nil && x.order.grade != conflicting {
			continue
		}
		f := r.First(x.Location, x.Check)
		if f != nil && f.Doubt == "" {
			return f
		}
		if first == nil {
			first = f
		}
	}
	return first
}

// riskOf is the risk of a place, but for its rank.
func riskOf(matrix *configs.Risk, e *judge.Engine, l judge.Location, a *Assessment, beyond []judge.LimitFinding) Risk {
	checks := e.Checks
	r := Risk{Location: l.Name, Bands: matrix.Levels}
	at := map[*interaction.Check][2]int{} // conflicts and undecided pairs
	for i := range l.Tallies {
		t := &l.Tallies[i]
		n := at[t.Check]
		n[0] += t.Counts[interaction.Conflict]
		n[1] += t.Counts[interaction.Undecided]
		at[t.Check] = n
		r.NotKnown += t.Counts[interaction.NotMeasured]
	}
	o := riskOrder{grade: allClear, severity: interaction.Marginal + 1, beyond: len(beyond), notKnown: r.NotKnown}
	pairs := 0
	for _, c := range checks {
		n := at[c]
		o.open += n[1]
		x, many := riskOrder{grade: conflicting}, n[0]
		if many == 0 {
			x.grade, many = undecided, n[1]
		}
		if many == 0 {
			continue
		}
		x.severity, x.passes = c.Severity, a.passes(l.Name, c.ID)
		if cmp.Or(cmp.Compare(x.grade, o.grade), cmp.Compare(x.severity, o.severity),
			cmp.Compare(o.passes, x.passes)) >= 0 {
			continue
		}
		o.grade, o.severity, o.passes, pairs = x.grade, x.severity, x.passes, many
		r.Check, r.Passes, r.Often = c, x.passes, matrix.LevelOf(x.passes)
		r.Level = matrix.Cells[r.Often.Letter][c.Severity-1]
	}
	switch {
	case o.grade > beyondLimit && len(beyond) > 0:
		o.grade = beyondLimit
	case o.grade == allClear && r.NotKnown > 0:
		o.grade = notKnown
	}
	met := 0.0
	for _, c := range checks {
		met += a.passes(l.Name, c.ID)
	}
	r.Logged = loggedAt(e.Survey.Incidents, l.Name, matrix, met)
	for _, c := range checks {
		x := a.met[[2]string{l.Name, c.ID}]
		x.expected, x.whole = r.Logged.times(x.expected), r.Logged.times(x.whole)
		r.Harm = r.Harm.plus(harmOf(matrix, c, x))
		by := x.expected
		if o.grade == beyondLimit || o.grade == notKnown { // nothing is known of what its pairs do
			by = x.whole
		}
		r.passes = append(r.passes, by)
		o.harm += expectedHarm(matrix, c, by)
	}
	r.order = o
	r.Reason, r.Short = r.reasons(pairs, beyond)
	return r
}

// reasons says why a place stands where it does.
func (r *Risk) reasons(pairs int, beyond []judge.LimitFinding) (reason, short string) {
	var parts, few []string
	limits := func() {
		if len(beyond) > 0 {
			parts = append(parts, fmt.Sprintf("%s beyond a federal limit (%s %s at %s)",
				plural(len(beyond), "reading", "readings"), beyond[0].Quantity, beyond[0].Shown, beyond[0].Where))
			few = append(few, fmt.Sprintf("%d beyond a federal limit", len(beyond)))
		}
	}
	if r.order.grade == beyondLimit {
		limits()
	}
	if r.Check != nil {
		verdict, says := interaction.Conflict, "conflict"
		if r.order.grade != conflicting {
			verdict, says = interaction.Undecided, "may conflict"
		} else if pairs == 1 {
			says = "conflicts"
		}
		parts = append(parts, fmt.Sprintf("%s (%s): %s %s, which hurts: %s; %s, %s expected conflicting passes a year",
			r.Check.Happens, r.Check.ID, plural(pairs, "pair", "pairs"), says, r.Check.Hurts[0], r.Often.Met,
			PassText(r.Passes)))
		few = append(few, fmt.Sprintf("%s: %s, %s", verdict, r.Check.Hurts[0], r.Often.Met))
	}
	if r.order.grade != beyondLimit {
		limits()
	}
	switch {
	case r.NotKnown > 0:
		parts = append(parts, fmt.Sprintf("not known at %s not measured", plural(r.NotKnown, "pair", "pairs")))
		if len(few) == 0 {
			few = append(few, "not known")
		}
	case len(parts) == 0:
		parts, few = append(parts, "every pair is clear"), append(few, "clear")
	}
	return strings.Join(parts, "; "), strings.Join(few, "; ")
}

// harmWords say what a place is expected to cost and how sure its being the first is; nothing if it costs nothing.
func (r *Risk) harmWords(currency string) string {
	if r.Harm.High == 0 {
		if r.Logged != nil && r.Logged.Accidents > 0 {
			return fmt.Sprintf("; %s by the railroad's own log, which nothing that was judged explains",
				r.Logged.happened())
		}
		return ""
	}
	out := fmt.Sprintf("; expected harm %s %s a year (%s to %s, with all that is not clear)", RoundMoney(r.order.harm),
		currency, RoundMoney(r.Harm.Low), RoundMoney(r.Harm.High))
	if r.Logged != nil {
		out += ", " + r.Logged.Text()
	}
	switch v := r.FirstPercent; {
	case v >= 0.5:
		out += fmt.Sprintf(", first in %.0f %% of 1,000 draws", v)
	case v > 0:
		out += ", first in under 1 % of 1,000 draws"
	}
	return out
}

// Text is the rank with its reason.
func (r Risk) Text() string { return fmt.Sprintf("%d of %d: %s", r.Rank, r.Of, r.Reason) }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return configs.Apart(strconv.Itoa(n)) + " " + many
}
