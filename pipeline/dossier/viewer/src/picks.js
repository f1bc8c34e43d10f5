// Points that the reader picks, to read or to measure between.
import { pointOf, RG_TOLD, spanOf, toldOf, toldOfSpan } from './readings.js';

export class Picks {
  /**
   * @param {import('./space.js').Space} space
   * @param {import('./store.js').Store} store
   */
  constructor(space, store) {
    this.space = space;
    this.store = store;
    this.missed = false;
    store.listen((now, before) => {
      if (now.click !== before.click) this.clear();
    });
  }

  /**
   * Pick what a pixel of the page shows, as a click there does; where a click turns, it reads.
   * @returns {object|null} as `reading`
   */
  pick(x, y) {
    this.space.follow(this.store.now);
    const hit = this.space.hit(x, y);
    this.missed = hit === null;
    const { click, picked } = this.store.now;
    const one = hit && { point: pointOf(this.space.ball, hit), rank: hit.body.rank };
    if (!one) this.store.set({ picked: click === 'measure' ? picked : [] });
    else if (click === 'measure' && picked.length === 1)
      this.store.set({ picked: [...picked, one] });
    else this.store.set({ picked: [one] });
    return this.reading;
  }

  /** Forget them, and put the cross-hair away. */
  clear() {
    this.missed = false;
    this.store.set({ picked: [], cross: null });
  }

  /** The last reading as plain values, or null. */
  get reading() {
    const { click, picked } = this.store.now;
    const [from, to] = picked.map(({ point }) => point);
    if (!from || (this.missed && click !== 'measure')) return null;
    if (click !== 'measure') return { mode: 'read', ...from };
    if (!to) return { mode: 'measure', from, to: null };
    return { mode: 'measure', from, to, ...spanOf(this.space.ball, from, to) };
  }

  /**
   * The same in words.
   * @returns {{lines: [string, string][], note: string}}
   */
  get told() {
    const { click, picked, apart } = this.store.now;
    const [from, to] = picked.map(({ point }) => point);
    const miss = this.missed ? 'No part is there. ' : '';
    if (click === 'measure') {
      if (from && to) {
        const span = spanOf(this.space.ball, from, to);
        const together = apart > 0 ? 'As the points lie when the ball is together.' : '';
        return { lines: toldOfSpan(from, to, span), note: together };
      }
      const lines = from ? [toldOf(from)[0]] : [];
      return { lines, note: `${miss}Click ${from ? 'the other' : 'the first'} of two points.` };
    }
    if (from) return { lines: toldOf(from), note: RG_TOLD };
    if (click === 'read') return { lines: [], note: `${miss}Click a point of the ball.` };
    return { lines: [], note: 'Dragging turns the ball; a click does nothing.' };
  }
}
