package paper

import (
	"fmt"
	"strings"
	"testing"
)

// A long list of the page is shown as far as a browser opens it, and the rest is counted and named with its command.
func TestLongListsAreCounted(t *testing.T) {
	for _, tc := range []struct {
		rows, shown int
		says        string
	}{{maxWhole - 1, maxWhole - 1, ""}, {maxWhole, maxWhole, ""},
		{maxWhole + 1, maxWhole, "1 work more, not shown here: flangeway plan DIR shows all."},
		{maxWhole + 1200, maxWhole, "1,200 works more"}} {
		table, s := Table{}, &Section{}
		for i := range tc.rows {
			table.Rows = append(table.Rows, cells(fmt.Sprint(i)))
		}
		s.first(table, "work", "works", "plan DIR")
		shown := s.Blocks[0].(Table).Rows
		if len(shown) != tc.shown || shown[0][0].Text != "0" {
			t.Errorf("of %d rows %d are shown, want the first %d", tc.rows, len(shown), tc.shown)
		}
		if says := fmt.Sprint(s.Blocks[1:]); !strings.Contains(says, tc.says) ||
			(len(s.Blocks) > 1) != (tc.says != "") {
			t.Errorf("of %d rows it says %q, want %q", tc.rows, says, tc.says)
		}
	}
}
