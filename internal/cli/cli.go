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
	"sync/atomic"
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
	"counterpoise/sim/names"
	"counterpoise/sim/plain"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Main runs the program and returns its exit code. An interrupt, a signal to terminate or
// the end of the terminal
// stops the command at hand, which leaves nothing half-written.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stopped, stop := stoppable(ctx, stderr)
	defer stop()
	env := &console.Environment{Stdin: stdin, Stdout: stdout, Stderr: stderr}
	root := newRoot(env)
	root.SetArgs(args)
	help := &kept{Writer: stdout}
	root.SetOut(help)
	err := root.ExecuteContext(ctx)
	if err == nil {
		err = help.failed
	}
	code := console.ExitCode(err)
	if code == console.ExitInterrupted {
		if code, err = console.ExitInterrupted, console.ErrInterrupted; stopped.Load() == console.ExitTerminated {
			code, err = console.ExitTerminated, console.ErrTerminated
		}
	}
	say(stderr, err)
	return code
}

// say prints an error, a line for each.
func say(stderr io.Writer, err error) {
	if err == nil {
		return
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		fmt.Fprintf(stderr, "counterpoise: %s\n", plain.Shown(line))
	}
}

// stoppable returns a context that the first signal to stop ends, and the exit code of
// that signal, 0 before. A second signal ends the program at once, and so does the first
// where an input is waited for.
func stoppable(ctx context.Context, stderr io.Writer) (context.Context, *atomic.Int64, func()) {
	ctx, cancel := context.WithCancel(ctx)
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	if !signal.Ignored(syscall.SIGHUP) { // as by nohup
		signal.Notify(signals, syscall.SIGHUP)
	}
	stopped := &atomic.Int64{}
	go func() {
		for told := range signals {
			code, err := console.ExitTerminated, console.ErrTerminated
			if told == os.Interrupt {
				code, err = console.ExitInterrupted, console.ErrInterrupted
			}
			switch {
			case !stopped.CompareAndSwap(0, int64(code)):
				os.Exit(code)
			case provenance.Reading():
				say(stderr, err)
				os.Exit(code)
			}
			cancel()
		}
	}()
	return ctx, stopped, func() {
		signal.Stop(signals)
		close(signals)
		cancel()
	}
}

// kept is a writer that keeps its first error, which who writes to it does not look at.
type kept struct {
	io.Writer
	failed error
}

func (k *kept) Write(data []byte) (int, error) {
	n, err := k.Writer.Write(data)
	k.failed = cmp.Or(k.failed, err)
	return n, err
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
		c.Args = func(c *cobra.Command, args []string) error { return console.Input(countError(c, args, check(c, args))) }
	}
	for _, sub := range c.Commands() {
		harden(sub)
	}
}

// countError puts the complaint about the number of arguments into this program's words.
func countError(c *cobra.Command, args []string, err error) error {
	name := strings.TrimPrefix(c.CommandPath(), c.Root().Name()+" ")
	_, wanted, _ := strings.Cut(strings.TrimSuffix(c.UseLine(), " [flags]"), c.CommandPath())
	switch wanted = strings.TrimSpace(wanted); {
	case err == nil || c.HasSubCommands(): // which an unknown command is about
		return err
	case len(args) == 0:
		return fmt.Errorf("%s: %s is needed", name, wanted)
	case wanted == "":
		return fmt.Errorf("%s takes no arguments, found %q", name, args)
	}
	return fmt.Errorf("%s takes %s, found %d arguments: %q", name, wanted, len(args), args)
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
	known := names.Each(c.Commands(), (*cobra.Command).Name)
	if len(known) == 0 {
		return ""
	}
	return called.Suggest(name, known) + "; known: " + strings.Join(known, ", ")
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
