//go:build unix

package main

import (
	"runtime/debug"
	"syscall"
)

// fatal makes a run that the runtime itself breaks off, because there is no memory left, end by the signal of an abort:
// it would end with 2, which is a mistake on the command line. The memory is not kept in a file.
func fatal() {
	debug.SetTraceback("crash")
	_ = syscall.Setrlimit(syscall.RLIMIT_CORE, &syscall.Rlimit{})
}
