package cli

import (
	"slices"
	"strings"

	"counterpoise/internal/app/club"
	"counterpoise/internal/app/drivers"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/draw"
	"counterpoise/internal/holds"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/segment"
	"counterpoise/sim/strength"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// What files end in.
var (
	ofYAML   = []string{"yaml", "yml"}
	ofPeople = []string{"json"}
	ofTables = []string{"csv", "xlsx"}
)

// flagValues is how the value of each flag is completed, by its name or, where one command
// means something else by it, by that of the command and the flag. A test fails for a flag
// that is not here.
var flagValues = map[string]cobra.CompletionFunc{
	"along":            oneOf(fixed(body.QuantityNames)),
	"assist":           settings(body.PointNames),
	"assume":           settings(study.AssumptionNames),
	"assumption-draws": free,
	"before":           files(ofTables),
	"card":             oneOf(fixed(func() []string { return names.Of(club.CardSizes) })),
	"evidence-at":      free,
	"endurance":        oneOf(fixed(func() []string { return names.All(strength.NumEndurances) })),
	"format":           oneOf(fixed(func() []string { return sweep.TableFormats })),
	"hold":             oneOf(fixed(holds.Names), ofYAML...),
	"language":         oneOf(fixed(func() []string { return names.Of(words.Languages) })),
	"legs":             oneOf(legForms),
	"load":             settings(body.PointNames),
	"max-evaluations":  free,
	"means":            several(settable(study.ConditionNames)),
	"model":            oneOf(func(c *cobra.Command, args []string) []string { return names.Of(holdOf(c, args).Models) }),
	"models":           several(fixed(study.ModelNames)),
	"n":                free,
	"of":               oneOf(demands),
	"out":              folders,
	"people":           several(fixed(anthro.Names), ofPeople...),
	"person":           files(ofYAML),
	"port":             free,
	"pose":             unspaced(oneOf(variants)),
	"regional-masses":  several(fixed(study.MassesNames)),
	"sds":              several(settable(study.ConditionNames)),
	"seed":             free,
	"segments":         several(fixed(segment.Names)),
	"sex":              oneOf(fixed(func() []string { return names.Of(flags.Sexes) })),
	"shard":            free,
	"shares":           several(settable(study.ConditionNames)),
	"size":             oneOf(fixed(func() []string { return names.Of(draw.Sizes) })),
	"sobol":            oneOf(fixed(func() []string { return drivers.SobolNames[:2] })), // groups are refused
	"static":           folders,
	"theme":            oneOf(fixed(func() []string { return names.Of(draw.Themes) })),
	"units":            oneOf(fixed(func() []string { return words.Systems[:] })),
	"until":            free,
	"where":            settings(study.ConditionNames),
	"workers":          free,
	"working-share":    free,

	"hold show --people":      oneOf(fixed(anthro.Names), ofPeople...),
	"hold untrained --people": several(fixed(anthro.Names)),
	"people from --out":       files(ofPeople),
	"repeat --people":         files(ofPeople),
}

// argumentValues is how the arguments of each command that has some are completed.
var argumentValues = map[string]cobra.CompletionFunc{
	"claim show":      once(oneOf(fixed(study.ClaimNames))),
	"claim test":      others(oneOf(fixed(study.ClaimNames), ofYAML...)),
	"club":            once(files(ofTables)),
	"data csv":        once(files([]string{"parquet"})),
	"data dictionary": once(files([]string{"parquet"})),
	"docs":            once(folders),
	"docs schema":     once(oneOf(fixed(schemaNames))),
	"gather":          once(folders),
	"hold check":      once(files(ofYAML)),
	"hold new":        free,
	"hold show":       once(oneOf(fixed(holds.Names), ofYAML...)),
	"hold untrained":  others(oneOf(fixed(holds.Names), ofYAML...)),
	"people draw":     once(oneOf(fixed(anthro.Names), ofPeople...)),
	"people from":     once(files(ofTables)),
	"people show":     once(oneOf(fixed(anthro.Names), ofPeople...)),
	"person":          files(ofYAML),
	"readiness":       files(ofYAML),
	"repeat":          once(files([]string{"json", "parquet", "csv", "arrow", "html"})),
	"sweep":           once(files(ofYAML)),
	"verify":          once(files([]string{"json", "parquet", "csv", "arrow", "html"})),
}

// complete makes shells complete the flags and arguments of a command and all below it.
func complete(c *cobra.Command) {
	_, path, _ := strings.Cut(c.CommandPath(), " ")
	c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		values, own := flagValues[path+" --"+f.Name]
		if !own {
			values = flagValues[f.Name]
		}
		if values != nil {
			_ = c.RegisterFlagCompletionFunc(f.Name, values) // it fails only for a flag that is not there
		}
	})
	if values := argumentValues[path]; values != nil {
		c.ValidArgsFunction = values
	} else if c.ValidArgsFunction == nil && (c.HasSubCommands() || c.Args != nil && c.Args(c, []string{"any"}) != nil) {
		c.ValidArgsFunction = free // beside the commands below it, which cobra lists
	}
	for _, sub := range c.Commands() {
		complete(sub)
	}
}

