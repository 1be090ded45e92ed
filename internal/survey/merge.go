package survey

import (
	"bytes"
	"cmp"
	"container/heap"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/sheet"
	"flangeway/track"
)

// Two surveys of one railroad are merged row by row: those of one thing and day are one row, and every other row stands
// as it stood. A cell that one of them leaves open takes what the other read; where both say something else nothing is
// chosen. Which survey is named first makes no difference.

// Merged is two surveys made one.
type Merged struct {
	Files []BlankFile
	// Both counts rows that stood in both surveys, Filled cells of them that only one of the two had.
	Both, Filled int
	Unread       []measure.Warning      // the files beside the sheets that were not read, and so are not in it
	origins      map[string][]mergedRow // by file that was put together
	copied       map[string]string      // by file that was not: where it stood
}

// mergedRow is a row of the merged sheet and where its cells stood.
type mergedRow struct {
	line  int // in the merged sheet
	place measure.Place
	cells map[string]sheet.Cell // by column
	from  map[string]measure.Place
}

// Merge makes two surveys one, each a folder or a workbook. Its error is a [measure.ProblemsError] with every defect of
// either, and every cell in which both say something else, with both places.
func Merge(a, b string) (*Merged, error) {
	var problems measure.Problems
	var sides [2]*side
	for i, name := range []string{a, b} {
		s, err := readSide(name)
		var list measure.ProblemsError
		switch {
		case errors.As(err, &list):
			for _, p := range list {
				q := *p
				q.Place.File = beneath(name, q.Place.File)
				problems.Append(&q)
			}
		case err != nil:
			return nil, err
		}
		sides[i] = s
	}
	if err := problems.Err(); err != nil {
		return nil, err
	}
	m := &merger{a: sides[0], b: sides[1], out: &Merged{origins: map[string][]mergedRow{}, copied: map[string]string{}}}
	m.railroad()
	for _, s := range blankSheets() {
		m.sheet(s)
	}
	m.besides()
	if err := m.problems.Err(); err != nil {
		return nil, err
	}
	for _, x := range sides {
		for _, w := range x.s.unread {
			w.Place = x.at(w.Place)
			m.out.Unread = append(m.out.Unread, w)
		}
	}
	return m.out, nil
}

// Origin is where the cell stood that a defect of the merged survey names, and which no survey had by itself.
func (m *Merged) Origin(p measure.Problem) measure.Problem {
	if from, ok := m.copied[p.Place.File]; ok {
		p.Place.File = from
		return p
	}
	var of *mergedRow // a cell may run over several lines
	for i, row := range m.origins[p.Place.File] {
		if row.line > p.Place.Line {
			break
		}
		of = &m.origins[p.Place.File][i]
	}
	if of == nil {
		return p
	}
	p.Place = of.place
	if at, ok := of.from[p.Field]; ok {
		p.Place = at
	}
	return p
}

// side is one of the two surveys.
type side struct {
	name     string // as it was given
	s        *Survey
	loader   *loader
	railroad []byte
}

func readSide(name string) (*side, error) {
	s, err := Read(name)
	if err != nil {
		return nil, err
	}
	o, err := open(name)
	if err != nil {
		return nil, err
	}
	return &side{name: name, s: s, loader: o.loader, railroad: o.loader.bytes(railroadFile)}, nil
}

// at is a place with the survey that it is of.
func (x *side) at(p measure.Place) measure.Place {
	p.File = beneath(x.name, p.File)
	return p
}

// beneath is a file of a survey by the name that the survey was given by.
func beneath(name, file string) string {
	if IsWorkbook(name) {
		name = filepath.Dir(name)
	}
	return filepath.Join(name, file)
}

type merger struct {
	a, b     *side
	out      *Merged
	problems measure.Problems
}

// add puts a file into the merged survey as it is.
func (m *merger) add(name, what string, data []byte, from *side) {
	m.out.Files = append(m.out.Files, BlankFile{Name: name, What: what, Data: data})
	m.out.copied[name] = beneath(from.name, name)
}

