//go:build js && wasm

// Command counterpoise-web answers the questions of the explore page in a browser, compiled
// to WebAssembly and started by the page's worker.
package main

import (
	"context"
	"runtime/debug"

	"counterpoise/internal/explorer"
	"counterpoise/internal/webcall"
)

func main() {
	// Little memory is used and time matters more: collect garbage less often.
	debug.SetGCPercent(400)
	e := explorer.New(explorer.Shipped)
	webcall.Serve(func(question string, request []byte) []byte {
		answer, _ := e.Ask(context.Background(), question, request) // what went wrong is in the answer
		return answer
	})
}