// free completes nothing: a number, a name to be invented.
func free(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveNoFileComp
}

func folders(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}

// files completes files that end so, and the folders that they may be in.
func files(extensions []string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return extensions, cobra.ShellCompDirectiveFilterFileExt
	}
}

// A list is what can stand at a place of a command of which the arguments so far are known.
type list func(c *cobra.Command, args []string) []string

func fixed(all func() []string) list {
	return func(*cobra.Command, []string) []string { return all() }
}

// oneOf completes a name or, where none begins so, a file that ends so.
func oneOf(all list, extensions ...string) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		fit := slices.DeleteFunc(slices.Clone(all(c, args)), func(name string) bool { return !strings.HasPrefix(name, typed) })
		if len(fit) == 0 && len(extensions) > 0 {
			return files(extensions)(c, args, typed)
		}
		return fit, cobra.ShellCompDirectiveNoFileComp
	}
}

// several completes the last of several names with commas between.
func several(all list, extensions ...string) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		before, files := typed[:strings.LastIndex(typed, ",")+1], extensions
		if before != "" {
			files = nil // which shells look for by the whole of what was typed
		}
		there := strings.Split(before, ",")
		rest := func(c *cobra.Command, args []string) (fit []string) {
			for _, name := range all(c, args) {
				if !slices.Contains(there, name) {
					fit = append(fit, before+name)
				}
			}
			return fit
		}
		return unspaced(oneOf(rest, files...))(c, args, typed)
	}
}

// unspaced leaves the cursor at the end of a name, as more may follow.
func unspaced(values cobra.CompletionFunc) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		fit, directive := values(c, args, typed)
		return fit, directive | cobra.ShellCompDirectiveNoSpace
	}
}

// settings completes the name in front of "=", and leaves the value free.
func settings(all func() []string) cobra.CompletionFunc { return unspaced(oneOf(settable(all))) }

// settable puts "=" behind names.
func settable(all func() []string) list {
	return func(*cobra.Command, []string) []string {
		set := slices.Clone(all())
		for i := range set {
			set[i] += "="
		}
		return set
	}
}

// once completes the first argument only.
func once(values cobra.CompletionFunc) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return free(c, args, typed)
		}
		return values(c, args, typed)
	}
}

// others completes every argument, each name once.
func others(values cobra.CompletionFunc) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		fit, directive := values(c, args, typed)
		return slices.DeleteFunc(slices.Clone(fit), func(name string) bool { return slices.Contains(args, name) }), directive
	}
}

// demands are what the hold asks for, of an unknown one all that any hold does.
func demands(c *cobra.Command, args []string) []string {
	if h := holdOf(c, args); h.Asks != nil {
		return names.Of(scenario.DemandsOf(h))
	}
	return names.Of(hold.Demands())
}

// holdOf is the hold that a command is about, by its flag or first argument; one that
// cannot be found is held in all the ways that there are.
func holdOf(c *cobra.Command, args []string) *hold.Hold {
	name := strings.Join(args[:min(len(args), 1)], "")
	if f := c.Flag("hold"); f != nil {
		name = f.Value.String()
	}
	if h, err := study.FindHold(name); err == nil {
		return h
	}
	return &hold.Hold{Models: names.UpTo(hold.NumModels), LegForms: names.UpTo(hold.NumLegForms), Variants: names.UpTo(hold.NumVariants)}
}

// legForms are the forms of the legs, a straddle with an angle, which it needs.
func legForms(c *cobra.Command, args []string) []string {
	list := names.Of(holdOf(c, args).LegForms)
	for i, name := range list {
		if name == hold.Straddle.String() {
			list[i] = flags.StraddleExample
		}
	}
	return list
}

// variants are the parts of a pose, those that are a length with what stands before it.
func variants(c *cobra.Command, args []string) (list []string) {
	for _, v := range holdOf(c, args).Variants {
		name := v.String()
		if v.Info().Unit != "" {
			name += "="
		}
		list = append(list, name)
	}
	return list
}
