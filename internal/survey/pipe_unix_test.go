//go:build unix

package survey_test

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"flangeway/internal/survey"
	"flangeway/wheel/bulk"
)

// TestPipe: a named pipe in place of a sheet is refused at once; opening it would wait for a writer for ever.
func TestPipe(t *testing.T) {
	for _, name := range []string{"wheels.csv", "railroad.yaml"} {
		dir := folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\n"})
		if err := syscall.Mkfifo(filepath.Join(dir, name), 0o600); err != nil {
			t.Skipf("no named pipes here: %v", err)
		}
		_, err := survey.Read(dir)
		holds(t, "problems", problems(t, err), []string{name + ":1:1: file: it is a folder or a device, not a file"},
			"no regular file")
	}
	dir := folder(t, map[string]string{"railroad.yaml": "limits: [federal, ours.yaml]\n"})
	if err := syscall.Mkfifo(filepath.Join(dir, "ours.yaml"), 0o600); err != nil {
		t.Skipf("no named pipes here: %v", err)
	}
	_, err := survey.Read(dir)
	holds(t, "problems", problems(t, err), []string{"railroad.yaml:1:19: limits: \"ours.yaml\": it is a folder or a " +
		"device"}, "a limits file likewise")
}

// TestDanglingLinks: a link to a file that is not there is no absent sheet, by whatever way the folder is read.
func TestDanglingLinks(t *testing.T) {
	for _, name := range []string{"wheels.csv", "railroad.yaml", "frogs.csv", "survey.xlsx"} {
		dir := folder(t, map[string]string{"gauge.csv": "location,spot\nyard,G1\n"})
		if err := os.Symlink(filepath.Join(dir, "moved away"), filepath.Join(dir, name)); err != nil {
			t.Skipf("no links here: %v", err)
		}
		want := []string{name + ":1:1: file: it is a link to a file that is not there"}
		_, err := survey.Read(dir)
		holds(t, "problems", problems(t, err), want, "its readings or limits would be missing without a word")
		s, err := survey.Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "problems of a stream", problems(t, s.Done(t.Context(), false, bulk.Totals{})), want, "likewise")
		s.Close()
	}
}
