// When frames are drawn: on request only.  While things move, at a resolution that keeps up; once
// they rest, one frame with many samples for each pixel.
const REST_MS = 180;
const SLOW_MS = 70;
const QUICK_MS = 22;
const LEAST_RATIO = 0.6;
const MOST_PIXELS = 9e6;

export class Painter {
  /**
   * @param {import('./space.js').Space} space
   * @param {import('./overlay.js').Overlay} overlay
   * @param {import('./store.js').Store} store
   * @param {() => void} told called after each frame
   */
  constructor(space, overlay, store, told) {
    this.space = space;
    this.overlay = overlay;
    this.store = store;
    this.told = told;
    this.frames = 0;
    this.ratio = null; // while moving; the screen's own until frames are found slow
    this.quick = false; // whether frames were found quick
    this.waiting = 0;
    this.rest = 0;
    this.last = 0;
    this.times = [];
    this.stopped = false;
  }

  /** Ask for a frame soon. */
  ask() {
    clearTimeout(this.rest);
    if (!this.waiting) this.waiting = requestAnimationFrame((now) => this.#move(now));
  }

  #move(now) {
    this.waiting = 0;
    if (this.stopped) return;
    this.#adapt(now - this.last);
    this.last = now;
    this.#draw(this.ratio, 1, false);
    this.rest = setTimeout(() => this.full(), REST_MS);
  }

  /**
   * One frame as good as it gets, now.
   * @param {number} ratio pixels of the picture for one of the page
   */
  full(ratio = devicePixelRatio) {
    cancelAnimationFrame(this.waiting);
    clearTimeout(this.rest);
    this.waiting = 0;
    if (this.stopped) return;
    const { width, height } = this.space.stage;
    const most = Math.floor(Math.sqrt(MOST_PIXELS / (width * height)) / ratio);
    const wanted = this.quick && ratio < 1.5 ? 3 : 2;
    this.#draw(ratio, Math.min(wanted, Math.max(1, most)), true);
    this.last = 0;
    this.times = [];
  }

  #draw(ratio, samples, certain) {
    this.space.follow(this.store.now);
    this.space.draw(ratio, samples);
    this.overlay.update(this.space, this.store.now, certain);
    this.frames++;
    this.told();
  }

  /** A lower resolution after slow frames in a row, a higher one after quick ones. */
  #adapt(elapsed) {
    this.ratio = Math.min(this.ratio ?? devicePixelRatio, devicePixelRatio);
    if (elapsed > 400) {
      this.times = []; // the first of a row, or the reader paused
      return;
    }
    this.times.push(elapsed);
    if (this.times.length < 5) return;
    const mean = this.times.reduce((sum, x) => sum + x, 0) / this.times.length;
    this.times = [];
    this.quick = mean < QUICK_MS;
    if (mean > SLOW_MS) this.ratio = Math.max(LEAST_RATIO, this.ratio * 0.75);
    else if (this.quick) this.ratio = Math.min(devicePixelRatio, this.ratio * 1.25);
  }
}
