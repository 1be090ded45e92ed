// Package cli holds what every command shares towards the command line: the two sorts of error that a user can
// mend and the interrupt, each with its own exit code.
package cli

import "fmt"

// UsageError is a mistake on the command line.
type UsageError struct{ Err error }

func (e *UsageError) Error() string { return e.Err.Error() }
func (e *UsageError) Unwrap() error { return e.Err }

// Usagef is a [UsageError] with its text.
func Usagef(format string, args ...any) error { return &UsageError{fmt.Errorf(format, args...)} }

// InputError is input or output that cannot be used.
type InputError struct{ Err error }

func (e *InputError) Error() string { return e.Err.Error() }
func (e *InputError) Unwrap() error { return e.Err }

// Inputf is an [InputError] with its text.
func Inputf(format string, args ...any) error { return &InputError{fmt.Errorf(format, args...)} }

// InterruptedError ends a run that was interrupted; left says what is there of its result.
type InterruptedError struct{ Left string }

func (e *InterruptedError) Error() string { return "interrupted; " + e.Left }

// Interrupted is an [InterruptedError].
func Interrupted(left string) error { return &InterruptedError{left} }