// railroad takes railroad.yaml, which must say the same in both, but for its date: the later one holds. One that stands
// beside one survey alone counts for both, but not where it says how their readings are read.
func (m *merger) railroad() {
	a, b := m.a, m.b
	switch {
	case a.railroad == nil && b.railroad == nil:
		return
	case a.railroad == nil || b.railroad == nil:
		has, lacks := a, b
		if a.railroad == nil {
			has, lacks = b, a
		}
		list, err := configs.Differ(has.railroad, nil)
		if err != nil {
			m.problems.Add(measure.Place{File: beneath(has.name, railroadFile)}, "", err.Error(),
				"a file that can be read")
			return
		}
		for _, d := range list {
			if d.Key == "reading_error" || d.Key == "units" {
				m.problems.Add(measure.Place{File: beneath(has.name, railroadFile), Line: d.LineA, Col: d.ColumnA},
					d.Key, "it says how readings are read, and "+lacks.name+" has no railroad.yaml",
					"the same file in both surveys")
			}
		}
		m.add(railroadFile, "of "+has.name+"; the other survey has none", has.railroad, has)
		return
	}
	list, err := configs.Differ(a.railroad, b.railroad)
	if err != nil {
		m.problems.Add(measure.Place{File: beneath(a.name, railroadFile)}, "", err.Error(), "a file that can be read")
		return
	}
	what, later := "the same in both", cmp.Compare(b.s.Date, a.s.Date)
	for _, d := range list {
		if d.Key == dateColumn && !d.OnlyInA && !d.OnlyInOne { // rows up to the later day are in it
			what = "the same in both but for the date, of which the later holds"
			continue
		}
		inA := measure.Place{File: beneath(a.name, railroadFile), Line: d.LineA, Col: d.ColumnA}
		inB := measure.Place{File: beneath(b.name, railroadFile), Line: d.LineB, Col: d.ColumnB}
		switch {
		case d.OnlyInA:
			m.problems.Add(inA, d.Key, "the key is missing in "+inB.File, "the same in both surveys")
		case d.OnlyInOne:
			m.problems.Add(inB, d.Key, "the key is missing in "+inA.File, "the same in both surveys")
		default:
			m.problems.Add(inA, d.Key, "another value stands in "+inB.String(), "the same in both surveys")
		}
	}
	of := a
	if cmp.Or(-later, bytes.Compare(b.railroad, a.railroad)) < 0 {
		of = b
	}
	m.add(railroadFile, what, of.railroad, of)
}

// besides takes over the files that the surveys name, limits and traces, and defects.csv, which stands beside the
// sheets.
func (m *merger) besides() {
	taken := map[string][]byte{}
	for _, x := range []*side{m.a, m.b} {
		list := append(slices.Clone(x.s.Files), x.s.traced()...)
		log := filepath.Join(x.s.Dir, DefectsFile)
		if _, err := x.s.files.stat(log); !errors.Is(err, fs.ErrNotExist) {
			list = append(list, log)
		}
		for _, path := range list {
			name, err := filepath.Rel(x.s.Dir, path)
			outside := err != nil || strings.HasPrefix(name, "..")
			if name == railroadFile || slices.Contains(SheetFiles(), name) || name == x.loader.book {
				continue
			}
			place := measure.Place{File: path}
			if outside {
				m.problems.Add(place, "", "the file stands outside of the folder", "a file beside the sheets")
				continue
			}
			data, err := regular.Read(path, maxSheet)
			if err != nil {
				m.problems.Add(place, "", regular.Why(err), "a file that can be read")
				continue
			}
			old, twice := taken[name]
			switch {
			case !twice:
				taken[name] = data
				m.add(name, "as it stood beside the sheets", data, x)
			case !bytes.Equal(old, data):
				m.problems.Add(measure.Place{File: beneath(x.name, name)}, "", "the file is another one than "+
					beneath(m.a.name, name), "the same in both, or in one of them alone")
			}
		}
	}
}

