package shaped

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
	"flangeway/wheel/shape"
)

// footing is a wheel made ready for frogs and switches.
type footing struct {
	w      *wheel.Wheel
	design *shape.Shape
	// treads are its shapes by thickness and hollow, faces those by thickness, vertical flange
	// and height: as written first, then the ends of the readings. So many treads as asRead are
	// with the readings as written: one, but for those of a reading without a figure.
	treads, faces []*passage.Wheel
	asRead        int
	tip, highTip  tip    // by height: as written, greatest
	lowTips       []tip  // least, by thickness
	noTips        string // why there are none
	// loose is back-to-back and both flanges, mm: what the gauge exceeds it by is play.
	loose      span
	looseKnown bool
	// looseFree says that one of them is a range or one-sided; leastLoose is the least that it can be, what was not
	// read too.
	looseFree  bool
	leastLoose float64
	base       float64
	// notes say what was assumed of the wheel, treadNotes and faceNotes what was not read or set aside of these.
	notes, treadNotes, faceNotes []string
	unread                       interaction.Mask
	// openFace says that thickness, vertical flange or height is a range, one-sided or was not read: all faces
	// are as written. openTip says so of height and thickness.
	openFace, openTip bool
	broken            error
}

// tip is a flange by its height.
type tip struct {
	w *passage.Wheel
	// below is by how much in mm the flange is lower than the shape's, which is that of a
	// new one: the same as a point that lies so much lower.
	below float64
}

// footOf makes a wheel ready, once.
func (c *Computer) footOf(w *wheel.Wheel) *footing {
	f, _ := c.feet.get(w, func() (*footing, error) { return c.foot(w), nil })
	return f
}

// foot makes a wheel ready.
func (c *Computer) foot(w *wheel.Wheel) *footing {
	f := &footing{w: w, base: c.Rules.Value("truck_wheelbase")}
	if b := w.Car.TruckWheelbase; b.Measured() {
		f.base = b.As
	}
	design, assumed, err := c.designOf(w)
	f.design = design
	if err != nil && !errors.Is(err, wheel.ErrNoDesign) {
		err = fmt.Errorf("%w: %w", errUnmodelled, err)
	}
	if err == nil && assumed && w.Design == "" {
		f.notes = append(f.notes, "design not given, taken as "+design.Name)
	}
	if err == nil {
		err = c.treads(f, design)
	}
	if err == nil {
		err = c.faces(f, design)
	}
	if err == nil {
		err = c.tips(f, design)
	}
	f.broken = err
	r := shape.ReadingsOf(f.w)
	f.openFace = !pointed(r.Thickness) || !pointed(r.Vertical) || !pointed(r.Height)
	f.openTip = !pointed(r.Height) || !pointed(r.Thickness)
	f.spread()
	if err == nil {
		c.spreadLeast(f)
	}
	return f
}

// spreadLeast finds the least that the axle can take of the gauge.
func (c *Computer) spreadLeast(f *footing) {
	least := func(r measure.Reading, unread float64) float64 {
		if r.Measured() {
			return r.Lo
		}
		return unread
	}
	back, thin, mate := f.design.BackToBack, c.Figures.Value("unread_flange"), f.w.Mate()
	for _, w := range []*wheel.Wheel{f.w, mate} {
		if w == nil {
			f.leastLoose += thin
			continue
		}
		f.leastLoose += least(w.Read(wheel.FlangeThickness), thin)
		if d, _, err := c.designOf(w); err == nil && d.BackToBack > 0 {
			back = math.Min(back, d.BackToBack)
		}
	}
	back, _ = c.blankBacks(back, back, f.w, mate)
	f.leastLoose += least(f.w.Read(wheel.BackToBack), back)
}

// pointed reports a reading with a figure of its own.
func pointed(r measure.Reading) bool { return r.Form == measure.Point || r.Form == measure.None }

// spread finds what the axle takes of the gauge.
func (f *footing) spread() {
	b, m := f.w.Read(wheel.BackToBack), f.w.Mate()
	if m == nil || !b.Measured() {
		return
	}
	t, other := f.w.Read(wheel.FlangeThickness), m.Read(wheel.FlangeThickness)
	if !t.Measured() || !other.Measured() {
		return
	}
	f.looseKnown = true
	for _, r := range []measure.Reading{b, t, other} {
		f.looseFree = f.looseFree || !pointed(r)
		f.loose = f.loose.add(span{middle(r), r.Lo, r.Hi})
	}
}

