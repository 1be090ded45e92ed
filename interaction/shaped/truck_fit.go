package shaped

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// fit lays out the ends of the readings of flanges, rims, axles and diameters.
func (c *Computer) fit(t *truckJob) {
	rules := c.Rules
	t.fits = make([]fit, numEnds)
	t.treadLost()
	at := func(r measure.Reading, end int) float64 {
		switch end {
		case wornEnd:
			return r.Lo
		case newEnd:
			return r.Hi
		}
		return figureOf(0, r)
	}
	for end := range numEnds {
		f := &t.fits[end]
		f.end, f.gross, f.designs, f.over = end, t.gross, t.designs, t.over[end]
		for i, w := range t.all() {
			if w == nil {
				continue
			}
			if end == newEnd {
				f.designs[i] = c.thickDesign(w, t.designs[i])
			}
			if x := w.Read(wheel.FlangeThickness); x.Measured() {
				f.flange[i] = at(x, end)
				f.thickness[i] = nearest(f.flange[i], thicknessStep)
				if end != written && x.Width() > measure.Near {
					f.thickness[i] = atEnd(wheelshape.WornReadings{Thickness: x}, end).Thickness
				}
			}
			if f.rim[i] = c.rimOf(w, end); end == wornEnd && w.Design == "" && !w.Read(wheel.RimWidth).Measured() {
				f.unread |= interaction.WheelMask(wheel.RimWidth)
			}
		}
		for a := range t.axles {
			f.backs[a] = c.back(t, a, end)
			if f.backs[a] == 0 {
				t.broken, t.lacks = "back-to-back is not known", []string{wheel.BackToBack.String()}
			}
			t.sizesOf(f, a, rules.Value("wheel_diameter"))
		}
	}
	thin := c.thinEnds(t)
	corners, inner := c.flangeCorners(t, thin)
	t.fits = append(t.fits, corners...)
	t.inner = slices.Concat(inner, t.backsBetween(), t.hollowsBetween(rules.Value("wheel_diameter")))
	if t.car.GrossLb == 0 && t.car.ID != "" {
		for _, light := range slices.Clone(t.fits) {
			light.gross, light.light = c.BlankWeights()[1]*measure.NewtonsPerPound, true
			t.fits = append(t.fits, light)
		}
		t.notes = append(t.notes, "gross_lb not read: tried as car_weight and as empty_weight")
	}
	t.notes = append(t.notes, t.sizesSaid()...)
	for a := range t.axles {
		if t.mismatched(a) {
			t.notes = append(t.notes, fmt.Sprintf("the diameters of axle %d of the truck were read farther apart "+
				"than two tape sizes: taken as that far apart, what is beyond is a fault of its own", a+1))
		}
		if r := t.backRead(a); t.car.ID != "" && !r.Measured() {
			t.notes = append(t.notes, fmt.Sprintf("back_to_back of axle %d of the truck not read: that of the "+
				"designs taken", a+1))
		}
	}
	// As written, once more, for what cannot be as it was read.
	for i, w := range t.all() {
		if w == nil {
			continue
		}
		if _, aside, err := c.wornShape(t.fits[written].designs[i],
			t.shapeReadings(&t.fits[written], i, t.level[written])); err == nil && len(aside) > 0 {
			t.notes = append(t.notes, fmt.Sprintf("%s of %s contradicts the other readings and was set aside",
				named(aside), w.Position))
		}
	}
}

// thinEnds are the flanges of the worn end, one that was not read as thin as unread_thickness.
func (c *Computer) thinEnds(t *truckJob) fit {
	thin := t.fits[wornEnd]
	for i, w := range t.all() {
		if w != nil && !w.Read(wheel.FlangeThickness).Measured() {
			thin.flange[i] = c.blankOf(wheel.FlangeThickness)
			thin.thickness[i] = nearest(thin.flange[i], thicknessStep)
			t.notes = append(t.notes, "flange_thickness of "+w.Position.String()+
				" not read: tried as new and as unread_thickness")
		}
	}
	return thin
}

