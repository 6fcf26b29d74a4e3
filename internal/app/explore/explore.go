// Package explore is the command that serves the explore page, or writes it as a site.
package explore

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"counterpoise/internal/app/claim"
	"counterpoise/internal/app/claim/evidence"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/explorer"
	"counterpoise/internal/holds"
	"counterpoise/internal/site"
	"counterpoise/sim/hold"

	"github.com/spf13/cobra"
)

// exploreOptions are the flags of explore.
type exploreOptions struct {
	port   int
	static flags.Path
	holds  []string // names or files of holds
}

// Command is the command explore.
func Command(env *console.Environment) *cobra.Command {
	o := &exploreOptions{}
	c := &cobra.Command{
		Use: "explore", Short: "Serve a page to enter a body and see its hold, or write it as a site", Args: cobra.NoArgs,
		Long: `Serve a page on this machine's own address (127.0.0.1), where somebody enters what they know of
their body and sees the hold: where the hands go, what it takes, how sure that is, what a change
does. This program computes for it; nothing leaves the machine. An interrupt ends it well, with exit
code 0, and so does a signal to terminate.

With --static, the page is written into a folder instead, for any host of static files, with the
simulation compiled to WebAssembly: visitors' browsers then compute. That needs the Go toolchain and
this program's source, so run it in a clone: go run ./cmd/counterpoise explore --static site

With --hold, the page that is served offers a hold of your own as well, and begins with it; see
hold new.`,
		RunE: func(c *cobra.Command, _ []string) error {
			if o.port < 0 || o.port > 65535 {
				return console.Input(fmt.Errorf("--port: found %d, allowed: 0 to 65535", o.port))
			}
			if c.Flags().Changed("static") {
				if c.Flags().Changed("port") {
					return console.Input(errors.New("--port is of no use with --static, leave one of them out"))
				}
				if len(o.holds) > 0 {
					return console.Input(errors.New("--hold is of no use with --static: visitors' browsers know the shipped holds only; leave one of them out"))
				}
				return WriteSite(c.Context(), env, ExploreSite(), string(o.static))
			}
			own, err := o.own()
			if err != nil {
				return err
			}
			return serveSite(c.Context(), env, o.port, own)
		},
	}
	f := c.Flags()
	f.IntVar(&o.port, "port", 0, "port to serve on; 0 takes a free one")
	f.StringArrayVar(&o.holds, "hold", nil, "file of a hold of your own to offer and begin with, or the name of a shipped one to begin with; may be repeated")
	f.Var(&o.static, "static", "folder to write the page into as static files")
	return c
}

// own finds the holds that the page is to begin with.
func (o *exploreOptions) own() ([]*hold.Hold, error) {
	if len(o.holds) == 0 {
		return nil, nil
	}
	return flags.HoldsNamed(o.holds)
}

// ExploreSite is the site that both ways make, with holds of one's own beside those that
// are shipped.
func ExploreSite(own ...*hold.Hold) *site.Site {
	own = slices.DeleteFunc(slices.Clone(own), func(h *hold.Hold) bool { return slices.Contains(holds.All(), h) })
	return &site.Site{Explorer: explorer.New(explorer.Shipped, own...), Evidence: Evidence, Verify: evidence.Answer}
}

// Evidence tests a shipped claim, at the defaults of claim test, and returns its page.
func Evidence(ctx context.Context, name string) ([]byte, error) {
	return claim.Evidence(ctx, name, "../"+site.Sayings)
}

// serveSite serves until interrupted, which is how it ends well. The page begins with the
// first of the holds, where there are any.
func serveSite(ctx context.Context, env *console.Environment, port int, begin []*hold.Hold) error {
	listener, err := site.Listen(port)
	if err != nil {
		return fmt.Errorf("--port %d: %w", port, err)
	}
	at := fmt.Sprintf("http://%s/", listener.Addr())
	if len(begin) > 0 {
		at += "#hold=" + begin[0].Name
	}
	if _, err := fmt.Fprintln(env.Stdout, at); err != nil {
		listener.Close()
		return err
	}
	fmt.Fprintln(env.Stderr, "counterpoise: serving on this machine only; an interrupt ends it")
	return ExploreSite(begin...).Serve(ctx, listener)
}

// WriteSite writes a static site.
func WriteSite(ctx context.Context, env *console.Environment, s *site.Site, folder string) (failed error) {
	out, err := output.OpenFolderOf("--static", folder)
	if err != nil {
		return err
	}
	defer out.Close()
	compiled, err := site.Build(ctx, "")
	if err != nil {
		return err
	}
	bar := console.NewProgress(env.Stderr)
	err = s.Write(ctx, out.Path, compiled, func(done, total int) { bar.Update("sayings", done, total) })
	bar.Done()
	if err != nil {
		return err
	}
	return out.Commit("explore")
}
