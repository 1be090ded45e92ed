package ask

import (
	"flangeway/track"
	"flangeway/track/shape"
	"flangeway/wheel"
)

// At is a reading of a feature; a nil feature has none.
func At(f *track.Feature, q track.Quantity) Source {
	if f == nil {
		return nothing
	}
	return Read(f.Read(q), f.Place)
}

func nothing(*Start) (Value, bool) { return Value{}, false }

// wordAt is a word of a feature; a nil feature has none.
func wordAt(f *track.Feature, word func(*track.Feature) string) Source {
	if f == nil {
		return nothing
	}
	return Word(word(f), f.Place)
}

// Degree is the degree of a curve.
func Degree(f *track.Feature) Source { return At(f, track.Degree) }

// SpeedAt is the speed in mph at a place, which may be that of the whole railroad.
func SpeedAt(f *track.Feature) Source {
	if f == nil {
		return nothing
	}
	known := Known(f.Speed, f.SpeedKnown, Plain(f.Speed), f.Place)
	if f.SpeedGiven {
		return known
	}
	return func(s *Start) (Value, bool) {
		v, ok := known(s)
		v.From = "survey railroad.yaml, speed_mph"
		return v, ok
	}
}

// FrogType is the type of a frog, "" of an ordinary one.
func FrogType(f *track.Feature) Source {
	return wordAt(f, func(f *track.Feature) string { return f.Type })
}

// FrogNumber is the number of a frog.
func FrogNumber(f *track.Feature) Source {
	if f == nil {
		return nothing
	}
	return Known(f.Number, f.Number > 0, Plain(f.Number), f.Place)
}

// Detail is the point detail that a switch is taken for, if its readings tell one.
func Detail(f *track.Feature) Source {
	return wordAt(f, func(f *track.Feature) string {
		if d := shape.DetailOf(f); d != "plain" {
			return d
		}
		return ""
	})
}

// Trailing is the direction of a switch that is run through from its heel alone.
func Trailing(f *track.Feature) Source {
	return wordAt(f, func(f *track.Feature) string {
		if f.Direction == "trailing" {
			return "trailing"
		}
		return ""
	})
}

// CarOf is the car of a wheel; nil of a nil wheel.
func CarOf(w *wheel.Wheel) *wheel.Car {
	if w == nil {
		return nil
	}
	return w.Car
}

// Gross is the gross weight of a car in pounds; a nil car has none.
func Gross(c *wheel.Car) Source {
	if c == nil {
		return nothing
	}
	return Known(c.GrossLb, c.GrossLb > 0, Plain(c.GrossLb), c.Place)
}

// Wheelbase is that of the trucks of a car; a nil car has none.
func Wheelbase(c *wheel.Car) Source {
	if c == nil {
		return nothing
	}
	return Read(c.TruckWheelbase, c.Place)
}
