package data

import (
	"fmt"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/outcome"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

// newDictionary is the command that explains columns.
func newDictionary(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "dictionary [table.parquet]", Short: "Explain the columns of tables: meaning, unit and source", Args: cobra.MaximumNArgs(1),
		Long: `Explain every column of a table that the tool wrote: its unit, what it means and where its values
come from. Without a table, explain what columns are named after: measurements, traits of bodies,
demands and assumptions. A demand's column begins with the name of the model where a table has
several, and says at its end at which body or over what it is: before, after, effect; p5, median.`,
		RunE: func(_ *cobra.Command, args []string) error {
			var b strings.Builder
			if len(args) == 0 {
				for _, of := range families() {
					fmt.Fprintf(&b, "%s: %s\n\n", of.title, of.source)
					for _, c := range of.columns {
						explain(&b, c, "")
					}
				}
			} else {
				r, err := table.Open(args[0])
				if err != nil {
					return console.Input(err)
				}
				defer r.Close()
				for _, c := range r.Columns() {
					explain(&b, c, sourceOf(c.Name))
				}
			}
			_, err := fmt.Fprint(env.Stdout, words.Folded(b.String()))
			return err
		},
	}
}

// explain writes what a column is.
func explain(b *strings.Builder, c table.Column, source string) {
	unit := ""
	if c.Unit != "" {
		unit = " (" + c.Unit + ")"
	}
	fmt.Fprintf(b, "%s%s\n    %s\n", c.Name, unit, words.Capital(c.Description))
	if source != "" {
		fmt.Fprintf(b, "    source: %s\n", source)
	}
}

// family is columns whose values come from one source.
type family struct {
	title, source string
	columns       []table.Column
}

// families are the columns that are named after something.
func families() []family {
	return []family{
		{"Measurements", "measured on a person, or drawn from the survey of the people (counterpoise data)", names.Each(names.UpTo(anthro.NumVariables), func(m anthro.Measurement) table.Column {
			return table.Column{Name: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}
		})},
		{"Traits of bodies", "computed from the body's measurements and the segment table", names.Each(names.UpTo(body.NumTraits), func(t body.Trait) table.Column {
			return table.Column{Name: t.Column(), Unit: t.Info().Unit, Description: t.Info().Meaning}
		})},
		{"Demands", "computed by the statics of the hold under a model", names.Each(hold.Demands(), func(d hold.Demand) table.Column {
			ending, unit := outcome.ColumnUnit(d)
			return table.Column{Name: d.String() + ending, Unit: unit, Description: d.Meaning}
		})},
		{"Assumptions", "drawn over their ranges, or fixed; each has its source in counterpoise data assumptions", names.Each(assume.All(), func(a assume.Assumption) table.Column {
			return table.Column{Name: a.Name, Description: a.Meaning + ", " + words.AssumptionUnit(a.ID)}
		})},
	}
}

// sourceOf says where the values of a column come from: of an assumption its own source, of
// others that of what they are named after.
func sourceOf(column string) string {
	if id, ok := assume.Parse(column); ok {
		return id.Info().Source
	}
	all := families()
	for _, of := range all {
		for _, c := range of.columns {
			if c.Name == column {
				return of.source
			}
		}
	}
	for _, d := range hold.Demands() {
		if strings.Contains(column, d.String()) {
			return all[2].source
		}
	}
	return "the computation itself: what was drawn, of whom, and how"
}
