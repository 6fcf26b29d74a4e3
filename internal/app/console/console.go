// Package console is what every command has: its streams, its errors and what exit code each
// becomes, and the progress that it tells of.
package console

import (
	"context"
	"errors"
	"fmt"
	"io"

	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"

	"github.com/spf13/cobra"
)

// Classify marks the errors of a test that the user can mend, and leaves out
// of them at which block of bodies they came up.
func Classify(err error) error {
	var field *fault.Error
	var rare *anthro.RareError
	switch {
	case errors.As(err, &rare):
		return Input(rare)
	case errors.As(err, &field):
		if many, ok := err.(interface{ Unwrap() []error }); ok && len(many.Unwrap()) > 1 {
			return Input(err)
		}
		return Input(field)
	}
	return err
}

// The exit codes.
const (
	ExitDone        = 0
	ExitFailed      = 1
	ExitUsage       = 2
	ExitUndecided   = 3
	ExitInterrupted = 130
	ExitTerminated  = 143
)

// ExitCodes stands in the help of every command.
const ExitCodes = `Exit codes: 0 done; 1 failed; 2 wrong usage or bad input; 3 done, but too few
draws were made to settle a verdict; 130 interrupted; 143 told to terminate.`

// ErrUndecided ends a command that is done but whose verdict is undecided, for one of two
// reasons.
var (
	ErrUndecided  = errors.New("not settled")
	ErrFewDraws   = fmt.Errorf("%w with this many draws; more --assumption-draws may settle it", ErrUndecided)
	ErrNobodyDoes = fmt.Errorf("%w: no simulated body can take the posture", ErrUndecided)
)

// What is said of any command that was stopped.
var (
	ErrInterrupted = errors.New("interrupted, nothing half-written is left")
	ErrTerminated  = errors.New("told to terminate, nothing half-written is left")
)

// InputError is a fault in what the user gave.
type InputError struct{ error }

func (e InputError) Unwrap() error { return e.error }

// Input marks an error as a fault in what the user gave.
func Input(err error) error {
	if err == nil {
		return nil
	}
	return InputError{err}
}

// Environment is what a command may touch of the world outside.
type Environment struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
}

// Print prints a text, unless what the user gave has none.
func (e *Environment) Print(text []byte, err error) error {
	if err != nil {
		return Input(err)
	}
	_, err = e.Stdout.Write(text)
	return err
}

// ExitCode is the one place where errors become exit codes.
func ExitCode(err error) int {
	var bad InputError
	switch {
	case err == nil:
		return ExitDone
	case errors.Is(err, context.Canceled):
		return ExitInterrupted
	case errors.Is(err, ErrUndecided):
		return ExitUndecided
	case errors.As(err, &bad):
		return ExitUsage
	}
	return ExitFailed
}

// NewGroup is a command that has others and does nothing by itself.
func NewGroup(use, short, long string, commands ...*cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: use, Short: short, Long: long}
	c.AddCommand(commands...)
	return c
}

// NewList is the command list of another: a line for each name.
func NewList(env *Environment, short, long string, names []string, line func(name string) (string, error)) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: short, Long: long, Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			for _, name := range names {
				text, err := line(name)
				if err != nil {
					return err
				}
				if _, err := fmt.Fprint(env.Stdout, words.Folded(text)); err != nil {
					return err
				}
			}
			return nil
		},
	}
}
