package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/draw/drawn"
)

func sample() Shapes {
	s := Side{Name: `near <&"`, Wheel: [][2]float64{{650, -5}, {680, 28}, {720, 0}, {790, -3}},
		Rail: [][2]float64{{715, 40}, {716, 5}, {750, 0}, {785, 40}}, ContactY: 750, Note: "contact"}
	return Shapes{Title: "a title", Desc: "what is shown", Near: s, Far: s, RRD: [][2]float64{{0, 0}, {3, 1}, {6, 4}},
		Needed: 1.5, Degree: 4, Play: 6, Gauge: "gauge 56-1/2 in"}
}

// The drawing is well-formed, carries title and description, has no colour and is the same every time.
func TestShapeDrawing(t *testing.T) {
	a := Shape(sample())
	if !bytes.Equal(a, Shape(sample())) {
		t.Error("two drawings of the same values differ")
	}
	for _, want := range []string{"<title id=\"t\">a title</title>", "<desc id=\"d\">what is shown</desc>",
		"near &lt;&amp;&quot;"} {
		if !strings.Contains(string(a), want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(string(a), ">-0<") || strings.Contains(string(a), "NaN") {
		t.Error("a number is written badly")
	}
	d := xml.NewDecoder(bytes.NewReader(a))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			for _, at := range e.Attr {
				if (at.Name.Local == "fill" || at.Name.Local == "stroke") && at.Value != "none" && at.Value != "#000" &&
					at.Value != "#fff" && at.Value != "#ddd" {
					t.Errorf("colour %s", at.Value)
				}
			}
		}
	}
	empty := sample()
	empty.RRD, empty.Near.Wheel = nil, nil
	if b := Shape(empty); strings.Contains(string(b), "NaN") || strings.Contains(string(b), "Inf") {
		t.Error("an empty drawing holds what is no number")
	}
}

// The drawing of a passage: well-formed, the same every time, empty values left out.
func TestPassageDrawing(t *testing.T) {
	d := Passages{Title: "a frog", Desc: "what is shown", Note: "note", Plane: "plane", PathName: "tread",
		TipName: "tip", FloorName: "floor", Path: [][2]float64{{-100, 0}, {0, 1}, {100, 0}},
		Tip: [][2]float64{{-100, -25}, {100, -25}}, Floor: [][2]float64{{-50, -40}, {50, -40}}, Marks: []PassageMark{{0,
			"tip <1>"}, {500, "beyond"}}, Section: [][][2]float64{{{0, 60}, {0, 0}, {70, 0}, {70, 60}}},
		Wheel: [][2]float64{{-30, 0}, {-20, 25}, {0, 0}, {60, -2}}, WheelTop: -32, SectionNote: "section"}
	a := Passage(d)
	if !bytes.Equal(a, Passage(d)) {
		t.Error("two drawings of the same values differ")
	}
	if !strings.Contains(string(a), "tip &lt;1&gt;") || strings.Contains(string(a), "beyond") {
		t.Error("marks are drawn badly")
	}
	dec := xml.NewDecoder(bytes.NewReader(a))
	for {
		if _, err := dec.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, bare := range [][]byte{Passage(Passages{}), a} {
		if s := string(bare); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Error("the drawing holds what is no number")
		}
	}
}

// Panels of one quantity have one scale, whatever each holds, and any number of them fits a letter page.
func TestChartsHaveOneScale(t *testing.T) {
	panel := func(most float64) Panel {
		return Panel{Title: "a curve", Y: "margin in L/V", Zero: "the limit",
			Lines: []Line{{Name: "climb", Points: [][2]float64{{0, most}, {4, -0.1}}}}}
	}
	for n := 1; n <= 6; n++ {
		var panels []Panel
		for i := range n {
			panels = append(panels, panel(0.2+float64(i)))
		}
		svg := string(Charts("Margins of a truck", panels))
		size := regexp.MustCompile(`^<svg [^>]*width="([^"]+)in" height="([^"]+)in"`).FindStringSubmatch(svg)
		if w, h := number(t, size[1]), number(t, size[2]); max(w, h) > 11 || min(w, h) > 8.5 {
			t.Errorf("%d panels: %g by %g in", n, w, h)
		}
		// The line at the limit stands as high in each panel.
		high := map[string]bool{}
		tops := regexp.MustCompile(`<path d="M90 ([0-9.]+) [0-9. ]+Z"`).FindAllStringSubmatch(svg, -1)
		zeros := regexp.MustCompile(`<line x1="90" y1="([0-9.]+)"[^>]* stroke-dasharray="2 3"`).FindAllStringSubmatch(svg, -1)
		if len(zeros) != n || len(tops) < n {
			t.Fatalf("%d panels: %d lines at the limit, %d frames", n, len(zeros), len(tops))
		}
		for i := range zeros {
			high[fmt.Sprintf("%.0f", number(t, zeros[i][1])-number(t, tops[i][1]))] = true
		}
		if len(high) != 1 {
			t.Errorf("%d panels have their limit at heights %v", n, high)
		}
	}
}