// flangeCorners are the flanges that were not read, or read as a range or by a bound, each at its ends while the others
// are at theirs: an axle with thin flanges before one with thick ones runs otherwise than a truck whose flanges are
// alike. The inner ones count if a truck is clear by little: the flanges between their ends, and more of the corners.
func (c *Computer) flangeCorners(t *truckJob, thin fit) (out, inner []fit) {
	var open []int
	for i, w := range t.all() {
		if w != nil && openFlange(w) {
			open = append(open, i)
		}
	}
	add := func(to *[]fit, f fit) {
		f.unread |= interaction.WheelMask(wheel.FlangeThickness)
		if !slices.Contains(out, f) && !slices.Contains(inner, f) && !slices.Contains(t.fits, f) {
			*to = append(*to, f)
		}
	}
	// with is a fit with some of the open flanges as they are in another.
	with := func(of, as fit, among ...int) fit {
		for _, i := range among {
			if slices.Contains(open, i) {
				of.flange[i], of.thickness[i], of.designs[i] = as.flange[i], as.thickness[i], as.designs[i]
			}
		}
		return of
	}
	if len(open) == 0 {
		return nil, nil
	}
	thick := t.fits[newEnd]
	add(&out, with(t.fits[wornEnd], thin, open...))
	add(&out, with(t.fits[wornEnd], thick, open...))
	switch len(open) {
	case 1:
		add(&out, with(t.fits[written], thin, open...))
		add(&out, with(t.fits[written], thick, open...))
	case 2:
		for _, i := range open {
			add(&out, with(thin, thick, i))
			add(&out, with(thick, thin, i))
		}
	default: // by axle
		for a := range t.axles {
			add(&out, with(thin, thick, 2*a, 2*a+1))
		}
		for _, i := range open {
			add(&inner, with(thin, thick, i))
			add(&inner, with(thick, thin, i))
		}
	}
	if len(open) > 2 {
		return out, inner
	}
	for _, i := range open {
		for _, v := range flangesBetween(thin.flange[i], c.flangeOf(thick, i)) {
			at := thin
			at.flange[i], at.thickness[i] = v, nearest(v, thicknessStep)
			at.designs[i] = c.designFor(t.wheels[i], v, thin.designs[i])
			for end := range numEnds {
				f := with(t.fits[end], at, i)
				add(&inner, f)
				// Beside a back-to-back without a figure its flange may stand anywhere across.
				for other := range numEnds {
					if t.car.ID != "" && !pointed(t.backRead(i/2)) {
						f.backs[i/2] = t.fits[other].backs[i/2]
						add(&inner, f)
					}
				}
			}
			add(&inner, with(thin, at, i))
			add(&inner, with(thick, at, i))
			add(&inner, with(with(t.fits[wornEnd], thick, open...), at, i))
		}
	}
	return out, inner
}

// hollowsWithin is the distance in mm at which a hollow is tried between the ends of a range or a bound.
const hollowsWithin = 1.0

