package main

import (
	"os"
	"path/filepath"
)

// writeWhole writes an output file whole or not at all: into a temporary file beside
// it that takes its name at the end. It refuses to write over one of the inputs.
func writeWhole(name string, data []byte, inputs ...string) (err error) {
	if out, err := os.Stat(name); err == nil {
		for _, in := range inputs {
			if info, err := os.Stat(in); err == nil && os.SameFile(out, info) {
				return inputf("%s is an input and would be lost (expected another output file)", name)
			}
		}
		if !out.Mode().IsRegular() {
			return inputf("%s is a folder or a device and cannot be replaced (expected a file)", name)
		}
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".flangeway-*")
	if err != nil {
		return inputf("%s cannot be written: the folder takes no new file", name)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = inputf("%s cannot be written: %v", name, err)
		}
	}()
	if _, err = f.Write(data); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
