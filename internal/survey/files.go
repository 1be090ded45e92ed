package survey

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"flangeway/configs"
	"flangeway/internal/regular"
)

// files are where a survey lies: on the disk, or in a file system of the caller's.
type files interface {
	read(path string, most int64) ([]byte, error)
	open(path string) (io.ReadCloser, error)
	stat(path string) (fs.FileInfo, error)
	list(dir string) ([]fs.DirEntry, error)
}

// disk is the computer's own.
type disk struct{}

func (disk) read(path string, most int64) ([]byte, error) { return regular.Read(path, most) }

func (disk) open(path string) (io.ReadCloser, error) {
	f, _, err := regular.Open(path)
	return f, err
}

func (disk) stat(path string) (fs.FileInfo, error)  { return os.Stat(path) }
func (disk) list(dir string) ([]fs.DirEntry, error) { return os.ReadDir(dir) }

// within is a file system; nothing outside of it can be named.
type within struct{ fs.FS }

func (w within) read(path string, most int64) ([]byte, error) {
	info, err := w.stat(path)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, regular.ErrKind
	case info.Size() > most:
		return nil, fmt.Errorf("%w: more than %d MiB", regular.ErrTooLarge, most>>20)
	}
	return fs.ReadFile(w.FS, slashed(path))
}

func (w within) open(path string) (io.ReadCloser, error) { return w.FS.Open(slashed(path)) }

func (w within) stat(path string) (fs.FileInfo, error) { return fs.Stat(w.FS, slashed(path)) }

func (w within) list(dir string) ([]fs.DirEntry, error) { return fs.ReadDir(w.FS, slashed(dir)) }

func slashed(path string) string { return filepath.ToSlash(filepath.Clean(path)) }

// ReadFS reads a survey that is a folder of CSV files in a file system; see [Read]. data are the built-in figures,
// nil if they are not loaded yet.
func ReadFS(in fs.FS, data *configs.Data) (*Survey, error) {
	o, err := openIn(&loader{dir: ".", book: workbookFile, files: within{in}, data: data})
	if err != nil {
		return nil, err
	}
	return o.read(".")
}