func (m *merger) sheet(s blankSheet) {
	file := s.name + ".csv"
	var rows [2][]mergedRow
	var there [2]bool
	var bytesOf [2][]byte
	heads := map[string]bool{}
	for i, x := range []*side{m.a, m.b} {
		src := x.loader.source(s.name)
		if src == nil {
			continue
		}
		there[i] = true
		bytesOf[i] = src.Bytes()
		table := src.Read(s.names(), &m.problems)
		for name := range table.Heads {
			heads[name] = true
		}
		rows[i] = rowsIn(table, x.at)
	}
	switch {
	case !there[0] && !there[1]:
		return
	case bytesOf[0] != nil && bytesOf[1] != nil && bytes.Equal(bytesOf[0], bytesOf[1]):
		m.out.Both += len(rows[0])
		m.add(file, "the same in both", bytesOf[0], m.a)
		return
	case !there[1] && bytesOf[0] != nil:
		m.add(file, "of "+m.a.name+" alone", bytesOf[0], m.a)
		return
	case !there[0] && bytesOf[1] != nil:
		m.add(file, "of "+m.b.name+" alone", bytesOf[1], m.b)
		return
	}
	t := sheetMerge{s: s, columns: m.a.s.Columns, problems: &m.problems}
	merged := t.merge(rows[0], rows[1])
	m.out.Both, m.out.Filled = m.out.Both+t.both, m.out.Filled+t.filled
	var columns []string
	for _, c := range s.names() {
		if heads[c] {
			columns = append(columns, c)
		}
	}
	data := written(columns, merged)
	m.out.origins[file] = merged
	m.out.Files = append(m.out.Files, BlankFile{Name: file, Data: data, What: fmt.Sprintf("%d rows, %d of them in both",
		len(merged), t.both)})
}

func (s blankSheet) names() (out []string) {
	for _, c := range s.columns {
		out = append(out, c.Name)
	}
	return out
}

func rowsIn(t *sheet.Table, at func(measure.Place) measure.Place) (out []mergedRow) {
	for _, r := range t.Rows {
		row := mergedRow{place: at(t.Place(r.Line, 0)), cells: map[string]sheet.Cell{},
			from: map[string]measure.Place{}}
		for name := range t.Heads {
			c := r.Cell(name)
			row.cells[name], row.from[name] = c, at(t.Place(c.Line, c.Col))
		}
		out = append(out, row)
	}
	return out
}

// written is a sheet as CSV; it notes at which line each row begins.
func written(columns []string, rows []mergedRow) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	line := 1
	put := func(cells []string) {
		w.Write(cells) // a buffer takes everything
		for _, c := range cells {
			line += strings.Count(c, "\n")
		}
		line++
	}
	put(columns)
	for i := range rows {
		rows[i].line = line
		cells := make([]string, len(columns))
		for k, c := range columns {
			cells[k] = rows[i].cells[c].Text
		}
		put(cells)
	}
	w.Flush()
	return b.Bytes()
}

// sheetMerge merges the rows of one sheet.
type sheetMerge struct {
	s            blankSheet
	columns      map[string]measure.Spec
	problems     *measure.Problems
	both, filled int
}

// things are the columns that name what a row is of, the wider one first.
func (t *sheetMerge) things() []string {
	switch t.s.name {
	case "cars":
		return []string{"car"}
	case "wheels":
		return []string{"car", "position"}
	case tracksSheet:
		return []string{"track"}
	case jobsSheet:
		return []string{"job"}
	}
	for k := range track.NumKinds {
		if k.Sheet() == t.s.name {
			return []string{k.String()}
		}
	}
	return nil
}

// dated says that a thing has one row a day; else it has one, or in the sheet of tracks some in their order.
func (t *sheetMerge) dated() bool { return slices.Contains(t.s.names(), dateColumn) }

// merge joins the rows of two sheets.
func (t *sheetMerge) merge(a, b []mergedRow) []mergedRow { return t.level(t.things(), a, b) }

