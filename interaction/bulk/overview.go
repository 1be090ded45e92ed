package bulk

import (
	"context"
	"slices"
	"sync/atomic"

	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/wheel"
	wheelbulk "flangeway/wheel/bulk"
)

// Overview is how the pairs of a survey come out, counted by location and check.
type Overview struct {
	Cars, Wheels, Locations int
	// Trains says by whose speeds the track is judged, freight or passenger.
	Trains string
	// MoreWarnings counts the warnings that were not worded.
	MoreWarnings int
	// HasCar says that the car which was asked for stands in the survey.
	HasCar bool
	walk   walk
	counts [interaction.NumVerdicts]int
}

// walk makes the rows, many at once, worded one after the other if word is not nil, and has them taken in order.
type walk func(word func([]byte, *Row) []byte, take func(rows []Row, text []byte) error) error

// Each gives the rows by location, then by the id of the check; a row holds until the next. They are made while they
// are asked for. An error of f ends the walk.
func (o *Overview) Each(f func(*Row) error) error {
	return o.counted(nil, func(rows []Row, _ []byte) error {
		for i := range rows {
			if err := f(&rows[i]); err != nil {
				return err
			}
		}
		return nil
	})
}

// Render writes the rows as row words them, which appends to the bytes it is given. It is called on all cores at a
// time; what it gives is written in the order of the rows, many of them at once.
func (o *Overview) Render(row func([]byte, *Row) []byte, write func([]byte) error) error {
	return o.counted(row, func(_ []Row, text []byte) error { return write(text) })
}

// counted walks and counts the pairs of the rows.
func (o *Overview) counted(word func([]byte, *Row) []byte, take func([]Row, []byte) error) error {
	o.counts = [interaction.NumVerdicts]int{}
	return o.walk(word, func(rows []Row, text []byte) error {
		for i := range rows {
			for v, n := range rows[i].Counts {
				o.counts[v] += n
			}
		}
		return take(rows, text)
	})
}

// List is all rows.
func (o *Overview) List() (list []Row, err error) {
	err = o.Each(func(r *Row) error {
		list = append(list, *r)
		return nil
	})
	return list, err
}

// Row is one check at one location, over all its features and all wheels.
type Row struct {
	Location  string
	Check     *interaction.Check
	Counts    [interaction.NumVerdicts]int
	BothLegal int // conflicts of the pair with wheel and track within federal limits
	// The worst pair: by verdict, margin, car and position.
	Car      string
	Position wheel.Position
	// MarginMM is its margin with the readings as written; HasMargin is false if it has none in mm.
	MarginMM  float64
	HasMargin bool
}

// Count is the number of pairs with a verdict.
func (r *Row) Count(v interaction.Verdict) int { return r.Counts[v] }

// Count is the number of pairs with a verdict in the rows that were given last.
func (o *Overview) Count(v interaction.Verdict) int { return o.counts[v] }

// shownMargin is the margin that a row shows.
func shownMargin(c *interaction.Check, m interaction.Margin) (mm float64, ok bool) {
	if c.Degrees || m.NoAs || m.Verdict == interaction.NotMeasured {
		return 0, false
	}
	return m.As, true
}

// Summarize counts the pairs of a survey by location and check, the plain arithmetic of every check as
// [interaction.Engine.Judge] has it. The places are in memory; the wheels are read once, in blocks, and go into counts
// at the values at which a place changes its verdict, so the work grows with wheels plus places and not with pairs.
func Summarize(ctx context.Context, s *survey.Stream, book *limit.Book, opt interaction.Options) (*Overview, error) {
	u := newSumming(s, book, opt)
	var visitors []wheelbulk.Visitor
	var totals wheelbulk.Totals
	ok := true
	go u.ready()
	for again := s.Wheels != nil; again; {
		var err error
		if visitors, totals, ok, err = s.Wheels.Each(ctx,
			func() wheelbulk.Visitor { return &counter{u: u} }); err != nil {
			return nil, err
		}
		again = !u.allWhole && slices.ContainsFunc(visitors,
			func(v wheelbulk.Visitor) bool { return v.(*counter).groups.spoiled })
		u.allWhole = again
	}
	if err := s.Done(ctx, ok && s.Wheels != nil, totals); err != nil {
		return nil, err
	}
	o := &Overview{Cars: s.Roster.Count() + totals.Unlisted, Wheels: totals.Wheels, Locations: s.Locations(),
		Trains: s.TrainsOf(totals.Unlisted), MoreWarnings: totals.More + s.More}
	counters := make([]*counter, len(visitors))
	for i, v := range visitors {
		counters[i] = v.(*counter)
	}
	total, found, err := u.total(counters)
	if err != nil {
		return nil, err
	}
	o.HasCar = s.Roster.Has(opt.Car) || total.seen
	o.walk = func(word func([]byte, *Row) []byte, take func([]Row, []byte) error) error {
		return total.walk(ctx, found, word, take)
	}
	return o, nil
}

// beyondLimit stops the search at the first reading beyond a limit.
type beyondLimit struct {
	book  *limit.Book
	car   string
	found func()
}

// Car judges the readings of a car.
func (b *beyondLimit) Car(wheels []*wheel.Wheel, _ []wheelbulk.Order) {
	if c := wheels[0].Car; b.car == "" || b.car == c.ID {
		interaction.CarSubjects(c, func(s limit.Subject, _, _, _ string) {
			if beyond(b.book, s) {
				b.found()
			}
		})
	}
}

func beyond(book *limit.Book, s limit.Subject) bool {
	return slices.ContainsFunc(book.Judge(s), func(j limit.Judgement) bool {
		return j.Verdict == limit.Beyond && !j.Rule.Warns()
	})
}

// BeyondLimit reports whether a reading of a survey is beyond a limit, wheels and track, as narrowed by the options;
// trains are those of the [Overview].
func BeyondLimit(ctx context.Context, s *survey.Stream, book *limit.Book, trains string, opt interaction.Options) (bool,
	error) {
	for _, f := range s.WaitTrack().Features {
		of := f.Subject()
		of.Trains = trains
		if (opt.Location == "" || opt.Location == f.Location) && beyond(book, of) {
			return true, nil
		}
	}
	if s.Wheels == nil || opt.Location != "" {
		return false, nil
	}
	inner, stop := context.WithCancel(ctx)
	defer stop()
	var found atomic.Bool
	_, _, ok, err := s.Wheels.Each(inner, func() wheelbulk.Visitor {
		return &beyondLimit{book: book, car: opt.Car, found: func() { found.Store(true); stop() }}
	})
	switch {
	case found.Load():
		return true, nil
	case err == nil && !ok: // the sheet had no defect when it was counted
		var problems measure.Problems
		if err = s.Wheels.Defects(ctx, &problems); err == nil {
			err = problems.Err()
		}
	}
	return false, err
}
