package paper

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
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
	err      error
}

// linesOf counts the lines that blocks take in a form.
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

func (p *printer) line(s string) {
	p.lines++
	if p.counting {
		return
	}
	p.b.WriteString(strings.TrimRight(s, " "))
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
		p.line(h.Text)
		p.line(strings.Repeat("=", min(utf8.RuneCountInString(h.Text), width)))
	case 2:
		p.line(strings.Repeat("-", width))
		p.line(h.Text)
		p.line(strings.Repeat("-", width))
	default:
		p.line(h.Text)
	}
}

func (p *printer) para(s string) {
	if p.markdown {
		p.line(md(s))
		p.line("")
		return
	}
	for _, l := range wrap(s, width) {
		p.line(l)
	}
}

// fact writes an entry of a list; a long label stands in the first line of its text.
func (p *printer) fact(f Fact) {
	if p.markdown {
		p.line("- **" + md(strings.TrimSpace(f.Label)) + "** " + md(f.Text))
		return
	}
	const indent = 13
	head, under, text := "   "+f.Label, strings.Repeat(" ", indent), f.Text
	room := width - indent
	if n := indent - utf8.RuneCountInString(head); n > 0 {
		head += strings.Repeat(" ", n)
	} else {
		head, under, text, room = "   ", "      ", f.Label+" "+f.Text, width-6
	}
	for _, l := range wrap(text, room) {
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
		for _, c := range r {
			rows[i] = append(rows[i], c.plain())
		}
	}
	var b bytes.Buffer
	w := tablewriter.NewTable(&b,
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{Borders: tw.BorderNone,
			Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off},
				Lines: tw.Lines{ShowHeaderLine: tw.Off}}})),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align}),
		tablewriter.WithAlignment(align),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithPadding(tw.Padding{Left: "", Right: "  "}))
	w.Header(heads)
	if p.err = w.Bulk(rows); p.err != nil {
		return
	}
	if p.err = w.Render(); p.err != nil {
		return
	}
	for l := range strings.SplitSeq(strings.TrimRight(b.String(), "\n"), "\n") {
		p.line(l)
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

// wrap breaks s at blanks into lines of at most n characters; a longer word stays whole.
func wrap(s string, n int) []string {
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
