// The bar below the picture: what is done with the picture as a whole.
import { zoomed } from '../camera.js';
import { make } from '../make.js';

const CLOSER = 1.25;

/**
 * @param {import('../space.js').Space} space
 * @param {import('../store.js').Store} store
 * @param {import('../glide.js').Glide} glide
 * @param {{save: () => void, reset: () => void}} does
 */
export function pictureBar(space, store, glide, { save, reset }) {
  const button = (text, onclick) => make('button', { type: 'button', text, onclick });
  const zoom = (factor) => () => {
    glide.stop();
    store.set({ view: zoomed(store.now.view, space.camera, factor) });
  };
  return make(
    'div',
    { class: 'sp-bar-below sp-buttons', role: 'group', 'aria-label': 'Picture' },
    button('Closer', zoom(CLOSER)),
    button('Farther', zoom(1 / CLOSER)),
    button('Save picture', save),
    button('Reset', reset),
  );
}
