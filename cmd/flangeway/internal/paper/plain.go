package paper

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"flangeway/cmd/flangeway/internal/cli"
)

// width is the number of columns that a text page keeps to if it can.
const width = 80

// printer writes blocks as plain text or as markdown, and counts the lines.
type printer struct {
	b        bytes.Buffer
	markdown bool
	lines    int
	listed   bool // the block before was a fact
	counting bool // lines are counted and not written
	screen   Screen
	err      error
}

func linesOf(form Form, blocks []Block) int {
	p := &printer{markdown: form == Markdown, counting: true}
	p.blocks(blocks)
	return p.lines
}

func (p *printer) blocks(list []Block) {
	for _, b := range list {
		if p.err == nil {
			p.block(b)
		}
	}
	p.endList()
}

func (p *printer) block(b Block) {
	if f, ok := b.(Fact); ok {
		p.fact(f)
		p.listed = true
		return
	}
	p.endList()
	switch b := b.(type) {
	case Heading:
		p.heading(b)
	case Para:
		p.para(b.Text)
	case Line:
		p.line(b.Text)
	case Indented:
		for _, l := range Wrap(b.Text, p.screen.text()-len(indented)) {
			p.line(indented + l)
		}
	case Gap:
		if !p.markdown {
			p.line("")
		}
	case Table:
		p.table(b)
	case Section:
		title := b.Title + b.About
		if b.Place {
			title += "   " + b.Risk
		}
		p.heading(Heading{2, title})
		p.blocks(b.Blocks)
		p.block(Gap{})
	case Later:
		s, err := b()
		if err != nil {
			p.err = err
			return
		}
		p.block(*s)
	case Explained:
		p.heading(Heading{3, b.Title})
		p.blocks(b.Blocks)
		p.block(Gap{})
	case Bullets:
		for _, s := range b {
			p.para("* " + s)
		}
	}
}

func (p *printer) line(s string) { p.emphasised("", s) }

// emphasised writes a line whose first words stand out on a terminal. What steers one in the words themselves is shown
// by its number.
func (p *printer) emphasised(first, rest string) {
	p.lines++
	if p.counting {
		return
	}
	rest = strings.TrimRight(rest, " ")
	if rest == "" {
		first = strings.TrimRight(first, " ")
	}
	p.b.WriteString(p.screen.strong(string(cli.Plain([]byte(first)))))
	p.b.Write(cli.Plain([]byte(rest)))
	p.b.WriteByte('\n')
}

// endList closes a list of facts if the form needs it.
func (p *printer) endList() {
	if p.listed && p.markdown {
		p.line("")
	}
	p.listed = false
}

func (p *printer) heading(h Heading) {
	if p.markdown {
		p.line(strings.Repeat("#", h.Level) + " " + md(h.Text))
		p.line("")
		return
	}
	switch h.Level {
	case 1:
		p.title(h.Text)
		p.line(strings.Repeat("=", min(utf8.RuneCountInString(h.Text), p.screen.text())))
	case 2:
		p.line(strings.Repeat("-", p.screen.text()))
		p.title(h.Text)
		p.line(strings.Repeat("-", p.screen.text()))
	default:
		p.title(h.Text)
	}
}

// title writes the words of a heading; on a terminal they are broken as it is wide.
func (p *printer) title(s string) {
	if p.screen.Columns == 0 {
		p.emphasised(s, "")
		return
	}
	for _, l := range Wrap(s, p.screen.text()) {
		p.emphasised(l, "")
	}
}

func (p *printer) para(s string) {
	if p.markdown {
		p.line(md(s))
		p.line("")
		return
	}
	for _, l := range Wrap(s, p.screen.text()) {
		p.line(l)
	}
}