// spreadUnread are the readings of an axle's spread that were not taken.
func (f *footing) spreadUnread() (m interaction.Mask) {
	for _, q := range []wheel.Quantity{wheel.BackToBack, wheel.FlangeThickness} {
		if !f.w.Read(q).Measured() {
			m |= interaction.WheelMask(q)
		}
	}
	if mate := f.w.Mate(); mate == nil || !mate.Read(wheel.FlangeThickness).Measured() {
		m |= 1 << interaction.MateThickness
	}
	return m
}

// middle is the figure of a reading: as written, or the middle of what a one-sided one leaves.
func middle(r measure.Reading) float64 {
	if r.OneSided() {
		return (r.Lo + r.Hi) / 2
	}
	return r.As
}

// shaped adds the wheel of readings to a list, unless it is there.
func (c *Computer) shaped(list []*passage.Wheel, design *shape.Shape, r shape.WornReadings) ([]*passage.Wheel,
	[]wheel.Quantity, error) {
	s, aside, err := c.wornShape(design, r)
	if err != nil {
		return list, nil, err
	}
	w, err := c.sizedWheel(s)
	if err != nil {
		return list, nil, err
	}
	if !slices.Contains(list, w) {
		list = append(list, w)
	}
	return list, aside, nil
}

// thicknesses are the flange's: as written first, then the ends; free if none was read.
func (c *Computer) thicknesses(f *footing) []measure.Reading {
	r := shape.ReadingsOf(f.w).Thickness
	switch {
	case !r.Measured():
		return []measure.Reading{{}, measure.Exact(c.Figures.Value("unread_flange"), "")}
	case r.OneSided():
		return []measure.Reading{downward(r.Lo, thicknessStep), upward(r.Hi, thicknessStep)}
	}
	return []measure.Reading{nearest(r.As, thicknessStep), downward(r.Lo, thicknessStep), upward(r.Hi, thicknessStep)}
}

// treads are the shapes by thickness and hollow. A thickness without a figure is tried at every step of what it can
// be with the hollow as written, and at its ends with what the hollow may err.
func (c *Computer) treads(f *footing, design *shape.Shape) error {
	r := shape.ReadingsOf(f.w)
	if !r.Thickness.Measured() {
		f.notes = append(f.notes, "flange_thickness was not read: as designed and unread_flange were tried")
	}
	if !r.Hollow.Measured() {
		f.unread |= interaction.WheelMask(wheel.TreadHollow)
		f.treadNotes = append(f.treadNotes, "tread_hollow was not read: none and unread_hollow were tried")
	}
	for end := range numEnds {
		if end == written && r.Hollow.OneSided() {
			continue // it has no hollow of its own, and none at all need not be possible
		}
		at := atEnd(r, end)
		if !r.Hollow.Measured() && end == wornEnd {
			at.Hollow = measure.Exact(c.blankOf(wheel.TreadHollow), "")
		}
		if !r.Thickness.Measured() && end == wornEnd {
			at.Thickness = measure.Exact(c.Figures.Value("unread_flange"), "")
		}
		var aside []wheel.Quantity
		var err error
		if f.treads, aside, err = c.shaped(f.treads, design, at); err != nil {
			return err
		}
		if (end == written || end == wornEnd && r.Hollow.OneSided()) && len(aside) > 0 {
			f.treadNotes = append(f.treadNotes, named(aside)+" contradicts the other readings and was set aside")
		}
		if end != written || pointed(r.Thickness) || !pointed(r.Hollow) {
			continue
		}
		for _, at.Thickness = range c.thicknessSteps(r.Thickness, design) {
			if f.treads, _, err = c.shaped(f.treads, design, at); err != nil {
				return err
			}
		}
		f.asRead = len(f.treads)
	}
	switch {
	case !pointed(r.Hollow):
		f.asRead = len(f.treads)
	case pointed(r.Thickness):
		f.asRead = 1
	}
	return nil
}

