// Whether a page of evidence that somebody published or sent is what its study gives.

import {el, byId, replace} from './dom.js';
import {choice} from './transport-choice.js';
import {askToVerify} from './transport.js';

// listen waits for a file. Only the newest counts.
export function listen() {
  const input = byId('verify-file'), told = byId('verify-told');
  byId('verify-how').textContent = choice === 'wasm'
    ? 'Your browser runs it: the first time it loads a large program, then it takes seconds to minutes. The file stays on your device.'
    : 'This machine runs it, in some seconds.';
  let newest = 0;
  input.addEventListener('change', async () => {
    const file = input.files[0], mine = ++newest;
    if (!file) { replace(told); return; }
    replace(told, el('p', null, `Running the study of ${file.name} again …`));
    let said;
    try {
      if (file.size > 8e6) throw new Error('it has more than 8 MB');
      const v = await askToVerify('verify', {page: await file.text()});
      if (mine !== newest) return;
      said = [el('p', {class: 'verdict'}, el('span', {class: 'mark', 'aria-hidden': 'true'}, v.same ? '✓' : '✗'), ' ', `“${v.says}”`), el('p', null, v.told)];
    } catch (error) {
      if (mine !== newest) return;
      said = [el('p', {class: 'fault'}, `${file.name}: ${error.message}.`)];
    }
    replace(told, said);
  });
}
