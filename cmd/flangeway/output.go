package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
)

// writeWhole writes an output file whole or not at all: into a temporary file beside
// it that takes its name at the end. It refuses to write over one of the inputs.
func writeWhole(name string, data []byte, inputs ...string) error {
	return writeWholeFrom(name, func(w io.Writer) error {
		_, err := io.Copy(w, bytes.NewReader(data))
		return err
	}, inputs...)
}

// writeWholeFrom is writeWhole of what write gives; an error of write leaves nothing
// behind either.
func writeWholeFrom(name string, write func(io.Writer) error, inputs ...string) (err error) {
	if err := replaceable(name, inputs); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".flangeway-*")
	if err != nil {
		return inputf("%s cannot be written: the folder takes no new file", name)
	}
	kept := false
	defer func() {
		if !kept {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		return inputf("%s cannot be written: %v", name, err)
	}
	if err := f.Close(); err != nil {
		return inputf("%s cannot be written: %v", name, err)
	}
	if err := os.Rename(f.Name(), name); err != nil {
		return inputf("%s cannot be written: %v", name, err)
	}
	kept = true
	return nil
}

// replaceable refuses a file that is one of the inputs, or is no file.
func replaceable(name string, inputs []string) error {
	out, err := os.Stat(name)
	if err != nil {
		return nil
	}
	for _, in := range inputs {
		if info, err := os.Stat(in); err == nil && os.SameFile(out, info) {
			return inputf("%s is an input and would be lost (expected another output file)", name)
		}
	}
	if !out.Mode().IsRegular() {
		return inputf("%s is a folder or a device and cannot be replaced (expected a file)", name)
	}
	return nil
}
