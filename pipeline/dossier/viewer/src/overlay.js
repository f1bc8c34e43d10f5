// Labels, leaders, marks, the scale and the cross-hair, laid over the picture.
import { placed } from './label_places.js';
import { lineSample } from './line_sample.js';
import { draw, make } from './make.js';
import { notesOf, picksOf } from './notes.js';
import { MM_PER_IN } from './numbers.js';

const SCALES_IN = [0.1, 0.25, 0.5, 1, 2, 4, 8];

export class Overlay {
  /** @param {object} ball the scene */
  constructor(ball) {
    this.ball = ball;
    this.labels = new Map(); // by key: the element and its size
    this.sure = new Map();
    this.drawing = draw('svg', { class: 'sp-drawing' });
    this.words = make('div', { class: 'sp-words' });
    this.bar = make('span', { class: 'sp-bar' });
    this.barText = make('span', {});
    this.scale = make('div', { class: 'sp-scale' }, this.bar, this.barText);
    this.cross = make('div', { class: 'sp-cross', hidden: true });
    // all of it is told by the controls as well
    this.element = make(
      'div',
      { class: 'sp-overlay', 'aria-hidden': 'true' },
      this.drawing,
      this.words,
      this.scale,
      this.cross,
    );
    this.shown = { dots: [], labels: [], scale: null };
  }

  /**
   * @param {import('./space.js').Space} space
   * @param {import('./store.js').Wish} wish
   * @param {boolean} certain whether to find out what hides what
   */
  update(space, wish, certain) {
    const { stage, camera } = space;
    this.shown.scale = this.#scale(camera.mmPerPixel);
    const { dots, labels, lines } = notesOf(space, wish, this.sure, certain);
    const isIn = ({ at: [x, y] }) => x > 0 && y > 0 && x < stage.width && y < stage.height;
    const all = [...dots, ...picksOf(space, wish)].filter(isIn);
    const sized = labels.filter(isIn).map((label) => ({ ...label, ...this.#sizeOf(label) }));
    const { width, height } = this.scaleBox;
    const taken = [
      { left: 0, top: stage.height - height - 18, width: width + 24, height: height + 18 },
    ];
    const found = placed(sized, stage, [...taken, ...lines.flatMap(boxesAlong)]);
    this.shown.dots = all;
    this.shown.labels = found;
    this.#write(found, all);
    this.cross.hidden = wish.cross === null;
    if (wish.cross)
      this.cross.style.transform = `translate(${wish.cross[0]}px, ${wish.cross[1]}px)`;
  }

  /** Measure all labels anew. */
  forget() {
    this.labels.clear();
    this.words.replaceChildren();
    this.written = '';
  }

  #sizeOf({ key, text, axis }) {
    let one = this.labels.get(key);
    if (!one) {
      const element = make('span', { class: 'sp-label' });
      const line = this.ball.axes.find(({ name }) => name === axis);
      if (line) element.append(lineSample(line));
      element.append(make('span', { text }));
      this.words.append(element);
      const box = element.getBoundingClientRect();
      one = { element, width: Math.ceil(box.width), height: Math.ceil(box.height) };
      this.labels.set(key, one);
    }
    return { width: one.width, height: one.height };
  }

  #write(found, dots) {
    const written = JSON.stringify([
      found.map(({ label, box, leader }) => [label.key, box, leader]),
      dots,
    ]);
    if (written === this.written) return; // the browser would paint all of it again
    this.written = written;
    const boxes = new Map(found.map(({ label, box }) => [label.key, box]));
    for (const [key, { element }] of this.labels) {
      const box = boxes.get(key);
      element.classList.toggle('sp-away', !box);
      if (box) element.style.transform = `translate(${box.left}px, ${box.top}px)`;
    }
    const leaders = found
      .filter(({ leader }) => leader)
      .map(({ leader: [x1, y1, x2, y2] }) => draw('line', { class: 'sp-leader', x1, y1, x2, y2 }));
    this.drawing.replaceChildren(...leaders, ...dots.map(dotDrawn));
  }

  /** A bar of a plain length, between 60 and 150 pixels where one fits. */
  #scale(mmPerPixel) {
    const pixels = (length) => (length * MM_PER_IN) / mmPerPixel;
    const length = SCALES_IN.find((one) => pixels(one) >= 60) ?? SCALES_IN.at(-1);
    const text = `${length} in`;
    const width = Math.round(pixels(length));
    if (this.shown.scale?.text !== text || this.shown.scale?.width !== width) {
      this.bar.style.width = `${width}px`;
      this.barText.textContent = text;
      this.scaleBox = { width: Math.max(width, 40), height: 26 };
    }
    return { text, width };
  }
}

/** Small boxes along a line. */
function boxesAlong([x1, y1, x2, y2]) {
  const count = Math.ceil(Math.hypot(x2 - x1, y2 - y1) / 10);
  return Array.from({ length: count + 1 }, (_, k) => {
    const share = k / Math.max(1, count);
    return {
      left: x1 + share * (x2 - x1) - 6,
      top: y1 + share * (y2 - y1) - 6,
      width: 12,
      height: 12,
    };
  });
}

function dotDrawn({ kind, at: [x, y] }) {
  const circle = (r, name) => draw('circle', { class: name, cx: x, cy: y, r });
  if (kind === 'cg') {
    // the quartered circle of a centre of gravity
    const quarter = (sx, sy) =>
      `M${x} ${y}h${5 * sx}A5 5 0 0 ${sx * sy > 0 ? 1 : 0} ${x} ${y + 5 * sy}z`;
    return draw(
      'g',
      {},
      circle(5, 'sp-mark'),
      draw('path', { class: 'sp-quarter', d: quarter(1, 1) + quarter(-1, -1) }),
    );
  }
  return circle(kind === 'pick' ? 4 : 4.5, kind === 'pick' ? 'sp-pick' : 'sp-mark');
}
