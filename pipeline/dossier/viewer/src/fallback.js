// When the ball cannot be shown: the stills stay, and a sentence says why.
import { make } from './make.js';

const SAID = {
  'no-webgl': 'The ball cannot be turned here, since this browser offers no WebGL',
  lost: 'The ball cannot be turned any more, since this browser has lost its WebGL',
  old: 'The ball cannot be turned here, since this browser cannot unpack it',
  unread: 'The ball cannot be turned here, since what the page holds of it cannot be read',
  broken: 'The ball cannot be turned here, since drawing it failed',
};
const BROWSERS_OWN = ['no-webgl', 'lost', 'old']; // and no fault of the page

/** Why the ball cannot be shown; its message is one of the words above. */
export class Stopped extends Error {}

/**
 * @param {HTMLElement} root
 * @param {unknown} reason
 */
export function fallBack(root, reason) {
  const word = reason instanceof Stopped ? reason.message : 'broken';
  root.classList.remove('live');
  root.querySelector('.sp-plate')?.remove();
  const text = `${SAID[word]}; the pictures below show it.`;
  root.prepend(make('p', { class: 'sp-status', role: 'status', text }));
  root.dataset.reason = String(reason?.cause ?? reason);
  root.dataset.state = BROWSERS_OWN.includes(word) ? 'no-webgl' : 'failed';
}
