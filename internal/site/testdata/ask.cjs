// Asks the compiled simulation questions under Node.js, as the page's worker does:
//
//	node ask.cjs wasm_exec.js counterpoise.wasm < questions.json > answers.json
//
// questions are a list of [question, request], answers one of texts. With --time, how
// long each took goes to stderr.
const fs = require('fs');
const [loader, module_] = process.argv.slice(2);
require(require('path').resolve(loader));
(async () => {
  const begin = performance.now();
  const go = new Go();
  const ready = new Promise((resolve) => { globalThis.counterpoiseReady = resolve; });
  const {instance} = await WebAssembly.instantiate(fs.readFileSync(module_), go.importObject);
  go.run(instance);
  await ready;
  const timed = process.argv.includes('--time');
  if (timed) console.error('start', (performance.now() - begin).toFixed(1), 'ms');
  const answers = JSON.parse(fs.readFileSync(0, 'utf8')).map(([question, request]) => {
    const at = performance.now();
    const answer = globalThis.counterpoiseAsk(question, request);
    if (timed) console.error(question, (performance.now() - at).toFixed(1), 'ms');
    return answer;
  });
  fs.writeSync(1, JSON.stringify(answers));
  process.exit(0);
})();
