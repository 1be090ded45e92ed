package survey

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"sync"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/outline"
	"flangeway/internal/regular"
	"flangeway/internal/sheet"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// A traced profile stands in for hand gauges: they are laid on the traced shape. What a trace is good for is no more
// than it shows. A wheel's tells its flange and its hollow, and its rim where it reaches down to it; a rail's the
// wear of its gauge face, against its section and with a field side that has worn none, and that face's angle. The
// wear on top of a head is not in a trace of the head alone.

// What a reading of a trace errs, mm: twice the noise of its points, what lies between two of them on the tip of a
// flange, and not less than traceError (assumed, no source: a hand held tracer is set on by eye). How far up a face
// stands within a degree of upright moves by much more: verticalError (assumed, no source).
const (
	traceError    = 0.25
	tipRadius     = 17.5
	verticalError = 3.0
	angleError    = 3.0 // degrees, of a gauge face: what setting the tracer on by eye leaves open (assumed, no source)
)

// maxTrace caps a file of a traced profile, in bytes.
const maxTrace = 8 << 20

// tracer reads the traces that sheets name. Readers of a stream share it.
type tracer struct {
	survey *Survey
	mu     sync.Mutex
	shapes *configs.Shapes
	told   map[[3]string]traced
}

type traced struct {
	trace sheet.Trace
	what  string
}

// trace lays the gauges on a traced file; see [sheet.Frame].
func (t *tracer) trace(of, file, kind string) (sheet.Trace, string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	key := [3]string{of, file, kind}
	if x, ok := t.told[key]; ok {
		return x.trace, x.what
	}
	if t.told == nil {
		t.told = map[[3]string]traced{}
	}
	var x traced
	x.trace, x.what = t.read(of, file, kind)
	t.told[key] = x
	return x.trace, x.what
}

func (t *tracer) read(of, file, kind string) (sheet.Trace, string) {
	data, err := t.survey.files.read(filepath.Join(t.survey.Dir, filepath.FromSlash(file)), maxTrace)
	if err != nil {
		return sheet.Trace{}, regular.Why(err)
	}
	if t.shapes == nil {
		if t.shapes, err = t.survey.Data.LoadShapes(); err != nil {
			return sheet.Trace{}, err.Error()
		}
	}
	var x laid
	if of == "wheels" {
		x, err = t.wheel(file, data, kind)
	} else {
		x, err = t.rail(file, data, kind)
	}
	if err != nil {
		return sheet.Trace{}, worded(err, file)
	}
	return x.readings(t.survey.Columns)
}

// worded is an error of a shape without the words that wrap it, because the cell says which file it is.
func worded(err error, file string) string {
	text := err.Error()
	for _, x := range []error{wheelshape.ErrShape, trackshape.ErrRail, outline.ErrShape} {
		text = strings.ReplaceAll(text, x.Error()+": ", "")
	}
	return strings.TrimPrefix(text, file+": ")
}

// laid are the figures of gauges that were laid on a trace, by column: mm or degrees, with what each errs.
type laid struct {
	values  map[string][2]float64
	quality outline.Quality
	of      string // what it was laid on
}

func (x *laid) put(column string, value, errs float64) { x.values[column] = [2]float64{value, errs} }

// errs is the error of a length of the trace.
func (x *laid) errs() float64 {
	return math.Max(traceError, 2*x.quality.Noise+x.quality.Gap*x.quality.Gap/(8*tipRadius))
}

