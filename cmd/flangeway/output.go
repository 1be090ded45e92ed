package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"syscall"
	"time"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
)

// writeWhole writes an output file whole or not at all: into a temporary file beside it that takes its name at the end.
// It refuses to write over one of the inputs.
func writeWhole(name string, data []byte, inputs ...string) error {
	return writeWholeFrom(name, func(w io.Writer) error {
		_, err := io.Copy(w, bytes.NewReader(data))
		return err
	}, inputs...)
}

// writeWholeFrom is writeWhole of what write gives; an error of write leaves nothing behind either. A link stays, and
// the file that it leads to is written.
func writeWholeFrom(name string, write func(io.Writer) error, inputs ...string) (err error) {
	f, target, old, err := newFor(name, inputs)
	if err != nil {
		return err
	}
	kept := false
	defer func() {
		if !kept {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	disk := &diskWriter{w: f}
	if err := write(disk); err != nil || disk.err != nil {
		if disk.err != nil { // whatever the writers in between made of it
			return inputf("%s cannot be written: %s", name, fault(disk.err))
		}
		return err
	}
	if old != nil { // who may read the file stays as it was
		if err := f.Chmod(old.Mode().Perm()); err != nil {
			return inputf("%s cannot be written: %s", name, fault(err))
		}
	}
	if err := f.Sync(); err != nil { // before it takes the old one's name
		return inputf("%s cannot be written: %s", name, fault(err))
	}
	if err := f.Close(); err != nil {
		return inputf("%s cannot be written: %s", name, fault(err))
	}
	if err := rename(f.Name(), target); err != nil {
		if held(err) && old != nil {
			return inputf("%s cannot be replaced: it is open in another program, or this user may not (close it there)",
				name)
		}
		return inputf("%s cannot be written: %s", name, fault(err))
	}
	kept = true
	return nil
}

// newFor opens a temporary file beside what a name leads to, its target; old is what stands there, nil for nothing.
func newFor(name string, inputs []string) (f *os.File, target string, old os.FileInfo, err error) {
	if old, err = replaceable(name, inputs); err != nil {
		return nil, "", nil, err
	}
	if target, err = behindLinks(name); err != nil {
		return nil, "", nil, err
	}
	if f, err = newBeside(target); err != nil {
		return nil, "", nil, inputf("%s cannot be written: %s", name, fault(err))
	}
	return f, target, old, nil
}

// writable refuses an output file that could not be written, before anything is computed: its place is tried with a
// temporary file that is gone at once. Whether it is one of the inputs is seen again when all of them are known.
func writable(name string, inputs ...string) error {
	if name == "" {
		return nil
	}
	f, _, _, err := newFor(name, inputs)
	if err != nil {
		return err
	}
	f.Close()
	os.Remove(f.Name())
	return nil
}

// diskWriter keeps the system's own error of a write.
type diskWriter struct {
	w   io.Writer
	err error
}

func (d *diskWriter) Write(p []byte) (int, error) {
	n, err := d.w.Write(p)
	if err != nil && d.err == nil {
		d.err = err
	}
	return n, err
}

// Windows refuses to replace a file that anybody has open: another run that replaces it too and scanners for a moment,
// a spreadsheet for long.
const (
	heldFor = 2 * time.Second // is tried again
	heldGap = 20 * time.Millisecond
)

func rename(from, to string) error {
	for end := time.Now().Add(heldFor); ; time.Sleep(heldGap) {
		err := os.Rename(from, to)
		if !held(err) || time.Now().After(end) {
			return err
		}
	}
}

// held reports whether a file may be open in another program, for which Windows has two errors.
func held(err error) bool {
	return regular.InUse(err) || runtime.GOOS == "windows" && errors.Is(err, fs.ErrPermission)
}

// replaceable refuses a file that is one of the inputs, is protected, or is no file. It gives the file that will be
// replaced, nil if there is none.
func replaceable(name string, inputs []string) (fs.FileInfo, error) {
	out, err := os.Stat(name)
	if err != nil {
		for _, in := range inputs { // not there yet, as survey.xlsx beside CSV files
			if samePath(name, in) {
				return nil, inputf("%s would be read with the survey from then on (expected another output file)", name)
			}
		}
		return nil, nil
	}
	for _, in := range inputs {
		if info, err := os.Stat(in); err == nil && os.SameFile(out, info) {
			return nil, inputf("%s is an input and would be lost (expected another output file)", name)
		}
	}
	if !out.Mode().IsRegular() {
		return nil, inputf("%s is a folder or a device and cannot be replaced (expected a file)", name)
	}
	if out.Mode().Perm()&0o222 == 0 {
		return nil, inputf("%s is protected against writing (expected another output file)", name)
	}
	return out, nil
}

// samePath compares names of files that need not stand there.
func samePath(a, b string) bool {
	a, errA := filepath.Abs(a)
	b, errB := filepath.Abs(b)
	return errA == nil && errB == nil && a == b
}

// maxLinks is how many links are followed one after the other.
const maxLinks = 40

// behindLinks is the file that a name leads to. It need not stand there yet.
func behindLinks(name string) (string, error) {
	target := name
	for range maxLinks {
		info, err := os.Lstat(target)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			return target, nil
		}
		to, err := os.Readlink(target)
		if err != nil {
			return "", inputf("%s cannot be written: %s", name, fault(err))
		}
		if !filepath.IsAbs(to) { // it begins where the link itself stands
			dir, err := filepath.EvalSymlinks(filepath.Dir(target))
			if err != nil {
				return "", inputf("%s cannot be written: %s", name, fault(err))
			}
			to = filepath.Join(dir, to)
		}
		target = to
	}
	return "", inputf("%s cannot be written: its links lead round in a circle", name)
}

// newBeside makes a temporary file in the folder of another, readable by whom the system's own rule says.
func newBeside(name string) (*os.File, error) {
	for {
		temporary := filepath.Join(filepath.Dir(name), ".flangeway-"+strconv.FormatUint(rand.Uint64(), 36))
		f, err := os.OpenFile(temporary, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// fault words an error of the system, whose own text names files that nobody asked for.
func fault(err error) string {
	switch {
	case regular.InUse(err):
		return "it is open in another program (close it there)"
	case errors.Is(err, fs.ErrPermission):
		return "this user may not write there"
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		return "there is no such folder"
	}
	var number syscall.Errno
	if errors.As(err, &number) {
		return number.Error()
	}
	return err.Error()
}

// warn prints warnings of a survey, a line each, on a terminal as many as its width takes.
func warn(w io.Writer, list []measure.Warning) {
	for _, x := range list {
		fmt.Fprintln(w, fitted(w, cli.Message(fmt.Sprintf("%s: warning: %s", x.Place, x.Text))))
	}
}

// checkedWriter stops at the first failed write or at an interrupt.
type checkedWriter struct {
	ctx context.Context
	w   io.Writer
	err error
}

func (c *checkedWriter) Write(p []byte) (int, error) {
	if c.err != nil {
		return 0, c.err
	}
	if c.ctx != nil && c.ctx.Err() != nil {
		c.err = cli.Interrupted("the output is incomplete")
		return 0, c.err
	}
	n, err := c.w.Write(p)
	if err != nil {
		c.err = inputf("the result cannot be written: %s", fault(err))
	}
	return n, c.err
}

func (c *checkedWriter) done(err error) error {
	switch {
	case c.err != nil:
		return c.err
	case errors.Is(err, context.Canceled):
		return cli.Interrupted("the output is incomplete")
	}
	return err
}
