package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/cmd/flangeway/internal/pocket"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/survey"
)

func newPocketCmd(s streams) *cobra.Command {
	output, source, verify := "", "", ""
	cmd := &cobra.Command{
		Use: "pocket [DIR] -o FILE.html|FOLDER", Short: "make a page that takes readings on a phone",
		Long: `pocket makes one file of a survey: a page that takes readings place by place in
walking order, both wheels of an axle together, and judges each where it is read: by
the plain rules at once, by shapes, forces and what was seen as they are computed. It
keeps every key on the device, and saves or shares the sheets as CSV or all of them as
one workbook. It loads nothing and sends nothing; carry it on the phone and open it in
a browser (a file preview runs no scripts). Where -o is no .html it is a new folder to
be put on a web server of any kind: opened there once, the page stays on the device and
opens without a signal, as iPhones need it.

A page that was damaged, cut off or changed on its way takes no readings. It holds no
secret, so it cannot know one that somebody made anew with other scripts and their sums:
--verify FILE tells, byte for byte, whether a page is the one that this program makes of
the survey. Readings from a page that nobody verified are best merged with the survey
(flangeway merge) instead of copied into it: other settings, limits or older rows than
the survey has are refused there, and the verdicts are always judged anew.

A day's readings are rows of their own under the older ones: what was not read again
is not measured. A traced profile counts for a wheel or curve until something is read
of it; a new trace is named in the sheet afterwards. A date in railroad.yaml becomes
that of the readings. railroad.yaml, limits and traces are saved with the sheets or
the workbook, but not what lies in a folder of the survey. What one phone has saved is
checked as it is, merged with what another has saved (flangeway merge), or put into
the survey's folder.

A released program carries inside what runs in the page. One that was built from the
source builds it when the page is made: that needs an installed Go and the source,
which is looked for in this folder and above, or under --source.
DIR is the folder of a survey; without it this folder.`,
		Example:           "  flangeway pocket my-yard -o yard.html",
		Args:              usageArgs(cobra.MaximumNArgs(1)),
		ValidArgsFunction: completeFolders,
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := "."
			if len(args) > 0 {
				dir = args[0]
			}
			if verify != "" {
				if output != "" {
					return usagef("--verify makes no page: leave out -o")
				}
				return verifyPocket(cmd.Context(), s, dir, verify, source)
			}
			return runPocket(cmd.Context(), s, dir, output, source)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&output, "output", "o", "", "the `file` of the page, .html, or a new folder for a web server")
	f.StringVar(&verify, "verify", "", "tell whether this `file` is the page of the survey, as it would be made now")
	f.StringVar(&source, "source", "", "the `folder` of flangeway's source")
	return cmd
}

func runPocket(ctx context.Context, s streams, dir, output, source string) error {
	if output == "" {
		return usagef("-o FILE.html or -o FOLDER is missing: where the page goes")
	}
	file := strings.EqualFold(filepath.Ext(output), ".html") || strings.EqualFold(filepath.Ext(output), ".htm")
	var check func(*survey.Survey) error
	if file {
		check = func(sv *survey.Survey) error { return writable(output, sv.Own()...) }
	}
	page, sv, work, err := pageOf(ctx, s, dir, source, check)
	if err != nil {
		return err
	}
	defer work.end()
	out := &checkedWriter{w: s.out}
	if !file {
		files, err := page.Folder()
		if err != nil {
			return err
		}
		work.end()
		var list []survey.BlankFile
		for _, name := range slices.Sorted(maps.Keys(files)) {
			list = append(list, survey.BlankFile{Name: name, Data: files[name]})
		}
		if err := placeFiles(output, list, false); err != nil {
			return err
		}
		fmt.Fprintf(out, "%s takes readings of %s places and %s wheels. Put it on a web server (https) and open it "+
			"there once with a signal.\n", cli.Visible(output), paper.Count(len(sv.Track.Features)),
			paper.Count(len(sv.Fleet.Wheels)))
		return out.err
	}
	text, err := page.Bytes()
	if err != nil {
		return err
	}
	work.end()
	if err := writeWhole(output, text, sv.Own()...); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s takes readings of %s places and %s wheels (%.1f MB). Carry it on the phone and open it in a "+
		"browser.\n", cli.Visible(output), paper.Count(len(sv.Track.Features)),
		paper.Count(len(sv.Fleet.Wheels)), float64(len(text))/1e6)
	return out.err
}

// pageOf is the page of a survey; check, if there is one, is asked before it is made. What shows how far it is goes on
// until it is ended.
func pageOf(ctx context.Context, s streams, dir, source string, check func(*survey.Survey) error) (page *pocket.Page,
	sv *survey.Survey, work *progress, err error) {
	if survey.IsWorkbook(dir) {
		return nil, nil, nil,
			inputf("%s is a workbook (expected a folder of CSV sheets: save each sheet as CSV there)", dir)
	}
	if sv, err = survey.Read(dir); err != nil {
		return nil, nil, nil, err
	}
	book, err := sv.Book()
	if err != nil {
		return nil, nil, nil, err
	}
	if len(sv.Track.Features)+len(sv.Fleet.Wheels) == 0 {
		return nil, nil, nil, inputf("%s has no place and no wheel to read (expected rows in its sheets)", dir)
	}
	files, err := filesOf(sv)
	if err != nil {
		return nil, nil, nil, err
	}
	if check != nil {
		if err := check(sv); err != nil {
			return nil, nil, nil, err
		}
	}
	session, err := pocket.Open(files, measure.DateOf(time.Now()).String())
	if err != nil {
		return nil, nil, nil, err
	}
	page = &pocket.Page{Title: "Readings of " + orUnnamed(sv.Railroad), Sum: survey.Digits(sv.Sum(book)), Files: files,
		Things: session.Things(), Words: paper.SpokenColumns()}
	work = startProgress(s.err, watched(s.err), progressAfter, time.Second)
	work.at("building what runs in the page")
	if page.Engine, page.Exec, err = engineOf(ctx, source); err != nil {
		work.end()
		return nil, nil, nil, err
	}
	return page, sv, work, nil
}

