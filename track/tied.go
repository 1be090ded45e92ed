package track

import (
	"slices"

	"flangeway/internal/measure"
)

// tied is how a reading at a frog's guard rail, or the gauge under load, follows what was changed: by the gauge, by the
// guard rail moved away from its running rail, and by the flangeway ground wider.
type tied struct {
	q                  Quantity
	gauge, guard, wide float64
}

// ties are those of a kind of place. They close as the closings do: guard check is gauge less guard flangeway, guard
// check less guard face is the flangeway width.
func (f *Feature) ties() []tied {
	out := []tied{{q: Gauge, gauge: 1}, {q: LoadedGauge, gauge: 1}}
	if f.Kind == Frog && f.Type != "self-guarded" {
		out = append(out, tied{q: GuardCheck, gauge: 1, guard: 1}, tied{q: GuardFace, gauge: 1, guard: 1, wide: -1},
			tied{q: GuardFlangeway, guard: -1}, tied{q: FlangewayWidth, wide: 1})
	}
	return out
}

// Follow is the feature with the readings moved along that its geometry ties to edited ones, and which moved; was is
// the feature before the edits. Nothing moves if readings contradicted each other before, because then it is not known
// which of them is so.
func (f *Feature) Follow(was *Feature, edited []Quantity) (out *Feature, moved []Quantity) {
	if was.open != 0 {
		return f, nil
	}
	by := func(q Quantity) (float64, bool) {
		a, b := was.Read(q), f.Read(q)
		ok := slices.Contains(edited, q) && a.Measured() && b.Measured() && !a.OneSided() && !b.OneSided()
		return b.As - a.As, ok
	}
	gauge, _ := by(Gauge)
	wide, _ := by(FlangewayWidth)
	guard := 0.0
	for _, x := range f.ties() {
		if d, ok := by(x.q); ok && x.guard != 0 {
			guard = (d - x.gauge*gauge - x.wide*wide) / x.guard
			break
		}
	}
	out = f
	for _, x := range f.ties() {
		d := x.gauge*gauge + x.guard*guard + x.wide*wide
		r := f.Read(x.q)
		if slices.Contains(edited, x.q) || !r.Measured() || d < measure.Near && d > -measure.Near {
			continue
		}
		r.Lo, r.As, r.Hi = r.Lo+d, r.As+d, r.Hi+d
		r.Written = map[measure.Form]string{measure.Above: ">", measure.Below: "<"}[r.Form] +
			measure.NearestInch(r.As, 64)
		out, moved = out.With(x.q, r), append(moved, x.q)
	}
	return out, moved
}
