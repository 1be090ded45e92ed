package shaped

import (
	"fmt"
	"math"

	"flangeway/interaction"
	"flangeway/interaction/curving"
	"flangeway/internal/measure"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
)

// site is a curve at one end of its readings, or with a value for what was not read.
type site struct {
	rails  [2]*trackshape.RailHead // high, low
	high   railKey
	gauge  float64 // mm
	loaded float64 // gauge under load as read, mm; 0: not read
	curve  curving.Curve
	cant   float64 // rad
	upset  bool    // a cant that was not read is tried as another than 1 in 40
	unread interaction.Mask
}

// curveJob is a curve that trucks are tried on.
type curveJob struct {
	f      *track.Feature
	sites  [numEnds]site
	others []site  // for what was not read
	unworn *site   // the worn end on rails as they were new; nil: these are not worn
	inside []site  // by what the readings hold between their ends, and on unworn rails: see [computer.within]
	height float64 // gauge height, mm
	// friction is that of each surface.
	friction [rough + 1]curving.Friction
	ground
	unsure unsure
	// open are readings without which no truck is clear that is hollow, or has a reading without a figure itself.
	open   interaction.Mask
	notes  []string
	broken string
	lacks  []string                 // readings of which no rail can be made, if it is broken for these
	fresh  *kept[freshKey, margins] // of new wheels
	asRead *curveJob                // the curve with its readings as written
	gone   kept[goneKey, [numEnds]float64]
	came   *cameTo // shared by curves that differ by names alone
}

// goneKey tells apart trucks that are without another part of their load.
type goneKey struct {
	car                *wheel.Car
	gross              float64
	untwisted, trimmed bool
}

// freshKey tells apart what runs otherwise on new wheels.
type freshKey struct {
	site            site
	axles           int
	gross, base     float64
	lost            float64
	square          bool
	kind, stiffness string
}

// curve prepares a curve. What it does not tell is tried over what it can be, or assumed, and said.
func (c *Computer) curve(f *track.Feature) *curveJob {
	j := c.curveOf(f)
	j.asRead = c.curveOf(asWrittenAt(f))
	j.asRead.fresh, j.came = j.fresh, new(cameTo)
	return j
}

func (c *Computer) curveOf(f *track.Feature) *curveJob {
	j := &curveJob{f: f, ground: ground{held: f.Holding == "good"}, fresh: &kept[freshKey, margins]{}}
	for end := range numEnds {
		s := &j.sites[end]
		switch f.Cant {
		case "1:20":
			s.cant = trackshape.CantOf(20)
		case "none":
		default:
			s.cant = trackshape.CantOf(40)
		}
		s.curve.Radius = math.Inf(1)
		if feet, err := measure.RadiusFt(f.Read(track.Degree).As); err == nil {
			s.curve.Radius = feet * 12 * measure.MMPerInch
		}
	}
	if f.Lubricated == "" {
		j.notes = append(j.notes, "lubricated not given: gauge faces taken as dry")
	}
	j.findUnsure()
	j.gauges(f.Read(track.Gauge))
	if err := c.railsOf(j); err != nil {
		j.broken = err.Error()
		for _, q := range []track.Quantity{track.HeadWear, track.GaugeFaceWear, track.GaugeFaceAngle} {
			if f.Read(q).Measured() {
				j.lacks = append(j.lacks, q.String())
			}
		}
		return j
	}
	j.height = j.sites[written].rails[0].GaugeHeight
	if l := f.Read(track.LoadedGauge); l.Measured() {
		j.loaded = true
		for end, v := range [numEnds]float64{written: figureOf(track.LoadedGauge, l), wornEnd: l.Hi, newEnd: l.Lo} {
			j.sites[end].loaded = v
		}
	}
	j.speeds()
	for i := range j.others {
		j.others[i].loaded = j.sites[wornEnd].loaded
	}
	for s, setting := range [...]string{dry: "dry_friction", damp: "damp_friction", rough: "rough_friction"} {
		j.friction[s] = c.friction(f, setting)
	}
	if err := c.within(j); err != nil {
		j.broken = err.Error()
	}
	return j
}

