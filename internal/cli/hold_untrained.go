package cli

import (
	"counterpoise/internal/report"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"

	"github.com/spf13/cobra"
)

func newHoldUntrained(env *environment) *cobra.Command {
	asJSON := false
	c := &cobra.Command{
		Use: "untrained", Short: "Say what every hold asks of untrained women and men, and who could", Args: cobra.NoArgs,
		Long: `Print a table of all holds for untrained women and men of the surveyed sizes, in equilibrium: how
many times the strength of the median untrained adult of the same sex and size the hold asks for,
the share of untrained adults who could hold it for a moment, and what gives out first. hold show
says the same of one hold, also with other legs and poses.`,
		RunE: func(*cobra.Command, []string) error { return runHoldUntrained(env, asJSON) },
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON in place of text")
	return c
}

func runHoldUntrained(env *environment, asJSON bool) error {
	var rows []report.UntrainedRow
	for _, h := range hold.All() {
		of, err := report.UntrainedIn(h, hold.Posture{})
		if err != nil {
			return err
		}
		rows = append(rows, of...)
	}
	if !asJSON {
		return report.UntrainedTable(env.stdout, rows)
	}
	stamp, err := newStamp(struct {
		Command string   `json:"command"`
		Holds   []string `json:"holds"`
		People  []string `json:"people"`
		Bodies  int      `json:"bodies"`
	}{"hold untrained", hold.Names(), anthro.Names(), report.UntrainedBodies}, report.UntrainedSeed, assume.Defaults())
	if err != nil {
		return err
	}
	text, err := indented(report.SummariseUntrained(rows, stamp))
	if err != nil {
		return err
	}
	_, err = env.stdout.Write(text)
	return err
}
