package interaction

import (
	"math/bits"

	"flangeway/track"
	"flangeway/wheel"
)

// mask is a set of readings: bit q for the wheel's own quantity q, the two of its
// mate behind them, and bit trackBit+q for a quantity of the feature.
type mask uint64

const (
	mateThickness = uint(wheel.NumQuantities) // the mate's flange_thickness
	mateRimWidth  = mateThickness + 1         // the mate's rim_width
	wheelBits     = mateRimWidth + 1
	trackBit      = 16
)

// A mask has room for the readings of a wheel below trackBit, and for those of a feature above.
const (
	_ = uint(trackBit - int(wheelBits))
	_ = uint(64 - trackBit - int(track.NumQuantities))
)

func wheelMask(q wheel.Quantity) mask { return 1 << q }
func trackMask(q track.Quantity) mask { return 1 << (trackBit + uint(q)) }

// each calls f with every bit of the set, in order.
func (m mask) each(f func(bit uint)) {
	for m != 0 {
		b := uint(bits.TrailingZeros64(uint64(m)))
		f(b)
		m &^= 1 << b
	}
}

// wheelReading is the reading of a wheel that a bit stands for, of its mate or its own.
func wheelReading(bit uint) (q wheel.Quantity, mate bool) {
	switch bit {
	case mateThickness:
		return wheel.FlangeThickness, true
	case mateRimWidth:
		return wheel.RimWidth, true
	}
	return wheel.Quantity(bit), false
}

// columnsOf are the columns of readings.
func columnsOf(m mask) (own, mate, place []string) {
	m.each(func(bit uint) {
		if bit >= trackBit {
			place = append(place, track.Quantity(bit-trackBit).String())
			return
		}
		switch q, ofMate := wheelReading(bit); {
		case ofMate:
			mate = append(mate, q.String())
		default:
			own = append(own, q.String())
		}
	})
	return own, mate, place
}

// settleNames words the readings of a mask.
func settleNames(m mask) []string {
	var out []string
	m.each(func(bit uint) { out = append(out, bitName(bit)) })
	return out
}

// bitName words one reading.
func bitName(bit uint) string {
	if bit >= trackBit {
		return track.Quantity(bit - trackBit).String()
	}
	q, mate := wheelReading(bit)
	if mate {
		return q.String() + " of the mate"
	}
	return q.String()
}
