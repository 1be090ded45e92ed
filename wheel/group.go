package wheel

import (
	"math/bits"

	"flangeway/internal/measure"
)

// Group is the wheels of one car as numbers of their entries.
type Group struct {
	Order   Order  // of the car; a wheel's is its own with the slot added
	Kind    uint8  // index into [Kinds], or their number for an unknown kind
	Present uint16 // the wheels there are, by slot: L1 to L8, then R1 to R8
	Entries [16][NumQuantities]int32
	Designs [16]int16 // index into the designs of configs and 1; 0 for none
}

// Mate is the slot of the other wheel of an axle.
func Mate(slot int) int { return slot ^ 8 }

// GroupVisitor is a visitor that takes cars as groups. The entries of a stream are
// those of the visitor's worker. Cars that need more than their entries say, such as
// those with a history, come by [Visitor.Car] all the same.
type GroupVisitor interface {
	Visitor
	Values(v *Values)
	Group(g *Group)
	// Whole asks for a car by [Visitor.Car].
	Whole(kind uint8, id []byte) bool
}

// field is what a column holds.
type field uint8

const (
	fieldNone field = iota // no heading: cells are blank
	fieldCar
	fieldPosition
	fieldDate
	fieldDesign
	fieldNote
	fieldReading // and the quantity
)

// groups reads rows by their bytes.
type groups struct {
	visit    GroupVisitor
	values   *Values
	fields   []field
	designs  map[string]int16
	date     [10]byte // of the last row
	hasDate  bool
	g        Group
	entries  [NumQuantities]int32
	design   int16
	slot     int
	from, to int // of the id in the row that was read
}

func newGroups(s *Stream, v GroupVisitor) *groups {
	x := &groups{visit: v, values: newValues(s.columns), designs: map[string]int16{}}
	for i, d := range s.data.Designs {
		x.designs[d.Name] = int16(i + 1)
	}
	for _, h := range s.sheet.Headings() {
		f := fieldNone
		switch h {
		case "car":
			f = fieldCar
		case "position":
			f = fieldPosition
		case "date":
			f = fieldDate
		case "design":
			f = fieldDesign
		case "note":
			f = fieldNote
		default:
			if q, ok := QuantityOf(h); ok {
				f = fieldReading + field(q)
				x.values.Columns = append(x.values.Columns, q)
			}
		}
		x.fields = append(x.fields, f)
	}
	v.Values(x.values)
	return x
}

// maxID is the longest id that is read by its bytes.
const maxID = 64

// row reads the row at i, which a line feed ends somewhere in b, and gives the byte
// behind it. ok is false where the row is not of the plain kind; nothing is said
// of it then. id is that of the car at hand, the likely one.
func (x *groups) row(b []byte, i int, id []byte) (end int, ok bool) {
	last := len(x.fields) - 1
	for k, f := range x.fields {
		switch {
		case f >= fieldReading:
			c := &x.values.columns[f-fieldReading]
			from, n := i, 0
			d := b[i] - '0'
			for d <= 9 {
				n = n*10 + int(d)
				i++
				d = b[i] - '0'
			}
			digits := 0
			if b[i] == '.' {
				i++
				point := i
				d = b[i] - '0'
				for d <= 9 {
					n = n*10 + int(d)
					i++
					d = b[i] - '0'
				}
				if digits = i - point; digits == 0 {
					return 0, false
				}
			}
			entry := int32(0)
			switch ends := b[i] == ',' || b[i] == '\n' || b[i] == '\r'; {
			case ends && i == from: // blank
			case ends && digits <= maxDigits && i-from <= 9 && n < maxPlain:
				if t := c.decimals[digits]; n < len(t) && t[n] != 0 {
					entry = t[n]
				} else {
					entry = c.plain(digits, n, b[from:i])
				}
			default:
				if i = cell(b, i, from, maxText); i < 0 {
					return 0, false
				}
				entry = c.text(b[from:i])
			}
			if entry < 0 {
				return 0, false
			}
			x.entries[f-fieldReading] = entry
		case f == fieldCar:
			n := len(id)
			if n > 0 && i+n < len(b) && b[i+n] == ',' && string(b[i:i+n]) == string(id) {
				x.from, x.to = i, i+n
				i += n
				break
			}
			from := i
			for plainByte(b[i]) {
				i++
			}
			if i == from || i-from > maxID || (i-from == 1 && b[from] == '-') || string(b[from:i]) == "n/m" {
				return 0, false
			}
			x.from, x.to = from, i
		case f == fieldPosition:
			if i+2 >= len(b) || (b[i] != 'L' && b[i] != 'R') || b[i+1] < '1' || b[i+1] > '8' {
				return 0, false
			}
			x.slot = int(b[i+1] - '1')
			if b[i] == 'R' {
				x.slot += 8
			}
			i += 2
		case f == fieldDate:
			switch {
			case b[i] == ',' || b[i] == '\n' || b[i] == '\r':
			case i+10 >= len(b):
				return 0, false
			case x.hasDate && string(b[i:i+10]) == string(x.date[:]):
				i += 10
			default:
				if _, err := measure.ParseDate(string(b[i : i+10])); err != nil {
					return 0, false
				}
				copy(x.date[:], b[i:])
				x.hasDate = true
				i += 10
			}
		case f == fieldDesign:
			from := i
			if i = cell(b, i, from, maxText); i < 0 {
				return 0, false
			}
			x.design = 0
			if i > from {
				var known bool
				if x.design, known = x.designs[string(b[from:i])]; !known {
					return 0, false
				}
			}
		case f == fieldNote:
			if i = cell(b, i, i, maxNote); i < 0 {
				return 0, false
			}
		}
		if k < last {
			if b[i] != ',' {
				return 0, false
			}
			i++
		}
	}
	if b[i] == '\r' {
		i++
	}
	if i >= len(b) || b[i] != '\n' {
		return 0, false
	}
	return i + 1, true
}

