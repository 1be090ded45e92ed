package interaction

import (
	"flangeway/wheel"
)

// knownSums finds the place of a sum in the list of a table without adding its ends:
// from one wheel whose sum is in the list, an entry that is as wide as that wheel's and
// a whole number of steps from it moves the sum by as many places.
type knownSums struct {
	list  []tallied // of the table
	place int32     // of the wheel that was looked at first
	terms []knownTerm
}

// knownTerm is one term: by entry, how many places it moves the sum.
type knownTerm struct {
	first wheel.Ends // of the entry of the first wheel, with the term's sign
	moves []int32
}

// farOff is the move of an entry that is not known, or that moves the sum out of the
// list or off its grid. Other terms do not bring it back: none moves farther than
// maxList.
const farOff = -1 << 24

// find gives the tally of a sum, nil where it is not known.
func (s *knownSums) find(terms []formTerm, e, m *entries) *tallied {
	at := s.place
	for i := range s.terms {
		id, moves := terms[i].of(e, m), s.terms[i].moves
		if int(id) >= len(moves) {
			return nil
		}
		at += moves[id]
	}
	if uint(at) >= uint(len(s.list)) {
		return nil
	}
	return &s.list[at]
}

// learn looks at the entries of a wheel whose sum was not known.
func (s *knownSums) learn(t *sumTable, f *form, v *wheel.Values, e, m *entries) {
	lo, hi := f.sum(v, e, m)
	i := t.place(lo)
	if i >= uint64(len(t.list)) || hi-lo != t.width {
		return
	}
	if s.list == nil {
		s.list, s.place, s.terms = t.list, int32(i), make([]knownTerm, len(f.terms))
		for k := range f.terms {
			x := &s.terms[k].first
			x.Lo, x.Hi = f.terms[k].ends(v, f.terms[k].of(e, m))
		}
	}
	for k := range f.terms {
		known, term := &s.terms[k], &f.terms[k]
		for id := int32(len(known.moves)); id < int32(v.Count(term.q)); id++ {
			lo, hi := term.ends(v, id)
			n := (lo - known.first.Lo) / t.step
			if id == 0 || n*t.step != lo-known.first.Lo || hi-lo != known.first.Hi-known.first.Lo || n > maxList || n < -maxList {
				n = farOff
			}
			known.moves = append(known.moves, int32(n))
		}
	}
}
