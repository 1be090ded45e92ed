//go:build unix

package survey_test

import (
	"path/filepath"
	"syscall"
	"testing"

	"flangeway/internal/survey"
)

// TestPipe: a named pipe in place of a sheet is refused at once; opening it would wait
// for a writer for ever.
func TestPipe(t *testing.T) {
	for _, name := range []string{"wheels.csv", "railroad.yaml"} {
		dir := folder(t, map[string]string{"frogs.csv": "location,frog\nyard,F1\n"})
		if err := syscall.Mkfifo(filepath.Join(dir, name), 0o600); err != nil {
			t.Skipf("no named pipes here: %v", err)
		}
		_, err := survey.Read(dir)
		holds(t, "problems", problems(t, err), []string{name + ": it is a folder or a device, not a file"}, "no regular file")
	}
	dir := folder(t, map[string]string{"railroad.yaml": "limits: [federal, ours.yaml]\n"})
	if err := syscall.Mkfifo(filepath.Join(dir, "ours.yaml"), 0o600); err != nil {
		t.Skipf("no named pipes here: %v", err)
	}
	_, err := survey.Read(dir)
	holds(t, "problems", problems(t, err), []string{"railroad.yaml:1:19: limits: \"ours.yaml\": it is a folder or a device"}, "a limits file likewise")
}
