package text

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// width is the number of columns that a page keeps to where it can.
const width = 80

// page collects headings, paragraphs, tables and lists, and writes them as plain
// text or as markdown.
type page struct {
	b        bytes.Buffer
	markdown bool
	err      error
}

func (p *page) line(s string) {
	p.b.WriteString(strings.TrimRight(s, " "))
	p.b.WriteByte('\n')
}

// lines counts the lines so far.
func (p *page) lines() int { return bytes.Count(p.b.Bytes(), []byte{'\n'}) }

// blank writes an empty line; in markdown every block ends with its own.
func (p *page) blank() {
	if !p.markdown {
		p.b.WriteByte('\n')
	}
}

// heading writes a heading; level 1 is the page's own.
func (p *page) heading(level int, s string) {
	if p.markdown {
		p.line(strings.Repeat("#", level) + " " + md(s))
		p.line("")
		return
	}
	switch level {
	case 1:
		p.line(s)
		p.line(strings.Repeat("=", min(utf8.RuneCountInString(s), width)))
	case 2:
		p.line(strings.Repeat("-", width))
		p.line(s)
		p.line(strings.Repeat("-", width))
	default:
		p.line(s)
	}
}

// para writes a wrapped paragraph.
func (p *page) para(s string) {
	if p.markdown {
		p.line(md(s))
		p.line("")
		return
	}
	for _, l := range wrap(s, width) {
		p.line(l)
	}
}

// item writes one entry of a list under a short label.
func (p *page) item(label, s string) {
	if p.markdown {
		p.line("- **" + md(strings.TrimSpace(label)) + "** " + md(s))
		return
	}
	const indent = 13
	head := "   " + label
	if n := indent - utf8.RuneCountInString(head); n > 0 {
		head += strings.Repeat(" ", n)
	} else { // a long label stands in the first line of the text
		s, head = label+" "+s, "   "
		for i, l := range wrap(s, width-6) {
			p.line(head + l)
			if i == 0 {
				head = "      "
			}
		}
		return
	}
	for i, l := range wrap(s, width-indent) {
		if i > 0 {
			head = strings.Repeat(" ", indent)
		}
		p.line(head + l)
	}
}

// endList closes a list where the format needs it.
func (p *page) endList() {
	if p.markdown {
		p.line("")
	}
}

// table writes a table; the last column may be wrapped to keep the page's width.
func (p *page) table(head []string, rows [][]string, right ...int) {
	if len(rows) == 0 || p.err != nil {
		return
	}
	if p.markdown {
		p.markdownTable(head, rows, right)
		return
	}
	align := make(tw.Alignment, len(head))
	for i := range align {
		align[i] = tw.AlignLeft
	}
	for _, i := range right {
		align[i] = tw.AlignRight
	}
	var b bytes.Buffer
	t := tablewriter.NewTable(&b,
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{Borders: tw.BorderNone, Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off}, Lines: tw.Lines{ShowHeaderLine: tw.Off}}})),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align}),
		tablewriter.WithAlignment(align),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithPadding(tw.Padding{Left: "", Right: "  "}))
	t.Header(head)
	if err := t.Bulk(rows); err != nil {
		p.err = err
		return
	}
	if err := t.Render(); err != nil {
		p.err = err
		return
	}
	for _, l := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		p.line(l)
	}
}

func (p *page) markdownTable(head []string, rows [][]string, right []int) {
	cells := func(row []string) string {
		out := make([]string, len(row))
		for i, c := range row {
			out[i] = md(c)
		}
		return "| " + strings.Join(out, " | ") + " |"
	}
	p.line(cells(head))
	rule := make([]string, len(head))
	for i := range rule {
		rule[i] = "---"
	}
	for _, i := range right {
		rule[i] = "---:"
	}
	p.line("|" + strings.Join(rule, "|") + "|")
	for _, r := range rows {
		p.line(cells(r))
	}
	p.line("")
}

// md keeps a name from being read as markdown.
func md(s string) string {
	return strings.NewReplacer("\\", "\\\\", "|", "\\|", "\n", "<br>", "*", "\\*", "`", "\\`", "<", "&lt;", "[", "\\[", "#", "\\#").Replace(s)
}

// wrap breaks s at blanks into lines of at most n characters; a longer word stays
// whole.
func wrap(s string, n int) []string {
	var out []string
	line := ""
	for _, w := range strings.Fields(s) {
		switch {
		case line == "":
			line = w
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) <= n:
			line += " " + w
		default:
			out = append(out, line)
			line = w
		}
	}
	return append(out, line)
}
