package shape

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/outline"
)

// ErrRail is wrapped by every error of a rail shape that cannot be made or used.
var ErrRail = errors.New("no such rail shape")

// RailHead is a rail head cut across, upright. Its outline runs from the gauge side over the crown to the field side: y
// in mm from the middle of the rail, positive to the field; z in mm below the top of the unworn rail, positive
// downward.
type RailHead struct {
	Name        string
	Outline     outline.Outline
	GaugeHeight float64 // below the top, where gauge is read, mm
	Height      float64 // of the whole rail, unworn, mm; 0: unknown
	Base, Web   float64 // mm; 0: unknown
	HeadDepth   float64 // mm; 0: unknown
	Source      string
}

// railStep is the greatest distance in mm between two points of a sample; corners are sampled finer, by their turn.
const railStep = 0.2

// newRailHead makes the head of an unworn rail from its record: arcs chained by tangency from the crown outward. It
// errs if they cannot meet.
func newRailHead(r configs.RailShape) (*RailHead, error) {
	half, err := halfHead(r)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	field, err := outline.Join(railStep, 1e-6, half...)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrRail, r.Name, err)
	}
	return &RailHead{Name: r.Name, Outline: append(field.Mirrored(), field[1:]...), GaugeHeight: r.GaugeHeight,
		Height: r.Height, Base: r.Base, Web: r.Web, HeadDepth: r.HeadDepth, Source: r.Source}, nil
}

// halfHead is the field half: crown, shoulder, corner, side.
func halfHead(r configs.RailShape) ([]outline.Piece, error) {
	if !(r.SideSlope > 2) || !(r.Crown > r.Corner) || !(r.Corner > 0) || !(r.HalfWidth > r.Corner) ||
		!(r.HeadDepth > r.GaugeHeight) {
		return nil, fmt.Errorf("the dimensions make no head")
	}
	side := math.Pi/2 - math.Atan(1/r.SideSlope) // direction of the side
	crownAt := func(half float64) (outline.Arc, error) {
		if !(half > 0 && half < r.Crown) {
			return outline.Arc{}, fmt.Errorf("crown half width %g mm", half)
		}
		return outline.Arc{CY: 0, CZ: r.Crown, R: r.Crown, From: 0, To: math.Asin(half / r.Crown)}, nil
	}
	chain := func(half, turned float64) ([]outline.Piece, outline.Vertex, error) {
		crown, err := crownAt(half)
		if err != nil {
			return nil, outline.Vertex{}, err
		}
		out := []outline.Piece{crown}
		v := crown.At(crown.To)
		if r.Shoulder > 0 {
			if turned <= v.Angle {
				return nil, v, fmt.Errorf("no room for the shoulder")
			}
			s := outline.ArcFrom(v, r.Shoulder, turned)
			out = append(out, s)
			v = s.At(turned)
		}
		corner := outline.ArcFrom(v, r.Corner, side)
		return append(out, corner), corner.At(side), nil
	}
	half, turned := r.CrownHalf, 0.0
	if half == 0 {
		half = r.HalfWidth / 2
	}
	switch {
	case r.Shoulder > 0 && r.ShoulderEnd > 0: // both widths are given
		a := math.Asin(half / r.Crown)
		cy := half - r.Shoulder*math.Sin(a)
		if math.Abs(r.ShoulderEnd-cy) >= r.Shoulder {
			return nil, fmt.Errorf("the shoulder does not reach its width")
		}
		turned = math.Asin((r.ShoulderEnd - cy) / r.Shoulder)
	default: // one is found so that the side stands at the head's width
		// The side leans outward as it goes down: at the gauge line it must stand at HalfWidth.
		miss := func(x float64) float64 {
			h, t := half, x
			if r.Shoulder == 0 {
				h = x
			}
			_, end, err := chain(h, t)
			if err != nil {
				return math.NaN()
			}
			return end.Y + (r.GaugeHeight-end.Z)/r.SideSlope - r.HalfWidth
		}
		lo, hi := math.Asin(half/r.Crown)+1e-6, side-1e-6
		if r.Shoulder == 0 {
			lo, hi = 1e-3, r.HalfWidth
		}
		if !(miss(lo)*miss(hi) < 0) {
			return nil, fmt.Errorf("no tangent arcs reach the head width")
		}
		rising := miss(hi) > 0
		for range 80 {
			if mid := (lo + hi) / 2; (miss(mid) > 0) == rising {
				hi = mid
			} else {
				lo = mid
			}
		}
		if r.Shoulder == 0 {
			half = lo
		} else {
			turned = lo
		}
	}
	pieces, end, err := chain(half, turned)
	if err != nil {
		return nil, err
	}
	down := r.HeadDepth - 6 // leave the fillet under the head out
	if down <= end.Z {
		return nil, fmt.Errorf("the head is too shallow for its corner")
	}
	return append(pieces, outline.Line{Y0: end.Y, Z0: end.Z, Y1: end.Y + (down-end.Z)/r.SideSlope, Z1: down}), nil
}

// RailNamed finds a built-in rail head. The error of an unknown name lists the known ones, with a hint.
func RailNamed(shapes *configs.Shapes, name string) (*RailHead, error) {
	r, ok := shapes.Rail(name)
	if !ok {
		known := shapes.RailNames()
		hint := ""
		if near := measure.Nearest(name, known); near != "" {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		return nil, fmt.Errorf("%w: %q (known: %s%s)", ErrRail, name, strings.Join(known, ", "), hint)
	}
	return newRailHead(r)
}

// KnifeEdge is a made-up rail for exact checks: an edge on the middle of a head that falls 1 in 1 to both sides, 40 mm
// deep.
func KnifeEdge() *RailHead {
	return &RailHead{Name: "knife edge", Outline: outline.Polyline([][2]float64{{-40, 40}, {0, 0}, {40, 40}}),
		GaugeHeight: 14, Source: "made up"}
}
