package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/exposure"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Wear is how fast a reading wears, from its dated rows since the last repair.
type Wear struct {
	Where, Place, Column string
	Rows                 int          // used
	From, To             measure.Date // of the rows used
	Rate, Spread         float64      // mm or degrees a year, in the direction of wear; its standard error by reading
	Known                bool         // whether there is a rate
	Notes                []string
	Events               []Event // by date
}

// Event is a limit or a first conflict that wear reaches, with the window in which the true date lies nine times of
// ten. A zero Earliest, Likely or Latest is no date within reach.
type Event struct {
	What             string
	At               string // the reading there; of a limit that was not read in its text, how it is known
	Earliest, Likely measure.Date
	Latest           measure.Date
}

// horizonYears is how far ahead windows are looked for.
const horizonYears = 40

// daysPerYear turns days into years.
const daysPerYear = 365.25

// year is a day in years.
func year(d measure.Date) float64 { return float64(d) / daysPerYear }

// dayOf is a year's day; none if it is beyond reach.
func dayOf(x, last float64) measure.Date {
	if x > last+horizonYears {
		return 0
	}
	return measure.Date(math.Round(x * daysPerYear))
}

// WearRates finds the rate of wear of every reading that tells wear and stands in more than one dated row, and when it
// reaches each limit and the first conflict, first what comes first.
func WearRates(sv *survey.Survey) ([]Wear, error) {
	book, err := sv.Book()
	if err != nil {
		return nil, err
	}
	f := forecaster{sv: sv, book: book, trial: interaction.NewTrial(sv.Settings, sv.Data), exposure: exposure.Of(sv),
		places: map[*track.Feature]map[track.Quantity]*worn{}, wheels: map[*wheel.Wheel]map[wheel.Quantity]*worn{},
		wheelsNow: map[*wheel.Wheel]*dated{}, placesNow: map[*track.Feature]*dated{}}
	f.rates()
	for _, p := range sv.Track.Features {
		for _, q := range p.Measured() {
			if w := f.places[p][q]; w != nil {
				f.limits(w, p.Subject(), byColumn(f.places[p]))
				f.placeConflict(w, p, q)
			}
		}
	}
	for _, v := range sv.Fleet.Wheels {
		for q := range wheel.NumQuantities {
			if w := f.wheels[v][q]; w != nil {
				f.limits(w, v.Subject(), byColumn(f.wheels[v]))
				f.wheelConflict(w, v, q)
			}
		}
	}
	odd(f.list)
	out := make([]Wear, len(f.list))
	for i, w := range f.list {
		slices.SortStableFunc(w.Events, byDate)
		out[i] = w.Wear
	}
	slices.SortStableFunc(out, func(a, b Wear) int { return byDate(a.next(), b.next()) })
	return out, nil
}

// next is what the reading reaches first; without an event it comes last.
func (x *Wear) next() (e Event) {
	if len(x.Events) > 0 {
		e = x.Events[0]
	}
	return e
}

// byDate compares by the likely date, then the earliest; what has none comes last.
func byDate(a, b Event) int {
	last := func(d measure.Date) uint32 { return uint32(d) - 1 } // no date is the greatest
	return cmp.Or(cmp.Compare(last(a.Likely), last(b.Likely)), cmp.Compare(last(a.Earliest), last(b.Earliest)))
}

// worn is a reading that wears.
type worn struct {
	Wear
	sign  float64 // 1: wear makes it greater
	now   measure.Reading
	trend *trend // nil: no rate
}

// value is the reading at a year, by the line or by one that many standard errors more worn, within the bounds of its
// column.
func (w *worn) value(spec measure.Spec, x, errors float64) float64 {
	y := w.trend.at(x)
	if errors != 0 {
		y += errors * math.Sqrt(w.trend.variance(x))
	}
	return min(max(w.sign*y, spec.Lo), spec.Hi)
}

type forecaster struct {
	sv       *survey.Survey
	book     *limit.Book
	trial    *interaction.Trial
	exposure *exposure.Exposure
	list     []*worn
	// what wears, by what it is a reading of; without those that have no rate
	places map[*track.Feature]map[track.Quantity]*worn
	wheels map[*wheel.Wheel]map[wheel.Quantity]*worn
	// as read, and at other years
	wheelsNow map[*wheel.Wheel]*dated
	placesNow map[*track.Feature]*dated
	wheelsAt  years[*wheel.Wheel]
	placesAt  years[*track.Feature]
}