// maxNote is the longest note that is passed over by its bytes.
const maxNote = 4096

// cell is where the plain cell that begins at from ends, seen up to i: at the next
// comma or line end. It is -1 where the cell is quoted, longer than most, or holds
// more than printable ASCII.
func cell(b []byte, i, from, most int) int {
	if b[from] == '"' {
		return -1
	}
	for ; b[i] != ','; i++ {
		c := b[i]
		if c == '\n' {
			return i
		}
		if c < ' ' || c >= 0x7f {
			if c == '\r' && i+1 < len(b) && b[i+1] == '\n' {
				return i
			}
			return -1
		}
		if i-from > most {
			return -1
		}
	}
	return i
}

// plainByte reports a byte of ids that need no trimming or joining.
func plainByte(c byte) bool { return c > ' ' && c <= '~' && c != ',' && c != '"' }

// add keeps the row that was read as one of the car at hand; ok is false where the
// wheel stands twice.
func (x *groups) add() (ok bool) {
	bit := uint16(1) << x.slot
	if x.g.Present&bit != 0 {
		return false
	}
	x.g.Present |= bit
	x.g.Entries[x.slot] = x.entries
	x.g.Designs[x.slot] = x.design
	return true
}

// settle gives both wheels of each axle the axle's back-to-back, and counts the
// warnings that the car would draw. ok is false where the rows of an axle do not
// agree by their numbers alone.
func (x *groups) settle() (warnings int, ok bool) {
	heights, hollows := x.values.columns[FlangeHeight].list, x.values.columns[TreadHollow].list
	for rest := x.g.Present; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		e := &x.g.Entries[slot]
		if h := &heights[e[FlangeHeight]]; h.odd&isLow != 0 {
			warnings++
		}
		if e[BackToBack] != 0 && e[BackToBackMax] != 0 &&
			x.values.columns[BackToBackMax].list[e[BackToBackMax]].Hi <= x.values.columns[BackToBack].list[e[BackToBack]].Lo {
			return 0, false
		}
		mate := Mate(slot)
		hasMate := x.g.Present>>mate&1 != 0
		if q := &hollows[e[TreadHollow]]; q.odd&isHollow != 0 && (!hasMate || x.g.Entries[mate][TreadHollow] == 0) {
			warnings++
		}
		if !hasMate || slot >= 8 {
			continue
		}
		m := &x.g.Entries[mate]
		a, b := &heights[e[FlangeHeight]], &heights[m[FlangeHeight]]
		if e[FlangeHeight] != 0 && m[FlangeHeight] != 0 && (a.odd|b.odd)&oneSided == 0 {
			if d := a.As - b.As; d >= unlikeParts || -d >= unlikeParts {
				warnings++
			}
		}
	}
	// Only now are the rows changed: above, each axle was still as written.
	for rest := x.g.Present & 0xff; rest != 0; rest &= rest - 1 {
		slot := bits.TrailingZeros16(rest)
		if x.g.Present>>Mate(slot)&1 == 0 {
			continue
		}
		l, r := &x.g.Entries[slot], &x.g.Entries[Mate(slot)]
		for q := BackToBack; q <= BackToBackMax; q++ {
			switch {
			case l[q] == r[q]:
			case l[q] == 0:
				l[q] = r[q]
			case r[q] == 0:
				r[q] = l[q]
			default:
				return 0, false
			}
		}
	}
	return warnings, true
}

// unlikeParts is unlikeHeights in parts, less what comparisons take for none.
const unlikeParts = unlikeHeights*PerMM - measure.Near*PerMM
