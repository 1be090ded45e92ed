package bulk

import (
	"flangeway/wheel"
	wheelbulk "flangeway/wheel/bulk"
)

// knownSums finds the place of a sum in the list of a table without adding its ends: from one wheel whose sum is in the
// list, an entry that is as wide as that wheel's and a whole number of steps from it moves the sum by as many places.
type knownSums struct {
	list  tallies // of the table
	place int     // of the wheel that was looked at first
	terms []knownTerm
}

// knownTerm is one term: by entry, how many places it moves the sum.
type knownTerm struct {
	q     wheel.Quantity
	side  uint8          // 1 for the mate
	first wheelbulk.Ends // of the entry of the first wheel, with the term's sign
	moves []int16
}

// farOff is the move of an entry that is not known, or that moves the sum far or off its grid. The other terms do not
// bring it back into the list.
const (
	farOff    = -1 << 15
	maxMove   = 1 << 12
	maxMoving = 4 // terms
)

// add counts a wheel; ok is false if the place of its sum is not known.
func (s *knownSums) add(e, m *entries, order wheelbulk.Order) (ok bool) {
	i, of := s.place, [2]*entries{e, m}
	for k := range s.terms {
		t := &s.terms[k]
		id := uint(of[t.side&1][t.q])
		if id >= uint(len(t.moves)) {
			return false
		}
		i += int(t.moves[id])
	}
	if uint(i) >= uint(len(s.list.n)) {
		return false
	}
	s.list.add(i, order)
	return true
}

// learn looks at the entries of a wheel whose sum was not known.
func (s *knownSums) learn(t *sumTable, f *form, v *wheelbulk.Values, e, m *entries) {
	place, listed := t.place(f.sum(v, e, m))
	if !listed || len(f.terms) > maxMoving {
		return
	}
	if s.terms == nil {
		s.list, s.place = t.list, place
		for _, term := range f.terms {
			k := knownTerm{q: term.q}
			if term.mate {
				k.side = 1
			}
			k.first.Lo, k.first.Hi = term.ends(v, term.of(e, m))
			s.terms = append(s.terms, k)
		}
	}
	for k := range s.terms {
		known := &s.terms[k]
		for id := int32(len(known.moves)); id < int32(v.Count(known.q)); id++ {
			lo, hi := f.terms[k].ends(v, id)
			n := (lo - known.first.Lo) / t.step
			if id == 0 || n*t.step != lo-known.first.Lo || hi-lo != known.first.Hi-known.first.Lo || n > maxMove ||
				n < -maxMove {
				n = farOff
			}
			known.moves = append(known.moves, int16(n))
		}
	}
}