// rates finds the rates of wear of places and axles.
func (f *forecaster) rates() {
	for _, p := range f.sv.Track.Features {
		if len(p.Earlier) == 0 {
			continue
		}
		parts := map[string][]*history{}
		of := map[*history]track.Quantity{}
		var order []*history
		for _, c := range p.Kind.Columns() {
			q, ok := track.QuantityOf(c.Name)
			if !ok || c.Wears == 0 {
				continue
			}
			h := &history{column: c.Name, sign: float64(c.Wears)}
			for _, g := range append(slices.Clone(p.Earlier), p) {
				h.rows = append(h.rows, row{g.Date, g.Read(q)})
			}
			of[h], order = q, append(order, h)
			parts[c.Part] = append(parts[c.Part], h)
		}
		for _, list := range parts {
			repaired(list, 0)
		}
		f.places[p] = map[track.Quantity]*worn{}
		for _, h := range order {
			if w := f.rate(h, p.Name(), p.Location); w != nil {
				if w.now = p.Read(of[h]); w.trend != nil {
					f.places[p][of[h]] = w
				}
			}
		}
	}
	for _, c := range f.sv.Fleet.Cars {
		for _, a := range c.AxleList {
			f.axle(a)
		}
	}
}

// axle finds the rates of an axle's wheels, which are turned and changed together.
func (f *forecaster) axle(a *wheel.Axle) {
	type at struct {
		v *wheel.Wheel
		q wheel.Quantity
	}
	of := map[*history]at{}
	var list []*history
	var turned measure.Date
	for _, v := range a.Wheels() {
		turned = max(turned, v.Turned)
		if len(v.Earlier) == 0 {
			continue
		}
		for _, c := range wheel.Columns(wheel.WheelSheet) {
			q, ok := c.Reads()
			if !ok || c.Wears == 0 {
				continue
			}
			h := &history{column: c.Name, of: v.Position.String(), sign: float64(c.Wears)}
			for _, g := range append(slices.Clone(v.Earlier), v) {
				h.rows = append(h.rows, row{g.Date, g.Own(q)})
				turned = max(turned, g.Turned)
			}
			of[h], list = at{v, q}, append(list, h)
		}
	}
	repaired(list, turned)
	for _, h := range list {
		x := of[h]
		w := f.rate(h, "wheel/"+a.Car.ID+" "+x.v.Position.String(), "")
		if w == nil {
			continue
		}
		if w.now = x.v.Read(x.q); w.trend != nil {
			if f.wheels[x.v] == nil {
				f.wheels[x.v] = map[wheel.Quantity]*worn{}
			}
			f.wheels[x.v][x.q] = w
		}
	}
}

// rate fits a line through the rows of a history. It is nil if fewer than two rows have the reading at all.
func (f *forecaster) rate(h *history, where, place string) *worn {
	if h.read < 2 {
		return nil
	}
	w := &worn{sign: h.sign,
		Wear: Wear{Where: where, Place: place, Column: h.column, Rows: len(h.rows), Notes: h.notes}}
	f.list = append(f.list, w)
	note := func(format string, args ...any) { w.Notes = append(w.Notes, fmt.Sprintf(format, args...)) }
	n := len(h.rows)
	if n == 0 {
		return w
	}
	w.From, w.To = h.rows[0].date, h.rows[n-1].date
	span, least := w.To.DaysSince(w.From), f.sv.Settings.Value("wear_span")
	switch {
	case n == 1:
		note("one row since: no rate")
		return w
	case float64(span) < least-measure.Near:
		note("the rows span %d days, less than %.0f (wear_span): no rate", span, least)
		return w
	}
	xs, ys := make([]float64, n), make([]float64, n)
	reading := 0.0
	for i, r := range h.rows {
		xs[i], ys[i] = year(r.date), h.sign*r.r.As
		reading = max(reading, r.r.Width()/math.Sqrt(12)) // of a uniform error
	}
	uneven := f.sv.Settings.Value("wear_uneven") / 100
	t := trendOf(xs, ys, reading, uneven)
	w.trend, w.Rate, w.Spread, w.Known = t, t.slope, t.error(), true
	if n == 2 {
		note("two rows only: the spread is that of reading alone")
	}
	if t.slope <= quantile(t.degrees)*t.error() {
		note("the wear is smaller than what reading alone explains: the latest date is open")
	}
	for _, i := range []int{0, n - 1} {
		if by, off := apart(xs, ys, i, reading, uneven); off {
			r := h.rows[i]
			note("outlier: %s of %s lies %s off the line through the other rows; it is used, read it again",
				r.r.Written, r.date, lengthOf(h.column, math.Abs(by)))
		}
	}
	return w
}

