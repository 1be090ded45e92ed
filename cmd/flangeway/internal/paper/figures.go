package paper

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"flangeway/configs"
)

// digits are a number of four digits and more, and nothing else.
var digits = regexp.MustCompile(`^-?[0-9]{4,}(\.[0-9]+)?$`)

// apartFigure sets the thousands of a cell that is a number apart.
func apartFigure(s string) string { return digits.ReplaceAllStringFunc(s, configs.Apart) }

// apartValue sets the thousands of a value with its unit apart. A coefficient of friction has no unit, though the
// outputs for programs name what it is.
func apartValue(s string) string {
	n, unit, _ := strings.Cut(strings.TrimSuffix(s, " friction"), " ")
	return strings.TrimRight(apartFigure(n)+" "+unit, " ")
}

// plain is a cell of a column as text, a figure with its thousands set apart.
func (t Table) plain(column int, c Cell) string {
	if t.Columns[column].Number {
		c.Text = apartFigure(c.Text)
	}
	return c.plain()
}

// Count is a count with its thousands set apart.
func Count(n int) string { return configs.Apart(strconv.Itoa(n)) }

// count is a whole number that is printed with its thousands set apart.
type count int

func (n count) Format(to fmt.State, _ rune) { io.WriteString(to, Count(int(n))) }

// worded is a sentence with its whole numbers' thousands set apart.
func worded(format string, args ...any) string {
	for i, a := range args {
		if n, ok := a.(int); ok {
			args[i] = count(n)
		}
	}
	return fmt.Sprintf(format, args...)
}
