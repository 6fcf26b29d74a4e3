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

	"counterpoise/internal/app/claim"
	"counterpoise/internal/app/club"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/data"
	"counterpoise/internal/app/drivers"
	"counterpoise/internal/app/explore"
	"counterpoise/internal/app/hold"
	"counterpoise/internal/app/people"
	"counterpoise/internal/app/person"
	"counterpoise/internal/app/repeat"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/called"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Main runs the program and returns its exit code. An interrupt, or a signal to terminate,
// stops the command at hand, which leaves nothing half-written.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	interruptible, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	ctx, stop = signal.NotifyContext(interruptible, syscall.SIGTERM)
	defer stop()
	env := &console.Environment{Stdin: stdin, Stdout: stdout, Stderr: stderr}
	root := newRoot(env)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	code := console.ExitCode(err)
	if code == console.ExitInterrupted {
		if err = console.ErrInterrupted; interruptible.Err() == nil {
			code, err = console.ExitTerminated, console.ErrTerminated
		}
	}
	if err != nil {
		for _, line := range strings.Split(err.Error(), "\n") {
			fmt.Fprintf(stderr, "counterpoise: %s\n", line)
		}
	}
	return code
}

// newRoot builds the tree of commands afresh.
func newRoot(env *console.Environment) *cobra.Command {
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
	root.SetIn(env.Stdin)
	root.SetOut(env.Stdout)
	root.SetErr(env.Stderr)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return console.Input(flagError(c, err)) })
	root.SetVersionTemplate("counterpoise {{.Version}}\n")
	root.AddCommand(
		claim.Command(env), person.Command(env), club.Command(env), person.ReadinessCommand(env), drivers.Command(env), hold.Command(env),
		sweep.Command(env), sweep.GatherCommand(env), repeat.Command(env), repeat.VerifyCommand(env), people.Command(env), explore.Command(env), data.Command(env), newDocs(env), newVersion(env),
	)
	// Made here and not on the way, so that they are held to the same rules.
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	complete(root)
	harden(root)
	return root
}

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
	c.Long = words.Filled(c.Long) + "\n" + console.ExitCodes
	if c.Name() == "help" {
		c.Run, c.RunE = nil, help
	}
	if c.HasSubCommands() && c.RunE == nil {
		c.RunE = func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return console.Input(fmt.Errorf("unknown command %q for %q%s", args[0], c.CommandPath(), suggestCommand(c, args[0])))
			}
			return c.Help()
		}
		c.Args = cobra.ArbitraryArgs
	}
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error { return console.Input(check(c, args)) }
	}
	for _, sub := range c.Commands() {
		harden(sub)
	}
}

// help prints the help of the command that args name.
func help(c *cobra.Command, args []string) error {
	named, rest, err := c.Root().Find(args)
	if err != nil {
		return console.Input(err)
	}
	if len(rest) > 0 {
		return console.Input(fmt.Errorf("unknown command %q for %q%s", rest[0], named.CommandPath(), suggestCommand(named, rest[0])))
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

func newVersion(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "version", Short: "Print the version", Args: cobra.NoArgs,
		Long: `Print the version with, where it was recorded, the revision it was built from, and the hash of
the sources that it was built from. Every output carries both.`,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(env.Stdout, "counterpoise %s\nSHA-256 of its sources %s\n", provenance.Version(), cmp.Or(provenance.Code(), "unrecorded"))
			return err
		},
	}
}
