package main

import (
	"bufio"
	"fmt"
	"io"
)

// startScreen is for whoever opens the program by a double click.
const startScreen = `flangeway judges every wheel on every frog, switch, curve, joint and gauge spot.
It has no window of its own. There are two ways to use it:

1. Drag a survey onto the program's icon: a folder of sheets or a workbook
   (.xlsx). The table appears in a window like this one.

2. Open a command prompt (press the Windows key, type cmd, press Enter) in the
   folder of the program, and type:

   flangeway blank --xlsx my-yard        an empty survey to fill in
   flangeway check my-yard               the table of a survey
   flangeway check my-yard -o yard.xlsx  the same as a workbook
   flangeway --help                      everything else

flangeway releases no track and no cars: a qualified person under the governing
rule does.
`

// start runs the program. If it was opened from the desktop, by a double click or with something dragged onto it, its
// window would close at once: it waits for Enter.
func start(args []string, desktop bool, in io.Reader, out, errw io.Writer) int {
	fatal()
	if !desktop {
		return run(args, in, out, errw)
	}
	code := exitOK
	if len(args) == 0 {
		fmt.Fprint(out, startScreen)
	} else {
		code = run(args, in, out, errw)
	}
	fmt.Fprint(out, "\nPress Enter to close this window.")
	_, _ = bufio.NewReader(in).ReadString('\n')
	return code
}
