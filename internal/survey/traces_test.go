package survey

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// wornWheel is a worn wheel, 1-1/4 in high, 1-1/16 in thick and 2.5 mm hollow.
func wornWheel(t *testing.T) *wheelshape.Shape {
	t.Helper()
	data := fixture.Data(t)
	shapes, err := data.LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	design, err := wheelshape.Named(shapes, "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	exact := func(v float64) measure.Reading { return measure.Exact(v, "") }
	s, err := wheelshape.AsWritten(design, wheelshape.WornReadings{Height: exact(1.25 * measure.MMPerInch),
		Thickness: exact(1.0625 * measure.MMPerInch), Hollow: exact(2.5)})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTracedWheel(t *testing.T) {
	t.Parallel()
	trace := fixture.Traced(wornWheel(t).Outline)
	for _, design := range []string{"", "narrow flange 1:20"} {
		dir := folder(t, map[string]string{"traces/w1.csv": trace, "beside.csv": trace, "wheels.csv": "car,position," +
			"flange_height,flange_thickness,tread_hollow,profile,design\nA 1,L1,,,,traces/w1.csv," + design + "\n" +
			"A 1,R1,1-1/4,1-1/4,,beside.csv," + design + "\nA 1,L2,1-1/4,,,,\n"})
		s, err := Read(dir)
		if err != nil {
			t.Fatal(err)
		}
		at := map[string]*wheel.Wheel{}
		for _, w := range s.Fleet.Wheels {
			at[w.Position.String()] = w
		}
		for q, want := range map[wheel.Quantity]float64{wheel.FlangeHeight: 1.25 * measure.MMPerInch,
			wheel.FlangeThickness: 1.0625 * measure.MMPerInch, wheel.TreadHollow: 2.5} {
			r := at["L1"].Read(q)
			if !r.Measured() || r.Lo > want || r.Hi < want || r.Width() < 0.5 || r.Width() > 1.5 {
				t.Errorf("design %q: %s of the trace is %+v, cut to %.2f mm", design, q, r, want)
			}
			if r.Place.File != "wheels.csv" || r.Place.Line != 2 || r.Place.Col != 11 {
				t.Errorf("%s of the trace stands at %v", q, r.Place)
			}
			if w := at["L1"]; w.Doubted(q) {
				t.Errorf("%s of the trace is under a warning", q)
			}
		}
		if r := at["R1"].Read(wheel.FlangeThickness); r.Written != "1-1/4" || !at["R1"].Doubted(wheel.FlangeThickness) {
			t.Errorf("a reading that the trace contradicts: %+v", r)
		}
		if r := at["R1"].Read(wheel.FlangeHeight); r.Written != "1-1/4" || at["R1"].Doubted(wheel.FlangeHeight) {
			t.Errorf("a reading that the trace bears out: %+v", r)
		}
		if r := at["L2"].Read(wheel.FlangeThickness); r.Measured() {
			t.Errorf("a wheel without a trace has %+v", r)
		}
		said := map[string]int{}
		for _, w := range s.Warnings {
			for _, part := range []string{"contradicts the trace beside.csv", "taken from the trace traces/w1.csv: ",
				"noise", "is no sheet of a survey"} {
				if strings.Contains(w.Text, part) {
					said[part]++
				}
			}
		}
		if said["contradicts the trace beside.csv"] != 1 || said["taken from the trace traces/w1.csv: "] != 1 ||
			said["noise"] != 3 || said["is no sheet of a survey"] != 0 {
			t.Errorf("warnings %v", s.Warnings)
		}
	}
}

func TestTracedRail(t *testing.T) {
	t.Parallel()
	shapes, err := fixture.Data(t).LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	head, err := trackshape.RailNamed(shapes, "115RE")
	if err != nil {
		t.Fatal(err)
	}
	worn, err := head.Worn(0, 6, 70)
	if err != nil {
		t.Fatal(err)
	}
	flipped := worn.Outline.Flipped()
	dir := folder(t, map[string]string{"r.csv": fixture.Traced(flipped),
		"new.csv": fixture.Traced(head.Outline.Flipped()),
		"curves.csv": "location,curve,degree,gauge,rail,gauge_face_wear,gauge_face_angle,profile\nleg,C1,6,57,115RE,,,r.csv\n" +
			"leg,C2,6,57,115RE,none,,r.csv\nleg,C3,6,57,,,,r.csv\nleg,C4,6,57,115RE,,,new.csv\n"})
	s, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	read := func(i int, q track.Quantity) measure.Reading { return s.Track.Features[i].Read(q) }
	holds := func(r measure.Reading, v float64) bool { return r.Measured() && r.Lo <= v && v <= r.Hi }
	if r := read(0, track.GaugeFaceWear); !holds(r, 6) || r.Width() > 1.5 {
		t.Errorf("face wear of the trace is %+v", r)
	}
	if r := read(0, track.GaugeFaceAngle); !holds(r, 70) {
		t.Errorf("face angle of the trace is %+v", r)
	}
	if r := read(1, track.GaugeFaceWear); r.Form != measure.None {
		t.Errorf("what was read beside the trace is %+v", r)
	}
	if r := read(2, track.GaugeFaceWear); r.Measured() || !read(2, track.GaugeFaceAngle).Measured() {
		t.Errorf("without a section the face wear is %+v", r)
	}
	if r := read(3, track.GaugeFaceWear); !holds(r, 0) || r.Width() > 1 {
		t.Errorf("face wear of a new rail is %+v", r)
	}
	said := 0
	for _, w := range s.Warnings {
		if strings.Contains(w.Text, "gauge_face_wear none of curve/C2 contradicts the trace r.csv") {
			said++
		}
	}
	if said != 1 {
		t.Errorf("warnings %v", s.Warnings)
	}
}

// TestTraceErrors: a trace that cannot be used is a defect of the cell that names it.
func TestTraceErrors(t *testing.T) {
	t.Parallel()
	good := fixture.Traced(wornWheel(t).Outline)
	outside := filepath.Join(t.TempDir(), "out.csv")
	if err := os.WriteFile(outside, []byte(good), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"gone.csv": `"gone.csv": there is no such file`, "../out.csv": "does not lie beside the sheet",
		outside: "does not lie beside the sheet", "folder": "a folder or a device",
		"words.csv": `"words.csv": `, "flat.csv": `"flat.csv": `, "huge.csv": "too large",
	} {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			files := map[string]string{"words.csv": "x,y\nhello,world\n", "flat.csv": "# mm\n0,0\n50,0\n100,0\n",
				"folder/x": "", "wheels.csv": "car,position,profile\nA 1,L1," + name + "\n"}
			if name == "huge.csv" {
				files["huge.csv"] = strings.Repeat("#\n", maxTrace)
			}
			_, err := Read(folder(t, files))
			if err == nil || !strings.HasPrefix(err.Error(), "wheels.csv:2:8: profile: ") ||
				!strings.Contains(err.Error(), want) {
				t.Errorf("error %v, want %s", err, want)
			}
		})
	}
}
