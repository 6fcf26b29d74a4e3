// Package cli is the command line: it turns arguments into calls of the library
// and results into text, files and exit codes. It holds no science.
package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"counterpoise/internal/called"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/sim/plain"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The exit codes.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2
	exitUndecided   = 3
	exitInterrupted = 130
	exitTerminated  = 143
)

// exitCodes stands in the help of every command.
const exitCodes = `Exit codes: 0 done; 1 failed; 2 wrong usage or bad input; 3 done, but a verdict is
not settled with the draws that were made; 130 interrupted; 143 told to terminate.`

// errUndecided ends a command that is done but whose verdict is undecided, for one of two
// reasons.
var (
	errUndecided  = errors.New("not settled")
	errFewDraws   = fmt.Errorf("%w with this many draws; more --assumption-draws may settle it", errUndecided)
	errNobodyDoes = fmt.Errorf("%w: no simulated body can take the posture", errUndecided)
)

// What is said of any command that was stopped.
var (
	errInterrupted = errors.New("interrupted, nothing half-written is left")
	errTerminated  = errors.New("told to terminate, nothing half-written is left")
)

// inputError is a fault in what the user gave.
type inputError struct{ error }

func (e inputError) Unwrap() error { return e.error }

// input marks an error as a fault in what the user gave.
func input(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

// environment is what a command may touch of the world outside.
type environment struct {
	stdin          io.Reader
	stdout, stderr io.Writer
}

// Main runs the program and returns its exit code. An interrupt, or a signal to terminate,
// stops the command at hand, which leaves nothing half-written.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	interruptible, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	ctx, stop = signal.NotifyContext(interruptible, syscall.SIGTERM)
	defer stop()
	env := &environment{stdin, stdout, stderr}
	root := newRoot(env)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	code := exitCode(err)
	if code == exitInterrupted {
		if err = errInterrupted; interruptible.Err() == nil {
			code, err = exitTerminated, errTerminated
		}
	}
	if err != nil {
		for _, line := range strings.Split(err.Error(), "\n") {
			fmt.Fprintf(stderr, "counterpoise: %s\n", plain.Shown(line))
		}
	}
	return code
}

// exitCode is the one place where errors become exit codes.
func exitCode(err error) int {
	var bad inputError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, errUndecided):
		return exitUndecided
	case errors.As(err, &bad):
		return exitUsage
	}
	return exitFailed
}

// newRoot builds the tree of commands afresh.
func newRoot(env *environment) *cobra.Command {
	root := &cobra.Command{
		Use:   "counterpoise",
		Short: "Test rules of thumb about static bodyweight holds over simulated bodies drawn from surveys",
		Long: `counterpoise tests rules of thumb about static bodyweight holds over bodies drawn from open
anthropometric surveys, and says whether a rule is true, for whom, by how much, under which
model and how surely.`,
		Version:       provenance.Version(),
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetIn(env.stdin)
	root.SetOut(env.stdout)
	root.SetErr(env.stderr)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return input(flagError(c, err)) })
	root.SetVersionTemplate("counterpoise {{.Version}}\n")
	root.AddCommand(newClaim(env), commandOf(newPerson(env)), commandOf(newClub(env)), commandOf(newReadiness(env)), commandOf(newDrivers(env)), newHold(env), newSweep(env), newGather(env), newRepeat(env), newPeople(env), newExplore(env), newData(env), newDocs(), newVersion(env))
	// Made here and not on the way, so that they are held to the same rules.
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	complete(root)
	harden(root)
	return root
}

// commandOf leaves out the options that a command comes with.
func commandOf[T any](_ T, c *cobra.Command) *cobra.Command { return c }

// flagError puts the complaints about flags into this program's words.
func flagError(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var value *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		var names []string
		c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		meant := called.Meant(unknown.GetSpecifiedName(), names)
		for i := range meant {
			meant[i] = "--" + meant[i]
		}
		return fmt.Errorf("%w%s", err, called.Hint(meant))
	case errors.As(err, &value):
		if value.GetFlag().Value.Type() == "bool" {
			return fmt.Errorf("--%s: %q is neither true nor false", value.GetFlag().Name, value.GetValue())
		}
		return fmt.Errorf("--%s: %w", value.GetFlag().Name, value.Unwrap())
	}
	return err
}

// harden makes wrong arguments and unknown commands wrong usage, and ends every help
// with the exit codes.
func harden(c *cobra.Command) {
	c.Long = report.Filled(c.Long) + "\n" + exitCodes
	if c.Name() == "help" {
		c.Run, c.RunE = nil, help
	}
	if c.HasSubCommands() && c.RunE == nil {
		c.RunE = func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return input(fmt.Errorf("unknown command %q for %q%s", args[0], c.CommandPath(), suggestCommand(c, args[0])))
			}
			return c.Help()
		}
		c.Args = cobra.ArbitraryArgs
	}
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error { return input(check(c, args)) }
	}
	for _, sub := range c.Commands() {
		harden(sub)
	}
}

// help prints the help of the command that args name.
func help(c *cobra.Command, args []string) error {
	named, rest, err := c.Root().Find(args)
	if err != nil {
		return input(err)
	}
	if len(rest) > 0 {
		return input(fmt.Errorf("unknown command %q for %q%s", rest[0], named.CommandPath(), suggestCommand(named, rest[0])))
	}
	return named.Help()
}

func suggestCommand(c *cobra.Command, name string) string {
	var names []string
	for _, sub := range c.Commands() {
		names = append(names, sub.Name())
	}
	if len(names) == 0 {
		return ""
	}
	return called.Suggest(name, names) + "; known: " + strings.Join(names, ", ")
}

// newGroup is a command that has others and does nothing by itself.
func newGroup(use, short, long string, commands ...*cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: use, Short: short, Long: long}
	c.AddCommand(commands...)
	return c
}

// newList is the command list of another: a line for each name.
func newList(env *environment, short, long string, names []string, line func(name string) (string, error)) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: short, Long: long, Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			for _, name := range names {
				text, err := line(name)
				if err != nil {
					return err
				}
				if _, err := fmt.Fprint(env.stdout, report.Folded(text)); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

func newVersion(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "version", Short: "Print the version", Args: cobra.NoArgs,
		Long: `Print the version with, where it was recorded, the revision it was built from, and the hash of
the sources that it was built from. Every output carries both.`,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(env.stdout, "counterpoise %s\nSHA-256 of its sources %s\n", provenance.Version(), cmp.Or(provenance.Code(), "unrecorded"))
			return err
		},
	}
}
