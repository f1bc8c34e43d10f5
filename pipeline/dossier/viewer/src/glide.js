// A view that goes over into another one; at once for readers who want less motion.
const MS = 280;

export class Glide {
  /** @param {import('./store.js').Store} store */
  constructor(store) {
    this.store = store;
    this.end = null;
  }

  /** @param {Partial<import('./camera.js').View>} view */
  to(view) {
    const from = this.store.now.view;
    const to = { ...from, ...view };
    // the shorter way round
    const turn = to.azimuth - from.azimuth;
    const azimuth = turn - 360 * Math.round(turn / 360);
    this.stop();
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) {
      this.store.set({ view: to });
      return;
    }
    this.end = to;
    const began = performance.now();
    const step = (now) => {
      const share = Math.min(1, Math.max(0, (now - began) / MS));
      if (share === 1) {
        this.settle();
        return;
      }
      const eased = share * share * (3 - 2 * share);
      const between = (key) => from[key] + eased * (to[key] - from[key]);
      const view = Object.fromEntries(Object.keys(to).map((key) => [key, between(key)]));
      this.store.set({ view: { ...view, azimuth: from.azimuth + eased * azimuth } });
      this.waiting = requestAnimationFrame(step);
    };
    this.waiting = requestAnimationFrame(step);
  }

  /** Where it is, it stays. */
  stop() {
    cancelAnimationFrame(this.waiting);
    this.end = null;
  }

  /** Be there. */
  settle() {
    const { end } = this;
    this.stop();
    if (end) this.store.set({ view: end });
  }
}