// Gauges in mm that a curve's is tried between if it was not read, or by a bound alone: the least of 49 CFR 213.53(b),
// and the greatest, by class; that of excepted track (213.4) if the class is not known.
const leastGauge = 56 * measure.MMPerInch

func greatestGauge(class string) float64 {
	switch class {
	case "1":
		return 58 * measure.MMPerInch
	case "2", "3":
		return 57.75 * measure.MMPerInch
	case "4", "5":
		return 57.5 * measure.MMPerInch
	}
	return 58.25 * measure.MMPerInch
}

// unreadSpread is how far in mm over that a gauge is tried under load that was not read so
// (assumed). It counts for the tread that bears alone.
const unreadSpread = measure.MMPerInch

func (j *curveJob) gauges(g measure.Reading) {
	as, wide, tight := g.As, g.Hi, g.Lo
	most := greatestGauge(j.f.Class)
	switch {
	case !g.Measured():
		tight, wide = leastGauge, most
		as = (tight + wide) / 2
		j.open |= interaction.TrackMask(track.Gauge)
		j.notes = append(j.notes, fmt.Sprintf("gauge not read: tried from %s to %s in, and only a truck without "+
			"hollow that was read in full is clear", measure.NearestInch(tight, 16), measure.NearestInch(wide, 16)))
	case g.Form == measure.Above:
		wide = math.Max(most, g.Lo)
		as = (g.Lo + wide) / 2
		j.open |= interaction.TrackMask(track.Gauge)
		j.notes = append(j.notes, fmt.Sprintf("gauge read as %s: tried to %s in, and only a truck without hollow that "+
			"was read in full is clear", g.Written, measure.NearestInch(wide, 16)))
	case g.Form == measure.Below:
		tight = math.Max(g.Lo, math.Min(leastGauge, g.Hi))
		as = (tight + g.Hi) / 2
	}
	for end, v := range [numEnds]float64{written: as, wornEnd: wide, newEnd: tight} {
		j.sites[end].gauge = v
	}
}

// The rails that are tried if none is named.
const (
	AssumedSection  = "136RE"
	LightestSection = "90RA-A"
)

// wearOf is a reading of wear; one of the least alone ends at the setting unread_rail_wear.
func (c *Computer) wearOf(r measure.Reading) measure.Reading {
	if r.Form == measure.Above {
		r.Hi = math.Max(r.Lo, math.Min(r.Hi, c.blankMost(nil, track.HeadWear)))
	}
	return r
}

// faceAngle is the angle of a worn gauge face in degrees: one that was not read lies between the
// settings unread_face_angle_least and unread_face_angle_most, and so does the open end of a bound.
func (c *Computer) faceAngle(f *track.Feature) measure.Reading {
	r := f.Read(track.GaugeFaceAngle)
	least, most := c.Rules.Value("unread_face_angle_least"), c.Rules.Value("unread_face_angle_most")
	switch {
	case !r.Measured():
		return measure.Reading{Form: measure.Range, As: trackshape.WornFaceAngle, Lo: least, Hi: most}
	case r.Form == measure.Above:
		r.Hi = math.Max(r.Lo, math.Min(most, r.Hi))
	case r.Form == measure.Below:
		r.Lo = math.Min(r.Hi, math.Max(least, r.Lo))
	}
	r.As = figureOf(0, r)
	return r
}

