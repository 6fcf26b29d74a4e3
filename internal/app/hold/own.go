package hold

import (
	"fmt"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/chart"
	"counterpoise/internal/freebody"
	"counterpoise/internal/study"
	"counterpoise/internal/words"

	"github.com/spf13/cobra"
)

func newHoldNew(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "new [name]", Short: "Write a file that describes a hold, to be changed into one of your own", Args: cobra.MaximumNArgs(1),
		Long: `Write a commented file that describes a hold: where each part of the body points, what holds it
up, which angle is free and what fixes it. The file works as it is; change it into your own hold,
and check it:

  counterpoise hold new my-lever > my-lever.yaml
  counterpoise hold check my-lever.yaml

Wherever a command takes a hold's name, it also takes the path of such a file, with a slash or the ending
.yaml: in claims, persons and sweeps (from the folder of the file that names it), and behind --hold.`,
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := study.NewHold(strings.Join(args, ""))
			if err != nil {
				return console.Input(err)
			}
			_, err = env.Stdout.Write(text)
			return err
		},
	}
}

func newHoldCheck(env *console.Environment) *cobra.Command {
	var out flags.Path
	var all bool
	shown := flags.DefaultLook()
	c := &cobra.Command{
		Use: "check <file>", Short: "Check a file that describes a hold, and say what it makes of the hold", Args: cobra.ExactArgs(1),
		Long: `Read a file that describes a hold (see hold new), and say in words what statics makes of it: which
forces the supports carry, what gives them, what balance does not fix and what does; and what it takes
of an average man and woman. With --full: also which muscles decide how hard it is, which strengths are not known at the hold's angles, which
assumptions it uses, and every demand on the median man and woman of the US public.

With --out, a folder gets the free-body diagram: free-body.svg, .png, .pdf, and .alt.txt.

Exit code 2 means that the file has faults: each has a line with the file, the line, the field, what
was found and what is allowed.`,
		RunE: func(_ *cobra.Command, args []string) error {
			return runHoldCheck(env, args[0], string(out), all, shown)
		},
	}
	shown.AddFlags(c)
	flags.AddFull(c.Flags(), &all)
	c.Flags().Var(&out, "out", "folder for the free-body diagram")
	return c
}

func runHoldCheck(env *console.Environment, file, folder string, all bool, l flags.Look) (failed error) {
	if err := l.Check(); err != nil {
		return err
	}
	o, h, err := study.LoadHold(file)
	if err != nil {
		return console.Input(err)
	}
	check, err := CheckHold(o, h)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	var text strings.Builder
	if all {
		fmt.Fprintf(&text, "%s is in order.\n\n", file)
		err = HoldCheckText(&text, check)
		fmt.Fprintf(&text, "\n%s\n%s\n", words.NotValidated, words.Cautions)
	} else {
		err = FirstHoldCheck(&text, file, check)
	}
	if err != nil {
		return err
	}
	if held := check.Held(); folder != "" && held != nil {
		if failed = drawFreeBody(env, held, folder, l); failed != nil {
			return failed
		}
	}
	_, err = fmt.Fprint(env.Stdout, words.Folded(text.String()))
	return err
}

// drawFreeBody writes the free-body diagram of a body that is held up into a folder.
func drawFreeBody(env *console.Environment, held *freebody.HeldBody, folder string, l flags.Look) (failed error) {
	figure, err := freebody.FreeBodyOf(held)
	if err != nil {
		return err
	}
	out, err := output.OpenFolder(folder)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	return output.Draw(env, l, output.PlacedIn(out.Path, []chart.Named{{Name: "free-body", Figure: figure}}))
}
