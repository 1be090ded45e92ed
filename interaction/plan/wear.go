package plan

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"

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
	Rows                 int     // used
	Rate, Spread         float64 // mm a year, in the direction of wear; standard error of it
	Known                bool    // whether there is a rate
	Notes                []string
	Events               []Event
}

// Event is a limit or a first conflict that wear reaches, with its window: the dates at a rate two standard errors
// faster and slower. A zero Latest is no date within reach.
type Event struct {
	What             string
	At               string // the reading there; of a limit that was not read in its text, how it is known
	Earliest, Likely measure.Date
	Latest           measure.Date
}

// horizonYears is how far ahead windows are looked for.
const horizonYears = 40

// row is one dated value, mm.
type row struct {
	date measure.Date
	r    measure.Reading
}

// worn is a quantity that wears in one direction.
type worn struct {
	column string
	sign   float64 // +1: wear makes it greater
}

func wheelWear() []worn {
	return []worn{{wheel.FlangeHeight.String(), 1}, {wheel.FlangeThickness.String(), -1},
		{wheel.TreadHollow.String(), 1}}
}

func frogWear() []worn {
	return []worn{{track.FlangewayDepth.String(), -1}, {track.GuardCheck.String(), -1}}
}

// WearRates finds the rate of wear of every frog depth, guard check, flange height, flange thickness and hollow that
// stands in more than one dated row, and when it reaches each limit and the first conflict.
func WearRates(sv *survey.Survey) ([]Wear, error) {
	book, err := sv.Book()
	if err != nil {
		return nil, err
	}
	f := forecaster{sv: sv, book: book, trial: interaction.NewTrial(sv.Settings, sv.Data), exposure: exposure.Of(sv)}
	var out []Wear
	for _, p := range sv.Track.Features {
		if p.Kind != track.Frog || len(p.Earlier) == 0 {
			continue
		}
		for _, w := range frogWear() {
			q, _ := track.QuantityOf(w.column)
			var rows []row
			for _, g := range append(append([]*track.Feature(nil), p.Earlier...), p) {
				rows = append(rows, row{g.Date, g.Read(q)})
			}
			if x, ok := rate(w, rows); ok {
				x.Where, x.Place = p.Name(), p.Location
				f.placeEvents(&x, w, p, q)
				out = append(out, x)
			}
		}
	}
	for _, v := range sv.Fleet.Wheels {
		if len(v.Earlier) == 0 {
			continue
		}
		for _, w := range wheelWear() {
			q, _ := wheel.QuantityOf(w.column)
			var rows []row
			for _, g := range append(append([]*wheel.Wheel(nil), v.Earlier...), v) {
				rows = append(rows, row{g.Date, g.Own(q)})
			}
			if x, ok := rate(w, rows); ok {
				x.Where = "wheel/" + v.Car.ID + " " + v.Position.String()
				f.wheelEvents(&x, w, v, q)
				out = append(out, x)
			}
		}
	}
	return out, nil
}

// daysPerYear turns days into years.
const daysPerYear = 365.25

// rate fits a line through the rows since the last repair. ok is false if fewer than two rows have the reading at
// all.
func rate(w worn, rows []row) (Wear, bool) {
	x := Wear{Column: w.column}
	var used []row
	oneSided := 0
	for _, r := range rows {
		switch {
		case !r.date.Known() || !r.r.Measured():
		case r.r.OneSided():
			oneSided++
		default:
			used = append(used, r)
		}
	}
	if oneSided > 0 {
		x.Notes = append(x.Notes, fmt.Sprintf("%d go/no-go readings have no value and are not used", oneSided))
	}
	if len(used) < 2 {
		return x, len(used)+oneSided > 1
	}
	// A reading that went back by more than the two readings' ± was repaired in between.
	for i := len(used) - 1; i > 0; i-- {
		a, b := used[i-1].r, used[i].r
		if back := w.sign * (a.As - b.As); back > (a.Width()+b.Width())/2+measure.Near {
			x.Notes = append(x.Notes, fmt.Sprintf("repaired or read otherwise between %s and %s (%s, then %s): only "+
				"the rows since are used", used[i-1].date, used[i].date, a.Written, b.Written))
			used = used[i:]
			break
		}
	}
	x.Rows = len(used)
	if len(used) < 2 {
		x.Notes = append(x.Notes, "one row since: no rate")
		return x, true
	}
	xs, ys := make([]float64, len(used)), make([]float64, len(used))
	reading := 0.0
	for i, r := range used {
		xs[i] = float64(r.date.DaysSince(used[0].date)) / daysPerYear
		ys[i] = w.sign * r.r.As
		reading = math.Max(reading, r.r.Width()/math.Sqrt(12)) // of a uniform error
	}
	alpha, beta := stat.LinearRegression(xs, ys, nil, false)
	n := float64(len(used))
	sxx := stat.Variance(xs, nil) * (n - 1)
	spread := reading
	if len(used) > 2 {
		ss := 0.0
		for i := range xs {
			d := ys[i] - alpha - beta*xs[i]
			ss += d * d
		}
		spread = math.Max(spread, math.Sqrt(ss/(n-2)))
	} else {
		x.Notes = append(x.Notes, "two rows only: the spread is that of reading alone")
	}
	x.Rate, x.Spread, x.Known = beta, spread/math.Sqrt(sxx), true
	if x.Rate-2*x.Spread <= 0 {
		x.Notes = append(x.Notes, "the wear is smaller than what reading alone explains: the latest date is open")
	}
	return x, true
}

type forecaster struct {
	sv       *survey.Survey
	book     *limit.Book
	trial    *interaction.Trial
	exposure *exposure.Exposure
}