// No line runs through a label of any drawing.
func TestNoLineThroughALabel(t *testing.T) {
	for name, svg := range map[string][]byte{"shape": Shape(sample()),
		"passage": Passage(Passages{Title: "a frog", Path: [][2]float64{{-100, 0}, {0, 1}, {100, 0}}, PathName: "tread",
			TipName: "tip", Tip: [][2]float64{{-100, -25}, {100, -25}},
			Marks: []PassageMark{{0, "tip"}, {4, "throat"}}}),
		"truck": Truck(TruckCurve{Title: "a truck", Axles: []TruckAxle{{Name: "lead"}, {Name: "trail"}}}),
		"charts": Charts("margins", []Panel{{Title: "a curve", Zero: "the limit", Marks: []Mark{{"TY 1", 1.5}},
			Lines: []Line{{Name: "a", Points: [][2]float64{{0, 1}, {1, 2}, {2, 1}}}, {Name: "b",
				Points: [][2]float64{{0, 1.1}, {1, 2}, {2, 0}}}}}}),
		"cost": CostCurve([]CostPoint{{Cost: 0, Left: 2354}, {Cost: 50325, Left: 1235, Track: 29625}, {Cost: 50785,
			Left: 457, Track: 30585}, {Cost: 51685, Left: 100, Track: 31485}, {Cost: 219345, Left: 2, Track: 195045}},
			"USD")} {
		drawn.Uncrossed(t, name, svg)
	}
	if s, err := drawn.Crossed([]byte(`<svg font-size="18"><g transform="translate(0 5)"><path d="M0 100 50 50Z"/></g>` +
		`<text x="20" y="85" text-anchor="middle">a label</text></svg>`)); err != nil || len(s) != 1 {
		t.Errorf("a line through a label was not seen: %q, %v", s, err)
	}
}

// Every drawing can travel alone, so each carries the caution, once, on its paper.
func TestDrawingsCarryTheCaution(t *testing.T) {
	for name, svg := range map[string][]byte{
		"shape": Shape(sample()), "passage": Passage(Passages{Title: "a frog"}),
		"truck": Truck(TruckCurve{Title: "a truck"}), "charts": Charts("margins", []Panel{{Title: "a curve"}}),
		"cost": CostCurve([]CostPoint{{Cost: 0, Left: 3}, {Cost: 5, Left: 0}}, "USD"),
		"pair": Blank(Pair{ID: "p", Title: "a pair"}),
	} {
		text := strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(string(svg), " ")), " ")
		if n := strings.Count(text, caution.Drawing()); n != 1 {
			t.Errorf("%s: the caution stands %d times", name, n)
		}
	}
}

// A mark's name stands beside its own line and not beyond a neighbour's.
func TestMarksStandAtTheirLines(t *testing.T) {
	s := &sheet{width: 1056, bottom: 800}
	lines := map[string]float64{"tip": 142, "section": 163, "transfer": 263}
	for name, x := range lines {
		s.line(x, 86, x, 386, style{width: 1})
		s.beside(x, 200, 100, 380, name)
	}
	if !s.place(2, 800) {
		t.Error("a mark has no room")
	}
	for _, l := range s.labels {
		b, x := l.box(l.x, l.y), lines[l.lines[0]]
		if gap := max(b[0]-x, x-b[2]); gap < 0 || gap > 8 {
			t.Errorf("%s stands at %v, its line at %g", l.lines[0], b, x)
		}
	}
}

// A drawing of a survey's readings says at its foot what is shown and where it was read, wherever it is pinned up.
func TestNamed(t *testing.T) {
	svg := CostCurve([]CostPoint{{Left: 3}, {Cost: 100, Left: 0}}, "USD")
	named := string(Named(svg, "TY 1 at frog/F1, East & West; survey 0123456789ab"))
	if !strings.Contains(named, ">TY 1 at frog/F1, East &amp; West; survey 0123456789ab</text>\n</svg>\n") ||
		strings.Count(named, "</svg>") != 1 {
		t.Errorf("the foot is not named: %s", named[len(named)-200:])
	}
	if string(Named(svg, "")) != string(svg) {
		t.Error("a drawing of no survey is changed")
	}
}
