package judge_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
)

// yardJudge judges many small surveys that are nearly alike: they share one engine, so that what
// shapes and forces say of them is solved once, and they are judged again by it as plan judges what
// is mended (TestAgainIsANewEngine holds that against a new engine). It gives verdicts alone;
// whoever finds one that should not be has it from a new engine too, with its words.
type yardJudge struct {
	t      testing.TB
	data   *configs.Data
	engine *judge.Engine
	yards  int // begun with this engine
}

// yardsKept is how many yards share an engine before it is made anew: it keeps all that it has solved.
const yardsKept = 10

func newYardJudge(t testing.TB, data *configs.Data) *yardJudge { return &yardJudge{t: t, data: data} }

// next says that another yard begins.
func (j *yardJudge) next() {
	if j.yards%yardsKept == 0 {
		s := sheets{class: "1", files: map[string]string{}}.read(j.t, j.data)
		book, err := s.Book()
		if err != nil {
			j.t.Fatal(err)
		}
		j.engine = judge.New(s, book, interaction.Options{})
		if _, err := j.engine.Compute(); err != nil {
			j.t.Fatal(err)
		}
	}
	j.yards++
}

// everything is a yard at all its places by all checks.
func everything(*track.Feature, *interaction.Check) bool { return true }

// onlyAt is a yard at the places that a cell of a file bears on: those of the file, or all where
// it is one of cars or wheels.
func onlyAt(file string) func(*track.Feature, *interaction.Check) bool {
	if file == "wheels.csv" || file == "cars.csv" {
		return everything
	}
	return func(f *track.Feature, _ *interaction.Check) bool { return f.Kind.File() == file }
}

// openBefore is what was asked of a yard without the checks at a place of which every pair was clear: no pair can turn
// clear there.
func openBefore(before map[string]pairVerdict, asked func(*track.Feature, *interaction.Check) bool,
) func(*track.Feature, *interaction.Check) bool {
	open := map[string]bool{}
	for key, v := range before {
		if v.Verdict != clears {
			open[strings.Join(strings.Fields(key)[:2], " ")] = true
		}
	}
	return func(f *track.Feature, c *interaction.Check) bool { return open[c.ID+" "+f.Name()] && asked(f, c) }
}

// pairVerdict is the verdict of a pair at a check.
type pairVerdict struct {
	interaction.Verdict
	check *interaction.Check
}

// verdicts are those of the pairs of a survey that are asked for, by the names of [pairKey].
func (j *yardJudge) verdicts(s *survey.Survey, asked func(*track.Feature, *interaction.Check) bool,
) map[string]pairVerdict {
	out := map[string]pairVerdict{}
	again := j.engine.Again(s.Fleet)
	checks := j.engine.Checks
	for _, f := range s.Track.Features {
		want := func(k int) bool { return asked(f, checks[k]) }
		if !slices.ContainsFunc(checks, func(c *interaction.Check) bool { return asked(f, c) }) {
			continue
		}
		for k, row := range again.Rows([]*track.Feature{f}, want)[0] {
			for wi, v := range row {
				if w := s.Fleet.Wheels[wi]; checks[k].ListedAt(w) {
					out[nameOfPair(checks[k], f, w)] = pairVerdict{v, checks[k]}
				}
			}
		}
	}
	return out
}

// cleared names the pairs that are clear after and were not before, but where a blank of the
// column that was written otherwise has a meaning and nothing is computed.
func cleared(before, after map[string]pairVerdict, column string) (out []string) {
	for key, v := range after {
		if b, ok := before[key]; ok && v.Verdict == clears && b.Verdict != clears &&
			!(v.check.Passes == interaction.PlainAlone && blankMeant(column)) {
			out = append(out, key)
		}
	}
	slices.Sort(out)
	return out
}

// findings are those of a survey by an engine of its own.
type findings struct {
	t   testing.TB
	s   *survey.Survey
	all map[string]*judge.Finding
}

func (f *findings) of(key string) *judge.Finding {
	if f.all == nil {
		f.all = computedOf(f.t, f.s, interaction.Options{})
	}
	return f.all[key]
}

// differ reports whether an engine of its own finds for a survey what it was judged to be, and says
// so where not.
func (f *findings) differ(key string, v pairVerdict) bool {
	if g := f.of(key); g.Verdict != v.Verdict {
		f.t.Errorf("%s is %s judged again and %s by an engine of its own%s", key, v.Verdict, g.Verdict, told(g, g))
		return true
	}
	return false
}

// TestYardsAreJudgedAlike: what the shared engine says of every pair of a yard is what one of its own
// says.
func TestYardsAreJudgedAlike(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	data := fixture.Data(t)
	j := newYardJudge(t, data)
	seen := map[interaction.Verdict]int{}
	eachYard(yards(), 1861, func(_ uint64, r *rand.Rand, d drawn) {
		j.next()
		for range 2 {
			own := &findings{t: t, s: d.sheets().read(t, data)}
			again := j.verdicts(own.s, everything)
			for key, v := range again {
				own.differ(key, v)
				seen[v.Verdict]++
			}
			if len(again) != len(own.all) {
				t.Errorf("%d pairs judged again, %d by an engine of its own", len(again), len(own.all))
			}
			d = d.edited(d.less(r)[0])
		}
	})
	if seen[clears] == 0 || seen[undecided] == 0 || seen[conflict] == 0 {
		t.Errorf("not every verdict occurs: %v", seen)
	}
}
