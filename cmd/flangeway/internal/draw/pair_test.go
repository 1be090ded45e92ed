package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/interaction"
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
		"joint-bar": {"bar_depth": {MM: 34, Lo: 30, Hi: 38, Text: "115RE head\nless 1/4 in"},
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
		"point-pick":      {"point_gap": in(0.25, "1/4"), "allowed": in(0.125, "1/8"), "stock_rail_wear": in(0.25, "1/4")},
		"wheel-unloading": {"tilt": in(3, "3"), "difference": in(2.5, "2-1/2"), "kept": mm(52.2, "52.2 percent")},
		"hollow-curve":    {"tread_hollow": mm(5, "5 mm"), "allowed": mm(3, "3 mm")},
	}
}

func pairOf(check string) Pair {
	return Pair{ID: "p1", Shows: interaction.CheckByID(check).Drawing, Title: "frog/F4: " + check,
		Line: "CONFLICT, margin -1/8 +-1/16 in; WPV 1204 L2", Desc: "what is shown", Read: readings()[check],
		Block: "A railroad, 2026-03-31"}
}

// Every check has a drawing: well-formed, with title and description, black, white and
// one grey, the same bytes every time, its readings on it as written.
func TestPairDrawings(t *testing.T) {
	for _, id := range interaction.CheckIDs() {
		t.Run(id, func(t *testing.T) {
			p := pairOf(id)
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
			// A label has a white edge and stands behind every line, so none runs through it.
			if i := strings.Index(svg, `paint-order="stroke"`); i < 0 || strings.Contains(svg[i:], "<line") ||
				strings.Contains(svg[i:], "<path") || strings.Contains(svg[i:], "<circle") {
				t.Error("a line is drawn over a label")
			}
			if !strings.Contains(svg, ">A railroad, 2026-03-31</text>") {
				t.Error("the drawing does not say whose it is")
			}
			for name, l := range p.Read {
				if name == "flange_tip_radius" || name == "flange_angle" {
					continue // shape only
				}
				for line := range strings.SplitSeq(l.Text, "\n") {
					if !strings.Contains(svg, escape(line)) {
						t.Errorf("%s %q does not stand on the drawing", name, line)
					}
				}
			}
		})
	}
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
				if (at.Name.Local == "fill" || at.Name.Local == "stroke") && !strings.Contains("none #000 #fff #ddd",
					at.Value) {
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

// A missing reading and an unknown check are errors, and no number that readings can
// hold makes a broken drawing.
func TestPairDrawingLimits(t *testing.T) {
	for _, id := range interaction.CheckIDs() {
		p := pairOf(id)
		for name := range p.Read {
			if name == "stock_rail_wear" || name == "bearing" {
				continue // not needed
			}
			q := pairOf(id)
			delete(q.Read, name)
			if _, err := Draw(q); !errors.Is(err, ErrNotRead) {
				t.Errorf("%s without %s: %v", id, name, err)
			}
		}
		for _, v := range []float64{0, 1e-6, 1, 12.7, 60, 101.6, 1500} {
			for name := range p.Read {
				q := pairOf(id)
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
			q := pairOf(id)
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
	p := pairOf("frog-floor")
	p.ID = `x"><script>`
	p.Title, p.Line, p.Desc = `<script>alert("t")</script>`, strings.Repeat("a", 10000), "\x00\x1b<&"
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
