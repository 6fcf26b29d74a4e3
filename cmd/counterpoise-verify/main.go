//go:build js && wasm

// Command counterpoise-verify runs again, in a browser, the study that a page of evidence
// carries, and compares: compiled to WebAssembly and started by the page's worker, it leaves
// there a function
//
//	counterpoiseAsk(question, request) → answer
//
// that knows the question "verify", of texts, request and answer in JSON, and then calls
// counterpoiseReady.
package main

import (
	"context"
	"runtime/debug"

	"counterpoise"
	"counterpoise/internal/app/claim/evidence"
	"counterpoise/internal/provenance"
	"counterpoise/internal/webcall"
)

func main() {
	provenance.SetSources(counterpoise.Sources)
	debug.SetGCPercent(400)
	webcall.Serve(func(_ string, request []byte) []byte { return evidence.Answer(context.Background(), request) })
}
