package person

import (
	"context"
	"io"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/person/said"
	"counterpoise/sim/person"

	"github.com/spf13/cobra"
)

func ReadinessCommand(env *console.Environment) (*Flags, *cobra.Command) {
	o := NewFlags()
	c := &cobra.Command{
		Use: "readiness <file or folder>...", Short: "Say what simple tests of strength show about a hold, and which to do next", Args: cobra.MinimumNArgs(1),
		Long: `Say what gives out first in a hold, which test to do next, and what result is as likely as not
enough: the part of person about strength. Before any test that is of an untrained person of that
size. Tests are turned into bounds on what the person's straight arms can pull and push, by what
each test asks of that very body: how many times their own strength the hold asks for, of the
human flag the margin and the weaker side, and what such tests cannot show.

The tests stand in a person's file (see person) and are one-arm hangs and one-arm handstands
against a wall, of any arm, and straight arms on a scale, as often as they were done:

  tests:
    one_arm_hang:
      - {side: left, held: 20 s, added: 5 kg}        # or assisted: 8 kg
      - {side: right, held: 31 s}
    one_arm_handstand: {side: right, held: 8 s, fingers: 6 kg, wall_distance: 20 cm}
    scale:
      - {side: right, hand: up, angle: 135 deg, reads: 14 kg}
      - {side: left, hand: push, reads: 60 kg}

fingers is what a scale under the other hand's fingers reads, added a load that is worn. On a
luggage or bathroom scale a straight arm pulls or presses as hard as it can, standing upright, the
scale square to the arm at the hand: hand says where it goes, down or up with the arm out at the
side (adduction, abduction), back or forward with it in front (extension, flexion), at the angle
between arm and trunk (0 deg hanging), or push or pull along the arm, without an angle.

The tests say how strong the person is, in every group as far as they tell; in that strength the
hold's difficulty is given, the share of draws in which it could be held, what gives out, and what
results would be enough. While what gives out was never tested, no time is promised. A held time is turned into a share
of the greatest force by a published relation, --endurance.`,
		RunE: func(c *cobra.Command, args []string) error {
			o.Given = flags.GivenFlags(c.Flags())
			return RunReadiness(c.Context(), env, o, args)
		},
	}
	o.AddFlags(c.Flags())
	return o, c
}

func RunReadiness(ctx context.Context, env *console.Environment, o *Flags, paths []string) error {
	persons, stamp, err := o.load("readiness", paths)
	if err != nil {
		return err
	}
	if !o.Options.Judges() {
		_, err := person.Ready(ctx, persons[0].Person, o.Options) // which says why
		return o.fault(&persons[0], err)
	}
	answers, err := o.answers(ctx, persons, o.Options.N, nil)
	if err != nil {
		return err
	}
	summary, err := output.Indented(said.SummariseReadiness(answers, stamp))
	if err != nil {
		return err
	}
	return output.Publish(env, nil, o.Json, "", summary, nil, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = said.PersonNotes(answers[i].Result, o.System)
		}
		if o.All {
			return said.ReadinessText(w, answers, o.System)
		}
		return said.FirstReadiness(w, answers, o.System)
	})
}
