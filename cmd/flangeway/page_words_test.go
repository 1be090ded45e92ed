package main

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
	"flangeway/track"
	"flangeway/wheel"
)

// namedColumns are the columns of all sheets whose names are no words.
func namedColumns() (out []string) {
	for _, c := range wheel.Columns(wheel.CarSheet | wheel.WheelSheet) {
		out = append(out, c.Name)
	}
	for k := range track.NumKinds {
		for _, c := range k.Columns() {
			out = append(out, c.Name)
		}
	}
	return slices.DeleteFunc(out, func(s string) bool { return !strings.Contains(s, "_") })
}

// What people read says "flange thickness" and never flange_thickness: the page with its decision sheet, the plan, the
// orders, the roadmaster's list, the check.
func TestWordsNotColumns(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	columns := namedColumns()
	if len(columns) < 30 {
		t.Fatalf("only %d columns", len(columns))
	}
	column := regexp.MustCompile(`\b(?:` + strings.Join(columns, "|") + `)\b`)
	small := fewPlaces(t)
	texts := map[string]string{}
	var err error
	if texts["page"], err = plainPage(); err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string][]string{"check": {"check", small, "--fail-on", "never"},
		"check in markdown": {"check", small, "--fail-on", "never", "--format", "markdown"}, "plan": {"plan", small},
		"orders": {"plan", small, "--orders"}, "list": {"plan", small, "--frogs"}} {
		if texts[name], err = answered(append(args, "--plain")...); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range texts {
		if list := column.FindAllString(text, -1); len(list) > 0 {
			t.Errorf("%s has %d names of columns, as %s", name, len(list), list[0])
		}
	}
	if !strings.Contains(texts["orders"], "flange is too thick") && !strings.Contains(texts["orders"], "flange ") {
		t.Errorf("no order says what hits")
	}
	if ids := regexp.MustCompile(`\b(?:`+strings.Join(interaction.CheckIDs(), "|")+`)\b`).FindAllString(texts["orders"],
		-1); len(ids) > 0 {
		t.Errorf("the orders name checks by their ids: %q", ids)
	}
}

// Words of military severity stand in the matrix of the appendix and nowhere else.
func TestSeverityStandsInTheMatrix(t *testing.T) {
	t.Parallel()
	page, err := plainPage()
	if err != nil {
		t.Fatal(err)
	}
	from := strings.Index(page, `<section id="matrix"`)
	to := from + strings.Index(page[max(0, from):], "</section>")
	if from < strings.Index(page, `id="appendix"`) || to <= from {
		t.Fatalf("the matrix stands from %d to %d", from, to)
	}
	words := regexp.MustCompile(`Catastrophic|Critical|Marginal|Negligible|Serious|Frequent|Probable|MIL-STD`)
	if n := len(words.FindAllString(page[from:to], -1)); n < 12 {
		t.Errorf("the matrix has %d of its words", n)
	}
	if list := words.FindAllString(page[:from]+page[to:], -1); len(list) > 0 {
		t.Errorf("elsewhere: %q", list)
	}
	if list := words.FindAllString(plainDemo(t, "text"), -1); len(list) > 0 {
		t.Errorf("check says %q", list)
	}
}

// rowsOf are the words of each row of the tables of a page, by ID.
func rowsOf(t *testing.T, blocks paper.Blocks, to map[string][]string) {
	t.Helper()
	for _, b := range blocks {
		switch b := b.(type) {
		case paper.Table:
			for _, r := range b.Rows {
				var cells []string
				for _, c := range r {
					cells = append(cells, append([]string{c.Text}, c.Lines...)...)
				}
				to[b.ID] = append(to[b.ID], strings.Join(cells, "\n"))
			}
		case paper.Para:
			to["words"] = append(to["words"], b.Text)
		case paper.Section:
			rowsOf(t, b.Blocks, to)
		case paper.Fold:
			rowsOf(t, b.Blocks, to)
		case paper.Explained:
			rowsOf(t, b.Blocks, to)
		case paper.Later:
			s, err := b()
			if err != nil {
				t.Fatal(err)
			}
			own := map[string][]string{}
			rowsOf(t, s.Blocks, own)
			for id, rows := range own {
				to[strings.Replace(id, s.ID, s.Title, 1)] = append(to[strings.Replace(id, s.ID, s.Title, 1)], rows...)
				if id == "words" {
					to[s.Title] = rows
				}
			}
		}
	}
}

// Between the sheets and the appendix nothing is lost: every verdict of a check at a feature with its readings, every
// reading beyond or at a limit, every action of the plan, every order and every line of the car department.
func TestPageHoldsEverything(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	j, err := checkOptions{plain: true}.judge(&progress{}, fewCars(t))
	if err != nil {
		t.Fatal(err)
	}
	in, err := j.reportInput(nil)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string][]string{}
	rowsOf(t, paper.Report(in, "").Blocks, rows)
	has := func(id string, words ...string) bool {
		return slices.ContainsFunc(rows[id], func(row string) bool {
			return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(row, w) })
		})
	}
	var verdicts [4]int
	readings := 0
	for _, l := range in.Places {
		for _, f := range l.Findings {
			verdicts[f.Verdict]++
			at := f.Check.ID + " " + f.Feature.Name()
			switch f.Verdict {
			case interaction.NotMeasured:
				if !has(l.Name+"-missing", at+" ("+paper.Count(f.Sharing)+")") {
					t.Errorf("%s: %s is lost, not measured", l.Name, at)
				}
			case interaction.Clear:
				if !has(l.Name, at) {
					t.Errorf("%s: %s is lost, clear", l.Name, at)
				}
			default:
				words := []string{at, f.Verdict.String(), strconv.Itoa(f.Sharing)}
				for _, r := range f.Readings {
					if r.Side != "" && !r.Default && r.Reading.Measured() {
						words = append(words, paper.Name(in.Result.Engine().Text(r)))
						readings++
					}
				}
				if !has(l.Name+"-table", words...) {
					t.Errorf("%s: %q is lost", l.Name, words)
				}
			}
		}
	}
	if readings < 50 || slices.Contains(verdicts[:], 0) {
		t.Errorf("%d readings in findings of %v: too few to tell", readings, verdicts)
	}
	limits := 0
	for _, l := range in.Result.Limits {
		if l.Verdict != limit.Beyond || l.Kind != "regulation" {
			continue
		}
		limits++
		if id := "limits-" + l.Side; !has(id, l.Shown, l.Rule) {
			t.Errorf("%s: %s %s is lost", id, l.Where, l.Shown)
		}
	}
	for _, a := range in.Plan.Actions {
		if !has("plan-"+a.Side, a.ID+"\n", a.Where) {
			t.Errorf("%s is lost from the plan", a.ID)
		}
	}
	orders := 0
	for n, o := range in.Plan.Orders {
		for _, i := range o.Items {
			orders++
			if id := "order-" + strconv.Itoa(n+1); !has(id, i.ID) {
				t.Errorf("%s is lost from %s", i.ID, id)
			}
		}
	}
	for _, l := range in.Plan.Sheet {
		if !has("car-sheet", l.Car, l.Position, paper.Words(l.Reading)) {
			t.Errorf("%s %s is lost from the car department's sheet", l.Car, l.Position)
		}
	}
	if limits < 3 || orders < 10 || len(in.Plan.Sheet) < 5 {
		t.Errorf("%d limits, %d orders, %d lines of cars: too few to tell", limits, orders, len(in.Plan.Sheet))
	}
}
