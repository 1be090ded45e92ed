// Package cases holds the public investigation reports, and the pairs of a legal wheel and a legal track, that the main
// job is held against: what each found, and whether check and curve say it. It reads answers and computes none.
//
// A case is a survey with case.yaml: what of the report was read and what not, what it found, what the program should
// say (tested), what it cannot answer and the reading that is missing. If the answer is wrong the program is mended,
// not the case.
package cases

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// File is the name of the case file in the folder of a case; the other files there are its survey.
const File = "case.yaml"

// Case is one report with a survey of what it says.
type Case struct {
	Name      string // of the folder
	ID        string
	Title     string
	Source    string
	Read      string // what of the source was read
	NotRead   string
	Concluded string // by those who were there
	Tried     string // what the survey holds that the source does not say
	Expect    []Expect
	Runs      []Run
	Open      []Open
}

// Open is a question that the tool cannot answer, with the reading that is missing.
type Open struct{ What, Reading string }

// Run is a truck in a curve: the flags of flangeway curve.
type Run struct {
	Of, At string
	Flags  string
}

// Expect is one thing that the tool should say.
type Expect struct {
	Says string
	// Awaits names a part of the tool that is not built yet; it is then known not to say it.
	Awaits string
	test   func(Answer) (said string, ok bool)
}

// Load reads the cases of a file system, sorted by folder.
func Load(files fs.FS) ([]Case, error) {
	folders, err := fs.ReadDir(files, ".")
	if err != nil {
		return nil, err
	}
	var out []Case
	var problems measure.Problems
	for _, d := range folders {
		data, err := fs.ReadFile(files, path.Join(d.Name(), File))
		if err != nil {
			return nil, err
		}
		out = append(out, read(d.Name(), configs.ParseMapping(path.Join(d.Name(), File), data, &problems)))
	}
	return out, problems.Err()
}

func read(name string, m *configs.Mapping) Case {
	if m.Need("schema") != "1" {
		m.Fail("schema", "this is not a schema this program reads", "schema: 1")
	}
	c := Case{Name: name, ID: m.Need("case"), Title: m.Need("title"), Source: m.Need("source"), Read: m.Need("read"),
		NotRead: m.Need("not_read"), Concluded: m.Need("concluded"), Tried: m.Need("tried")}
	for _, r := range m.List("runs") {
		c.Runs = append(c.Runs, Run{Of: r.Need("of"), At: r.Need("at"), Flags: r.Need("flags")})
		r.Done()
	}
	for _, o := range m.List("open") {
		c.Open = append(c.Open, Open{What: o.Need("what"), Reading: o.Need("reading")})
		o.Done()
	}
	for _, e := range m.List("expect") {
		c.Expect = append(c.Expect, expect(e))
		e.Done()
	}
	if len(c.Expect) == 0 {
		m.Fail("expect", "nothing is expected of the tool", "a list of what it should say")
	}
	m.Done()
	return c
}

func expect(m *configs.Mapping) Expect {
	e := Expect{Says: m.Need("says"), Awaits: m.Text("awaits")}
	switch {
	case m.Has("pair"):
		e.test = pairTest(m)
	case m.Has("limit"):
		e.test = limitTest(m.Sub("limit"))
	case m.Has("class"):
		s := m.Sub("class")
		feature, most := s.Need("feature"), s.Need("most")
		s.Done()
		e.test = func(a Answer) (string, bool) { return a.class(feature, most) }
	case m.Has("no_cause"):
		s := m.Sub("no_cause")
		feature, cause := s.Need("feature"), s.Need("cause")
		s.Done()
		e.test = func(a Answer) (string, bool) { return a.noCause(feature, cause) }
	case m.Has("worse"):
		s := m.Sub("worse")
		first, second := s.Need("first"), s.Need("second")
		s.Done()
		e.test = func(a Answer) (string, bool) { return a.worse(first, second) }
	case m.Has("runs"):
		s := m.Sub("runs")
		of, most := s.Need("of"), number(s, "change_percent")
		s.Done()
		e.test = func(a Answer) (string, bool) { return a.change(of, most) }
	default:
		m.Fail("says", "there is nothing that tests it", "pair, limit, class, no_cause, worse or runs")
	}
	return e
}

func number(m *configs.Mapping, key string) float64 {
	v, err := strconv.ParseFloat(m.Need(key), 64)
	if err != nil {
		m.Fail(key, "this is not a number", "a number")
	}
	return v
}

