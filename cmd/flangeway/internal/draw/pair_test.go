package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"html"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"flangeway/cmd/flangeway/internal/draw/drawn"
	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

func in(v float64, text string) interaction.Dimension {
	return interaction.Dimension{MM: v * measure.MMPerInch, Lo: v * measure.MMPerInch, Hi: v * measure.MMPerInch,
		Text: text + " in"}
}

func mm(v float64, text string) interaction.Dimension {
	return interaction.Dimension{MM: v, Lo: v, Hi: v, Text: text}
}

// readings hold one pair of each check, made up.
func readings() map[string]map[string]interaction.Dimension {
	return map[string]map[string]interaction.Dimension{
		"frog-floor": {"flange_height": in(1.5, "1-1/2"), "flangeway_depth": in(1.375, "1-3/8")},
		"frog-point": {"guard_check": in(54.375, "54-3/8"), "flange_thickness": in(1.375, "1-3/8"),
			"back_to_back": in(53.25, "53-1/4")},
		"guard-bind":      {"guard_face": in(53.25, "53-1/4"), "back_to_back": in(53, "53")},
		"flangeway-width": {"flangeway_width": in(1.25, "1-1/4"), "flange_thickness": in(1.375, "1-3/8")},
		"guard-flangeway": {"guard_flangeway": in(1.875, "1-7/8"), "flange_thickness": in(1.375, "1-3/8")},
		"frog-wing":       {"tread_hollow": mm(5, "5 mm"), "allowed": mm(3, "3 mm")},
		"joint-bar": {"bar_depth": {MM: 34, Lo: 30, Hi: 38, Text: "115RE head, less 1/4 in"},
			"flange_height": in(1.5, "1-1/2")},
		"wide-gauge": {"loaded_gauge": in(58.875, "58-7/8"), "back_to_back": in(52.875, "52-7/8"),
			"flange_thickness": in(0.9375, "15/16"), "mate rim_width": in(5.5, "5-1/2"), "least_bearing": in(1, "1"),
			"bearing": in(7.0/16, "7/16")},
		"tight-gauge": {"gauge": in(56, "56"), "back_to_back": in(53.5, "53-1/2"),
			"flange_thickness": in(1.375, "1-3/8"), "mate flange_thickness": in(1.3125, "1-5/16")},
		"open-point": {"open_clearance": in(1.75, "1-3/4"), "gauge": in(56.5, "56-1/2"), "back_to_back": in(53, "53"),
			"flange_thickness": in(1, "1")},
		"outer-tread": {"heel_rise": in(0.125, "1/8"), "tread_hollow": mm(6.5, "6.5 mm"), "ride_over": mm(2, "2 mm")},
		"point-climb": {"flange_height": in(1.125, "1-1/8"), "point_top": in(0.75, "3/4"),
			"flange_tip_radius": in(11.0/16, "11/16"), "flange_angle": mm(75, "75 deg"),
			"contact_angle": mm(63.1, "63.1 deg"), "least_contact_angle": mm(60, "60 deg")},
		"point-pick": {"point_gap": in(0.25, "1/4"), "allowed": in(0.125, "1/8"), "stock_rail_wear": in(0.25, "1/4")},
		"wheel-unloading": {"tilt": in(3, "3"), "difference": in(2.5, "2-1/2"), "kept": mm(52.2, "52.2 percent"),
			"gross_lb": {Text: "263,000 lb"}},
		"hollow-curve": {"tread_hollow": mm(5, "5 mm"), "allowed": mm(3, "3 mm")},
	}
}

// made is a pair of a check that readings has not: what its formula names 1-1/2 in each.
func made(t *testing.T, check *interaction.Check) map[string]interaction.Dimension {
	d := interaction.Drawn{Read: map[string]interaction.Dimension{}}
	for _, c := range fixture.Columns(fixture.Data(t), check.Formula) {
		d.Read[c] = in(1.5, "1-1/2")
	}
	if check.Derived != nil {
		check.Derived(d)
	}
	return d.Read
}

