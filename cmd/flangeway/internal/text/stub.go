package text
import ("io";"flangeway/cmd/flangeway/internal/export";"flangeway/interaction")
type Options struct { Program, Dir string; Markdown, AllPairs bool; Car string; Before *export.Report }
func Check(w io.Writer, in export.Input, o Options) error { return nil }
func Explain(c *interaction.Check) (string, error) { return "", nil }
func Cautions() []string { return []string{"x"} }
