package survey

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// TestReadFS: a survey that is read from a file system is the one that is read from the disk, and names nothing
// outside.
func TestReadFS(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "demo")
	disk, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	in, err := ReadFS(os.DirFS(dir), nil)
	if err != nil {
		t.Fatal(err)
	}
	sum := func(s *Survey) string {
		book, err := s.Book()
		if err != nil {
			t.Fatal(err)
		}
		return s.Sum(book)
	}
	if a, b := len(in.Fleet.Wheels), len(disk.Fleet.Wheels); sum(in) != sum(disk) || a != b ||
		!slices.Equal(in.Warnings, disk.Warnings) {
		t.Errorf("%d and %d wheels, warnings %v and %v", a, b, in.Warnings, disk.Warnings)
	}
	one := func(name, text string) fs.FS {
		frogs := []byte("location,frog,flangeway_depth\nlead,F1,1-3/4\n")
		return fstest.MapFS{"frogs.csv": {Data: frogs}, name: {Data: []byte(text)}}
	}
	for name, c := range map[string]struct {
		in   fs.FS
		want string
	}{
		"a limit file outside": {one("railroad.yaml", "schema: 1\nlimits: [../house.yaml]\n"), "railroad.yaml:2:"},
		"a trace outside": {one("wheels.csv", "car,position,profile\nA 1,L1,../w.csv\n"),
			"does not lie beside the sheet"},
		"a folder for a sheet": {fstest.MapFS{"frogs.csv": {Mode: fs.ModeDir},
			"wheels.csv": {Data: []byte("car,position\nA 1,L1\n")}}, "frogs.csv:1:1: file: "},
		"nothing":        {fstest.MapFS{}, "holds no sheet of a survey"},
		"a broken store": {broken{}, "the folder cannot be listed"},
	} {
		if _, err := ReadFS(c.in, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// broken opens nothing.
type broken struct{}

func (broken) Open(string) (fs.File, error) { return nil, errors.New("the store is broken") }
