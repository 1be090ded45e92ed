package shape

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/outline"
)

// ErrShape is wrapped by every error of a wheel shape that cannot be made or used.
var ErrShape = errors.New("no such wheel shape")

// Shape is a wheel cut across. Its outline runs from the flange back to the field edge: y in mm from the tape line,
// positive to the field; z in mm from the tread at the tape line, positive toward the flange tip, so that z is what a
// place adds to the rolling radius.
type Shape struct {
	Name        string
	Outline     outline.Outline
	Tape        float64 // flange back to tape line, mm
	Rim         float64 // rim width, mm
	BackToBack  float64 // of an axle with two of them, mm; 0: unknown
	ThicknessAt float64 // height above the tread at which the thickness gauge reads, mm
	NoFlange    bool    // a plain cone: gauges of a flange have no meaning
	Source      string
	Of          *Shape // the design that a trace was laid on; nil for designs and worn shapes
}

// sampleStep is the greatest distance in mm between two points of a design's sample.
const sampleStep = 0.1

// joinGap is how far apart two sections of a published shape may meet, mm: ten times what the printed coefficients of
// S1002 leave open.
const joinGap = 1.5e-3

// New makes the shape of a new wheel from its record. It errs if sections do not join or dimensions leave no room for
// the arcs.
func New(w configs.WheelShape) (*Shape, error) {
	s := &Shape{Name: w.Name, Tape: w.TapeFromBack, Rim: w.RimWidth, BackToBack: w.BackToBack,
		ThicknessAt: w.ThicknessAt, Source: w.Source}
	var err error
	if w.Freight != nil {
		s.Outline, err = freight(w)
	} else {
		s.Outline, err = sections(w.Sections)
	}
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrShape, w.Name, err)
	}
	return s, nil
}

func sections(list []configs.ShapeSection) (outline.Outline, error) {
	var pieces []outline.Piece
	for _, p := range list {
		if p.C != nil {
			pieces = append(pieces, outline.Poly{From: p.From, To: p.To, C: p.C})
			continue
		}
		a, err := outline.ArcOver(p.From, p.To, p.CY, p.CZ, p.R, p.Upper)
		if err != nil {
			return nil, err
		}
		pieces = append(pieces, a)
	}
	return outline.Join(sampleStep, joinGap, pieces...)
}

const rad = math.Pi / 180

