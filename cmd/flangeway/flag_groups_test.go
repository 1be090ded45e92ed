package main

import (
	"strings"
	"testing"

	"github.com/spf13/pflag"
)

// The help of the commands with many flags names each flag once, under a heading; what is under Output is output.
func TestFlagsAreGrouped(t *testing.T) {
	output := map[string]bool{"draw": true, "format": true, "help": true, "color": true}
	for _, name := range []string{"shape", "curve", "passage"} {
		out, _, code := runFor(t, name, "--help")
		if code != exitOK {
			t.Fatalf("%s --help ends with %d", name, code)
		}
		grouped, rest, ok := strings.Cut(out, "\nOutput:")
		if !ok {
			t.Fatalf("%s --help has no group of output", name)
		}
		cmd, _, err := newRootCmd(streams{}).Find([]string{name})
		if err != nil {
			t.Fatal(err)
		}
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			in := grouped
			if output[f.Name] {
				in = rest
			}
			if n := strings.Count(in, "\n      --"+f.Name+" "); n != 1 {
				t.Errorf("%s --help lists --%s %d times where it belongs", name, f.Name, n)
			}
		})
	}
}
