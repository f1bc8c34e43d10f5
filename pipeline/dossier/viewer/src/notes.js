// What is named in the picture: axes, marks, holes, parts that are apart, points that were picked.
import { surfaceOf, tipOf } from './axis_lines.js';
import { headOf } from './hole_lines.js';
import { dot, plus, size, times } from './vectors.js';

const INSIDE = 0.97; // of the ball's radius: what is deeper is no mark on the surface

/**
 * @typedef {{key: string, kind: 'mark'|'cg'|'pick', at: [number, number]}} Dot
 * @param {import('./space.js').Space} space
 * @param {import('./store.js').Wish} wish
 * @param {Map<string, boolean>} sure which points are seen, where that is known; it is filled when
 *   `certain` is asked for
 * @param {boolean} certain whether to find out, which takes a ray through every mesh
 * @returns {{dots: Dot[], labels: object[], lines: number[][]}} labels: as `label_places.Label`,
 *   without a size; lines: x, y to x, y of what no label may cover
 */
export function notesOf(space, wish, sure, certain) {
  const { ball, camera } = space;
  const middle = camera.seen([0, 0, 0]);
  const dots = [];
  const labels = [];
  const lines = [];
  const away = (at) => [at[0] - middle[0], at[1] - middle[1]];
  const isSeen = (key, point) => {
    const onSurface = size(point) > INSIDE * ball.radius_mm;
    if (onSurface && isCutAway(space, point)) return false;
    if (certain) sure.set(key, space.isSeen(point));
    else if (onSurface) return isTowards(space, point);
    return sure.get(key) ?? false;
  };
  const name = (key, text, point, axis = null) => {
    const at = camera.seen(point);
    labels.push({ key, text, axis, at, out: away(at) });
  };
  if (wish.apart > 0) return { dots, lines, labels: partLabels(space) };

  if (wish.axes) {
    for (const axis of ball.axes) {
      if (!axis.way) continue;
      const tip = tipOf(ball, axis);
      lines.push([...camera.seen(surfaceOf(ball, axis)), ...camera.seen(tip)]);
      if (isBeside(space, tip))
        name(`axis ${axis.name}`, `${axis.name} RG ${axis.rg} in`, tip, axis.name);
    }
  }
  if (wish.marks) {
    const marks = ball.marks.map(({ name: text, at_mm }) => ['mark', text, at_mm]);
    for (const [kind, text, point] of [...marks, ['cg', 'CG', ball.cg_mm]]) {
      const key = `${kind} ${text}`;
      if (!isSeen(key, point)) continue;
      dots.push({ key, kind, at: camera.seen(point) });
      name(key, text, point);
    }
  }
  if (wish.holes) {
    for (const hole of ball.holes) {
      const head = headOf(hole);
      if (isTowards(space, hole.entry_mm) || isBeside(space, head))
        name(`hole ${hole.name}`, hole.name, head);
    }
  }
  return { dots, lines, labels };
}

/** The points that were picked, where their parts stand. */
export function picksOf(space, { picked }) {
  return picked.map(({ point, rank }, k) => ({
    key: `pick ${k}`,
    kind: 'pick',
    at: space.camera.seen(plus(point.at_mm, space.bodies[rank].shift)),
  }));
}

/** Whether a point of the surface is on the side that is looked at, and not cut away. */
function isTowards(space, point) {
  return dot(space.camera.toward, point) > 0.04 * size(point) && !isCutAway(space, point);
}

const isCutAway = ({ plane }, point) =>
  plane !== null && (dot(plane.way, point) - plane.offset) * plane.removed > 0.1;

/** Whether the ball cannot hide a point outside of it. */
function isBeside({ ball, camera }, point) {
  const depth = dot(camera.toward, point);
  return depth > 0 || size(plus(point, times(camera.toward, -depth))) > ball.radius_mm;
}

/** The name of every part below it, or beside it where the next one is below. */
function partLabels({ bodies, camera, upright }) {
  return bodies
    .filter((body) => body.shown)
    .map((body) => {
      const middle = plus(body.middle, body.shift);
      const edge = upright ? times(camera.right, body.radius) : times(camera.up, -body.radius);
      const at = camera.seen(plus(middle, edge));
      return {
        key: `part ${body.rank}`,
        text: body.name,
        axis: null,
        at,
        out: upright ? [1, 0] : [0, 1],
        close: true,
      };
    });
}
