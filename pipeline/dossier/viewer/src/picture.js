// The picture as a PNG file: paper, ball, leaders, marks, labels and scale, at the full resolution.

/**
 * @param {import('./space.js').Space} space of which a frame was just drawn
 * @param {import('./overlay.js').Overlay} overlay
 * @param {{ground: string, ink: string, accent: string, font: string,
 *   axes: Map<string, string>}} look as CSS has it
 * @returns {Promise<Blob>}
 */
export function pictureOf(space, overlay, look) {
  const drawn = space.renderer.domElement;
  const canvas = document.createElement('canvas');
  canvas.width = drawn.width;
  canvas.height = drawn.height;
  const pen = canvas.getContext('2d');
  pen.drawImage(drawn, 0, 0);
  pen.scale(drawn.width / space.stage.width, drawn.height / space.stage.height);
  pen.font = look.font;
  pen.textBaseline = 'middle';
  const { labels, dots, scale } = overlay.shown;
  pen.strokeStyle = look.ink;
  for (const { leader } of labels) if (leader) line(pen, leader, 1);
  for (const dot of dots) drawDot(pen, dot, look);
  for (const { label, box } of labels) drawLabel(pen, label, box, overlay.ball, look);
  drawScale(pen, scale, space.stage.height, look);
  return new Promise((done, failed) => {
    canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error('no picture'))), 'image/png');
  });
}

function drawScale(pen, scale, height, look) {
  plate(
    pen,
    { left: 8, top: height - 42, width: Math.max(scale.width, 40) + 12, height: 36 },
    look,
  );
  pen.strokeStyle = look.ink;
  pen.fillStyle = look.ink;
  const foot = height - 14;
  line(pen, [14, foot, 14 + scale.width, foot], 2);
  for (const x of [14, 14 + scale.width]) line(pen, [x, foot - 4, x, foot + 4], 1.5);
  pen.fillText(scale.text, 14, foot - 14);
}

function plate(pen, { left, top, width, height }, look) {
  pen.fillStyle = look.ground;
  pen.globalAlpha = 0.88;
  pen.fillRect(left, top, width, height);
  pen.globalAlpha = 1;
}

function line(pen, [x1, y1, x2, y2], width) {
  pen.lineWidth = width;
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
}

function drawDot(pen, { kind, at: [x, y] }, look) {
  const circle = (radius, from = 0, to = 2 * Math.PI) => {
    pen.beginPath();
    pen.moveTo(x, y);
    pen.arc(x, y, radius, from, to);
    pen.fill();
  };
  pen.fillStyle = look.ink;
  circle(kind === 'cg' ? 5.75 : 5.25);
  pen.fillStyle = kind === 'pick' ? look.accent : '#FFFFFF';
  circle(kind === 'cg' ? 4.25 : 3.75);
  if (kind !== 'cg') return;
  pen.fillStyle = look.ink;
  for (const quarter of [0, 2]) circle(5, (quarter * Math.PI) / 2, ((quarter + 1) * Math.PI) / 2);
}

function drawLabel(pen, { text, axis }, box, ball, look) {
  plate(pen, box, look);
  let left = box.left + 5;
  const middle = box.top + box.height / 2;
  const about = ball.axes.find(({ name }) => name === axis);
  if (about) {
    pen.strokeStyle = look.axes.get(axis);
    pen.setLineDash(about.line === 'dashed' ? [6, 4] : []);
    const rows = about.line === 'double' ? [-2.5, 2.5] : [0];
    for (const y of rows)
      line(pen, [left, middle + y, left + 26, middle + y], about.line === 'double' ? 1.8 : 2.8);
    pen.setLineDash([]);
    pen.strokeStyle = look.ink;
    left += 32;
  }
  pen.fillStyle = look.ink;
  pen.fillText(text, left, middle + 0.5);
}

/** Hand a file to the reader. */
export function saved(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
