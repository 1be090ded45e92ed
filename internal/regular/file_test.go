package regular

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestRead(t *testing.T) {
	dir := t.TempDir()
	whole := filepath.Join(dir, "wheels.csv")
	if err := os.WriteFile(whole, []byte(strings.Repeat("x", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "lost")
	if runtime.GOOS != "windows" { // links need a privilege there
		if err := os.Symlink(filepath.Join(dir, "gone"), link); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name, file string
		most       int64
		want       error
	}{
		{"at the limit", whole, 100, nil},
		{"a byte over it", whole, 99, ErrTooLarge},
		{"a folder", dir, 100, ErrKind},
		{"a device", os.DevNull, 100, ErrKind},
		{"no file", filepath.Join(dir, "gone"), 100, fs.ErrNotExist},
		{"a link to no file", link, 100, ErrDangling},
	} {
		if c.file == link && runtime.GOOS == "windows" {
			continue
		}
		b, err := Read(c.file, c.most)
		if !errors.Is(err, c.want) || c.want == nil && len(b) != 100 {
			t.Errorf("%s: %d bytes, %v", c.name, len(b), err)
		}
		if err != nil && Why(err) == "" {
			t.Errorf("%s is not worded", c.name)
		}
	}
}
