package judge_test

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
)

// largeSurvey is 1,600 wheels (200 cars of 4 axles) and 120 places, all readings taken, from
// round figures that go through their range; varied draws every reading, more of the little
// worn than of the worn, so that hardly two are alike.
func largeSurvey(b *testing.B, varied bool) *survey.Survey {
	b.Helper()
	n, draw := 0, rand.New(rand.NewPCG(17, 12))
	step := func(from, to float64) string { // the next of 16 values
		n++
		at := float64(n*7%16) / 15
		if varied {
			at = draw.Float64() * draw.Float64()
		}
		return strconv.FormatFloat(from+(to-from)*at, 'f', 3, 64)
	}
	files := map[string]*strings.Builder{}
	line := func(file string, cells ...string) {
		if files[file] == nil {
			files[file] = &strings.Builder{}
		}
		files[file].WriteString(strings.Join(cells, ",") + "\n")
	}
	line("cars.csv", "car,kind")
	line("wheels.csv", "car,position,date,flange_height,flange_thickness,vertical_flange,tread_hollow,back_to_back")
	for car := range 200 {
		id := "CAR " + strconv.Itoa(car)
		line("cars.csv", id, "freight")
		for axle := 1; axle <= 4; axle++ {
			back := step(52.9, 53.4)
			for _, side := range []string{"L", "R"} {
				line("wheels.csv", id, side+strconv.Itoa(axle), "2026-01-05", step(1, 1.5), step(.9, 1.375),
					step(.5, 1), step(0, 4), back)
			}
		}
	}
	heads := map[track.Kind]string{
		track.Frog:   "location,frog,track_class,gauge,flangeway_depth,flangeway_width,guard_check,guard_face,guard_flangeway",
		track.Switch: "location,switch,track_class,gauge,point_gap,point_drop,chip_depth,stock_rail_wear,undercut,open_clearance,heel_rise",
		track.Curve:  "location,curve,track_class,gauge,degree", track.Joint: "location,joint,track_class,bar_depth",
		track.Spot: "location,spot,track_class,gauge",
	}
	for k := range track.NumKinds {
		line(k.File(), heads[k])
		for i := range 24 {
			cells := []string{"place " + strconv.Itoa(i), k.String() + strconv.Itoa(i), "1"}
			if k != track.Joint {
				cells = append(cells, step(56, 57.9))
			}
			switch k {
			case track.Frog:
				cells = append(cells, step(1.25, 1.9), step(1.4, 2), step(54, 54.7), step(52.6, 53.3), step(1.5, 2.2))
			case track.Switch:
				cells = append(cells, step(0, .3), step(.2, .8), step(0, .9), step(0, .4), step(0, .2), step(2.5, 4),
					step(0, .3))
			case track.Curve:
				cells = append(cells, step(1, 12))
			case track.Joint:
				cells = append(cells, step(1.1, 1.7))
			}
			line(k.File(), cells...)
		}
	}
	in := sheets{files: map[string]string{}}
	for name, text := range files {
		in.files[name] = text.String()
	}
	s := in.read(b, fixture.Data(b))
	if len(s.Fleet.Wheels) != 1600 || len(s.Track.Features) != 120 {
		b.Fatalf("%d wheels, %d places", len(s.Fleet.Wheels), len(s.Track.Features))
	}
	return s
}

// BenchmarkJudge prepares and judges 1,600 wheels at 120 places, all checks.
func BenchmarkJudge(b *testing.B) {
	s := largeSurvey(b, false)
	book, err := s.Book()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	pairs := 0
	for b.Loop() {
		pairs = judge.New(s, book, interaction.Options{}).Judge().Summary.Pairs
	}
	b.ReportMetric(float64(pairs), "pairs")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pairs), "ns/pair")
}

// BenchmarkComputed judges 1,600 wheels at 120 places from shapes and forces too, the gauge of
// all 24 curves read: an even fleet, of 16 values of each reading, and one in which hardly two
// wheels are alike. One run of each is enough (-benchtime 1x): they take minutes.
func BenchmarkComputed(b *testing.B) {
	for _, fleet := range []struct {
		name   string
		varied bool
	}{{"even", false}, {"varied", true}} {
		b.Run(fleet.name, func(b *testing.B) {
			s := largeSurvey(b, fleet.varied)
			book, err := s.Book()
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				e := judge.New(s, book, interaction.Options{})
				if _, err := e.Compute(); err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(e.Judge().Summary.Pairs), "pairs")
			}
		})
	}
}

// BenchmarkEachPair explains every pair of the demo, as a list of all pairs does.
func BenchmarkEachPair(b *testing.B) {
	s := readDemo(b)
	book, err := s.Book()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		r := judge.New(s, book, interaction.Options{}).Judge()
		n := 0
		if err := r.Engine().EachPair(r.Tallies, func(*judge.Finding) error { n++; return nil }); err != nil {
			b.Fatal(err)
		}
		if n != r.Summary.Pairs {
			b.Fatalf("%d pairs of %d", n, r.Summary.Pairs)
		}
	}
}

// 40 frogs by 400 wheels, every reading taken: what passages add to check. The curves,
// switches, joints and spots are left out.
func BenchmarkFrogPassages(b *testing.B) {
	s := yardSurvey(b)
	book, err := s.Book()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		e := judge.New(s, book, interaction.Options{})
		if _, err := e.Compute(); err != nil {
			b.Fatal(err)
		}
		e.Judge()
	}
}

// yardSurvey is 400 wheels in sixteenths of an inch and half millimetres, and 40 frogs.
func yardSurvey(b *testing.B) *survey.Survey {
	b.Helper()
	var wheels, frogs strings.Builder
	wheels.WriteString("car,position,flange_height,flange_thickness,tread_hollow,back_to_back\n")
	for i := range 100 {
		for n, position := range []string{"L1", "R1", "L2", "R2"} {
			k := 4*i + n
			hollow := float64(k*7%7) / 2
			high := 18 + k%5 + int(hollow)
			wheels.WriteString("CAR " + strconv.Itoa(i) + "," + position + ",1-" + strconv.Itoa(min(high, 30)-16) +
				"/16,1-" + strconv.Itoa(1+k%3) + "/16," +
				strconv.FormatFloat(hollow, 'f', 1, 64) + ",53-3/8\n")
		}
	}
	frogs.WriteString("location,frog,number,type,gauge,flangeway_depth,flangeway_width,guard_check,tread_wear\n")
	for i := range 40 {
		frogs.WriteString("yard,F" + strconv.Itoa(i) + "," + strconv.Itoa(6+i%5) + "," +
			[]string{"rbm", "bolted", "solid"}[i%3] + ",56-5/8,1-" + strconv.Itoa(6+i%8) + "/16,1-7/8,54-" +
			strconv.Itoa(4+i%7) + "/16," + strconv.Itoa(1+i%5) + "/16\n")
	}
	return sheets{files: map[string]string{"wheels.csv": wheels.String(), "frogs.csv": frogs.String()}}.read(b,
		fixture.Data(b))
}
