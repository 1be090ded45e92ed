package sheet

import (
	"cmp"
	"slices"

	"flangeway/internal/measure"
)

// Dated is a row of something that may stand in a sheet several times.
type Dated interface {
	RowDate() measure.Date
	RowPlace() measure.Place
}

// History sorts the rows of one thing by date: the last is its reading, whole, and the earlier ones are its history.
// Two rows of one date, and an undated row beside others, are problems: name and field say what and in which column. ok
// is false with a problem.
func History[T Dated](rows []T, name, field string, problems *measure.Problems) (newest T, earlier []T, ok bool) {
	if len(rows) == 1 {
		return rows[0], nil, true
	}
	seen := map[measure.Date]T{}
	for i, r := range rows {
		date, first := r.RowDate(), rows[0]
		if same, twice := seen[date]; twice {
			problems.Add(r.RowPlace(), field, name+" stands twice", "one row a date; the first stands in "+
				same.RowPlace().LineText())
			return newest, nil, false
		}
		if i > 0 && date.Known() != first.RowDate().Known() {
			problems.Add(r.RowPlace(), "date", name+" has an undated row beside a dated one",
				"a date in every row of its history; the other stands in "+first.RowPlace().LineText())
			return newest, nil, false
		}
		seen[date] = r
	}
	slices.SortFunc(rows, func(a, b T) int { return cmp.Compare(a.RowDate(), b.RowDate()) })
	last := len(rows) - 1
	return rows[last], rows[:last], true
}