// limitTest is the judgement of a reading by a rule whose name begins as given.
func limitTest(m *configs.Mapping) func(Answer) (string, bool) {
	rule, where, quantity, verdict, action := m.Need("rule"), m.Need("where"), m.Text("quantity"), m.Need("verdict"),
		m.Text("action")
	m.Done()
	return func(a Answer) (string, bool) {
		said := "no such rule judges it"
		for _, l := range a.Report.Limits {
			if !strings.HasPrefix(l.Rule, rule) || l.Where != where || quantity != "" && l.Quantity != quantity {
				continue
			}
			said = fmt.Sprintf("%s %s is %s (%s: %s; %s)", l.Quantity, l.Reading, l.Verdict, l.Rule, l.Limit, l.Action)
			if l.Verdict == verdict && strings.Contains(l.Action, action) {
				return said, true
			}
		}
		return said, false
	}
}

// span is a pair of figures under a key, in mm.
func span(m *configs.Mapping, key string, unit float64) (lo, hi float64, given bool) {
	items := m.Texts(key)
	if len(items) == 0 {
		return 0, 0, false
	}
	var v []float64
	for _, it := range items {
		x, err := strconv.ParseFloat(it.Text, 64)
		if err != nil {
			m.Fail(key, fmt.Sprintf("%q is not a number", it.Text), "two numbers")
		}
		v = append(v, x*unit)
	}
	if len(v) != 2 || v[0] > v[1] {
		m.Fail(key, "these are not a least and a greatest", "two numbers")
		return 0, 0, false
	}
	return v[0], v[1], true
}

func pairTest(m *configs.Mapping) func(Answer) (string, bool) {
	p := m.Sub("pair")
	check, feature, car, position := p.Need("check"), p.Need("feature"), p.Need("car"), p.Need("position")
	p.Done()
	type test func(Finding) bool
	var tests []test
	word := func(key string, of func(Finding) string, equal bool) {
		if want := m.Text(key); want != "" {
			tests = append(tests, func(f Finding) bool { return (of(f) == want) == equal })
		}
	}
	word("verdict", func(f Finding) string { return f.Verdict }, true)
	word("not_verdict", func(f Finding) string { return f.Verdict }, false)
	word("plain_verdict", Finding.plain, true)
	word("cause", func(f Finding) string { return f.Cause }, true)
	if want := m.Text("asks"); want != "" {
		tests = append(tests, func(f Finding) bool {
			return slices.ContainsFunc(f.SettleBy, func(s string) bool { return strings.HasPrefix(s, want) })
		})
	}
	if want := m.Text("fix_wheel"); want != "" {
		tests = append(tests, func(f Finding) bool { return strings.Contains(strings.Join(f.FixWheel, "; "), want) })
	}
	if m.Text("both_legal") == "true" {
		tests = append(tests, func(f Finding) bool { return legal(f.WheelWithinLimits) && legal(f.TrackWithinLimits) })
	}
	tread := false
	for key, unit := range map[string]float64{"_in": measure.MMPerInch, "_mm": 1} {
		if lo, hi, ok := span(m, "margin"+key, unit); ok {
			tests = append(tests, func(f Finding) bool {
				return f.MarginLoMM != nil && f.MarginHiMM != nil && *f.MarginLoMM <= hi && *f.MarginHiMM >= lo &&
					*f.MarginHiMM <= hi
			})
		}
		if lo, hi, ok := span(m, "as_written"+key, unit); ok {
			tests = append(tests, func(f Finding) bool {
				return f.MarginMM != nil && *f.MarginMM >= lo && *f.MarginMM <= hi
			})
		}
		if lo, hi, ok := span(m, "tread_left"+key, unit); ok {
			tread = true
			tests = append(tests, func(f Finding) bool { v, ok := f.treadAsItLies(); return ok && v >= lo && v <= hi })
		}
		if lo, hi, ok := span(m, "tread_left_under_load"+key, unit); ok {
			tread = true
			tests = append(tests, func(f Finding) bool { v, ok := f.treadUnderLoad(); return ok && v >= lo && v <= hi })
		}
	}
	return func(a Answer) (string, bool) {
		f, ok := a.finding(check, feature, car, position)
		if !ok {
			return "there is no such pair", false
		}
		for _, t := range tests {
			ok = ok && t(f)
		}
		return f.said(tread), ok
	}
}

// legal reports that no federal rule stops a side.
func legal(word string) bool { return word == "yes" || word == "none" }
