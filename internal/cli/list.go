package cli

import (
	"fmt"

	"github.com/spf13/cobra"
)

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
				if _, err := fmt.Fprintln(env.stdout, text); err != nil {
					return err
				}
			}
			return nil
		},
	}
}
