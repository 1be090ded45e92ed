// Package regular reads the files that a user names: regular ones alone, because a device has no end and a pipe waits
// for a writer, and none that is larger than its kind can be.
package regular

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"syscall"
)

// What is wrong with a file beside what the system says of it.
var (
	ErrKind     = errors.New("it is a folder or a device, not a file")
	ErrDangling = errors.New("it is a link to a file that is not there")
	ErrTooLarge = errors.New("the file is too large")
)

// Read reads a regular file whole, of at most so many bytes: [ErrKind], [ErrDangling], [ErrTooLarge] or an error of the
// system.
func Read(name string, most int64) ([]byte, error) {
	f, size, err := Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if size > most {
		return nil, fmt.Errorf("%w: more than %s", ErrTooLarge, bytes(most))
	}
	b := make([]byte, size)
	n, err := io.ReadFull(f, b)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return b[:n], nil
}

func bytes(n int64) string {
	if n >= 1<<30 {
		return fmt.Sprintf("%d GiB", n>>30)
	}
	return fmt.Sprintf("%d MiB", n>>20)
}

// Open opens a regular file and gives its size in bytes.
func Open(name string) (f *os.File, size int64, err error) {
	info, err := os.Stat(name) // before opening: a named pipe would wait for a writer
	if errors.Is(err, fs.ErrNotExist) {
		if _, e := os.Lstat(name); e == nil { // an absent file is none at all, one that is lost is a defect
			return nil, 0, ErrDangling
		}
	}
	if err != nil {
		return nil, 0, err
	}
	if !info.Mode().IsRegular() {
		return nil, 0, ErrKind
	}
	if f, err = os.Open(name); err != nil {
		return nil, 0, err
	}
	return f, info.Size(), nil
}

// sharingViolation is the error of Windows when another program keeps a file to itself.
const sharingViolation = syscall.Errno(32)

// InUse reports whether a file could not be had because another program keeps it to itself, as spreadsheets on Windows
// do.
func InUse(err error) bool {
	return runtime.GOOS == "windows" && errors.Is(err, sharingViolation)
}

// Why words a file error without the operating system's own text, which differs from one to the next.
func Why(err error) string {
	switch {
	case errors.Is(err, ErrKind), errors.Is(err, ErrTooLarge), errors.Is(err, ErrDangling):
		return err.Error()
	case InUse(err):
		return "the file is open in another program, which lets nobody else read it"
	case errors.Is(err, fs.ErrPermission):
		return "the file may not be read by this user"
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	}
	return "the file cannot be read"
}
