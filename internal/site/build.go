package site

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"

	"counterpoise/internal/provenance"
)

// WebAssembly is the simulation as browsers run it.
type WebAssembly struct {
	Module []byte // compiled
	Verify []byte // what runs a page of evidence again, compiled
	Loader []byte // the Go toolchain's JavaScript that starts it
}

// The programs that answer the page's questions in a browser.
const (
	webCommand    = "counterpoise/cmd/counterpoise-web"
	verifyCommand = "counterpoise/cmd/counterpoise-verify"
)

// ErrNoSource tells that the simulation cannot be compiled here.
var ErrNoSource = errors.New("the simulation is compiled for browsers by the Go toolchain from this program's source: " +
	"run it in a clone of the source, with go on the path")

// Build compiles the simulation with the Go toolchain, from the module that the folder
// ("" for the current one) lies in. The error wraps ErrNoSource where there is no
// toolchain, or the folder is in another module or none.
func Build(ctx context.Context, folder string) (*WebAssembly, error) {
	run := func(arguments ...string) (string, error) {
		var out, complaints bytes.Buffer
		command := exec.CommandContext(ctx, "go", arguments...)
		command.Dir, command.Stdout, command.Stderr = folder, &out, &complaints
		command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
		err := command.Run()
		if err != nil && ctx.Err() != nil {
			return "", ctx.Err()
		}
		if err != nil && complaints.Len() > 0 {
			err = errors.New(strings.ReplaceAll(strings.TrimSpace(complaints.String()), "\n", "; "))
		}
		return strings.TrimSpace(out.String()), err
	}
	root, err := run("env", "GOROOT")
	if err != nil {
		return nil, fmt.Errorf("%w (%v)", ErrNoSource, err)
	}
	if _, err := run("list", webCommand); err != nil {
		return nil, fmt.Errorf("%w (%v)", ErrNoSource, err)
	}
	scratch, err := os.MkdirTemp("", "counterpoise-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(scratch)
	w := &WebAssembly{}
	for command, module := range map[string]*[]byte{webCommand: &w.Module, verifyCommand: &w.Verify} {
		at := filepath.Join(scratch, path.Base(command))
		// Neither symbols nor paths, and this program's own version.
		if _, err := run("build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -X counterpoise/internal/provenance.version="+provenance.Version(), "-o", at, command); err != nil {
			return nil, fmt.Errorf("compiling the simulation for browsers: %w", err)
		}
		if *module, err = os.ReadFile(at); err != nil {
			return nil, err
		}
	}
	w.Loader, err = os.ReadFile(filepath.Join(root, "lib", "wasm", loaderFile))
	return w, err
}
