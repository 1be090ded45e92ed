package paper

// readingsNext lists the readings to take next, by how many pairs they would help decide.
func (c *checkPage) readingsNext(most int) *Section {
	t := Table{ID: "readings-table", Caption: "By how many pairs they would help decide",
		Columns: []Column{{Name: "reading", Head: true}, {Name: "where", Long: true}, {Name: "pairs", Number: true}}}
	list := c.in.Open
	for _, u := range list[:min(most, len(list))] {
		where := c.name(u.Where)
		if u.Place != "" {
			where = c.name(u.Place) + ", " + where
		}
		t.Rows = append(t.Rows, Row{{Text: u.Reading}, {Text: where}, figure(u.Pairs)})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	s := &Section{ID: "readings", Title: "Readings to take next", About: ", by how many pairs they would help decide",
		Blocks: []Block{t}}
	if more := len(list) - len(t.Rows); more > 0 {
		s.para(c.jsonLists(more, " readings"))
	}
	return s
}
