package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// Exit codes.
const (
	exitOK       = 0
	exitFindings = 1
	exitUsage    = 2
	exitInput    = 3
	exitInternal = 4
	exitSignal   = 128 // and the number of the signal
	// exitInterrupted is that of Ctrl-C.
	exitInterrupted = exitSignal + 2
)

// The errors that a user can mend, with the exit codes 2 and 3.
type (
	usageError = cli.UsageError
	inputError = cli.InputError
)

func usagef(format string, args ...any) error { return cli.Usagef(format, args...) }

func inputf(format string, args ...any) error { return cli.Inputf(format, args...) }

// errFindings ends a check whose result is printed already.
var errFindings = errors.New("findings at or above --fail-on")

type streams struct {
	in       io.Reader
	out, err io.Writer
	color    *string // --color
}

func run(args []string, in io.Reader, out, errw io.Writer) int {
	ctx, stop := untilSignal()
	defer stop()
	if args == nil {
		args = []string{}
	}
	root := newRootCmd(streams{in: in, out: out, err: errw})
	root.SetArgs(meanCheck(root, args))
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errw)
	cmd, err := root.ExecuteContextC(ctx)
	return report(ctx, errw, cmd, err)
}

// meanCheck puts check before a folder or a workbook that is the only argument. The name of a command always means the
// command.
func meanCheck(root *cobra.Command, args []string) []string {
	if len(args) != 1 || args[0] == "" || strings.HasPrefix(args[0], "-") {
		return args
	}
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd(args...)
	for _, c := range root.Commands() {
		if c.Name() == args[0] || c.HasAlias(args[0]) {
			return args
		}
	}
	if info, err := os.Stat(args[0]); err == nil && info.IsDir() || survey.IsWorkbook(args[0]) {
		return []string{"check", args[0]}
	}
	return args
}

// report prints an error of a command once and gives its exit code.
func report(ctx context.Context, w io.Writer, cmd *cobra.Command, err error) int {
	var problems measure.ProblemsError
	var usage *usageError
	var input *inputError
	var interrupted *cli.InterruptedError
	if err == nil {
		return exitOK
	}
	message := cli.Message(err.Error())
	say := func(s string) { fmt.Fprintln(w, fitted(w, s)) }
	switch {
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &problems):
		say(cli.Messages(problems.Error()))
		return exitInput
	case errors.As(err, &interrupted):
		say("flangeway: error: " + message)
		return interruptedCode(ctx)
	case errors.As(err, &usage):
		hint := "flangeway --help lists the commands and flags"
		if cmd != nil && cmd.HasParent() {
			hint = cmd.CommandPath() + " --help lists its flags and shows examples"
		}
		say("flangeway: error: " + message + "\nflangeway: hint: " + hint)
		return exitUsage
	case errors.As(err, &input), errors.Is(err, survey.ErrNoFolder), errors.Is(err, survey.ErrNoSheets),
		errors.Is(err, survey.ErrForm):
		say("flangeway: error: " + message)
		if runtime.GOOS == "windows" && strings.Contains(err.Error(), `"`) { // which no name there can hold
			say("flangeway: hint: a backslash before the closing quote mark takes in what follows; leave it out")
		}
		return exitInput
	}
	say("flangeway: error: " + message)
	return exitInternal
}

const rootLong = `flangeway joins what the track department measured (frogs, switches, curves,
joints, gauge) with what the car department measured (wheels), and judges every
wheel on every place: what hits what, by how much against the reading error,
whether both are within their own limits, what settles it and what fixes it.

A survey is a folder of CSV sheets, or a workbook (.xlsx) with a sheet per name;
flangeway blank DIR makes an empty one with every column explained. A folder or a
workbook as the only argument means check.

Exit codes: 0 answered, nothing at or above --fail-on; 1 findings (check only);
2 usage; 3 input; 4 internal; 130 interrupted (128 and the number of the signal).

flangeway releases no track and no cars: a qualified person under the governing
rule does.`

func newRootCmd(s streams) *cobra.Command {
	s.color = new(string)
	cmd := &cobra.Command{
		Use: "flangeway", Short: "judge every wheel on every frog, switch, curve, joint and gauge spot", Long: rootLong,
		Example:      "  flangeway blank my-yard\n  flangeway check my-yard",
		SilenceUsage: true, SilenceErrors: true, Version: version(),
		Args: usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) error { return usagef("a command is missing") },
	}
	cmd.PersistentFlags().StringVar(s.color, "color", colorAuto, "`when` headings and conflicts stand out: "+
		strings.Join(colors(), ", "))
	cmd.PersistentPreRunE = func(*cobra.Command, []string) error { return s.knownColor() }
	completeWords(cmd, "color", colors())
	cmd.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return &usageError{Err: err} })
	cmd.AddCommand(newCheckCmd(s), newLimitsCmd(s), newExplainCmd(s), newBlankCmd(s), newSourcesCmd(s), newShapeCmd(s),
		newCurveCmd(s), newPassageCmd(s), newPlanCmd(s), newJobCmd(s), newReportCmd(s), newSinceCmd(s), newMergeCmd(s),
		newPocketCmd(s), newManualCmd())
	s.fillHelp(cmd)
	return cmd
}

// nearCommand suggests the command that a word is mistyped for.
func nearCommand(root *cobra.Command, word string) string {
	names := each.Of(root.Commands(), (*cobra.Command).Name)
	if near := measure.Nearest(word, names); near != "" {
		return fmt.Sprintf(" (did you mean %q?)", near)
	}
	return ""
}

// usageArgs turns a complaint about the number of arguments into a usage error.
func usageArgs(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			use := strings.Fields(cmd.Use)
			switch {
			case !cmd.HasParent():
				return usagef("%q is neither a command nor a survey folder%s", args[0], nearCommand(cmd, args[0]))
			case len(args) == 0:
				return usagef("%s is missing", use[1])
			case len(use) < 2:
				return usagef("%q is too much: %s takes flags only", args[0], cmd.CommandPath())
			}
			takes := "one " + strings.Trim(use[1], "[]")
			if len(use) > 2 {
				takes = strings.Join(use[1:], " ")
			}
			return usagef("%q is too much: %s takes %s (a name with blanks stands in quote marks)", args[len(args)-1],
				cmd.CommandPath(), takes)
		}
		return nil
	}
}