// level joins rows that are alike in all but the given things: those of each value of the first one together, in the
// order that both sheets have them in.
func (t *sheetMerge) level(things []string, a, b []mergedRow) (out []mergedRow) {
	if len(things) == 0 {
		return t.one(a, b)
	}
	inA, orderA := grouped(a, things[0])
	inB, orderB := grouped(b, things[0])
	for _, name := range merged(orderA, orderB) {
		out = append(out, t.level(things[1:], inA[name], inB[name])...)
	}
	return out
}

// grouped are rows by what they hold under a heading, and these in the order in which they come.
func grouped(rows []mergedRow, column string) (by map[string][]mergedRow, order []string) {
	by = map[string][]mergedRow{}
	for _, r := range rows {
		name := strings.Join(strings.Fields(r.cells[column].Text), " ")
		if column == "position" {
			name = strings.ToUpper(name)
		}
		if by[name] == nil {
			order = append(order, name)
		}
		by[name] = append(by[name], r)
	}
	return by, order
}

// merged puts names into an order that keeps that of both lists, as far as they do not contradict each other; where
// neither tells the lesser name comes first.
func merged(a, b []string) (out []string) {
	after, waits := map[string][]string{}, map[string]int{}
	for _, list := range [][]string{a, b} {
		for i, name := range list {
			waits[name] += 0
			if i > 0 {
				after[list[i-1]] = append(after[list[i-1]], name)
				waits[name]++
			}
		}
	}
	free := &leastName{}
	for name, n := range waits {
		if n == 0 {
			heap.Push(free, name)
		}
	}
	left, done := slices.Sorted(maps.Keys(waits)), map[string]bool{}
	for len(out) < len(waits) {
		var name string
		if free.Len() > 0 {
			name = heap.Pop(free).(string)
		} else { // the two contradict each other
			name, left = left[0], left[1:]
		}
		if done[name] {
			continue
		}
		done[name] = true
		out = append(out, name)
		for _, next := range after[name] {
			if waits[next]--; waits[next] == 0 && !done[next] {
				heap.Push(free, next)
			}
		}
	}
	return out
}

// one joins the rows of one thing.
func (t *sheetMerge) one(a, b []mergedRow) (out []mergedRow) {
	if !t.dated() {
		return t.listed(a, b)
	}
	key := func(r mergedRow) string { return strings.TrimSpace(blankless(r.cells[dateColumn].Text)) }
	inB := map[string]mergedRow{}
	for _, r := range b {
		inB[key(r)] = r
	}
	for _, r := range a {
		if other, ok := inB[key(r)]; ok {
			r = t.join(r, other)
			delete(inB, key(r))
		}
		out = append(out, r)
	}
	for _, r := range b {
		if _, ok := inB[key(r)]; ok {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(x, y mergedRow) int { return cmp.Compare(key(x), key(y)) })
	if len(a) > 0 && len(b) > 0 && len(out) > 1 && key(out[0]) == "" {
		x, y := out[0], out[len(out)-1]
		t.problems.Add(x.place, dateColumn, fmt.Sprintf("the row has no date, and %s has %s for the same %s", y.place,
			key(y), t.noun()), "a date in every row of its history")
	}
	return out
}

// listed joins rows that have an order and no date.
func (t *sheetMerge) listed(a, b []mergedRow) (out []mergedRow) {
	if len(a) == 0 || len(b) == 0 {
		return append(slices.Clone(a), b...)
	}
	if len(a) != len(b) {
		t.problems.Add(a[0].place, t.things()[0], fmt.Sprintf("%d rows of it stand here, and %d from %s on", len(a),
			len(b), b[0].place), "the same rows in both surveys")
		return a
	}
	for i := range a {
		out = append(out, t.join(a[i], b[i]))
	}
	return out
}

// noun names the thing that a row is of.
func (t *sheetMerge) noun() string {
	switch t.s.name {
	case "wheels":
		return "wheel"
	case "cars":
		return "car"
	case tracksSheet:
		return "track"
	case jobsSheet:
		return "job"
	}
	return t.things()[0]
}

// join makes two rows of one thing and day one.
func (t *sheetMerge) join(a, b mergedRow) mergedRow {
	t.both++
	out := mergedRow{place: a.place, cells: map[string]sheet.Cell{}, from: map[string]measure.Place{}}
	if b.place.Compare(a.place) < 0 {
		out.place = b.place
	}
	for _, c := range t.s.names() {
		x, inA := a.cells[c]
		y, inB := b.cells[c]
		text, filled, ok := t.cell(c, x.Text, y.Text)
		switch {
		case !ok:
			same := "the same " + t.noun()
			if t.dated() {
				same += " and date"
			}
			first, second, here, there := a.from[c], b.from[c], x.Text, y.Text
			if second.Compare(first) < 0 {
				first, second, here, there = second, first, there, here
			}
			t.problems.Add(first, c, fmt.Sprintf("%q here, and %q in %s for %s", measure.Short(strings.TrimSpace(here)),
				measure.Short(strings.TrimSpace(there)), second, same), "one value; nothing is chosen between the two")
		case inA || inB:
			if filled {
				t.filled++
			}
			out.cells[c] = sheet.Cell{Text: text}
			out.from[c] = a.from[c]
			if !inA || blankless(x.Text) == "" {
				out.from[c] = b.from[c]
			}
			if out.from[c].Line == 0 {
				out.from[c] = a.from[c]
			}
		}
	}
	return out
}

// blankless is a cell's text, "" where it means not measured.
func blankless(text string) string {
	if measure.Unmeasured(strings.TrimSpace(text)) {
		return ""
	}
	return text
}

// cell joins two cells: the one that is there if the other is blank, a text that means the same once.
func (t *sheetMerge) cell(column, a, b string) (text string, filled, ok bool) {
	x, y := blankless(a), blankless(b)
	least := min(a, b)
	switch {
	case x == "" && y == "":
		return least, false, true
	case x == "" || y == "":
		return x + y, true, true
	case strings.TrimSpace(x) == strings.TrimSpace(y), t.alike(column, strings.TrimSpace(x), strings.TrimSpace(y)):
		return least, false, true
	case column == "note":
		return notes(x, y), false, true
	}
	return "", false, false
}

func notes(a, b string) string {
	var out []string
	for _, s := range []string{a, b} {
		for _, part := range strings.Split(s, "; ") {
			out = append(out, strings.TrimSpace(part))
		}
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), "; ")
}