// freight builds the freight wheel: from the tread inward two arcs, the face, the tip. The throat is slid along the
// tread until the thickness gauge reads the given thickness; the face is then the line tangent to the throat, and the
// tip is slid sideways until it touches that line.
func freight(w configs.WheelShape) (outline.Outline, error) {
	f := w.Freight
	positive := []float64{f.Taper, f.TreadRadius, f.ThroatRadius, f.FieldRadius, f.TipRadius, f.TipBlend,
		f.FlangeHeight, f.FlangeThickness}
	for _, v := range positive {
		if !(v > 0) || v > 1e4 {
			return nil, fmt.Errorf("a dimension is %g", v)
		}
	}
	tread := -math.Atan(1 / f.Taper)
	face, to := -f.FlangeAngle*rad, -f.TipTo*rad
	turned := tread - f.TreadTurn*rad
	if !(face > -89*rad && face < to && to < turned && turned < tread) {
		return nil, fmt.Errorf("angles %g, %g and %g degrees do not follow each other", f.FlangeAngle,
			f.TipTo, f.TreadTurn)
	}
	// The tip as seen from its apex at (0, flange height).
	tip := outline.Arc{CY: 0, CZ: f.FlangeHeight - f.TipRadius, R: f.TipRadius, From: 0, To: to}
	blend := outline.ArcFrom(tip.At(to), f.TipBlend, face)
	top := blend.At(face)
	// The throat with its upper end at the origin.
	throat := outline.ArcFrom(outline.Vertex{Angle: face}, f.ThroatRadius, turned)
	run := outline.ArcFrom(throat.At(turned), f.TreadRadius, tread)
	foot := run.At(tread)
	want := f.FlangeThickness - w.TapeFromBack // y of the face where the gauge reads
	// y of the face at the gauge's height when the throat's foot stands at y on the tread.
	faceAt := func(y float64) float64 {
		py, pz := y-foot.Y, -y/f.Taper-foot.Z
		if pz <= w.ThicknessAt {
			return py + (w.ThicknessAt-pz)/math.Tan(face)
		}
		lo, hi := face, tread // z falls as the direction turns
		for range 60 {
			mid := (lo + hi) / 2
			v := throat.At(mid)
			if mid > turned {
				v = run.At(mid)
			}
			if pz+v.Z > w.ThicknessAt {
				lo = mid
			} else {
				hi = mid
			}
		}
		if lo > turned {
			return py + run.At(lo).Y
		}
		return py + throat.At(lo).Y
	}
	lo, hi := want, want+100
	for range 80 {
		if mid := (lo + hi) / 2; faceAt(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	py, pz := lo-foot.Y, -lo/f.Taper-foot.Z
	if pz > top.Z {
		return nil, fmt.Errorf("the throat ends %.2f mm above the begin of the tip: no straight face is left", pz-top.Z)
	}
	apex := py - (top.Z-pz)/math.Tan(-face) - top.Y
	round := apex + w.TapeFromBack // the back's round closes the shape
	if !(round > 1) || round > f.FlangeHeight+20 {
		return nil, fmt.Errorf("the tip stands %.1f mm from the back", round)
	}
	tip.CY += apex
	blend.CY += apex
	throat = outline.ArcFrom(outline.Vertex{Y: py, Z: pz, Angle: face}, f.ThroatRadius, turned)
	run = outline.ArcFrom(throat.At(turned), f.TreadRadius, tread)
	foot = run.At(tread)
	edge := w.RimWidth - w.TapeFromBack
	// The field corner turns from the tread to upright at the rim's field face.
	begin := edge - f.FieldRadius*(1-math.Sin(-tread))
	if begin <= foot.Y {
		return nil, fmt.Errorf("no straight tread is left")
	}
	field := outline.ArcFrom(outline.Vertex{Y: begin, Z: -begin / f.Taper, Angle: tread}, f.FieldRadius, -math.Pi/2)
	pieces := []outline.Piece{
		outline.Arc{CY: apex, CZ: f.FlangeHeight - round, R: round, From: math.Pi / 2, To: 0}, tip, blend,
		outline.Line{Y0: top.Y + apex, Z0: top.Z, Y1: py, Z1: pz}, throat, run,
		outline.Line{Y0: foot.Y, Z0: foot.Z, Y1: begin, Z1: -begin / f.Taper}, field,
	}
	return outline.Join(sampleStep, 1e-6, pieces...)
}

// Cone is a plain cone of the given taper (radius per width, 1/20 = 0.05) without a flange: from 70 mm on the gauge
// side of the tape line to 65 mm on the field side. Tapers from -1 to 1 are taken; 0 is a cylinder.
func Cone(taper float64) (*Shape, error) {
	if !(math.Abs(taper) <= 1) {
		return nil, fmt.Errorf("%w: a cone of taper %g (from -1 to 1)", ErrShape, taper)
	}
	o, err := outline.Join(1, same, outline.Line{Y0: -70, Z0: 70 * taper, Y1: 65, Z1: -65 * taper})
	if err != nil {
		return nil, err
	}
	return &Shape{Name: fmt.Sprintf("cone:%g", taper), Outline: o, Tape: 70, Rim: 135, ThicknessAt: 10, NoFlange: true,
		Source: "a plain cone"}, nil
}

const same = 1e-9

// ConeNamed makes the cone of a name such as cone:1/20, cone:1:20 or cone:0.05.
func ConeNamed(name string) (*Shape, error) {
	text, ok := strings.CutPrefix(strings.TrimSpace(name), "cone:")
	if !ok {
		return nil, fmt.Errorf("%w: %q is not a cone (cone:1/20)", ErrShape, name)
	}
	num, den, ratio := strings.Cut(strings.Replace(text, ":", "/", 1), "/")
	v, err := strconv.ParseFloat(strings.TrimSpace(num), 64)
	if err != nil {
		return nil, fmt.Errorf("%w: %q is not a taper (cone:1/20)", ErrShape, name)
	}
	if ratio {
		d, err := strconv.ParseFloat(strings.TrimSpace(den), 64)
		if err != nil || d == 0 {
			return nil, fmt.Errorf("%w: %q is not a taper (cone:1/20)", ErrShape, name)
		}
		v /= d
	}
	s, err := Cone(v)
	if err != nil {
		return nil, err
	}
	s.Name = strings.TrimSpace(name)
	return s, nil
}

// Named finds a built-in design or makes a cone. The error of an unknown name lists the known ones, with a hint.
func Named(shapes *configs.Shapes, name string) (*Shape, error) {
	if strings.HasPrefix(name, "cone:") {
		return ConeNamed(name)
	}
	w, ok := shapes.Wheel(name)
	if !ok {
		known := shapes.WheelNames()
		hint := ""
		if near := measure.Nearest(name, known); near != "" {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		return nil, fmt.Errorf("%w: %q (known: %s, cone:1/20%s)", ErrShape, name, strings.Join(known, ", "), hint)
	}
	return New(w)
}
