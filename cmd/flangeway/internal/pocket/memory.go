package pocket

import (
	"bytes"
	"io/fs"
	"slices"
	"time"
)

// memory is a folder of files in memory.
type memory map[string][]byte

// Open opens a file, or the folder itself under the name of a dot.
func (m memory) Open(name string) (fs.File, error) {
	if name == "." {
		return &folder{m}, nil
	}
	text, ok := m[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &file{bytes.NewReader(text), entry{name, int64(len(text)), 0o444}}, nil
}

type file struct {
	*bytes.Reader
	entry
}

func (f *file) Stat() (fs.FileInfo, error) { return f.entry, nil }
func (*file) Close() error                 { return nil }

// Size is that of the file, not what is left of it.
func (f *file) Size() int64 { return f.entry.size }

type folder struct{ m memory }

func (d *folder) Stat() (fs.FileInfo, error) { return entry{".", 0, fs.ModeDir | 0o555}, nil }
func (*folder) Read([]byte) (int, error)     { return 0, fs.ErrInvalid }
func (*folder) Close() error                 { return nil }

func (d *folder) ReadDir(int) (out []fs.DirEntry, _ error) {
	for name, text := range d.m {
		out = append(out, fs.FileInfoToDirEntry(entry{name, int64(len(text)), 0o444}))
	}
	slices.SortFunc(out, func(a, b fs.DirEntry) int { return bytes.Compare([]byte(a.Name()), []byte(b.Name())) })
	return out, nil
}

// entry describes a file.
type entry struct {
	name string
	size int64
	mode fs.FileMode
}

func (e entry) Name() string       { return e.name }
func (e entry) Size() int64        { return e.size }
func (e entry) Mode() fs.FileMode  { return e.mode }
func (e entry) ModTime() time.Time { return time.Time{} }
func (e entry) IsDir() bool        { return e.mode.IsDir() }
func (e entry) Sys() any           { return nil }