// railsOf lays the rails. A section or wear that was not read is tried as the lightest
// section, and worn as far as the setting unread_rail_wear.
func (c *Computer) railsOf(j *curveJob) error {
	const section, lightest = AssumedSection, LightestSection
	f := j.f
	head, face, angle := c.wearOf(f.Read(track.HeadWear)), c.wearOf(f.Read(track.GaugeFaceWear)),
		c.faceAngle(f)
	lay := func(s *site, name string, head, face float64) error {
		s.high = railKey{name, head, face, angle.As}
		for i, w := range []float64{face, 0} {
			var err error
			if s.rails[i], err = c.rail(railKey{name, head, w, angle.As}); err != nil {
				return err
			}
		}
		return nil
	}
	name := f.Rail
	if name == "" {
		name = section
	}
	// An end that lies by less than a sixteenth from what was written has no rail of its own.
	at := func(r measure.Reading, end int) float64 {
		as := figureOf(0, r)
		v := [numEnds]float64{written: as, wornEnd: r.Hi, newEnd: r.Lo}[end]
		if math.Abs(v-as) < measure.MMPerInch/16+measure.Near {
			return as
		}
		return v
	}
	for end := range numEnds {
		if err := lay(&j.sites[end], name, at(head, end), at(face, end)); err != nil {
			return err
		}
	}
	var unread interaction.Mask
	h, w := at(head, wornEnd), at(face, wornEnd)
	worn := c.blankMost(f, track.HeadWear)
	if !head.Measured() {
		unread, h = unread|interaction.TrackMask(track.HeadWear), worn
	}
	if !face.Measured() {
		unread, w = unread|interaction.TrackMask(track.GaugeFaceWear), worn
	}
	if unread == 0 && f.Rail != "" {
		return nil
	}
	other := j.sites[wornEnd]
	other.unread = unread
	if f.Rail == "" {
		name = lightest
		j.notes = append(j.notes, "rail section not given, tried as "+section+" and as "+lightest)
	}
	if unread != 0 {
		j.notes = append(j.notes, "rail wear that was not read tried as none and as "+measure.Inch(worn)+" in")
	}
	if err := lay(&other, name, h, w); err != nil {
		return err
	}
	j.others = append(j.others, other)
	return nil
}

// speeds sets speed and elevation. If they were not read, the balance of both is tried,
// and each end of what can be: standing and the class's greatest speed, no elevation and
// that which the greatest speed needs less the unbalance that 49 CFR 213.57 allows.
func (j *curveJob) speeds() {
	f := j.f
	el := f.Read(track.Elevation)
	set := func(s *site, elevation, mph float64) {
		s.curve.Elevation, s.curve.Speed = elevation, mph*measure.MetresPerSecondPerMPH
	}
	most, known := f.Speed, f.SpeedKnown
	if !known {
		most = track.ClassSpeed(f.Class)
		if d := f.Read(track.Degree).As; d > 0 {
			e := 0.0
			if el.Measured() {
				e = el.Hi / measure.MMPerInch
			}
			if v, err := track.CurveSpeedMPH(e, track.UnbalanceIn, d); err == nil {
				most = math.Min(most, v)
			}
		}
	}
	switch {
	case known && el.Measured():
		for end, e := range [numEnds]float64{written: figureOf(track.Elevation, el), wornEnd: el.Hi, newEnd: el.Lo} {
			set(&j.sites[end], e, most)
		}
		return
	case el.Measured():
		j.notes = append(j.notes, fmt.Sprintf("speed not known: balance, standing and %.0f mph tried", most))
	case known:
		j.notes = append(j.notes, "elevation not read: balance, none and 3 in over balance tried")
	default:
		j.notes = append(j.notes, fmt.Sprintf("speed and elevation not known: balance, %.0f mph without elevation "+
			"and 3 in over balance tried", most))
	}
	const over = track.UnbalanceIn * measure.MMPerInch
	slow, fast := j.sites[wornEnd], j.sites[wornEnd]
	switch {
	case el.Measured():
		set(&slow, el.Hi, 0)
		set(&fast, el.Lo, most)
	default:
		slow.unread, fast.unread = interaction.TrackMask(track.Elevation), interaction.TrackMask(track.Elevation)
		set(&slow, over, 0)
		set(&fast, 0, most)
	}
	j.others = append(j.others, slow, fast)
}

func (c *Computer) friction(f *track.Feature, setting string) curving.Friction {
	mu, greased := c.Rules.Value(setting), c.Rules.Value("greased_friction")
	out := curving.Same(mu)
	if f.Lubricated == "high" || f.Lubricated == "both" {
		out.HighFace = math.Min(mu, greased)
	}
	if f.Lubricated == "low" || f.Lubricated == "both" {
		out.LowFace = math.Min(mu, greased)
	}
	return out
}
