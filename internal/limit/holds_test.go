package limit

import (
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Knowing less never gives a better word: what is not known of a place or a car is no
// where every case is, unknown where some are, and never yes where one is no.
func TestKnowingLessNeverGivesABetterWord(t *testing.T) {
	b := book(t, "federal", "early-warning", "interchange")
	rng := rand.New(rand.NewPCG(213, 229))
	places := []string{"gauge", "loaded_gauge", "flangeway_depth", "guard_check", "guard_face",
		"speed_mph", "tread_wear"}
	wheels := []string{"tread_hollow", "rim_thickness", "flange_thickness"}
	for range 4000 {
		var s Subject
		var q string
		var known []Subject
		v := 0.0
		switch rng.IntN(3) {
		case 0:
			s, q = Subject{Kind: "frog", FrogType: []string{"", "self-guarded", "heavy-point",
				"flange-bearing"}[rng.IntN(4)]}, places[rng.IntN(len(places))]
			v = map[string]float64{"gauge": 55, "loaded_gauge": 57, "flangeway_depth": 1, "guard_check": 53.5,
				"guard_face": 52.5, "tread_wear": 0}[q] + rng.Float64()*4
			for _, class := range configs.TrackClasses() {
				x := s
				x.Class = class
				known = append(known, x)
			}
		case 1:
			s, q = Subject{Kind: "wheel", CarKind: "locomotive"}, wheels[rng.IntN(len(wheels))]
			v = rng.Float64() * 1.2
			for _, service := range configs.Services() {
				x := s
				x.Service = service
				known = append(known, x)
			}
		default:
			s, q = Subject{Kind: "axle", CarKind: []string{"locomotive", "freight"}[rng.IntN(2)]}, "back_to_back"
			v = 52.5 + rng.Float64()*1.5
			for _, flange := range configs.Flanges() {
				x := s
				x.Flange = flange
				known = append(known, x)
			}
		}
		r := inch(v)
		if q == "speed_mph" {
			r = mph(v * 20)
		}
		read := readings(map[string]measure.Reading{q: r, "speed_mph": r})
		if q != "speed_mph" {
			read = readings(map[string]measure.Reading{q: r, "speed_mph": mph(40)})
		}
		s.Read = read
		no, met := 0, false
		for _, x := range known {
			x.Read = read
			law, _ := b.Legality(x, q)
			if law.Word == No {
				no++
			}
			met = met || law.Word == Yes
		}
		want := None
		switch {
		case no == len(known):
			want = No
		case no > 0:
			want = Unknown
		case met:
			want = Yes
		}
		if law, _ := b.Legality(s, q); law.Word != want {
			t.Fatalf("%s of %+v at %g: %s; of the cases %d of %d are no, so %s", q, s, v, law.Word, no,
				len(known), want)
		}
	}
}

// A judgement that hangs on what nobody knows says what to give.
func TestOpenJudgementsSayWhatIsMissing(t *testing.T) {
	b := book(t, "federal")
	for _, tt := range []struct {
		name     string
		s        Subject
		quantity string
		reading  measure.Reading
		rule     string
		want     Verdict
		note     string
	}{
		{"service", Subject{Kind: "wheel", CarKind: "locomotive"}, "tread_hollow", inch(0.34), "229.75(g)-road", Unsure,
			"the service is not known"},
		{"service, both broken", Subject{Kind: "wheel", CarKind: "locomotive"}, "tread_hollow", inch(0.4),
			"229.75(g)-road", Beyond, ""},
		{"flange", Subject{Kind: "axle", CarKind: "locomotive"}, "back_to_back", inch(53.375), "229.73(c)-most-wide",
			Unsure, "the flange design is not known"},
		{"flange, at the figure", Subject{Kind: "axle", CarKind: "locomotive"}, "back_to_back", about(53.25, 1.0/32),
			"229.73(c)-most-wide", Straddles, "the flange design is not known"},
		{"class", Subject{Kind: "frog"}, "flangeway_depth", inch(1.4375), "213.137(a)-class2-5", Unsure,
			"the track class is not known"},
		{"class, all broken", Subject{Kind: "spot"}, "gauge", inch(60), "213.53(b)-class1-spot", Beyond, ""},
		{"class known", Subject{Kind: "frog", Class: "2"}, "flangeway_depth", inch(1.4375),
			"213.137(a)-class2-5", Beyond, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.s.Read = readings(map[string]measure.Reading{tt.quantity: tt.reading})
			for _, j := range b.Judge(tt.s) {
				if j.Rule.ID != tt.rule {
					continue
				}
				if j.Verdict != tt.want || (j.Note == "") != (tt.note == "") || !strings.Contains(j.Note, tt.note) {
					t.Errorf("%s, note %q; want %s, %q", j.Verdict, j.Note, tt.want, tt.note)
				}
				return
			}
			t.Error("the rule did not judge")
		})
	}
}
