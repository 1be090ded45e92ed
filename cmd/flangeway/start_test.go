package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// enter says whether it was read from before the program ended.
type enter struct{ asked bool }

func (e *enter) Read(p []byte) (int, error) {
	e.asked = true
	return copy(p, "\n"), nil
}

// From the desktop the window stays until Enter: with the screen for a double click,
// with the table for a survey dragged onto the icon.
func TestStart(t *testing.T) {
	survey := filepath.Join(t.TempDir(), "my-yard")
	if _, stderr, code := runFor(t, "blank", survey); code != 0 {
		t.Fatal(stderr)
	}
	for _, tc := range []struct {
		name    string
		args    []string
		desktop bool
		code    int
		want    string // part of standard output
		waits   bool
		reason  string
	}{
		{"double click", nil, true, exitOK, "Drag a survey onto the program's icon", true, "it says what to do"},
		{"survey dragged onto it", []string{survey}, true, exitOK, "No pair was judged", true,
			"a folder alone means check"},
		{"something else dragged onto it", []string{"notes.docx"}, true, exitUsage, "Press Enter", true,
			"the error must be read"},
		{"command prompt", nil, false, exitUsage, "", false, "a usage error as ever"},
		{"command prompt with a survey", []string{survey}, false, exitOK, "No pair was judged", false, "nothing waits"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var in enter
			var out, errw bytes.Buffer
			if code := start(tc.args, tc.desktop, &in, &out, &errw); code != tc.code {
				t.Errorf("exit code %d, want %d; %s", code, tc.code, tc.reason)
			}
			if !strings.Contains(out.String(), tc.want) || in.asked != tc.waits {
				t.Errorf("asked: %v, output %q; %s", in.asked, out.String(), tc.reason)
			}
		})
	}
}

// The screen fits a window of 24 lines and 80 columns, in ASCII.
func TestStartScreenFits(t *testing.T) {
	lines := strings.Split(startScreen, "\n")
	if len(lines)+2 > 24 {
		t.Errorf("%d lines", len(lines))
	}
	for _, l := range lines {
		if len(l) > 80 || strings.ContainsFunc(l, func(r rune) bool { return r > 126 }) {
			t.Errorf("%q", l)
		}
	}
}

// TestMeanCheck: a folder or workbook alone means check; a command's name, a flag and what is no survey are left alone.
func TestMeanCheck(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, dir := range []string{"yard", "limits", "help"} {
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile("wheels.csv", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name   string
		args   []string
		check  bool
		reason string
	}{
		{"folder", []string{"yard"}, true, "the case it is for"},
		{"folder with a slash", []string{"./limits/"}, true, "a path is no command"},
		{"folder named as a command", []string{"limits"}, false, "a command keeps its name"},
		{"folder named help", []string{"help"}, false, "so does help"},
		{"workbook", []string{"yard.XLSX"}, true, "by its ending; check says where it is missing"},
		{"no such folder", []string{"chek"}, false, "a mistyped command"},
		{"CSV file", []string{"wheels.csv"}, false, "a sheet is no survey"},
		{"folder and more", []string{"yard", "--plain"}, false, "only an argument alone"},
		{"flag", []string{"--help"}, false, "a flag"},
		{"nothing", nil, false, "nothing"},
		{"empty", []string{""}, false, "nothing"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := meanCheck(newRootCmd(streams{}), tc.args)
			want := tc.args
			if tc.check {
				want = []string{"check", tc.args[0]}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%q, want %q; %s", got, want, tc.reason)
			}
		})
	}
}
