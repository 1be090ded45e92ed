package paper

import "strings"

// markdownTable writes a table with its rules by hand, because tablewriter does not escape |.
func (p *printer) markdownTable(t Table) {
	cells := func(row Row) string {
		out := make([]string, len(row))
		for i, c := range row {
			out[i] = md(t.plain(i, c))
		}
		return "| " + strings.Join(out, " | ") + " |"
	}
	head, rule := make(Row, len(t.Columns)), make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i].Text, rule[i] = c.Name, "---"
		if c.Number {
			rule[i] = "---:"
		}
	}
	p.line(cells(head))
	p.line("|" + strings.Join(rule, "|") + "|")
	for _, r := range t.Rows {
		p.line(cells(r))
	}
	p.line("")
}

// md keeps a name from being read as markdown.
func md(s string) string {
	return strings.NewReplacer("\\", "\\\\", "|", "\\|", "\n", "<br>", "*", "\\*", "`", "\\`", "<", "&lt;", "[", "\\[",
		"#", "\\#").Replace(s)
}
