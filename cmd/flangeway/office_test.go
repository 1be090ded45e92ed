package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"flangeway/internal/fixture"
)

// office runs LibreOffice without a window on a file and gives the file that it writes.
func office(t *testing.T, file, to, locale string) string {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("no soffice here: Debian's package libreoffice-calc tries the workbooks in a real spreadsheet program")
	}
	out := t.TempDir()
	cmd := exec.Command(program, "-env:UserInstallation=file://"+filepath.Join(out, "profile"), "--headless",
		"--convert-to", to, "--outdir", out, file)
	cmd.Env = append(os.Environ(), "LANG="+locale, "LC_ALL="+locale)
	if log, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v: %s", err, log)
	}
	ending, _, _ := strings.Cut(to, ":")
	name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)) + "." + ending
	return filepath.Join(out, name)
}

// What is typed into the blank workbook comes back whole from a real spreadsheet program, in other locales too.
func TestOfficeKeepsWhatIsTyped(t *testing.T) {
	fixture.InVolumes(t, "a spreadsheet program takes five seconds to start")
	t.Parallel()
	dir := t.TempDir()
	book := filepath.Join(dir, "survey.xlsx")
	if _, stderr, code := runFor(t, "blank", book); code != 0 {
		t.Fatal(stderr)
	}
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	typed := map[string][][]string{
		"wheels": {{"car", "TY 1", "TY 1"}, {"position", "L1", "R1"}, {"date", "2026-03-02", "2026-03-02"},
			{"flange_height", "1-7/16", "1 3/8"}, {"flange_thickness", ">15/16", ".94"},
			{"vertical_flange", "<1", ">=1"},
			{"tread_hollow", "2.5", "none"}, {"back_to_back", "53-1/16", ""}},
		"frogs": {{"location", "yard"}, {"frog", "8-1"}, {"type", "rbm"}, {"gauge", "4' 8-1/2\""},
			{"flangeway_depth", "1-7/8+"}, {"guard_check", "54-5/8"}, {"date", "2026-03-01"}},
		"curves": {{"location", "west leg"}, {"curve", "C1"}, {"degree", "6\u00b030'"}, {"rail_cant", "1:40"},
			{"lubricated", "high"}, {"date", "2026-03-01"}},
	}
	for sheet, columns := range typed {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range columns {
			at := slices.Index(rows[1], c[0])
			if at < 0 {
				t.Fatalf("%s has no column %s", sheet, c[0])
			}
			for i, v := range c[1:] {
				cell, err := excelize.CoordinatesToCellName(at+1, i+3)
				if err == nil {
					err = f.SetCellStr(sheet, cell, v)
				}
				if err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	answer := func(file string) string {
		out, stderr, code := runFor(t, "check", file, "--plain", "--format", "json", "--fail-on", "never")
		if code != 0 {
			t.Fatal(stderr)
		}
		return regexp.MustCompile(`"survey_sha256": "[0-9a-f]*"`).ReplaceAllString(out, "")
	}
	want := answer(book)
	if !strings.Contains(want, `"as_written": "1-7/16"`) || !strings.Contains(want, `"as_written": "1-7/8+"`) {
		t.Fatal("what was typed was not read")
	}
	for _, locale := range []string{"C.UTF-8", "de_DE.UTF-8"} {
		if got := answer(office(t, book, "xlsx:Calc MS Excel 2007 XML", locale)); got != want {
			t.Errorf("%s: the answer differs after a spreadsheet program saved the workbook", locale)
		}
	}
}

// The result workbook of the demo prints on fewer than 12 pages, each of a sheet with its name.
func TestOfficePrintsTheResult(t *testing.T) {
	fixture.InVolumes(t, "a spreadsheet program takes five seconds to start")
	t.Parallel()
	book := filepath.Join(t.TempDir(), "result.xlsx")
	if _, stderr, code := runFor(t, "check", demo, "--plain", "-o", book, "--fail-on", "never"); code != 0 {
		t.Fatal(stderr)
	}
	pdf := office(t, book, "pdf", "C.UTF-8")
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Skip("no pdftotext here: Debian's package poppler-utils counts the pages")
	}
	pages := strings.Count(string(text), "\f")
	if pages < 5 || pages >= 12 {
		t.Errorf("%d pages", pages)
	}
	t.Logf("%d pages", pages)
	for _, sheet := range []string{"summary", "findings", "limits", "plan", "orders"} {
		if !regexp.MustCompile(`(?m)^` + sheet + `: .*; survey [0-9a-f]{12}; .*page \d+ of \d+`).Match(text) {
			t.Errorf("no page of %s that names itself", sheet)
		}
	}
	if x := regexp.MustCompile(`(flange|guard|point|back)_[a-z]+`).Find(text); x != nil && string(x) != "point_relief" {
		t.Errorf("%s is the name of a column", x)
	}
}