// alike reports whether two texts mean the same under a heading.
func (t *sheetMerge) alike(column, a, b string) bool {
	if spec, ok := t.columns[column]; ok {
		x, errX := spec.Parse(a)
		y, errY := spec.Parse(b)
		return errX == nil && errY == nil && x.Form == y.Form && x.As == y.As && x.Lo == y.Lo && x.Hi == y.Hi
	}
	switch column {
	case track.Degree.String():
		x, errX := measure.ParseDegree(a)
		y, errY := measure.ParseDegree(b)
		return errX == nil && errY == nil && x.Form == y.Form && x.As == y.As && x.Lo == y.Lo && x.Hi == y.Hi
	case "marks":
		x, y := strings.Fields(strings.ToLower(a)), strings.Fields(strings.ToLower(b))
		slices.Sort(x)
		slices.Sort(y)
		return slices.Equal(slices.Compact(x), slices.Compact(y))
	case "note", "profile", "group", "groups", "cars", "tracks", "job", "track", "feature":
		return strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
	}
	for _, thing := range append(t.things(), "location", "car") {
		if column == thing && column != "position" {
			return strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
		}
	}
	// words and numbers, as people write them
	plain := func(s string) string {
		return strings.ToLower(strings.ReplaceAll(strings.Join(strings.Fields(s), ""), ",", ""))
	}
	return plain(a) == plain(b)
}

// leastName is a heap that gives the least name first.
type leastName []string

func (h leastName) Len() int           { return len(h) }
func (h leastName) Less(i, k int) bool { return h[i] < h[k] }
func (h leastName) Swap(i, k int)      { h[i], h[k] = h[k], h[i] }
func (h *leastName) Push(x any)        { *h = append(*h, x.(string)) }

func (h *leastName) Pop() any {
	last := len(*h) - 1
	x := (*h)[last]
	*h = (*h)[:last]
	return x
}
