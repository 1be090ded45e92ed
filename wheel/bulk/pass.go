package bulk

import (
	"bytes"
	"fmt"
	"math/bits"
	"slices"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// blockResult is the content of one block of a stream: the cars from start to end, bytes of the file.
type blockResult struct {
	start, end   int64
	first, last  string // ids of the first and last car
	cars, wheels int
	unlisted     int
	lines        int
	warned       []warned    // the first cars with warnings
	unworded     int         // warnings beyond those
	alike        sheet.Alike // of the ids of cars
	err          error
}

// warned is a car with warnings: worded, or their number and where its rows begin.
type warned struct {
	list           []measure.Warning // lines count from 1 at the start of the block
	count          int
	from           int64 // byte of the file
	car            string
	rows, lineFrom int // line of the block from 0
}

// pass reads blocks of a stream for one visitor.
type pass struct {
	s        *Stream
	visit    Visitor
	problems *measure.Problems // where defects are collected; nil if one ends the pass
	base     int               // the line where the block begins; 0 if it is not known
	window   *sheet.Window
	reader   *wheel.Rows
	wheels   []*wheel.Wheel // of the car that was read whole
	result   *blockResult
	order    []Order

	groups *groups         // reads plain rows by their bytes; nil if every car goes whole
	later  bool            // warnings of such rows are worded when they are wanted
	room   [16]wheel.Wheel // for a car that is read for its warnings alone
	worded int             // warnings so far

	pos, line        int // where the next row is looked for: byte of the window, line of the block from 0
	rowFrom, rowLine int // where the last row began
	safe, safeOf     int // the plain rows of the window end before safe, which holds for its length safeOf
	car              []byte
	carFrom, carLine int  // where the rows of the car at hand begin
	rows             int  // of the car
	slow             bool // a row of the car is not plain
}

func newPass(s *Stream, v Visitor, problems *measure.Problems) *pass {
	p := &pass{s: s, visit: v, problems: problems, window: s.sheet.Window(0)}
	found := problems
	if found == nil {
		found = &measure.Problems{}
	}
	p.reader = wheel.NewRows(s.sheet.Table, s.roster, s.columns, s.data, s.frame, found)
	if g, ok := v.(GroupVisitor); ok && problems == nil {
		p.groups = newGroups(s, g)
	}
	return p
}

// maxRows is the most rows of one car, history and all; sixteen wheels read every day over forty years have fewer.
const maxRows = 250_000

// slack is how far a block is read beyond its end at first, for its last car.
const slack = 16 << 10

// lineOf is the line of the sheet for a line of the block; the lines of a block whose place is not known yet are
// counted from 1.
func (p *pass) lineOf(line int) int {
	if p.base == 0 {
		return line + 1
	}
	return p.s.line(p.base + line)
}

// defect ends a pass at the first problem, unless they are collected.
func (p *pass) defect() error {
	if p.problems == nil && p.reader.Problems.Len() > 0 {
		return errDefect
	}
	return nil
}

// read reads block k of the file. The edge between two blocks is the first row behind byte k·block whose car is another
// than that of the first row there: both blocks find the same, as long as no line end there is one inside a cell.
func (p *pass) read(k int) error {
	at := p.s.sheet.Body + int64(k)*p.s.block
	if k == 0 {
		return p.readFrom(at, at+p.s.block)
	}
	until := at + p.s.block
	w := p.window
	if err := w.Reset(at-1, int(p.s.block)+slack); err != nil { // at may be the first byte of a row
		return err
	}
	if err := p.nextLine(); err != nil {
		return err
	}
	p.line = 0
	p.result.start = w.Start + int64(p.pos)
	first, behind := "", false
	for {
		id, more, err := p.row()
		if err != nil {
			return err
		}
		at := w.Start + int64(p.rowFrom)
		if !more {
			p.result.start, p.result.end = p.s.sheet.Size, p.s.sheet.Size
			return nil
		}
		if first == "" {
			first = id
		}
		if id != first {
			p.result.start = at
			break
		}
		behind = behind || at >= until
	}
	if behind { // the car runs through the whole block
		p.result.end = p.result.start
		return nil
	}
	p.pos, p.line = p.rowFrom, 0
	return p.walk(until)
}

// readFrom reads the cars that begin from byte at, which begins a row, up to the edge of the block at byte until.
func (p *pass) readFrom(at, until int64) error {
	if err := p.window.Reset(at, int(until-at)+slack); err != nil {
		return err
	}
	return p.walkFrom(at, until)
}

// walkFrom is readFrom when the window is there.
func (p *pass) walkFrom(at, until int64) error {
	p.result.start = at
	p.pos, p.line = 0, 0
	return p.walk(until)
}

// nextLine moves to the first line that begins in the window.
func (p *pass) nextLine() error {
	w := p.window
	for p.pos = 0; ; {
		if i := bytes.IndexByte(w.Bytes[p.pos:], '\n'); i >= 0 {
			p.pos += i + 1
			return nil
		}
		if p.pos = len(w.Bytes); w.EOF {
			return nil
		}
		if err := w.Extend(); err != nil {
			return err
		}
	}
}

// row moves behind the next row that names a car; more is false at the end of the sheet.
func (p *pass) row() (id string, more bool, err error) {
	for {
		line := p.lineOf(p.line)
		cells, from, to, lines, err := p.window.Row(p.pos, line)
		if err != nil {
			return "", false, err
		}
		p.pos = to
		if cells == nil {
			p.line += lines
			return "", false, nil
		}
		p.rowFrom, p.rowLine = from, p.line+cells[0].Line-line
		p.line += lines
		row, ok := p.s.sheet.Fit(cells, p.reader.Problems)
		if ok {
			if id := p.reader.ID(row, "car"); !measure.Unmeasured(id) {
				return id, true, nil
			}
			p.reader.Row(row) // says that the car is missing, and what else is wrong
		}
		if err := p.defect(); err != nil {
			return "", false, err
		}
	}
}

// walk goes over the cars from pos on, up to the edge of the block.
func (p *pass) walk(until int64) error {
	b, w := p.result, p.window
	p.car, p.rows, p.safeOf = p.car[:0], 0, -1
	tail := false // the car at hand is the last
	for {
		id, plain := p.plainRow()
		if !plain {
			name, more, err := p.row()
			if err != nil {
				// The rows before it are looked at nevertheless: all defects at once.
				if e := p.closeCar(); defective(err) && e != nil && !defective(e) {
					return e
				}
				return err
			}
			if !more {
				b.end, b.lines = p.s.sheet.Size, p.line
				err := p.closeCar()
				b.last = string(p.car)
				return err
			}
			id = []byte(name)
		}
		if p.rows == 0 || !(plain && p.groups.same) && string(id) != string(p.car) {
			if err := p.closeCar(); err != nil {
				return err
			}
			if tail {
				b.last = string(p.car)
				b.end, b.lines = w.Start+int64(p.rowFrom), p.rowLine
				return nil
			}
			if p.rows > 0 && string(id) <= string(p.car) {
				return errUnsorted
			}
			p.car, p.carFrom, p.carLine, p.rows, p.slow = append(p.car[:0], id...), p.rowFrom, p.rowLine, 0, false
			if p.groups != nil {
				p.groups.begin()
			}
		}
		if !plain || !p.groups.add() {
			p.slow = true
		}
		tail = tail || w.Start+int64(p.rowFrom) >= until
		if p.rows++; p.rows > maxRows {
			p.reader.Problems.Add(measure.Place{File: p.s.sheet.Table.File, Line: p.lineOf(p.rowLine), Col: 1}, "car",
				fmt.Sprintf("car %s has more than %d rows", p.car, maxRows), "a row for each wheel and date")
			return errDefect
		}
	}
}

// plainRow moves behind the next row if it is a plain one. The id holds until the window changes.
func (p *pass) plainRow() (id []byte, ok bool) {
	x := p.groups
	if x == nil {
		return nil, false
	}
	b := p.window.Bytes
	if len(b) != p.safeOf {
		p.safe, p.safeOf = bytes.LastIndexByte(b, '\n')+1, len(b)
	}
	for p.pos < p.safe && b[p.pos] == '\n' { // a blank line
		p.pos++
		p.line++
	}
	if p.pos >= p.safe {
		return nil, false
	}
	end, ok := x.row(b[:len(b)+padding], p.pos, p.car)
	if !ok {
		return nil, false
	}
	p.rowFrom, p.rowLine, p.pos = p.pos, p.line, end
	p.line++
	return b[x.from:x.to], true
}

// closeCar gives the car at hand to the visitor.
func (p *pass) closeCar() error {
	if p.rows == 0 {
		return nil
	}
	b := p.result
	if b.cars == 0 {
		b.first = string(p.car)
	}
	b.cars++
	sheet.AddID(&b.alike, p.car)
	if p.groups != nil && !p.slow && p.closeGroup() {
		return nil
	}
	return p.closeWhole()
}

// closeGroup gives a car of plain rows to the visitor; ok is false if it has to go whole.
func (p *pass) closeGroup() (ok bool) {
	x, roster := p.groups, p.s.roster
	kind, odd, unlisted := uint8(len(wheel.Kinds())), 0, 1
	if roster.Listed {
		if c := roster.Find(p.car); c == nil {
			odd++
		} else {
			kind, unlisted = kindOf(c), 0
			if axles := max(bits.Len16(x.g.Present&0xff), bits.Len16(x.g.Present>>8)); c.Axles > 0 && axles > c.Axles {
				return false
			}
		}
	}
	if x.visit.Whole(kind, p.car) {
		return false
	}
	more, ok := x.settle()
	if !ok {
		return false
	}
	switch odd += more; {
	case odd == 0:
	case p.worded >= p.s.mostWarnings():
		p.result.unworded += odd
	case p.later:
		p.worded += odd
		p.result.warned = append(p.result.warned, warned{count: odd, from: p.window.Start + int64(p.carFrom),
			car: string(p.car), rows: p.rows, lineFrom: p.carLine})
	default:
		if err := p.readWhole(p.room[:]); err != nil {
			return false
		}
		p.keepWarnings()
	}
	p.result.unlisted += unlisted
	p.result.wheels += p.rows
	x.g.Order, x.g.Kind = Order(p.window.Start+int64(p.carFrom))<<orderBits, kind
	x.visit.Group(&x.g)
	return true
}

// kindOf is the kind of the car as an index into Kinds, or their number if it is not known.
func kindOf(c *wheel.Car) uint8 {
	for i, k := range wheel.Kinds() {
		if k == c.Kind {
			return uint8(i)
		}
	}
	return uint8(len(wheel.Kinds()))
}

// closeWhole gives the car at hand to the visitor as readings.
func (p *pass) closeWhole() error {
	if err := p.readWhole(nil); err != nil {
		return err
	}
	b := p.result
	b.wheels += len(p.wheels)
	if !p.s.roster.Has(string(p.car)) {
		b.unlisted++
	}
	p.keepWarnings()
	if p.visit == nil || p.problems != nil || len(p.wheels) == 0 {
		return nil
	}
	p.order = p.order[:0]
	at := Order(p.window.Start+int64(p.carFrom)) << orderBits
	for _, w := range p.wheels {
		p.order = append(p.order, at|Order(slotOf(w.Position)))
	}
	p.visit.Car(p.wheels, p.order)
	return nil
}

// readWhole reads the rows of the car at hand once more, as readings; room is lent for its wheels.
func (p *pass) readWhole(room []wheel.Wheel) error {
	id := string(p.car)
	pos, line := p.carFrom, p.carLine
	p.reader.Begin(room)
	var rows []*wheel.Wheel
	for n := 0; n < p.rows; {
		cells, _, to, lines, err := p.window.Row(pos, p.lineOf(line))
		if err != nil {
			return err
		}
		if cells == nil {
			return p.s.sheet.Changed() // it was shorter when its rows were counted
		}
		pos, line = to, line+lines
		row, ok := p.s.sheet.Fit(cells, nil)
		if !ok || p.reader.ID(row, "car") != id {
			continue // blank, or a problem that was found before
		}
		n++
		if w := p.reader.Row(row); w != nil {
			rows = append(rows, w)
		}
	}
	p.wheels = p.reader.Wheels(rows)
	return p.defect()
}

// keepWarnings keeps the first warnings of a worker; the first of all workers are among them, because its blocks come
// in order.
func (p *pass) keepWarnings() {
	list := p.reader.Warnings()
	measure.SortWarnings(list)
	keep := min(len(list), max(0, p.s.mostWarnings()-p.worded))
	p.result.unworded += len(list) - keep
	list = list[:keep]
	if p.worded += len(list); len(list) > 0 {
		p.result.warned = append(p.result.warned, warned{list: slices.Clone(list), count: len(list)})
	}
}

// warningsOf words the warnings of a car that were left for later.
func (p *pass) warningsOf(c warned) ([]measure.Warning, error) {
	if c.list != nil {
		return c.list, nil
	}
	if err := p.window.Reset(c.from, findAhead); err != nil {
		return nil, err
	}
	p.reader.Warnings() // those before
	p.car, p.carFrom, p.carLine, p.rows = append(p.car[:0], c.car...), 0, c.lineFrom, c.rows
	if err := p.readWhole(p.room[:]); err != nil {
		return nil, err
	}
	list := p.reader.Warnings()
	if len(list) != c.count {
		return nil, p.s.sheet.Changed()
	}
	measure.SortWarnings(list)
	return list, nil
}