// thicknessSteps are the steps of what a thickness without a figure can be.
func (c *Computer) thicknessSteps(r measure.Reading, design *shape.Shape) (out []measure.Reading) {
	if !r.Measured() {
		r.Lo = c.Figures.Value("unread_flange")
		r.Hi = math.Max(r.Lo, c.flangeThickness(design))
	}
	for v := downward(r.Lo, thicknessStep).As; v < upward(r.Hi, thicknessStep).As+measure.Near; v += thicknessStep {
		out = append(out, measure.Exact(v, ""))
	}
	return out
}

// named lists quantities by their columns.
func named(list []wheel.Quantity) string {
	var names []string
	for _, q := range list {
		names = append(names, q.String())
	}
	return strings.Join(names, ", ")
}

// notesOf are the notes of the shapes that a check looks at.
func (f *footing) notesOf(at interaction.Look) []string {
	return slices.Concat(f.notes, [...][]string{interaction.AtTread: f.treadNotes, interaction.AtFace: f.faceNotes,
		interaction.AtTip: nil}[at])
}

// faces are the shapes by thickness, vertical flange and height. A vertical flange that
// no flange of this height and thickness has is taken as the greatest that fits.
func (c *Computer) faces(f *footing, design *shape.Shape) error {
	r := shape.ReadingsOf(f.w)
	vertical := []measure.Reading{{}}
	switch x := r.Vertical; {
	case !x.Measured():
		f.unread |= interaction.WheelMask(wheel.VerticalFlange)
		f.faceNotes = append(f.faceNotes, "vertical_flange was not read: as designed and unread_vertical were tried")
		vertical = append(vertical, measure.Exact(c.blankOf(wheel.VerticalFlange), ""))
	case x.OneSided():
		vertical = append(vertical, upward(x.Hi, verticalStep), downward(x.Lo, verticalStep))
	default:
		vertical[0] = nearest(x.As, verticalStep)
		vertical = append(vertical, upward(x.Hi, verticalStep), downward(x.Lo, verticalStep))
	}
	height := []measure.Reading{{}}
	switch x := r.Height; {
	case !x.Measured():
		f.unread |= interaction.WheelMask(wheel.FlangeHeight)
		f.faceNotes = append(f.faceNotes, "flange_height was not read: as designed and unread_height were tried")
		height = append(height, height[0], measure.Exact(c.Figures.Value("unread_height"), ""))
	default:
		if !x.OneSided() {
			height[0] = nearest(x.As, heightStep)
		}
		height = append(height, upward(x.Hi, heightStep), downward(x.Lo, heightStep))
	}
	thick := c.thicknesses(f)
	if pointed(r.Thickness) {
		thick = thick[:1] // the face moves with it, and the room is that from the face on
	}
	for _, t := range thick {
		base := shape.WornReadings{Thickness: t}
		if err := c.face(f, design, base, vertical[0], height[0]); err != nil {
			return err
		}
		for _, v := range vertical[1:] {
			for _, h := range height[1:] {
				if err := c.face(f, design, base, v, h); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// facesKey tells apart wheels whose faces differ by what their readings leave open.
type facesKey struct {
	design string
	by     [3]openEnds // thickness, vertical flange, height
}

// openEnds are the ends that a reading is tried between: one figure if least is most, else free if it was not read.
type openEnds struct {
	least, most float64
	free        bool
}

// facesWithin are the faces of a wheel with each reading that has no figure of its own at every step between its
// ends: what can be of vertical flange, height and thickness at once bends the room that a face has, by up to
// faceBend. They are made once for wheels that were read alike.
func (c *Computer) facesWithin(f *footing) ([]*passage.Wheel, error) {
	r := shape.ReadingsOf(f.w)
	ends := func(x measure.Reading, step, unread float64) openEnds {
		switch {
		case !x.Measured():
			return openEnds{most: unread, free: true}
		case pointed(x):
			v := nearest(x.As, step).As
			return openEnds{least: v, most: v}
		}
		return openEnds{least: downward(x.Lo, step).As, most: upward(x.Hi, step).As}
	}
	k := facesKey{f.design.Name, [3]openEnds{
		ends(r.Thickness, thicknessStep, 0),
		ends(r.Vertical, verticalStep, c.blankOf(wheel.VerticalFlange)),
		ends(r.Height, heightStep, c.Figures.Value("unread_height"))}}
	if e := &k.by[0]; e.free {
		e.least = c.Figures.Value("unread_flange")
		e.most = math.Max(e.least, c.flangeThickness(f.design))
	}
	if e := &k.by[2]; e.free {
		if fresh, err := f.design.FlangeHeight(); err == nil {
			e.least = math.Min(e.most, upward(fresh, heightStep).As)
		}
	}
	return c.solved.faces.get(k, func() ([]*passage.Wheel, error) {
		steps := func(e openEnds, step float64) (out []measure.Reading) {
			if e.free {
				out = append(out, measure.Reading{})
			}
			for v := e.least; v < e.most+measure.Near; v += step {
				out = append(out, measure.Exact(v, ""))
			}
			return out
		}
		all := &footing{}
		for _, t := range steps(k.by[0], thicknessStep) {
			for _, v := range steps(k.by[1], verticalStep) {
				for _, h := range steps(k.by[2], heightStep) {
					if err := c.face(all, f.design, shape.WornReadings{Thickness: t}, v, h); err != nil {
						return nil, err
					}
				}
			}
		}
		return all.faces, nil
	})
}

// faceBend is by how much in mm the room of a flange's face between the ends of its readings may be less than at
// these: of all steps of heights, vertical flanges and thicknesses 1.6 beside the tips of switch points.
const faceBend = 2.0

// face adds one of them.
func (c *Computer) face(f *footing, design *shape.Shape, r shape.WornReadings, v, h measure.Reading) error {
	for r.Vertical, r.Height = v, h; ; r.Vertical = measure.Exact(r.Vertical.As-verticalStep, "") {
		if r.Vertical.Measured() && r.Vertical.As < verticalStep/2 {
			r.Vertical = measure.Reading{}
		}
		_, aside, err := c.wornShape(design, r)
		if err != nil {
			return err
		}
		if slices.Contains(aside, wheel.VerticalFlange) && r.Vertical.Measured() {
			continue
		}
		f.faces, _, err = c.shaped(f.faces, design, r)
		return err
	}
}

// tips are the shapes by height, for what runs on the flange's tip.
func (c *Computer) tips(f *footing, design *shape.Shape) error {
	r := shape.ReadingsOf(f.w)
	x := r.Height
	if !x.Measured() {
		f.noTips = "flange_height was not read"
		return nil
	}
	fresh, err := design.FlangeHeight()
	if err != nil {
		return err
	}
	at := func(t, h measure.Reading) (tip, error) {
		k := tip{}
		r := shape.WornReadings{Thickness: t}
		if h.As > fresh+measure.Near {
			r.Height = h
		} else {
			k.below = fresh - h.As
		}
		list, aside, err := c.shaped(nil, design, r)
		if err == nil && slices.Contains(aside, wheel.FlangeHeight) { // the height decides here, not the thickness
			list, _, err = c.shaped(nil, design, shape.WornReadings{Height: h})
		}
		if err == nil {
			k.w = list[0]
		}
		return k, err
	}
	thick := c.thicknesses(f)
	if f.tip, err = at(thick[0], nearest(middle(x), heightStep)); err != nil {
		return err
	}
	if f.highTip, err = at(thick[0], upward(x.Hi, heightStep)); err != nil {
		return err
	}
	if pointed(r.Thickness) {
		thick = thick[:1]
	}
	for _, t := range thick {
		low, err := at(t, downward(x.Lo, heightStep))
		if err != nil {
			return err
		}
		f.lowTips = append(f.lowTips, low)
	}
	return nil
}

// play is the most that the axle can move across a gauge, mm; ok is false if a reading is missing.
func (f *footing) play(gauge measure.Reading) (mm float64, ok bool) {
	return math.Max(0, gauge.Hi-f.loose.lo), f.looseKnown && gauge.Measured()
}

// figureOf is the figure of a feature's reading: as written, or the middle of what a one-sided one leaves.
func figureOf(_ track.Quantity, r measure.Reading) float64 { return middle(r) }