// wheel lays the gauges of a wheel on a trace. Without a design the thinnest that is as thick as the trace is taken, as
// for a wheel whose flange was gauged.
func (t *tracer) wheel(file string, data []byte, name string) (x laid, err error) {
	given := name != ""
	if !given {
		if name, err = wheel.DesignOfFlange(t.survey.Data, 0); err != nil {
			return x, err
		}
	}
	for {
		design, err := wheelshape.Named(t.shapes, name)
		if err != nil {
			return x, err
		}
		s, q, err := wheelshape.FromTrace(file, data, design)
		if err != nil {
			return x, err
		}
		thick, err := s.FlangeThickness()
		if err != nil {
			return x, err
		}
		x = laid{values: map[string][2]float64{}, quality: q, of: name}
		if !given {
			given = true
			thicker, err := wheel.DesignOfFlange(t.survey.Data, thick-x.errs())
			if err != nil {
				return x, fmt.Errorf("%w: a flange %.1f mm thick", err, thick)
			}
			if thicker != name {
				name = thicker
				continue
			}
		}
		x.put(wheel.FlangeThickness.String(), thick, x.errs())
		for q, gauge := range map[wheel.Quantity]func() (float64, error){wheel.FlangeHeight: s.FlangeHeight,
			wheel.TreadHollow: s.TreadHollow} {
			v, err := gauge()
			if err != nil {
				return x, err
			}
			x.put(q.String(), v, x.errs())
		}
		v, err := s.VerticalFlange()
		if err != nil {
			return x, err
		}
		x.put(wheel.VerticalFlange.String(), v, math.Max(verticalError, x.errs()))
		if v, ok := s.RimThickness(); ok {
			x.put(wheel.RimThickness.String(), v, x.errs())
		}
		return x, nil
	}
}

// rail lays the gauges of a rail on a trace.
func (t *tracer) rail(file string, data []byte, name string) (x laid, err error) {
	depth := 5.0 / 8 * measure.MMPerInch
	var section *trackshape.RailHead
	if name != "" {
		if section, err = trackshape.RailNamed(t.shapes, name); err == nil {
			depth = section.GaugeHeight
		} else {
			section = nil // a section without a shape: nothing to hold the face against
		}
	}
	head, q, err := trackshape.RailFromTrace(file, data, depth, false)
	if err != nil {
		return x, err
	}
	x = laid{values: map[string][2]float64{}, quality: q, of: name}
	if angle, ok := head.FaceAngle(); ok {
		x.put(track.GaugeFaceAngle.String(), angle, angleError)
	}
	if section == nil {
		return x, nil
	}
	full, ok := section.Width()
	if now, shown := head.Width(); ok && shown {
		x.put(track.GaugeFaceWear.String(), math.Max(0, full-now), x.errs())
	}
	return x, nil
}

// readings are the readings of columns that a trace tells, cut at their bounds.
func (x *laid) readings(columns map[string]measure.Spec) (sheet.Trace, string) {
	out := sheet.Trace{Readings: map[string]measure.Reading{}, Quality: fmt.Sprintf("%d points, %d left out, longest "+
		"gap %.1f mm, noise %.2f mm, +-%.2f mm", x.quality.Points, x.quality.Doubled+x.quality.Spikes, x.quality.Gap,
		x.quality.Noise, x.errs())}
	if x.of != "" {
		out.Quality += ", laid on " + x.of
	}
	for column, v := range x.values {
		spec := columns[column]
		value, errs, unit := v[0], v[1], " mm"
		if spec.Unit == measure.Degrees {
			unit = ""
		}
		if column == wheel.TreadHollow.String() {
			unit = ""
		}
		if spec.HasReplace {
			errs = spec.Replace
		}
		if value < spec.Lo-measure.Near || value > spec.Hi+measure.Near {
			return sheet.Trace{}, fmt.Sprintf("the trace gives a %s of %.1f%s, which no part has", column, value, unit)
		}
		out.Readings[column] = measure.Reading{Written: fmt.Sprintf("%.2f%s", value, unit), Form: measure.Point,
			As: value, Lo: math.Max(spec.Lo, value-errs), Hi: math.Min(spec.Hi, value+errs)}
	}
	return out, ""
}

func (t *tracer) files() map[string]bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	out := map[string]bool{}
	for key := range t.told {
		out[filepath.Clean(filepath.FromSlash(key[1]))] = true
	}
	return out
}
