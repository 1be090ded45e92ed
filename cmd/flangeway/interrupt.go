package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"flangeway/cmd/flangeway/internal/cli"
)

// signalError is the signal that ended a run.
type signalError struct{ number syscall.Signal }

func (s signalError) Error() string { return fmt.Sprintf("ended by the signal %d", int(s.number)) }

// untilSignal is a context that an interrupt ends, a request to terminate, or the closing of the terminal unless the
// program was started to outlive it. The next one ends the program in the system's way.
func untilSignal() (ctx context.Context, stop func()) {
	ctx, cancel := context.WithCancelCause(context.Background())
	heard := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		heard = append(heard, syscall.SIGHUP)
	}
	got := make(chan os.Signal, 1)
	signal.Notify(got, heard...)
	go func() {
		select {
		case s := <-got:
			signal.Stop(got)
			number, ok := s.(syscall.Signal)
			if !ok {
				number = syscall.SIGINT
			}
			cancel(signalError{number})
		case <-ctx.Done():
			signal.Stop(got)
		}
	}()
	return ctx, func() { cancel(nil) }
}

// interruptedCode is the exit code of a run that a signal ended, that of shells: 128 and the number of the signal.
func interruptedCode(ctx context.Context) int {
	var s signalError
	if errors.As(context.Cause(ctx), &s) {
		return exitSignal + int(s.number)
	}
	return exitInterrupted
}

// unlessInterrupted waits for work that writes nothing, or for an interrupt: the work is then left alone and the
// program ends around it. What the work sets must not be looked at behind its error.
func unlessInterrupted(ctx context.Context, work func() error) error {
	done := make(chan error, 1)
	go func() { done <- work() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return cli.Interrupted("there is no result")
	}
}
