package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// TestReleaseMakesThePage: a released program makes the page where there is no Go and no source, and the same page as a
// program from the source.
func TestReleaseMakesThePage(t *testing.T) {
	if !volume() {
		t.Skip("a release is built with FLANGEWAY_VOLUME=1")
	}
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash on this machine: no release is built here")
	}
	dir, out := t.TempDir(), t.TempDir()
	for name, text := range pocketYard() {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	release := exec.Command(bash, filepath.Join("..", "..", ".ci", "release"), "0.0-try", out)
	release.Env = append(os.Environ(), "TARGETS="+runtime.GOOS+"/"+runtime.GOARCH)
	if said, err := release.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	name := filepath.Join(out, "flangeway-0.0-try-"+runtime.GOOS+"-"+runtime.GOARCH)
	pages := [2]string{filepath.Join(out, "released.html"), filepath.Join(out, "source.html")}
	alone := exec.Command(name, "pocket", dir, "-o", pages[0])
	alone.Dir, alone.Env = t.TempDir(), []string{"HOME=" + t.TempDir()} // no PATH: no Go
	if said, err := alone.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	if _, errs, code := runFor(t, "pocket", dir, "-o", pages[1]); code != 0 {
		t.Fatal(errs)
	}
	var text [2][]byte
	for i, page := range pages {
		if text[i], err = os.ReadFile(page); err != nil {
			t.Fatal(err)
		}
		// The engine is packed by another program, and the sum of it says so.
		from := bytes.Index(text[i], []byte(`<script type="text/plain" id="engine">`))
		if from < 0 || len(text[i])-from < 1<<20 {
			t.Fatalf("%s holds no engine", page)
		}
		at := bytes.Index(text[i], []byte("{ survey: "))
		text[i] = append(append([]byte(nil), text[i][bytes.Index(text[i], []byte("<body>")):at]...),
			text[i][at+200:from]...)
	}
	if !bytes.Equal(text[0], text[1]) {
		t.Error("the pages of a release and of the source differ")
	}
}
