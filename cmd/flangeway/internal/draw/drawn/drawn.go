// Package drawn reads finished drawings again, for tests: it knows SVG and nothing of how a drawing was made.
package drawn

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// wide is how wide a letter is of its height: a little less than in most sans-serifs, so that what is found is there.
const wide = 0.55

type text struct {
	words          string
	x0, y0, x1, y1 float64
}

// Uncrossed fails a test for each text of a drawing that a line runs through.
func Uncrossed(t testing.TB, name string, svg []byte) {
	t.Helper()
	crossed, err := Crossed(svg)
	if err != nil {
		t.Errorf("%s: %v", name, err)
	}
	for _, s := range crossed {
		t.Errorf("%s: %s", name, s)
	}
}

// Crossed names each text of a drawing that a line runs through, be the line drawn before or behind the text.
func Crossed(svg []byte) ([]string, error) {
	var texts []text
	var lines [][4]float64
	size, shift, open := 12.0, 0.0, -1
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range tok.Attr {
				at[a.Name.Local] = a.Value
			}
			n := func(name string) float64 {
				v, _ := strconv.ParseFloat(at[name], 64) // what is not there is 0
				return v
			}
			switch tok.Name.Local {
			case "svg":
				size = n("font-size")
			case "g":
				inner := strings.TrimSuffix(strings.TrimPrefix(at["transform"], "translate(0 "), ")")
				shift, _ = strconv.ParseFloat(inner, 64)
			case "line":
				lines = append(lines, [4]float64{n("x1"), n("y1") + shift, n("x2"), n("y2") + shift})
			case "circle":
				x, y, r := n("cx"), n("cy")+shift, n("r")
				for i := range 16 {
					s0, c0 := math.Sincos(float64(i) / 8 * math.Pi)
					s1, c1 := math.Sincos(float64(i+1) / 8 * math.Pi)
					lines = append(lines, [4]float64{x + r*c0, y + r*s0, x + r*c1, y + r*s1})
				}
			case "path":
				l, err := traced(at["d"], shift)
				if err != nil {
					return nil, err
				}
				lines = append(lines, l...)
			case "text":
				high := size
				if at["font-size"] != "" {
					high = n("font-size")
				}
				texts = append(texts, text{x0: n("x"), y0: n("y") + shift, y1: high})
				open = map[string]int{"": 0, "start": 0, "middle": 1, "end": 2}[at["text-anchor"]]
			}
		case xml.CharData:
			if open < 0 {
				continue
			}
			t := &texts[len(texts)-1]
			high, y := t.y1, t.y0
			t.words = string(tok)
			w := float64(utf8.RuneCount(tok)) * wide * high
			t.x0 -= float64(open) / 2 * w
			t.x1, t.y0, t.y1 = t.x0+w, y-0.7*high, y+0.15*high
		case xml.EndElement:
			open = -1
			if tok.Name.Local == "g" {
				shift = 0
			}
		}
	}
	var out []string
	for _, t := range texts {
		for _, l := range lines {
			if t.words != "" && through(t, l) {
				out = append(out,
					fmt.Sprintf("a line runs through %q: %.0f, %.0f to %.0f, %.0f", t.words, l[0], l[1], l[2], l[3]))
				break
			}
		}
	}
	return out, nil
}

// traced are the lines of a path of M, H, v, Z and points that follow one another.
func traced(d string, shift float64) (out [][4]float64, err error) {
	for _, r := range "MHvZ" {
		d = strings.ReplaceAll(d, string(r), " "+string(r)+" ")
	}
	var start, at [2]float64
	words := strings.Fields(d)
	next := func() float64 {
		if len(words) == 0 {
			err = fmt.Errorf("a path ends early: %s", d)
			return 0
		}
		v, e := strconv.ParseFloat(words[0], 64)
		if e != nil {
			err = e
		}
		words = words[1:]
		return v
	}
	to := func(x, y float64) {
		out = append(out, [4]float64{at[0], at[1], x, y})
		at = [2]float64{x, y}
	}
	for len(words) > 0 && err == nil {
		w := words[0]
		if strings.ContainsAny(w, "MHvZ") {
			words = words[1:]
		}
		switch w {
		case "M":
			at = [2]float64{next(), next() + shift}
			start = at
		case "H":
			to(next(), at[1])
		case "v":
			to(at[0], at[1]+next())
		case "Z":
			to(start[0], start[1])
		default:
			to(next(), next()+shift)
		}
	}
	return out, err
}

// through reports whether a line runs through a text, by small steps along it.
func through(t text, l [4]float64) bool {
	n := math.Ceil(math.Hypot(l[2]-l[0], l[3]-l[1])/1.5) + 1
	for i := range int(n) + 1 {
		x, y := l[0]+(l[2]-l[0])*float64(i)/n, l[1]+(l[3]-l[1])*float64(i)/n
		if x > t.x0 && x < t.x1 && y > t.y0 && y < t.y1 {
			return true
		}
	}
	return false
}
