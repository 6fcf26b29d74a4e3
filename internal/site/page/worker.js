// Answers questions with the simulation as WebAssembly, away from the page.
// counterpoise.wasm, and verify.wasm for worker.js?verify, sets counterpoiseAsk(question,
// request) → answer, both JSON.
importScripts('wasm_exec.js');

const file = self.location.search === '?verify' ? 'verify.wasm' : 'counterpoise.wasm';
const ready = (async () => {
  const go = new Go();
  const started = new Promise((resolve) => { self.counterpoiseReady = resolve; });
  const response = await fetch(file);
  if (!response.ok) throw new Error(`${file}: ${response.status} ${response.statusText}`);
  // Hosts that do not know the type of the file send another, which browsers do not stream.
  const streams = /^application\/wasm\b/.test(response.headers.get('Content-Type'));
  const {instance} = await (streams ? WebAssembly.instantiateStreaming(response, go.importObject)
    : WebAssembly.instantiate(await response.arrayBuffer(), go.importObject));
  const ended = go.run(instance);
  await Promise.race([started, ended]);
})();

onmessage = async ({data}) => {
  try {
    await ready;
    postMessage({id: data.id, answer: self.counterpoiseAsk(data.question, data.request)});
  } catch (error) {
    postMessage({id: data.id, failed: String(error && error.message || error)});
  }
};