// event dates a change of the reading by way mm in the direction of wear.
func (x *Wear) event(what, at string, from measure.Date, way float64) {
	if !x.Known {
		return
	}
	when := func(rate float64) measure.Date {
		if rate <= 0 {
			return 0
		}
		years := way / rate
		if years > horizonYears {
			return 0
		}
		return from + measure.Date(math.Round(years*daysPerYear))
	}
	e := Event{What: what, At: at, Earliest: when(x.Rate + 2*x.Spread), Likely: when(x.Rate),
		Latest: when(x.Rate - 2*x.Spread)}
	if e.Earliest.Known() {
		x.Events = append(x.Events, e)
	}
}

// limits dates the limits that the book puts on a reading.
func (f *forecaster) limits(x *Wear, w worn, s limit.Subject, now measure.Reading, from measure.Date) {
	for _, j := range f.book.Judge(s) {
		if j.Open {
			continue
		}
		for _, c := range j.Rule.Condemns {
			if c.Quantity != w.column || len(j.Rule.Condemns) > 1 {
				continue
			}
			up := c.Op == ">" || c.Op == ">="
			if up != (w.sign > 0) {
				continue
			}
			if way := w.sign * (c.Value - now.As); way > 0 {
				at := c.Op + " " + c.Written
				if sure := configs.HowKnown(j.Rule.Sure); sure != "" {
					at += ", figure " + sure
				}
				x.event("limit "+j.Rule.ID, at, from, way)
			}
		}
	}
	sort.SliceStable(x.Events, func(a, b int) bool { return x.Events[a].Earliest < x.Events[b].Earliest })
}

func printed(column string, v float64) string {
	if column == wheel.TreadHollow.String() {
		return fmt.Sprintf("%.1f mm", v)
	}
	return measure.NearestInch(v, 32) + " in"
}

// first is the least wear, mm, after which a pair that is no conflict as written is one, and which pair that is.
type first struct {
	way  float64
	what string
}

// try looks at one pair: margins are straight in a reading, so two of them say where the margin is zero.
func (b *first) try(now, later, step float64, what string) {
	if now < 0 || now-later < 1e-9 {
		return
	}
	if way := now / (now - later) * step; way < b.way {
		b.way, b.what = way, what
	}
}

// wearStep is how much wear is tried to find the slope of a margin, mm.
const wearStep = 0.5

func (f *forecaster) placeEvents(x *Wear, w worn, p *track.Feature, q track.Quantity) {
	now := p.Read(q)
	if !x.Known || !now.Measured() || now.OneSided() {
		return
	}
	f.limits(x, w, p.Subject(), now, p.Date)
	a, b := f.trial.Place(p), f.trial.Place(p.With(q, moved(now, w.sign*wearStep)))
	best := first{way: math.Inf(1)}
	for _, v := range f.sv.Fleet.Wheels {
		if !f.exposure.Meets(v.Car, p) {
			continue
		}
		share := f.trial.Wheel(v)
		for k, c := range f.trial.Checks {
			if !c.Degrees && f.trial.Has(k, share, a) {
				m, ok := f.trial.Margin(k, share, a)
				l, ok2 := f.trial.Margin(k, share, b)
				if ok && ok2 {
					best.try(m, l, wearStep, c.ID+" with "+v.Car.ID+" "+v.Position.String())
				}
			}
		}
	}
	f.conflict(x, w, now, best, p.Date)
}

func (f *forecaster) wheelEvents(x *Wear, w worn, v *wheel.Wheel, q wheel.Quantity) {
	now := v.Read(q)
	if !x.Known || !now.Measured() || now.OneSided() {
		return
	}
	f.limits(x, w, v.Subject(), now, v.Date)
	worse := v.Axle().Clone()
	u := worse.L
	if v.Position.Side == 'R' {
		u = worse.R
	}
	u.Set(q, moved(now, w.sign*wearStep))
	a, b := f.trial.Wheel(v), f.trial.Wheel(u)
	best := first{way: math.Inf(1)}
	for _, p := range f.sv.Track.Features {
		if !f.exposure.Meets(v.Car, p) {
			continue
		}
		share := f.trial.Place(p)
		for k, c := range f.trial.Checks {
			if !c.Sampled && f.trial.Has(k, a, share) {
				m, ok := f.trial.Margin(k, a, share)
				l, ok2 := f.trial.Margin(k, b, share)
				if ok && ok2 {
					best.try(m, l, wearStep, c.ID+" at "+p.Name())
				}
			}
		}
	}
	f.conflict(x, w, now, best, v.Date)
}

// conflict dates the first conflict, if the reading can get that far at all.
func (f *forecaster) conflict(x *Wear, w worn, now measure.Reading, best first, from measure.Date) {
	at := now.As + w.sign*best.way
	if spec := f.sv.Columns[x.Column]; !(at >= spec.Lo && at <= spec.Hi) {
		return
	}
	x.event("first further conflict: "+best.what, printed(x.Column, at), from, best.way)
}

// moved is a reading after wear, with its interval.
func moved(r measure.Reading, by float64) measure.Reading {
	r.As, r.Lo, r.Hi = r.As+by, r.Lo+by, r.Hi+by
	return r
}

// RateText writes a rate a year with its standard error.
func (x *Wear) RateText() string {
	if !x.Known {
		return "no rate"
	}
	if x.Column == wheel.TreadHollow.String() {
		return fmt.Sprintf("%.2f +-%.2f mm a year", x.Rate, x.Spread)
	}
	return fmt.Sprintf("%.3f +-%.3f in per year", x.Rate/measure.MMPerInch, x.Spread/measure.MMPerInch)
}

// Shares are the published shares of derailment causes at turnouts, for comparison.
func Shares() ([]configs.Share, error) {
	r, err := configs.LoadRisk()
	if err != nil {
		return nil, err
	}
	return r.Shares, nil
}
