//go:build js && wasm

// Package webcall lets a worker of the explore page ask a program that is compiled to
// WebAssembly.
package webcall

import "syscall/js"

// Serve leaves a function counterpoiseAsk(question, request) → answer in the worker, of texts,
// the latter two in JSON, calls counterpoiseReady there, and does not return.
func Serve(answer func(question string, request []byte) []byte) {
	js.Global().Set("counterpoiseAsk", js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		if len(arguments) != 2 || arguments[0].Type() != js.TypeString || arguments[1].Type() != js.TypeString {
			return `{"error": {"field": "", "reason": "counterpoiseAsk takes a question and a request, both texts"}}`
		}
		return string(answer(arguments[0].String(), []byte(arguments[1].String())))
	}))
	if ready := js.Global().Get("counterpoiseReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}
