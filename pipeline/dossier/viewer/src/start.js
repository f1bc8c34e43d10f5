// From the page's scene to the first frame.
import { sharesOf } from './colours.js';
import { fallBack, Stopped } from './fallback.js';
import { listenToHands } from './gestures.js';
import { Glide } from './glide.js';
import { listenToKeys } from './keys.js';
import { Overlay } from './overlay.js';
import { Painter } from './painter.js';
import { pictureOf, saved } from './picture.js';
import { Picks } from './picks.js';
import { helpId, makeCanvas, makePlate } from './plate.js';
import { Space } from './space.js';
import { firstWish, Store } from './store.js';
import { unpack } from './unpack.js';

const RESTORED_MS = 2500; // a context that is lost longer is gone

/**
 * @param {HTMLElement} root
 * @param {string} text the scene, JSON
 * @throws {Error} when the browser or the scene will not do
 */
export async function start(root, text) {
  if (typeof DecompressionStream === 'undefined') throw new Stopped('old');
  const canvas = makeCanvas(helpId);
  const context = canvas.getContext('webgl2', { antialias: false, alpha: false, stencil: false });
  if (!context) throw new Stopped('no-webgl');
  const { ball, meshes } = await read(text);

  const store = new Store(firstWish(ball));
  const space = new Space(ball, meshes, canvas, context);
  const overlay = new Overlay(ball);
  const glide = new Glide(store);
  const picks = new Picks(space, store);
  const look = () => lookOf(root, stage, overlay);
  const tell = () => told(root, space, store, painter.frames);
  const painter = new Painter(space, overlay, store, tell);
  const full = (ratio) => {
    glide.settle();
    space.paper(look().shares);
    painter.full(ratio);
  };
  const save = async () => {
    full(2 * devicePixelRatio);
    const picture = pictureOf(space, overlay, look());
    full();
    saved(await picture, 'ball.png');
  };
  const reset = () => {
    glide.stop();
    store.set(store.first);
  };
  const plate = makePlate({ canvas, overlay, space, store, glide, picks, does: { save, reset } });
  const { stage } = plate;
  root.append(plate.element);
  root.classList.add('live');

  const measure = () => {
    const { width, height } = canvas.getBoundingClientRect();
    space.stage = { width: Math.max(1, width), height: Math.max(1, height) };
  };
  measure();
  full();
  const tellReading = () => (root.dataset.reading = JSON.stringify(picks.reading));
  tellReading();
  store.listen((now, before) => {
    if (now.picked !== before.picked || now.click !== before.click) tellReading();
    painter.ask();
  });
  listenToHands(canvas, space, store, glide, (x, y) => {
    if (store.now.click !== 'turn') picks.pick(x, y);
  });
  listenToKeys(canvas, space, store, glide, picks);
  new ResizeObserver(() => {
    measure();
    painter.ask();
  }).observe(stage);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
    space.paper(look().shares);
    painter.ask();
  });
  listenToLoss(root, canvas, painter, full);
  document.fonts.ready.then(() => {
    overlay.forget(); // labels may have been measured in another face
    painter.ask();
  });
  window.corewrightSpace = { frame: () => full(), pick: (x, y) => picks.pick(x, y) };
  await space.drawn();
  root.dataset.state = 'ready';
}

async function read(text) {
  try {
    const ball = JSON.parse(text);
    return { ball, meshes: await Promise.all(ball.parts.map(unpack)) };
  } catch (cause) {
    throw new Stopped('unread', { cause });
  }
}

/** What the page's colours and type are where the picture stands. */
function lookOf(root, stage, overlay) {
  const { backgroundColor: ground, color: ink, fontSize, fontFamily } = getComputedStyle(stage);
  const font = `${fontSize} ${fontFamily}`;
  const accent = getComputedStyle(overlay.cross).color;
  const axes = overlay.ball.axes
    .filter(({ way }) => way)
    .map(({ name }) => {
      return [name, getComputedStyle(root.querySelector(`.sp-line-${name} line`)).stroke];
    });
  return {
    ...{ ground, ink, accent, font, axes: new Map(axes) },
    shares: {
      ground: sharesOf(ground),
      ink: sharesOf(ink),
      accent: sharesOf(accent),
      axes: new Map(axes.map(([name, text]) => [name, sharesOf(text)])),
    },
  };
}

function told(root, space, store, frames) {
  const { camera, bodies, section } = space;
  const { view, apart } = store.now;
  const json = JSON.stringify;
  Object.assign(root.dataset, {
    frames,
    view: json({
      azimuth_deg: view.azimuth,
      elevation_deg: view.elevation,
      mm_per_px: camera.mmPerPixel,
      middle_mm: camera.middle,
    }),
    section: json(section),
    apart: json({ share: apart, shifts_mm: bodies.map((body) => body.shift) }),
  });
}

/** A lost context may come back, and the library then sets it up anew; or the stills take over. */
function listenToLoss(root, canvas, painter, full) {
  let waiting = 0;
  canvas.addEventListener('webglcontextlost', (event) => {
    event.preventDefault();
    painter.stopped = true;
    waiting = setTimeout(() => fallBack(root, new Stopped('lost')), RESTORED_MS);
  });
  canvas.addEventListener('webglcontextrestored', () => {
    if (!canvas.isConnected) return;
    clearTimeout(waiting);
    painter.stopped = false;
    full();
  });
}
