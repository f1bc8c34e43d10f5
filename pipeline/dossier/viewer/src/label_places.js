// Where labels stand: near what they name, clear of one another, of what is in the way, and inside.

/**
 * @typedef {object} Label
 * @property {string} key
 * @property {string} text
 * @property {string|null} axis whose line is shown before the text
 * @property {[number, number]} at what it names, pixels of the page
 * @property {[number, number]} out the way it would rather stand, any length
 * @property {boolean} [close] whether it stands right below what it names
 * @property {number} width of its box
 * @property {number} height of its box
 *
 * @typedef {{left: number, top: number, width: number, height: number}} Box
 */

const MARGIN = 6;
const TURNS = [0, 25, -25, 50, -50, 80, -80, 115, -115, 150, -150, 180];
const REACHES = [14, 26, 44, 70, 100, 140, 190];

/**
 * @param {Label[]} labels the earlier, the better placed
 * @param {{width: number, height: number}} stage
 * @param {Box[]} taken boxes that no label may cover
 * @returns {{label: Label, box: Box, leader: number[]|null}[]} leader: from x, y to x, y; where a
 *   label finds no room it is left out
 */
export function placed(labels, stage, taken) {
  const boxes = [...taken, ...labels.filter(({ close }) => !close).map(({ at }) => around(at, 5))];
  const found = [];
  for (const label of labels) {
    const box = firstFree(label, stage, boxes);
    if (!box) continue;
    boxes.push(box);
    found.push({ label, box, leader: leaderOf(label.at, box) });
  }
  return found;
}

function firstFree({ at, out, close, width, height }, stage, boxes) {
  const length = Math.hypot(...out);
  const base = length < 1e-6 ? -Math.PI / 4 : Math.atan2(out[1], out[0]);
  for (const reach of close ? [4, ...REACHES] : REACHES) {
    for (const turn of TURNS) {
      const angle = base + (turn * Math.PI) / 180;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      const box = {
        left: Math.round(at[0] + c * (reach + width / 2) - width / 2),
        top: Math.round(at[1] + s * (reach + height / 2) - height / 2),
        width,
        height,
      };
      if (isInside(box, stage) && !boxes.some((other) => meet(box, other))) return box;
    }
  }
  return null;
}

const around = ([x, y], half) => ({
  left: x - half,
  top: y - half,
  width: 2 * half,
  height: 2 * half,
});

const isInside = (box, stage) =>
  box.left >= MARGIN &&
  box.top >= MARGIN &&
  box.left + box.width <= stage.width - MARGIN &&
  box.top + box.height <= stage.height - MARGIN;

const meet = (a, b) =>
  a.left < b.left + b.width + 2 &&
  b.left < a.left + a.width + 2 &&
  a.top < b.top + b.height + 2 &&
  b.top < a.top + a.height + 2;

/** A line from what is named to the nearest side of the box, where that is not close by. */
function leaderOf([x, y], box) {
  const to = [
    Math.min(Math.max(x, box.left), box.left + box.width),
    Math.min(Math.max(y, box.top), box.top + box.height),
  ];
  return Math.hypot(to[0] - x, to[1] - y) > 8 ? [x, y, ...to] : null;
}