// event dates what the reading reaches, with all else that has to be reached for it: the last of them tells the day.
func (w *worn) event(what, at string, all ...approach) {
	last := w.trend.last()
	var x [3]float64
	for _, a := range all {
		earliest, likely, latest := a.window(w.trend.xs[0], last, last+horizonYears)
		x = [3]float64{max(x[0], earliest), max(x[1], likely), max(x[2], latest)}
	}
	e := Event{what, at, dayOf(x[0], last), dayOf(x[1], last), dayOf(x[2], last)}
	if e.Earliest.Known() {
		w.Events = append(w.Events, e)
	}
}

// byColumn are the wearing readings by column.
func byColumn[Q comparable](list map[Q]*worn) map[string]*worn {
	out := map[string]*worn{}
	for _, w := range list {
		out[w.Column] = w
	}
	return out
}

// limits dates the limits that the book puts on a reading. wears is what else of the subject does, by column.
func (f *forecaster) limits(w *worn, s limit.Subject, wears map[string]*worn) {
	if !w.now.Measured() || w.now.OneSided() {
		return
	}
	for _, j := range f.book.Judge(s) {
		if j.Open {
			continue
		}
		for _, c := range j.Rule.Condemns {
			a, ok := w.toward(c)
			if !ok || c.Where {
				continue
			}
			at := c.Op + " " + c.Written
			if sure := configs.HowKnown(j.Rule.Sure); sure != "" {
				at += ", figure " + sure
			}
			what := "limit " + j.Rule.ID
			if all, too, ok := f.together(w, j.Rule, s, c, wears); ok {
				w.event(what+too, at, append(all, a)...)
			}
		}
	}
}

// toward is the way of a reading to a condition that its wear is to meet yet.
func (w *worn) toward(c configs.Condition) (a approach, ok bool) {
	up := c.Op == ">" || c.Op == ">="
	if c.Quantity != w.Column || up != (w.sign > 0) || w.sign*(c.Value-w.now.As) <= 0 {
		return a, false
	}
	return w.trend.to(w.sign * c.Value), true
}

// together are the ways to the other conditions of a rule that condemns only where all are met, those that are not met
// yet; too names these. ok is false if one has no day, or is not met and does not wear.
func (f *forecaster) together(w *worn, r configs.Rule, s limit.Subject, of configs.Condition, wears map[string]*worn) (
	all []approach, too string, ok bool) {
	for _, c := range r.Condemns {
		v := s.Condition(c)
		if c == of || v == limit.Beyond {
			continue
		}
		if x := wears[c.Quantity]; x != nil {
			if a, ok := x.toward(c); ok {
				all, too = append(all, a), too+", with "+c.Quantity+" "+c.Op+" "+c.Written
				continue
			}
		}
		why := ""
		switch _, read := track.QuantityOf(c.Quantity); {
		case v == limit.NotMeasured:
			why = "which was not read"
		case read && !c.Where:
			why = "which has no rate"
		case v == limit.Straddles:
			continue // it may be met as it is
		default:
			return nil, "", false // the rule does not hold
		}
		w.Notes = append(w.Notes, fmt.Sprintf("no date of limit %s: it asks for %s %s %s too, %s", r.ID, c.Quantity,
			c.Op, c.Written, why))
		return nil, "", false
	}
	return all, too, true
}

// lengthOf writes a reading of a column, or a difference of two.
func lengthOf(column string, v float64) string {
	if column == wheel.TreadHollow.String() {
		return fmt.Sprintf("%.1f mm", v)
	}
	if angular(column) {
		return fmt.Sprintf("%.0f deg", v)
	}
	return measure.NearestInch(v, 32) + " in"
}

// angular reports whether a column holds degrees.
func angular(column string) bool {
	q, ok := track.QuantityOf(column)
	return ok && q.Angular()
}

// RateText writes a rate a year with its standard error.
func (x *Wear) RateText() string {
	if !x.Known {
		return "no rate"
	}
	return aYear(x.Column, x.Rate, x.Spread)
}

// aYear writes rates of wear of a column, the second behind +-.
func aYear(column string, rates ...float64) string {
	form, unit := "%.3f", "in per year"
	switch {
	case column == wheel.TreadHollow.String():
		form, unit = "%.2f", "mm a year"
	case angular(column):
		form, unit = "%.1f", "deg a year"
	}
	var parts []string
	for _, v := range rates {
		if unit == "in per year" {
			v /= measure.MMPerInch
		}
		parts = append(parts, fmt.Sprintf(form, v))
	}
	return strings.Join(parts, " +-") + " " + unit
}

// Shares are the published shares of derailment causes at turnouts, for comparison.
func Shares() ([]configs.Share, error) {
	r, err := configs.LoadRisk()
	if err != nil {
		return nil, err
	}
	return r.Shares, nil
}