// verifyPocket tells whether a file, or a web folder, is the page that is made of a survey.
func verifyPocket(ctx context.Context, s streams, dir, file, source string) error {
	info, err := os.Stat(file)
	if err != nil {
		return inputf("%s: %s", file, regular.Why(err))
	}
	var got []byte
	if !info.IsDir() {
		if got, err = regular.Read(file, mostPage); err != nil {
			return inputf("%s: %s", file, regular.Why(err))
		}
	}
	page, _, work, err := pageOf(ctx, s, dir, source, nil)
	if err != nil {
		return err
	}
	defer work.end()
	var others []string
	if info.IsDir() {
		files, err := page.Folder()
		if err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(files)) {
			got, err := regular.Read(filepath.Join(file, name), mostPage)
			if err != nil || !bytes.Equal(got, files[name]) {
				others = append(others, name)
			}
		}
	} else if others, err = page.Differs(got); err != nil {
		return err
	}
	work.end()
	if len(others) > 0 {
		return inputf("%s is not the page that this program makes of %s: other is %s (expected the same, byte for "+
			"byte; another day's survey or another release makes another page: have it made again)", file, dir,
			strings.Join(others, ", "))
	}
	out := &checkedWriter{w: s.out}
	fmt.Fprintf(out, "%s is the page that this program makes of %s, byte for byte.\n", cli.Visible(file),
		cli.Visible(dir))
	return out.err
}

// mostPage caps a page that is read, in bytes.
const mostPage = 4 * maxCarried

func orUnnamed(name string) string {
	if name == "" {
		return "a railroad without a name"
	}
	return name
}

// maxCarried caps what a page carries of a survey, in bytes.
const maxCarried = 16 << 20

// filesOf are the files of a survey by their names in its folder.
func filesOf(sv *survey.Survey) (map[string][]byte, error) {
	out, left := map[string][]byte{}, int64(maxCarried)
	for _, path := range sv.Carried() {
		name, err := filepath.Rel(sv.Dir, path)
		if err != nil || strings.HasPrefix(name, "..") {
			return nil, inputf("%s stands outside of the folder (expected it beside the sheets)", path)
		}
		if survey.IsWorkbook(name) {
			return nil, inputf("%s is a workbook (expected CSV sheets: save each sheet as CSV beside it)", path)
		}
		data, err := regular.Read(path, left)
		if err != nil {
			return nil, inputf("%s: %s", path, regular.Why(err))
		}
		left -= int64(len(data))
		out[filepath.ToSlash(name)] = data
	}
	return out, nil
}

// enginePackage is the package that is built for the page.
const enginePackage = "./cmd/flangeway/internal/pocket/engine"

// engineOf is the engine, packed, and what runs it: those inside of a released program, else the engine is built and
// what runs it is that of the Go that has built it.
func engineOf(ctx context.Context, source string) (engine []byte, run string, err error) {
	if inside, run, ok := pocket.Built(); ok && source == "" {
		return inside, run, nil
	}
	if source, err = sourceOf(source); err != nil {
		return nil, "", err
	}
	root, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return nil, "", inputf("what runs in the page is built with Go, which cannot be run here (expected an " +
			"installed Go)")
	}
	for _, at := range []string{"lib", "misc"} { // where it lies, and where it lay
		name := filepath.Join(strings.TrimSpace(string(root)), at, "wasm", "wasm_exec.js")
		if text, err := regular.Read(name, 1<<20); err == nil {
			run = string(text)
			break
		}
	}
	if run == "" {
		return nil, "", inputf("the installed Go has no lib/wasm/wasm_exec.js (expected a whole one)")
	}
	dir, err := os.MkdirTemp("", "flangeway-")
	if err != nil {
		return nil, "", inputf("no temporary folder can be made: %s", fault(err))
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "engine.wasm")
	cmd := exec.CommandContext(ctx, "go", "build", "-trimpath", "-ldflags=-s -w", "-o", file, enginePackage)
	cmd.Dir, cmd.Env = source, append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	said, err := cmd.CombinedOutput()
	if ctx.Err() != nil {
		return nil, "", cli.Interrupted("no page was made")
	}
	if err != nil {
		return nil, "", inputf("what runs in the page cannot be built: %s", firstLine(string(said)))
	}
	if engine, err = os.ReadFile(file); err != nil {
		return nil, "", err
	}
	engine, err = pocket.Pack(engine)
	return engine, run, err
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	return line
}

// sourceOf is the folder of flangeway's source: the one that was named, else this one or the nearest above it.
func sourceOf(named string) (string, error) {
	if named != "" {
		if isSource(named) {
			return named, nil
		}
		return "", inputf("%s holds no source of flangeway (expected the folder with its go.mod)", named)
	}
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if isSource(dir) {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", inputf("what runs in the page is built from flangeway's source, which is not in this folder " +
				"nor above it (expected to be run there, or --source FOLDER)")
		}
		dir = up
	}
}

// isSource reports whether a folder holds the module.
func isSource(dir string) bool {
	text, err := regular.Read(filepath.Join(dir, "go.mod"), 1<<20)
	if err != nil || firstLine(string(text)) != "module flangeway" {
		return false
	}
	_, err = os.Stat(filepath.Join(dir, filepath.FromSlash(enginePackage)))
	return !errors.Is(err, os.ErrNotExist)
}
