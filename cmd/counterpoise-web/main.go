//go:build js && wasm

// Command counterpoise-web answers the questions of the explore page in a browser:
// compiled to WebAssembly and started by the page's worker, it leaves there a function
//
//	counterpoiseAsk(question, request) → answer
//
// of texts, request and answer in JSON, and then calls counterpoiseReady.
package main

import (
	"context"
	"runtime/debug"
	"syscall/js"

	"counterpoise/internal/explorer"
)

func main() {
	// Little memory is used and time matters more: collect garbage less often.
	debug.SetGCPercent(400)
	e := explorer.New(explorer.Shipped)
	js.Global().Set("counterpoiseAsk", js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		if len(arguments) != 2 || arguments[0].Type() != js.TypeString || arguments[1].Type() != js.TypeString {
			return `{"error": {"field": "", "reason": "counterpoiseAsk takes a question and a request, both texts"}}`
		}
		// What went wrong is in the answer.
		answer, _ := e.Ask(context.Background(), arguments[0].String(), []byte(arguments[1].String()))
		return string(answer)
	}))
	if ready := js.Global().Get("counterpoiseReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}
