package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The command reference is what the commands themselves say; it is kept as a file so
// that a change of a flag or a text is seen.
func TestCommandReference(t *testing.T) {
	name := filepath.Join("testdata", "commands.md")
	got := reference(newRootCmd(streams{}))
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("the reference differs (-want +got), go test -update rewrites it:\n%s", diff)
	}
}

// reference writes every command with its text, flags and example.
func reference(root *cobra.Command) string {
	var b strings.Builder
	b.WriteString("# Commands of flangeway\n\nGenerated from the program's own help; `go test ./cmd/flangeway " +
		"-update` rewrites it.\n")
	commands := slices.Clone(root.Commands())
	slices.SortFunc(commands, func(a, b *cobra.Command) int { return strings.Compare(a.Name(), b.Name()) })
	for _, c := range append([]*cobra.Command{root}, commands...) {
		if c.Hidden {
			continue
		}
		use := c.CommandPath()
		if _, args, ok := strings.Cut(c.Use, " "); ok {
			use += " " + args
		}
		fmt.Fprintf(&b, "\n## %s\n\n%s\n", strings.ReplaceAll(use, "|", "\\|"), fenced(c.Long))
		flags := ""
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden {
				flags += flagLine(f)
			}
		})
		if flags != "" {
			fmt.Fprintf(&b, "\n| flag | meaning |\n|---|---|\n%s", flags)
		}
		var example []string
		for line := range strings.Lines(c.Example) {
			example = append(example, strings.TrimSpace(line))
		}
		fmt.Fprintf(&b, "\n%s\n", fenced(strings.Join(example, "\n")))
	}
	return b.String()
}

func fenced(s string) string { return "```\n" + s + "\n```" }

func flagLine(f *pflag.Flag) string {
	value, usage := pflag.UnquoteUsage(f)
	name := "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	if value != "" {
		name += " " + value
	}
	if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "[]" {
		usage += fmt.Sprintf(" (default %s)", f.DefValue)
	}
	return fmt.Sprintf("| `%s` | %s |\n", name, strings.ReplaceAll(usage, "|", "\\|"))
}