func pairOf(t *testing.T, id string) Pair {
	check := interaction.CheckByID(id)
	read := readings()[id]
	if read == nil {
		read = made(t, check)
	}
	return Pair{ID: "p1", Shows: check.Drawing, Title: "frog/F4: " + id, Decides: "CONFLICT -1/8 +-1/16 in",
		Desc: "what is shown", Read: read, Block: []string{"WPV 1204 L2", "Yard, frog F4", "A railroad, 2026-03-31"}}
}

// Every check has a drawing: well-formed, with title and description, black, white and
// one grey, the same bytes every time, its readings on it as written.
func TestPairDrawings(t *testing.T) {
	for _, id := range interaction.CheckIDs() {
		t.Run(id, func(t *testing.T) {
			p := pairOf(t, id)
			a, err := Draw(p)
			if err != nil {
				t.Fatal(err)
			}
			b, err := Draw(p)
			if err != nil || !bytes.Equal(a, b) {
				t.Errorf("two drawings of the same values differ (%v)", err)
			}
			if dir := os.Getenv("FLANGEWAY_DRAWINGS"); dir != "" {
				if err := os.WriteFile(filepath.Join(dir, id+".svg"), a, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			wellFormed(t, a)
			svg := string(a)
			for _, want := range []string{`<title id="p1-t">frog/F4: ` + id + "</title>",
				`<desc id="p1-d">what is shown</desc>`} {
				if !strings.Contains(svg, want) {
					t.Errorf("no %s", want)
				}
			}
			drawn.Uncrossed(t, id, a)
			for _, want := range append(p.Block, " if 5-1/2 in wide") {
				if !strings.Contains(svg, want) {
					t.Errorf("the drawing does not say %q", want)
				}
			}
			labelled(t, svg)
			for name, l := range p.Read {
				if name == "flange_tip_radius" || name == "flange_angle" {
					continue // shape only
				}
				if !strings.Contains(svg, escape(l.Text)) {
					t.Errorf("%s %q does not stand on the drawing", name, l.Text)
				}
			}
		})
	}
}

// The words of a drawing: what decides is the largest, none is too small for a phone, none stands on another or off the
// sheet.
var drawnText = regexp.MustCompile(`<text x="([^"]+)" y="([^"]+)"(?: text-anchor="(\w+)")?` +
	`(?: font-size="([^"]+)")?([^>]*)>([^<]*)</text>`)

func labelled(t *testing.T, svg string) {
	t.Helper()
	type box struct {
		text           string
		x0, y0, x1, y1 float64
	}
	inner, down := svg, 0.0
	if m := regexp.MustCompile(`translate\(0 ([^)]+)\)`).FindStringSubmatch(svg); m != nil {
		down = number(t, m[1])
		inner = svg[strings.Index(svg, "<g "):strings.Index(svg, "</g>")]
	}
	var boxes []box
	decides, most := 0.0, 0.0
	for _, m := range drawnText.FindAllStringSubmatch(svg, -1) {
		size := letter
		if m[4] != "" {
			size = number(t, m[4])
		}
		if strings.Contains(m[5], "decides") {
			decides = max(decides, size)
		} else {
			most = max(most, size)
		}
		if px := size * 340 / pairWidth; px < 11 { // the width of a figure in a window of 360 px
			t.Errorf("%q is %.1f px high on a phone", m[6], px)
		}
		x, y, wide := number(t, m[1]), number(t, m[2]),
			float64(utf8.RuneCountInString(html.UnescapeString(m[6])))*size*0.55
		switch m[3] {
		case "middle":
			x -= wide / 2
		case "end":
			x -= wide
		}
		if strings.Contains(inner, m[0]) {
			y += down
		}
		boxes = append(boxes, box{m[6], x, y - 0.7*size, x + wide, y + 0.15*size})
	}
	if decides < 1.15*most {
		t.Errorf("the deciding distance is %g high, others up to %g", decides, most)
	}
	for i, a := range boxes {
		if a.x0 < 0 || a.x1 > pairWidth+1 {
			t.Errorf("%q runs off the sheet: %.0f to %.0f", a.text, a.x0, a.x1)
		}
		for _, b := range boxes[:i] {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
				t.Errorf("%q stands on %q", a.text, b.text)
			}
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The stock rail has no wheel in it, whatever the readings of the switch and the wheel: a wheel stands on its tread.
func TestNoWheelInStockRail(t *testing.T) {
	for _, id := range []string{"point-climb", "point-pick", "open-point"} {
		for i, v := range []float64{0.03, 0.125, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 2} {
			for name := range readings()[id] {
				p := pairOf(t, id)
				if d := p.Read[name]; d.MM > 100 || strings.Contains(name, "angle") ||
					strings.Contains(name, "radius") {
					continue
				}
				p.Read[name] = in(v, "x")
				p.Wheel = WheelDims{Height: (0.8 + 0.1*float64(i)) * inch, Thickness: (1.45 - 0.07*float64(i)) * inch,
					Hollow: float64(i), Rim: 5.5 * inch}
				p.Mate = p.Wheel
				f := sketched(p, drawings()[p.Shows])
				if len(f.stock) == 0 || len(f.wheels) == 0 {
					t.Fatalf("%s: no stock rail or no wheel", id)
				}
				if n := within(f.stock, f.wheels); n > 0 {
					t.Errorf("%s, %s %g in: %d places of the stock rail lie in a wheel", id, name, v, n)
				}
			}
		}
	}
	square := box(0, 0, 50, 50)
	if n := within(square, [][][2]float64{box(40, 40, 90, 90)}); n == 0 {
		t.Error("a wheel in a rail is not seen")
	}
}

// within counts the points of a grid of 1 mm, half a millimetre and more inside the rail, that lie in a wheel.
func within(rail [][2]float64, wheels [][][2]float64) int {
	n := 0
	x0, x1 := math.Inf(1), math.Inf(-1)
	for _, q := range rail {
		x0, x1 = math.Min(x0, q[0]), math.Max(x1, q[0])
	}
	for x := x0; x < x1; x++ {
		for y := -40.0; y < 80; y++ {
			deep := true
			for _, d := range [][2]float64{{0, 0}, {0.5, 0}, {-0.5, 0}, {0, 0.5}, {0, -0.5}} {
				deep = deep && holds(rail, x+d[0], y+d[1])
			}
			for _, w := range wheels {
				if deep && holds(w, x, y) {
					n++
				}
			}
		}
	}
	return n
}

// holds reports whether a point lies in an outline.
func holds(p [][2]float64, x, y float64) bool {
	in := false
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
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
				if (at.Name.Local == "fill" || at.Name.Local == "stroke") &&
					!strings.Contains("none #000 #fff #ddd", at.Value) {
					t.Errorf("colour %s", at.Value)
				}
				if strings.Contains(at.Value, "NaN") || strings.Contains(at.Value, "Inf") ||
					strings.Contains(at.Value, "-0.00") {
					t.Errorf("%s is %s", at.Name.Local, at.Value)
				}
			}
		}
	}
}

// A missing reading and an unknown check are errors, and no number that readings can hold makes a broken drawing.
func TestPairDrawingLimits(t *testing.T) {
	for _, id := range interaction.CheckIDs() {
		p := pairOf(t, id)
		for name := range p.Read {
			if name == "stock_rail_wear" || name == "bearing" || name == "gross_lb" {
				continue // not needed
			}
			q := pairOf(t, id)
			delete(q.Read, name)
			if _, err := Draw(q); !errors.Is(err, ErrNotRead) {
				t.Errorf("%s without %s: %v", id, name, err)
			}
		}
		for _, v := range []float64{0, 1e-6, 1, 12.7, 60, 101.6, 1500} {
			for name := range p.Read {
				q := pairOf(t, id)
				q.Read[name] = interaction.Dimension{MM: v, Lo: v, Hi: v, Text: "x"}
				q.Wheel = WheelDims{Height: v, Thickness: v, Hollow: v, Rim: v}
				b, err := Draw(q)
				if err != nil {
					t.Fatalf("%s with %s %g: %v", id, name, v, err)
				}
				wellFormed(t, b)
			}
		}
		for name := range p.Read {
			q := pairOf(t, id)
			q.Read[name] = interaction.Dimension{MM: math.NaN(), Text: "x"}
			if _, err := Draw(q); !errors.Is(err, ErrNotRead) {
				t.Errorf("%s with %s NaN: %v", id, name, err)
			}
		}
	}
	if _, err := Draw(Pair{}); !errors.Is(err, ErrNoDrawing) {
		t.Errorf("a pair that says no drawing: %v", err)
	}
}

// The drawing is to scale: moving a reading by a sixteenth moves a line of the drawing
// by that much in the drawing's scale.
func TestPairDrawingIsToScale(t *testing.T) {
	floor := func(depth float64) float64 {
		f := &figure{sheet: &sheet{}, scale: 0.75 * perInch / measure.MMPerInch}
		return f.view(0, 0, 0, 0).py(depth * measure.MMPerInch)
	}
	if got := floor(1.4375) - floor(1.375); math.Abs(got-0.75*96/16) > 1e-9 {
		t.Errorf("a sixteenth is %g units, want %g", got, 0.75*96/16)
	}
	for _, w := range []WheelDims{{25.4, 29.4, 0, 139.7}, {38.1, 22.2, 5, 139.7}, {19, 35, 0, 146},
		{31.75, 34.9, 2, 139.7}} {
		o := w.outline(0, 1)
		tip, thick := 0.0, 0.0
		for i, p := range o {
			tip = math.Max(tip, p[1])
			if i > 0 && i < 46 && (o[i-1][1]-gaugedAt)*(p[1]-gaugedAt) <= 0 && p[0] > w.Thickness/2 {
				at := (gaugedAt - o[i-1][1]) / (p[1] - o[i-1][1])
				thick = o[i-1][0] + at*(p[0]-o[i-1][0])
			}
		}
		if math.Abs(tip-w.Height) > 0.01 {
			t.Errorf("%+v: the tip lies at %.3f mm", w, tip)
		}
		if math.Abs(thick-w.Thickness) > 0.15 {
			t.Errorf("%+v: the flange is %.3f mm thick 3/8 in above the tread", w, thick)
		}
	}
}

// What is typed stays text, however long.
func TestPairDrawingEscapes(t *testing.T) {
	p := pairOf(t, "frog-floor")
	p.ID = `x"><script>`
	p.Title, p.Decides, p.Desc = `<script>alert("t")</script>`, strings.Repeat("a", 10000), "\x00\x1b<&"
	p.Read["flange_height"] = interaction.Dimension{MM: 30, Lo: 30, Hi: 30, Text: `<b>"&`}
	b, err := Draw(p)
	if err != nil {
		t.Fatal(err)
	}
	wellFormed(t, b)
	if strings.Contains(string(b), "<script") || strings.Contains(string(b), "<b>") || len(b) > 20000 {
		t.Errorf("%d bytes: %s", len(b), b[:400])
	}
	if s := string(Blank(p)); strings.Contains(s, "<script") {
		t.Error(s)
	}
}

// No figure is cut: what has no room ends behind a whole word.
func TestFitKeepsFigures(t *testing.T) {
	for in, want := range map[string]string{
		"plain -5/32 +-1/16 in, computed -0.16 in":       "plain -5/32 +-1/16 in, computed -0.16 in",
		"plain -5/32 +-1/16 in, computed -0.16 in at 10": "plain -5/32 +-1/16 in, computed ...",
		strings.Repeat("x", 60):                          strings.Repeat("x", 26) + "..." + strings.Repeat("x", 11),
	} {
		if got := fit(in, 40); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