// fact writes an entry of a list; a long label stands in the first line of its text.
func (p *printer) fact(f Fact) {
	if p.markdown {
		p.line("- **" + md(strings.TrimSpace(f.Label)) + "** " + md(f.Text))
		return
	}
	const indent, leastRoom = 13, 30
	head, under, text := "   "+f.Label, strings.Repeat(" ", indent), f.Text
	room := p.screen.text() - indent
	if n := indent - utf8.RuneCountInString(head); n > 0 && room >= leastRoom {
		head += strings.Repeat(" ", n)
	} else {
		head, under, text, room = "   ", "      ", f.Label+" "+f.Text, p.screen.text()-6
	}
	for _, l := range Wrap(text, room) {
		p.line(head + l)
		head = under
	}
}

func (p *printer) table(t Table) {
	if len(t.Rows) == 0 || p.err != nil {
		return
	}
	if p.counting {
		p.countTable(t)
		return
	}
	if p.markdown {
		p.markdownTable(t)
		return
	}
	align := make(tw.Alignment, len(t.Columns))
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		align[i], heads[i] = tw.AlignLeft, c.Name
		if c.Number {
			align[i] = tw.AlignRight
		}
	}
	rows := make([][]string, len(t.Rows))
	for i, r := range t.Rows {
		for k, c := range r {
			rows[i] = append(rows[i], t.plain(k, c))
		}
	}
	var strong []string
	for _, r := range t.Rows {
		if r[0].Strong && r[0].Text != "" && !slices.Contains(strong, r[0].Text) {
			strong = append(strong, r[0].Text)
		}
	}
	p.aligned(heads, rows, align, strong)
}

// aligned writes a table of plain words with its columns below each other; strong are words of the first column that
// stand out.
func (p *printer) aligned(heads []string, rows [][]string, align tw.Alignment, strong []string) {
	var b bytes.Buffer
	options := []tablewriter.Option{
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{Borders: tw.BorderNone,
			Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off},
				Lines: tw.Lines{ShowHeaderLine: tw.Off}}})), tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align}),
		tablewriter.WithAlignment(align),
		tablewriter.WithPadding(tw.Padding{Left: "", Right: strings.Repeat(" ", between)})}
	wrapped := tw.WrapNone
	if p.screen.Columns > 0 {
		widths, whole, ok := fit(heads, rows, max(p.screen.Columns, leastColumns))
		if !ok {
			p.stacked(heads, rows)
			return
		}
		if !whole {
			wrapped = tw.WrapNormal
			options = append(options, tablewriter.WithColumnWidths(columnWidths(widths)))
		}
	}
	w := tablewriter.NewTable(&b, append(options, tablewriter.WithHeaderAutoWrap(wrapped),
		tablewriter.WithRowAutoWrap(wrapped))...)
	w.Header(heads)
	if p.err = w.Bulk(rows); p.err != nil {
		return
	}
	if p.err = w.Render(); p.err != nil {
		return
	}
	for l := range strings.SplitSeq(strings.TrimRight(b.String(), "\n"), "\n") {
		first := ""
		for _, s := range strong {
			if rest, ok := strings.CutPrefix(l, s); ok && (rest == "" || rest[0] == ' ') {
				first = s
			}
		}
		p.emphasised(first, l[len(first):])
	}
}

// countTable counts the lines of a table: a cell may hold several.
func (p *printer) countTable(t Table) {
	p.lines += 1 + len(t.Rows)
	if p.markdown { // the rule under the head and the line behind the table
		p.lines += 2
		return
	}
	for _, r := range t.Rows {
		more := 0
		for _, c := range r {
			more = max(more, strings.Count(c.plain(), "\n"))
		}
		p.lines += more
	}
}

// Wrap breaks s at blanks into lines of at most n characters; a longer word stays whole.
func Wrap(s string, n int) []string {
	var out []string
	line, wide := "", 0
	for w := range strings.FieldsSeq(s) {
		more := utf8.RuneCountInString(w)
		switch {
		case line == "":
			line, wide = w, more
		case wide+1+more <= n:
			line, wide = line+" "+w, wide+1+more
		default:
			out = append(out, line)
			line, wide = w, more
		}
	}
	return append(out, line)
}
