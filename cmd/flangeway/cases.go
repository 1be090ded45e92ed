package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"flangeway/cmd/flangeway/internal/cases"
	"flangeway/testdata"
)

// judgeCases puts every case to check, and to curve if it bears, as a user would, and holds the answers against what
// was found.
func judgeCases() ([]cases.Result, error) {
	files := testdata.CaseFiles()
	list, err := cases.Load(files)
	if err != nil {
		return nil, err
	}
	var out []cases.Result
	for _, c := range list {
		a, err := askCase(files, c)
		if err != nil {
			return nil, fmt.Errorf("case %s: %w", c.Name, err)
		}
		out = append(out, cases.Compare(c, a))
	}
	return out, nil
}

// askCase writes the survey of a case to a folder of its own and asks.
func askCase(files fs.FS, c cases.Case) (a cases.Answer, err error) {
	dir, err := os.MkdirTemp("", "flangeway-case-")
	if err != nil {
		return a, err
	}
	defer os.RemoveAll(dir)
	names, err := fs.ReadDir(files, c.Name)
	if err != nil {
		return a, err
	}
	for _, n := range names {
		if n.Name() == cases.File {
			continue
		}
		b, err := fs.ReadFile(files, path.Join(c.Name, n.Name()))
		if err != nil {
			return a, err
		}
		if err := os.WriteFile(filepath.Join(dir, n.Name()), b, 0o600); err != nil {
			return a, err
		}
	}
	if err := askJSON(&a.Report, "check", dir, "--all-pairs", "--fail-on", "never"); err != nil {
		return a, err
	}
	for _, r := range c.Runs {
		var answer cases.Curve
		if err := askJSON(&answer, append([]string{"curve"}, strings.Fields(r.Flags)...)...); err != nil {
			return a, err
		}
		a.Curves = append(a.Curves, answer)
	}
	return a, nil
}

// askJSON runs a command of this program and reads its json.
func askJSON(to any, args ...string) error {
	var out, errs bytes.Buffer
	root := newRootCmd(streams{in: strings.NewReader(""), out: &out, err: &errs})
	root.SetArgs(append(args, "--format", "json"))
	root.SetOut(&out)
	root.SetErr(&errs)
	if err := root.Execute(); err != nil {
		return err
	}
	return json.Unmarshal(out.Bytes(), to)
}
