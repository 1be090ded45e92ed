package draw

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

func sample() Shapes {
	s := Side{Name: `near <&"`, Wheel: [][2]float64{{650, -5}, {680, 28}, {720, 0}, {790, -3}}, Rail: [][2]float64{{715, 40}, {716, 5}, {750, 0}, {785, 40}}, ContactY: 750, Note: "contact"}
	return Shapes{Title: "a title", Desc: "what is shown", Near: s, Far: s, RRD: [][2]float64{{0, 0}, {3, 1}, {6, 4}}, Needed: 1.5, Degree: 4, Play: 6, Gauge: "gauge 56-1/2 in"}
}

// The drawing is well-formed, carries title and description, has no colour and is the
// same every time.
func TestShapeDrawing(t *testing.T) {
	a := Shape(sample())
	if !bytes.Equal(a, Shape(sample())) {
		t.Error("two drawings of the same values differ")
	}
	for _, want := range []string{"<title id=\"t\">a title</title>", "<desc id=\"d\">what is shown</desc>", "near &lt;&amp;&quot;"} {
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
				if (at.Name.Local == "fill" || at.Name.Local == "stroke") && at.Value != "none" && at.Value != "#000" && at.Value != "#fff" && at.Value != "#ddd" {
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
