package cli

import (
	"fmt"
	"strings"

	"counterpoise/internal/report"
	"counterpoise/sim/hold"

	"github.com/spf13/cobra"
)

func newHold(env *environment) *cobra.Command {
	c := &cobra.Command{
		Use: "hold", Short: "List and describe the holds",
		Long: "A hold is a static position: a pose, its supports, and what it asks for.\n\n" + exitCodes,
	}
	c.AddCommand(&cobra.Command{
		Use: "list", Short: "List the holds", Args: cobra.NoArgs,
		Long: "List the holds with a word on each.\n\n" + exitCodes,
		RunE: func(*cobra.Command, []string) error {
			for _, h := range hold.All() {
				if _, err := fmt.Fprintf(env.stdout, "%-18s %s\n", h.Name, h.Description); err != nil {
					return err
				}
			}
			return nil
		},
	}, &cobra.Command{
		Use: "show <name>", Short: "Describe a hold: supports, demands, assumptions, limits", Args: cobra.ExactArgs(1),
		Long:              "Describe a hold: its plane, supports and free posture, what it asks for under each model,\nwhich assumptions enter, and what the model leaves out.\n\n" + exitCodes,
		ValidArgsFunction: cobra.FixedCompletions(hold.Names(), cobra.ShellCompDirectiveNoFileComp),
		RunE: func(_ *cobra.Command, args []string) error {
			h, ok := hold.Parse(args[0])
			if !ok {
				return input(fmt.Errorf("unknown hold %q%s; known are %s", args[0], didYouMean(args[0], hold.Names()), strings.Join(hold.Names(), ", ")))
			}
			_, err := fmt.Fprint(env.stdout, describeHold(h))
			return err
		},
	})
	return c
}

// describeHold says everything about a hold.
func describeHold(h *hold.Hold) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n%s\n\n", h.Title, h.Name, h.Description)
	fmt.Fprintf(&b, "Plane         %s\n", h.Plane)
	for i, s := range h.Supports {
		fmt.Fprintf(&b, "%-14s%s\n", map[bool]string{true: "Supports"}[i == 0], s)
	}
	fmt.Fprintf(&b, "Free posture  %s\n", h.Free)
	var legs []string
	for _, f := range h.LegForms {
		legs = append(legs, f.String())
	}
	fmt.Fprintf(&b, "Legs          %s\n", strings.Join(legs, ", "))
	for _, m := range h.Models {
		fmt.Fprintf(&b, "\nUnder the model %s it asks for\n", m)
		for _, d := range h.Asks(m) {
			info := d.Info()
			unit := strings.Replace(info.Unit, "rad", "deg", 1)
			if unit == "" {
				unit = "-"
			}
			fmt.Fprintf(&b, "  %-24s %-6s %s\n", info.Name, unit, info.Meaning)
		}
		fmt.Fprintf(&b, "and takes for granted, beside what makes a body,\n")
		for _, id := range h.Assumptions(m) {
			a := id.Info()
			fmt.Fprintf(&b, "  %-24s %.4g (%.3g to %.3g) %s: %s\n", a.Name, a.Default, a.Low, a.High, a.Unit, a.Meaning)
		}
	}
	fmt.Fprintf(&b, "\nLeft out\n")
	for _, s := range h.LeavesOut {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	fmt.Fprintf(&b, "\n%s\n%s\n", report.NotValidated, report.Cautions)
	return b.String()
}
