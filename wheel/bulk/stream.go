package bulk

import (
	"context"
	"errors"
	"io"
	"maps"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// Order is the place of a wheel in the order of car and position over a stream: the lower comes first. It finds the
// wheel again, see [Stream.Wheel].
type Order int64

// orderBits hold the position of a wheel: L1 to L8, then R1 to R8.
const orderBits = 4

// slotOf is the position as a number in that order.
func slotOf(p wheel.Position) int {
	n := p.Axle - 1
	if p.Side == 'R' {
		n += 8
	}
	return n
}

// Visitor is given the wheels of a stream, car by car. A stream that is read by several workers has a visitor for each,
// which sees its cars in order.
type Visitor interface {
	// Car is given the newest rows of one car's wheels, sorted by position, and the order of each.
	Car(wheels []*wheel.Wheel, order []Order)
}

// Totals are the counts of a stream.
type Totals struct {
	Cars, Wheels int // cars with wheels, and those wheels
	Unlisted     int // cars with wheels that cars.csv does not list
	// Warnings are the first of the warnings, by line; More counts the others.
	Warnings []measure.Warning
	More     int
	alike    sheet.Alike // of the ids of cars
}

// MaxWarnings is how many warnings of a stream are worded.
const MaxWarnings = 200

// Stream is wheels.csv, read in blocks of bounded size. A sheet whose cars are not sorted is sorted in memory if it is
// small, and refused if it is not.
type Stream struct {
	sheet   *sheet.Stream
	roster  *wheel.Roster
	columns map[string]measure.Spec
	data    *configs.Data
	frame   sheet.Frame
	block   int64
	most    int64 // the largest sheet whose rows are sorted, in bytes
	blind   bool  // a column without which no row can be read is missing
	// of a sheet that was sorted
	lines  []int32 // of the file, by line of the sheet from 1
	broken error   // what ended the reading of rows while they were sorted
}

// blockSize is the part of a file that a worker reads at a time.
const blockSize = 1 << 18

// OpenStream reads the heading line of wheels.csv. It is nil if the rows cannot be read under it; why is among the
// problems.
func OpenStream(r io.ReaderAt, size int64, roster *wheel.Roster, columns map[string]measure.Spec, data *configs.Data,
	frame sheet.Frame, problems *measure.Problems) *Stream {
	s := &Stream{roster: roster, columns: columns, data: data, frame: frame, block: blockSize, most: maxUnsorted}
	var ok bool
	if s.sheet, ok = sheet.Open("wheels.csv", r, size, wheel.Headings(wheel.WheelSheet), problems); !ok {
		return nil
	}
	s.blind = !wheel.Needed(s.sheet.Table, problems)
	return s
}

// Blocks sets how many bytes a worker reads at a time, for tests.
func (s *Stream) Blocks(size int64) { s.block = size }

// SortUpTo sets how large a sheet is sorted, in bytes, for tests.
func (s *Stream) SortUpTo(size int64) { s.most = size }

// What ends a pass over a stream before its end.
var (
	errUnsorted = errors.New("the cars are not sorted")
	errDefect   = errors.New("the sheet has a defect")
	errSplit    = errors.New("a block begins inside a cell")
)

// Each gives every car to a visitor. Several workers read the sheet at the same time, each with a visitor of its own.
// If the sheet has a defect ok is false and [Stream.Defects] says which; the visitors have then seen a part of the
// sheet. An error is one of reading the file, or the context's.
func (s *Stream) Each(ctx context.Context, visitor func() Visitor) (visitors []Visitor, t Totals, ok bool, err error) {
	if s.blind {
		return nil, t, false, nil
	}
	visitors, t, err = s.pass(ctx, visitor)
	if errors.Is(err, errUnsorted) && s.sheet.Size <= s.most {
		if err = s.sortRows(ctx); err == nil && s.broken == nil {
			visitors, t, err = s.pass(ctx, visitor)
		}
	}
	switch {
	case s.broken != nil, defective(err), errors.Is(err, errUnsorted):
		return nil, t, false, nil
	case err != nil:
		return nil, t, false, err
	}
	t.cut()
	if t.Wheels > 0 && !s.roster.Listed {
		t.Warnings = append(t.Warnings, wheel.NoCars(measure.Place{File: "wheels.csv"}, "cars.csv"))
	}
	if err := s.oddIDs(ctx, &t); err != nil {
		return nil, t, false, err
	}
	return visitors, t, true, nil
}

func defective(err error) bool {
	var scan *sheet.ScanError
	return errors.Is(err, errDefect) || errors.As(err, &scan) || errors.Is(err, sheet.ErrWindow)
}

// pass reads the sheet once, on all cores if the line ends can be told from those inside cells without reading all that
// stands before.
func (s *Stream) pass(ctx context.Context, visitor func() Visitor) ([]Visitor, Totals, error) {
	n := int((s.sheet.Size-s.sheet.Body)/s.block) + 1
	workers := min(runtime.GOMAXPROCS(0), n)
	blocks := make([]blockResult, n)
	visitors := make([]Visitor, workers)
	var next atomic.Int64
	var stop atomic.Bool
	var wait sync.WaitGroup
	for i := range workers {
		visitors[i] = visitor()
		wait.Go(func() {
			p := newPass(s, visitors[i], nil)
			for !stop.Load() && ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= n {
					return
				}
				p.result, p.later = &blocks[k], k > 0
				if p.result.err = p.read(k); p.result.err != nil {
					stop.Store(true)
				}
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, Totals{}, err
	}
	t, err := s.join(blocks)
	if errors.Is(err, errSplit) { // a line end inside a cell fell on the edge of a block
		return s.inTurn(ctx, visitor())
	}
	return visitors, t, err
}

// join checks that every block begins where the one before it ended, with a later car, and adds up what they held.
func (s *Stream) join(blocks []blockResult) (Totals, error) {
	var t Totals
	for i := range blocks { // an earlier block's error comes first
		b := &blocks[i]
		if i > 0 && b.start != blocks[i-1].end && blocks[i-1].err == nil {
			return t, errSplit
		}
		if b.err != nil {
			return t, b.err
		}
	}
	last, line := "", s.sheet.Line
	for i := range blocks {
		b := &blocks[i]
		if b.cars > 0 && t.Cars > 0 && b.first <= last {
			return t, errUnsorted
		}
		if b.cars > 0 {
			last = b.last
		}
		if err := s.add(&t, b, line); err != nil {
			return t, err
		}
		line += b.lines
	}
	return t, nil
}

// add takes over what a block held; line is where it begins.
func (s *Stream) add(t *Totals, b *blockResult, line int) error {
	t.Cars += b.cars
	t.Wheels += b.wheels
	t.Unlisted += b.unlisted
	t.alike.Join(b.alike)
	t.More += b.unworded
	var p *pass // for what was left for later
	for _, c := range b.warned {
		room := s.mostWarnings() - len(t.Warnings)
		if room == 0 {
			t.More += c.count
			continue
		}
		if p == nil {
			p = newPass(s, nil, nil)
		}
		list, err := p.warningsOf(c)
		if err != nil {
			return err
		}
		if len(list) > room {
			t.More += len(list) - room
			list = list[:room]
		}
		for _, w := range list {
			w.Place.Line = s.line(w.Place.Line + line - 1)
			t.Warnings = append(t.Warnings, w)
		}
	}
	return nil
}

// mostWarnings is how many warnings are worded while the sheet is read. Those of a sorted one do not come in the order
// of the file, so the first can be told only from all.
func (s *Stream) mostWarnings() int {
	if s.lines != nil {
		return math.MaxInt
	}
	return MaxWarnings
}

// cut leaves the first of the warnings by line, and counts the others.
func (t *Totals) cut() {
	measure.SortWarnings(t.Warnings)
	if n := len(t.Warnings); n > MaxWarnings {
		t.More += n - MaxWarnings
		t.Warnings = t.Warnings[:MaxWarnings]
	}
}

// inTurn reads the blocks one behind the other, each from where the last ended.
func (s *Stream) inTurn(ctx context.Context, v Visitor) ([]Visitor, Totals, error) {
	var t Totals
	p := newPass(s, v, nil)
	last, line := "", s.sheet.Line
	for at := s.sheet.Body; at < s.sheet.Size; {
		if err := ctx.Err(); err != nil {
			return nil, t, err
		}
		b := &blockResult{}
		p.result = b
		if err := p.readFrom(at, at+s.block); err != nil {
			return nil, t, err
		}
		if b.cars > 0 && t.Cars > 0 && b.first <= last {
			return nil, t, errUnsorted
		}
		if b.cars > 0 {
			last = b.last
		}
		if err := s.add(&t, b, line); err != nil {
			return nil, t, err
		}
		line, at = line+b.lines, b.end
	}
	return []Visitor{v}, t, nil
}

// Defects adds what is wrong in the sheet to the problems; it stops after very many. That there is nothing any more is
// an error: the file has changed.
func (s *Stream) Defects(ctx context.Context, problems *measure.Problems) error {
	found := &measure.Problems{}
	err := s.defects(ctx, found)
	switch {
	case !errors.Is(err, errUnsorted):
	case s.sheet.Size > s.most:
		err = s.disorder(ctx, found)
	default: // found again in the order of the cars
		found = &measure.Problems{}
		if err = s.sortRows(ctx); err == nil {
			err = s.defects(ctx, found)
		}
	}
	if s.broken != nil {
		s.sheet.Fail(s.broken, found)
	}
	problems.Append(found.List()...)
	if err == nil && !s.blind && found.Len() == 0 { // a missing column was found when the stream was opened
		err = s.sheet.Changed()
	}
	return err
}

func (s *Stream) defects(ctx context.Context, problems *measure.Problems) error {
	p := newPass(s, nil, problems)
	p.base = s.sheet.Line
	if s.blind {
		return s.eachRow(ctx, func(sheet.Row) {}, problems)
	}
	last, cars := "", 0
	for at := s.sheet.Body; at < s.sheet.Size && problems.Len() < maxProblems; {
		if err := ctx.Err(); err != nil {
			return err
		}
		p.result = &blockResult{}
		err := p.readFrom(at, at+s.block)
		switch b := p.result; {
		case errors.Is(err, errDefect):
			return nil
		case defective(err):
			s.sheet.Fail(err, problems)
			return nil
		case err != nil:
			return err
		case b.cars > 0 && cars > 0 && b.first <= last:
			return errUnsorted
		case b.cars > 0:
			last = b.last
		}
		p.base, at, cars = p.base+p.result.lines, p.result.end, cars+p.result.cars
	}
	return nil
}

// eachRow goes over the rows one by one; one that does not fit is a problem if problems are asked for.
func (s *Stream) eachRow(ctx context.Context, f func(sheet.Row), problems *measure.Problems) error {
	err := s.eachText(ctx, func(cells []sheet.Cell, _, _ int64) {
		if row, ok := s.sheet.Fit(cells, problems); ok {
			f(row)
		}
	})
	if defective(err) && problems != nil {
		s.sheet.Fail(err, problems)
		return nil
	}
	return err
}

// eachText goes over the rows one by one, with the bytes of the sheet in which each stands, its line end among them.
func (s *Stream) eachText(ctx context.Context, f func(cells []sheet.Cell, from, to int64)) error {
	w, line := s.sheet.Window(0), s.sheet.Line
	for at := s.sheet.Body; at < s.sheet.Size; {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := w.Reset(at, int(s.block)+slack); err != nil {
			return err
		}
		pos := 0
		for int64(pos) < s.block {
			cells, from, to, lines, err := w.Row(pos, s.line(line))
			if err != nil {
				return err
			}
			pos, line = to, line+lines
			if cells == nil {
				break
			}
			f(cells, w.Start+int64(from), w.Start+int64(to))
		}
		at = w.Start + int64(pos)
	}
	return nil
}

// Named are those of the names that are cars with rows in the sheet, sorted; nil asks for every car. A defect of the
// sheet ends the search; [Stream.Defects] says which it is.
func (s *Stream) Named(ctx context.Context, names map[string]bool) ([]string, error) {
	if s.blind {
		return nil, nil
	}
	fields := sheet.Fields{Table: s.sheet.Table}
	found := map[string]bool{}
	err := s.eachRow(ctx, func(row sheet.Row) {
		if id := fields.ID(row, "car"); names[id] || names == nil && id != "" && !found[id] {
			found[strings.Clone(id)] = true
		}
	}, nil)
	if defective(err) {
		err = nil
	}
	return slices.Sorted(maps.Keys(found)), err
}

// maxProblems is how many defects of a stream are looked for.
const maxProblems = 100_000

// Finder finds wheels of a stream again; it is for one goroutine.
type Finder struct {
	p     *pass
	order Order
	found *wheel.Wheel
}

// findAhead is how much is read at first to find a wheel: the rows of most cars.
const findAhead = 4 << 10

// Finder makes one.
func (s *Stream) Finder() *Finder {
	f := &Finder{}
	f.p = newPass(s, f, nil)
	return f
}

// Wheel finds a wheel by its order.
func (f *Finder) Wheel(o Order) (*wheel.Wheel, error) {
	p := f.p
	p.result = &blockResult{}
	f.order, f.found = o, nil
	at := int64(o >> orderBits)
	if err := p.window.Reset(at, findAhead); err != nil {
		return nil, err
	}
	switch err := p.walkFrom(at, at+1); {
	case err == nil && f.found == nil, defective(err), errors.Is(err, errUnsorted):
		return nil, p.s.sheet.Changed()
	case err != nil:
		return nil, err
	}
	return f.found, nil
}

// Car looks for the wheel in a car.
func (f *Finder) Car(wheels []*wheel.Wheel, order []Order) {
	for i := range order {
		if order[i] == f.order {
			f.found = wheels[i]
		}
	}
}
