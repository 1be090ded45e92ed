package track

import (
	"math/bits"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
)

// Kind is a kind of feature; features are named kind/id (frog/F4).
type Kind uint8

// The kinds of feature.
const (
	Frog Kind = iota
	Switch
	Curve
	Joint
	Spot
	NumKinds
)

var kindNames = [NumKinds]string{"frog", "switch", "curve", "joint", "spot"}

// String is the word of the kind.
func (k Kind) String() string { return kindNames[k] }

type readSet uint32

const _ = uint(32 - int(NumQuantities)) // a readSet has room for all readings

// Feature is the newest row of one feature.
type Feature struct {
	Kind     Kind
	Location string
	ID       string
	// Class is excepted or 1 to 5; "" is unknown. ClassGiven tells the row's own from the railroad's.
	Class      string
	ClassGiven bool
	// Speed is in mph; SpeedKnown tells 0 from unknown, SpeedGiven the row's own from the railroad's.
	Speed      float64
	SpeedKnown bool
	SpeedGiven bool
	Date       measure.Date
	Note       string
	Place      measure.Place

	// of a frog: bolted, rbm, solid, heavy-point, self-guarded, spring, flange-bearing; "" none of the special ones
	Type       string
	Number     float64 // of a frog; 0 unknown
	Direction  string  // of a switch: facing, trailing, both
	Holding    string  // good, fair, poor: what ties and fastenings hold; fair if blank
	Rail       string  // of a curve or joint: a section in configs; "" unknown
	Cant       string  // of a curve: 1:40, 1:20, none; "" unknown
	Lubricated string  // of a curve: high, low, both, none; "" unknown
	GuardRail  string  // of a curve or switch, along it: yes, no; "" unknown
	Condition  string  // of a switch, by eye: good, worn, poor; "" not judged
	Profile    string  // of a curve: the file of its traced rail beside the sheet; "" none
	// WarpOverFt is the distance in ft over which the warp of a curve or spot was read.
	WarpOverFt float64
	Marks      sheet.Marks

	// readings are those that there are, in the order of quantities, and has which.
	readings []measure.Reading
	has      readSet
	others   readSet // those that are not of the row
	// Earlier holds the older dated rows, oldest first; they feed the forecast and no verdict.
	Earlier []*Feature
	// open says by bit which of its closings do not hold.
	open uint8
}

// Name is kind/id, as findings name the feature.
func (f *Feature) Name() string { return f.Kind.String() + "/" + f.ID }

// RowDate is the date of the feature's row.
func (f *Feature) RowDate() measure.Date { return f.Date }

// RowPlace is where the feature's row stands.
func (f *Feature) RowPlace() measure.Place { return f.Place }

// Read is a reading of the feature; a missing one if its sheet has no such column.
func (f *Feature) Read(q Quantity) measure.Reading {
	if f.has>>q&1 == 0 {
		return measure.Reading{}
	}
	return f.readings[bits.OnesCount32(uint32(f.has&(1<<q-1)))]
}

// take adds to room the readings that there are, and makes them the feature's. read are the readings of its kind by
// quantity.
func (f *Feature) take(room []measure.Reading, read *[NumQuantities]measure.Reading) []measure.Reading {
	from := len(room)
	f.has = 0
	for q := range NumQuantities {
		if r := &read[q]; r.Measured() || r.Place.Line != 0 {
			f.has |= 1 << q
			room = append(room, *r)
		}
	}
	f.readings = room[from:len(room):len(room)]
	return room
}

// Contradicted reports whether the reading is one of those that do not fit one another.
func (f *Feature) Contradicted(q Quantity) bool {
	return slices.ContainsFunc(f.contradictions(), func(c closing) bool { return slices.Contains(c.quantities(), q) })
}

// Contradiction names the readings of the feature that do not fit one another, and what they say; "" if they do.
func (f *Feature) Contradiction() string {
	texts := each.Of(f.contradictions(), func(c closing) string { return c.text(f) })
	return strings.Join(texts, "; ")
}

// New makes a feature with the given readings, for track as designed and for tests.
func New(kind Kind, location, id string, readings map[Quantity]measure.Reading) *Feature {
	f := &Feature{Kind: kind, Location: location, ID: id, Direction: "both", Holding: "fair", WarpOverFt: WarpFt}
	var read [NumQuantities]measure.Reading
	for _, q := range readingsOf(kind) {
		read[q] = readings[q]
	}
	f.take(nil, &read)
	return f
}

// With is a copy of the feature with one reading replaced.
func (f *Feature) With(q Quantity, r measure.Reading) *Feature {
	return f.with(1<<q, func(Quantity) measure.Reading { return r })
}

// WithAll is a copy of the feature with readings replaced.
func (f *Feature) WithAll(readings map[Quantity]measure.Reading) *Feature {
	var which readSet
	for q := range readings {
		which |= 1 << q
	}
	return f.with(which, func(q Quantity) measure.Reading { return readings[q] })
}

func (f *Feature) with(which readSet, reading func(Quantity) measure.Reading) *Feature {
	g := *f
	var read [NumQuantities]measure.Reading
	for _, q := range readingsOf(f.Kind) {
		if which>>q&1 != 0 {
			read[q] = reading(q)
		} else {
			read[q] = f.Read(q)
		}
	}
	g.take(nil, &read)
	g.others |= which
	g.close()
	return &g
}

// Others are the readings of the feature that are not those of its row, by bit of Quantity.
func (f *Feature) Others() uint32 { return uint32(f.others) }

// Measured lists the readings that the kind's sheet holds.
func (f *Feature) Measured() []Quantity { return readingsOf(f.Kind) }

// Track is every feature of a survey, sorted by location, kind and id.
type Track struct {
	Features []*Feature
}

// Only is the track of the named features (frog/F4), in its order.
func (t *Track) Only(names map[string]bool) *Track {
	out := &Track{}
	for _, f := range t.Features {
		if names[f.Name()] {
			out.Features = append(out.Features, f)
		}
	}
	return out
}
