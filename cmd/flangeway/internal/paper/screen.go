package paper

import (
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter/tw"
)

// Screen is the terminal that a text page is shown on. The zero Screen is no terminal: lines of 80 columns, tables as
// wide as their cells, no colour.
type Screen struct {
	Columns  int  // of the terminal; 0 if there is none
	Emphasis bool // headings and the worst verdicts stand out
}

const (
	// leastColumns is the narrowest terminal that a page is fitted to.
	leastColumns = 24
	// mostText is how wide lines of sentences become at most, because the eye loses longer ones.
	mostText = 100
	// between is how many blanks stand behind each column of a table.
	between = 2
)

// text is how wide lines of sentences are.
func (s Screen) text() int {
	if s.Columns == 0 {
		return width
	}
	return min(max(s.Columns, leastColumns), mostText)
}

// The signs of a terminal that make letters bold and plain again.
const (
	bold  = "\x1b[1m"
	plain = "\x1b[0m"
)

// strong makes a text stand out if the screen can.
func (s Screen) strong(text string) string {
	if !s.Emphasis || text == "" {
		return text
	}
	return bold + text + plain
}

// fit finds widths of a table's columns, the blanks behind them included, so that it fits a terminal with its cells
// broken at blanks alone. whole says that nothing needs to be broken; !ok that not even the longest words fit beside
// each other.
func fit(heads []string, rows [][]string, room int) (widths []int, whole, ok bool) {
	widths, least := make([]int, len(heads)), make([]int, len(heads))
	take := func(i int, cell string) {
		for l := range strings.Lines(cell) {
			l = strings.TrimRight(l, "\n")
			widths[i] = max(widths[i], utf8.RuneCountInString(l)+between)
			for w := range strings.FieldsSeq(l) {
				least[i] = max(least[i], utf8.RuneCountInString(w)+between)
			}
		}
	}
	for i, h := range heads {
		take(i, h)
		for _, r := range rows {
			if i < len(r) {
				take(i, r[i])
			}
		}
	}
	room += between // the last column's blanks may stand beyond the edge
	if sum(widths) <= room {
		return widths, true, true
	}
	if sum(least) > room {
		return nil, false, false
	}
	for over := sum(widths) - room; over > 0; over-- { // the widest that can still give one gives one
		widest := -1
		for i := range widths {
			if widths[i] > least[i] && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		widths[widest]--
	}
	return widths, false, true
}

func sum(list []int) (n int) {
	for _, v := range list {
		n += v
	}
	return n
}

// columnWidths is a list of widths as tablewriter takes them.
func columnWidths(list []int) tw.Mapper[int, int] {
	out := tw.NewMapper[int, int]()
	for i, w := range list {
		out.Set(i, w)
	}
	return out
}

// stacked writes a table that no terminal of this width holds: a block of lines for each row, each cell with the name
// of its column.
func (p *printer) stacked(heads []string, rows [][]string) {
	room := p.screen.text()
	for _, r := range rows {
		for i, cell := range r {
			if strings.TrimSpace(cell) == "" {
				continue
			}
			text := strings.TrimSpace(heads[i] + ": " + cell)
			if heads[i] == "" {
				text = cell
			}
			indent := "  "
			if i == 0 {
				indent = ""
			}
			for _, l := range Wrap(text, room-len(indent)) {
				p.line(indent + l)
				indent = "    "
			}
		}
	}
}
