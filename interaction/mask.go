package interaction

import (
	"math/bits"

	"flangeway/track"
	"flangeway/wheel"
)

// Mask is a set of readings: bit q for the wheel's own quantity q, the two of its mate behind them, and bit trackBit+q
// for a quantity of the feature.
type Mask uint64

const (
	MateThickness = uint(wheel.NumQuantities) // the mate's flange_thickness
	MateRimWidth  = MateThickness + 1         // the mate's rim_width
	WheelBits     = MateRimWidth + 1
	TrackBit      = 16
)

// A mask has room for the readings of a wheel below trackBit, and for those of a feature above.
const (
	_ = uint(TrackBit - int(WheelBits))
	_ = uint(64 - TrackBit - int(track.NumQuantities))
)

func WheelMask(q wheel.Quantity) Mask { return 1 << q }
func TrackMask(q track.Quantity) Mask { return 1 << (TrackBit + uint(q)) }

// Each calls f with every bit of the set, in order.
func (m Mask) Each(f func(bit uint)) {
	for m != 0 {
		b := uint(bits.TrailingZeros64(uint64(m)))
		f(b)
		m &^= 1 << b
	}
}

// WheelReading is the reading of a wheel that a bit stands for, of its mate or its own.
func WheelReading(bit uint) (q wheel.Quantity, mate bool) {
	switch bit {
	case MateThickness:
		return wheel.FlangeThickness, true
	case MateRimWidth:
		return wheel.RimWidth, true
	}
	return wheel.Quantity(bit), false
}

// ColumnsOf are the columns of readings.
func ColumnsOf(m Mask) (own, mate, place []string) {
	m.Each(func(bit uint) {
		if bit >= TrackBit {
			place = append(place, track.Quantity(bit-TrackBit).String())
			return
		}
		switch q, ofMate := WheelReading(bit); {
		case ofMate:
			mate = append(mate, q.String())
		default:
			own = append(own, q.String())
		}
	})
	return own, mate, place
}

// ReadingNames words the readings of a mask.
func ReadingNames(m Mask) []string {
	var out []string
	m.Each(func(bit uint) { out = append(out, ReadingName(bit)) })
	return out
}

// ReadingName words one reading.
func ReadingName(bit uint) string {
	if bit >= TrackBit {
		return track.Quantity(bit - TrackBit).String()
	}
	q, mate := WheelReading(bit)
	if mate {
		return q.String() + " of the mate"
	}
	return q.String()
}