// hollowsBetween are the states of a truck with the hollow of a wheel between its ends, if it is a range or one-sided,
// and the others as written: how far wheels are hollower than the least hollow one says how a truck runs, and the
// mate's diameter, if that was not read. usual is that of a wheel, mm.
func (t *truckJob) hollowsBetween(usual float64) (out []fit) {
	for i, w := range t.all() {
		if w == nil || pointed(w.Read(wheel.TreadHollow)) || !w.Read(wheel.TreadHollow).Measured() {
			continue
		}
		r := w.Read(wheel.TreadHollow)
		for v := math.Ceil(r.Lo/hollowsWithin) * hollowsWithin; v < r.Hi-measure.Near; v += hollowsWithin {
			var at [mostWheels]float64
			least := v
			for k, o := range t.all() {
				if o != nil && k != i {
					at[k] = figureOf(0, o.Read(wheel.TreadHollow))
				}
				if k != i {
					least = math.Min(least, at[k])
				}
			}
			at[i] = v
			for _, end := range []int{written, wornEnd} {
				f := t.fits[end]
				f.hollow, f.unread = true, f.unread|interaction.WheelMask(wheel.TreadHollow)
				for k := range t.all() {
					f.over[k] = toStep(at[k]-least, hollowStep)
				}
				lost := t.lost
				t.lost[i] = v
				t.sizesOf(&f, i/2, usual)
				t.lost = lost
				if !slices.Contains(out, f) {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

// backsBetween are the states of a truck with the back-to-back of an axle between its ends, if it was
// not read or is a range or one-sided.
func (t *truckJob) backsBetween() (out []fit) {
	for a := range t.axles {
		if t.car.ID == "" || pointed(t.backRead(a)) {
			continue
		}
		lo, hi := t.fits[wornEnd].backs[a], t.fits[newEnd].backs[a]
		for _, v := range t.backsWithin(a, lo, hi) {
			for end := range numEnds {
				f := t.fits[end]
				f.backs[a] = v
				f.unread |= interaction.WheelMask(wheel.BackToBack)
				if !slices.Contains(out, f) {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

// backStep is the distance in mm at which a back-to-back is tried about those of the designs.
const backStep = measure.MMPerInch / 8

// backsWithin are figures between the ends of the back-to-back of an axle: every backStep about that of its
// designs, and by bounds that lie farther off a quarter in from each of them.
func (t *truckJob) backsWithin(a int, lo, hi float64) (out []float64) {
	x, y := t.designs[2*a].BackToBack, t.designs[2*a+1].BackToBack
	least, most := math.Max(lo, math.Min(x, y)-2*backStep), math.Min(hi, math.Max(x, y)+2*backStep)
	for v := math.Ceil(least/backStep) * backStep; v < most; v += backStep {
		if v > lo+measure.Near {
			out = append(out, v)
		}
	}
	for _, v := range []float64{lo + (hi-lo)/4, hi - (hi-lo)/4} {
		if v < least || v > most {
			out = append(out, v)
		}
	}
	return out
}

// flangesBetween are the thicknesses in mm that a flange is tried at between its ends.
func flangesBetween(thin, thick float64) (out []float64) {
	for _, v := range []float64{7.0 / 8, 1, 1 + 1.0/8, 1 + 1.0/4, 1 + 3.0/8} {
		if v *= measure.MMPerInch; v > thin+thicknessStep/4 && v < thick-thicknessStep/4 {
			out = append(out, v)
		}
	}
	return out
}

// flangeOf is the thickness of a flange in mm, that of its design if it was not read.
func (c *Computer) flangeOf(f fit, i int) float64 {
	if v := f.flange[i]; v > 0 {
		return v
	}
	return c.flangeThickness(f.designs[i])
}

// openFlange reports whether a flange's thickness has no figure of its own.
func openFlange(w *wheel.Wheel) bool {
	return !pointed(w.Read(wheel.FlangeThickness))
}

// thickDesign is the design of a wheel at the thick end of its flange: if the sheet names none, the thinnest reference
// design that is made so thick; of a flange that was not read the thickest. thin is the one at the thin end.
func (c *Computer) thickDesign(w *wheel.Wheel, thin *wheelshape.Shape) *wheelshape.Shape {
	if w.Design != "" {
		return thin
	}
	r := w.Read(wheel.FlangeThickness)
	if !r.Measured() {
		if s, err := c.thickest(); err == nil {
			return s
		}
		return thin
	}
	return c.designFor(w, r.Hi, thin)
}

// designFor is the design of a wheel with a flange so thick (mm): if the sheet names none, the
// thinnest reference design that is made so thick, else another.
func (c *Computer) designFor(w *wheel.Wheel, thickness float64, other *wheelshape.Shape) *wheelshape.Shape {
	if w.Design != "" {
		return other
	}
	name, err := wheel.DesignOfFlange(c.data, thickness-overDesign)
	if err != nil {
		return other
	}
	s, err := c.design(name)
	if err != nil {
		return other
	}
	return s
}

// overDesign is by how much in mm a new flange may be thicker than its design: narrow ones are made to 1-7/32.
const overDesign = measure.MMPerInch / 16

// rimOf is the width of a wheel's rim in mm: as read, else its design's, else the setting
// and, at the worn end, the setting unread_rim_width.
func (c *Computer) rimOf(w *wheel.Wheel, end int) float64 {
	if r := w.Read(wheel.RimWidth); r.Measured() {
		return [numEnds]float64{written: figureOf(0, r), wornEnd: r.Lo, newEnd: r.Hi}[end]
	}
	usual := c.Rules.Value("rim_width")
	switch {
	case w.Design != "":
		return 0
	case end == wornEnd:
		return math.Min(usual, c.blankOf(wheel.RimWidth))
	}
	return usual
}

// backRead is the reading of the back-to-back of an axle of the truck.
func (t *truckJob) backRead(a int) (r measure.Reading) {
	for _, w := range t.wheels[2*a : 2*a+2] {
		if w != nil && w.Read(wheel.BackToBack).Measured() {
			return w.Read(wheel.BackToBack)
		}
	}
	return r
}

// back is the back-to-back of an axle: as read, else over what it can be (see [Computer.blankBacks]). By a bound alone
// an axle is as its designs are where the bound leaves that; the middle of what it leaves, which may be an inch off, is
// that of no axle.
func (c *Computer) back(t *truckJob, a, end int) float64 {
	r := t.backRead(a)
	x, y := t.designs[2*a].BackToBack, t.designs[2*a+1].BackToBack
	switch known := x > 0 && y > 0; {
	case r.Measured() && r.OneSided() && known:
		return [numEnds]float64{written: clamp((x+y)/2, r.Lo, r.Hi), wornEnd: r.Lo, newEnd: r.Hi}[end]
	case r.Measured():
		return [numEnds]float64{written: figureOf(0, r), wornEnd: r.Lo, newEnd: r.Hi}[end]
	case !known:
		return math.Max(x, y)
	}
	least, most := math.Min(x, y), math.Max(x, y)
	if t.car.ID != "" { // else a usual truck, as it is built
		least, most = c.blankBacks(least, most, t.wheels[2*a:2*a+2]...)
	}
	return [numEnds]float64{written: (x + y) / 2, wornEnd: least, newEnd: most}[end]
}

// What the diameters of an axle's wheels may differ by, mm.
const (
	// matesDiffer is tried if one of them was not read or by a bound open: two tape sizes,
	// a quarter inch of circumference, to which an axle is matched when it is mounted (the
	// figure of 49 CFR 229.73(a) for locomotives, from memory; of cars assumed).
	matesDiffer = measure.MMPerInch / 4 / math.Pi
	// sizeRead is what a diameter that was not read may lie off besides, because one that was is known no better.
	sizeRead = measure.MMPerInch / 32
)

// treadLost finds how much tread the wheels of a truck have lost at the tape line: as much as they are hollow.
// Both wheels of an axle lose the rest alike, as far as anybody knows who did not read their heights.
func (t *truckJob) treadLost() {
	if t.car.ID == "" { // a usual truck, whose mates wear alike
		return
	}
	for i, w := range t.all() {
		if w != nil {
			t.lost[i] = figureOf(0, w.Read(wheel.TreadHollow))
		}
	}
}

// taller is by how much more tread an axle's first wheel has lost than the other: see [MoreLost].
func (t *truckJob) taller(a int) float64 {
	var worn [2]WornTread
	for i := range worn {
		k := 2*a + i
		worn[i].Hollow = measure.Exact(t.lost[k], "")
		if w := t.wheels[k]; w != nil && t.car.ID != "" && !t.turned[a] && !w.Doubted(wheel.FlangeHeight) {
			worn[i].Height = w.Read(wheel.FlangeHeight)
			worn[i].New, _ = t.designs[k].FlangeHeight()
		}
	}
	return MoreLost(worn[0], worn[1])
}

// sizesSaid says which diameters were read and how the others are taken.
func (t *truckJob) sizesSaid() (out []string) {
	if t.car.ID == "" {
		return nil
	}
	var read, not []string
	for a := range t.axles {
		x, y := t.wheels[2*a], t.wheels[2*a+1]
		name := fmt.Sprint(a + 1)
		if x != nil && y != nil && pointed(x.Read(wheel.Diameter)) && pointed(y.Read(wheel.Diameter)) {
			read = append(read, name)
			continue
		}
		if by := t.taller(a); math.Abs(by) > sizeRead/2 {
			name += fmt.Sprintf(" (radii %.1f mm apart)", math.Abs(by))
		}
		not = append(not, name)
	}
	if len(read) > 0 {
		out = append(out, "diameters of axle "+strings.Join(read, ", ")+" as read, with their error")
	}
	if len(not) > 0 {
		out = append(out, "diameters of axle "+strings.Join(not, ", ")+
			" not read: flange tips of mates taken as equal, within two tape sizes")
	}
	return out
}

// sizesOf sets the diameters of an axle. At the worn end the wheel on the high rail is the smaller by what the readings
// leave open, and steers the axle less; at the other end the greater.
func (t *truckJob) sizesOf(f *fit, a int, usual float64) {
	r := t.sizesTried(a, usual)
	for i := range r {
		as := figureOf(0, r[i])
		high, low := as, as
		switch f.end {
		case wornEnd:
			high, low = r[i].Lo, r[i].Hi
		case newEnd:
			high, low = r[i].Hi, r[i].Lo
		}
		f.sizes[0][2*a+i], f.sizes[1][2*a+i] = high, low
	}
}

// sizesRead are the diameters of an axle. Mates that were mounted alike have equal flange tips, so a diameter that was
// not read, or by a bound open, is less by what its wheel has lost of its tread more than the other, within
// matesDiffer; if none has a figure, both of one that their bounds leave. Mates that were read farther apart are taken
// as that far apart, because nobody who reads them may come off worse than one who does not: what is beyond is a fault
// of its own, and said (see [truckJob.mismatched]).
func (t *truckJob) sizesRead(a int, usual float64) (r [2]measure.Reading) {
	between := func(as, lo, hi float64) measure.Reading {
		return measure.Reading{Form: measure.Range, As: as, Lo: lo, Hi: hi}
	}
	var open [2]bool
	for i := range r {
		if w := t.wheels[2*a+i]; w != nil {
			r[i] = w.Read(wheel.Diameter)
		}
		open[i] = !r[i].Measured() || r[i].OneSided()
	}
	if t.car.ID == "" { // a usual truck, as it is built
		as := between(usual, usual, usual)
		return [2]measure.Reading{as, as}
	}
	// cut keeps of what was tried what a bound leaves, at least the bound itself.
	cut := func(x, bound measure.Reading) measure.Reading {
		if !bound.Measured() {
			return x
		}
		x.Lo, x.Hi = clamp(x.Lo, bound.Lo, bound.Hi), clamp(x.Hi, bound.Lo, bound.Hi)
		x.As = clamp(x.As, x.Lo, x.Hi)
		return x
	}
	// about keeps a diameter within so much of others.
	about := func(x measure.Reading, lo, hi float64) measure.Reading {
		return between(clamp(figureOf(0, x), lo, hi), clamp(x.Lo, lo, hi), clamp(x.Hi, lo, hi))
	}
	const half = matesDiffer/2 + sizeRead
	// By so much the first wheel's tape radius is less, mm: by the hollows, and as written by the heights, if those
	// do not lead out of what hollows leave open. So nobody who reads a height comes off worse than one who does not.
	less, taller := t.lost[2*a]-t.lost[2*a+1], t.taller(a)
	switch {
	case open[0] && open[1]:
		as := between(usual, usual, usual)
		as = cut(cut(as, r[0]), r[1])
		// Where the bounds leave room for all that mates may differ by, they take nothing of that.
		lo, hi := math.Inf(-1), math.Inf(1)
		for i, sign := range [2]float64{-1, 1} {
			if r[i].Measured() {
				lo, hi = math.Max(lo, r[i].Lo+half-sign*less), math.Min(hi, r[i].Hi-half-sign*less)
			}
		}
		if lo <= hi {
			as.As = clamp(as.As, lo, hi)
		}
		for i, sign := range [2]float64{-1, 1} {
			at := as.As + sign*less
			r[i] = about(cut(between(as.As+sign*taller, at-half, at+half), r[i]), at-half, at+half)
		}
	case open[0], open[1]:
		i, sign := 0, -2.0
		if open[1] {
			i, sign = 1, 2
		}
		m := r[1-i]
		lo, hi := m.Lo+sign*less-matesDiffer, m.Hi+sign*less+matesDiffer
		r[i] = about(cut(between(m.As+sign*taller, lo, hi), r[i]), lo, hi)
	default:
		mean := (r[0].As + r[1].As) / 2
		for i := range r {
			r[i] = about(r[i], mean-half, mean+half)
		}
	}
	return r
}

// sizesTried are the diameters that an axle is tried with: if one was not read, or by a bound, from equal flange tips
// to equal diameters, because mates that are read lie as near each other, whatever they have lost.
func (t *truckJob) sizesTried(a int, usual float64) [2]measure.Reading {
	r := t.sizesRead(a, usual)
	if t.car.ID == "" {
		return r
	}
	var bound [2]measure.Reading
	var open [2]bool
	for i := range r {
		if w := t.wheels[2*a+i]; w != nil {
			bound[i] = w.Read(wheel.Diameter)
		}
		open[i] = !bound[i].Measured() || bound[i].OneSided()
	}
	by := t.lost[2*a] - t.lost[2*a+1] // by so much the first wheel is greater if diameters are equal and not tips, mm
	if open[0] != open[1] {           // the other stands as it was read
		by *= 2
	}
	for i, shift := range [2]float64{by, -by} {
		if !open[i] {
			continue
		}
		lo, hi := math.Min(r[i].Lo, r[i].Lo+shift), math.Max(r[i].Hi, r[i].Hi+shift)
		if b := bound[i]; b.Measured() {
			lo, hi = math.Min(r[i].Lo, math.Max(lo, b.Lo)), math.Max(r[i].Hi, math.Min(hi, b.Hi))
		}
		r[i] = measure.Reading{Form: measure.Range, As: r[i].As, Lo: lo, Hi: hi}
	}
	return r
}

// mismatched reports whether the diameters of an axle were surely read farther apart than mates are taken to be.
func (t *truckJob) mismatched(a int) bool {
	x, y := t.wheels[2*a], t.wheels[2*a+1]
	if x == nil || y == nil || !x.Read(wheel.Diameter).Measured() || !y.Read(wheel.Diameter).Measured() {
		return false
	}
	r, s := x.Read(wheel.Diameter), y.Read(wheel.Diameter)
	return math.Max(r.Lo-s.Hi, s.Lo-r.Hi) > matesDiffer+measure.Near
}

// anyMismatched reports whether the diameters of some axle were.
func (t *truckJob) anyMismatched() bool {
	for a := range t.axles {
		if t.mismatched(a) {
			return true
		}
	}
	return false
}

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(v, hi)) }
