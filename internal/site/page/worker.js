// Answers questions with the simulation as WebAssembly, away from the page.
// counterpoise.wasm sets counterpoiseAsk(question, request) → answer, both JSON.
importScripts('wasm_exec.js');

const ready = (async () => {
  const go = new Go();
  const started = new Promise((resolve) => { self.counterpoiseReady = resolve; });
  const {instance} = await WebAssembly.instantiateStreaming(fetch('counterpoise.wasm'), go.importObject);
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
