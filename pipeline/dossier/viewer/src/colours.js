// Colours as three numbers from 0 to 1, as on the screen.

/** '#RRGGBB' as three numbers from 0 to 1. */
export const rgb = (colour) => [1, 3, 5].map((k) => parseInt(colour.slice(k, k + 2), 16) / 255);

/** Three numbers as '#rrggbb'. */
export const hex = (shares) => {
  const pair = (x) =>
    Math.round(255 * x)
      .toString(16)
      .padStart(2, '0');
  return `#${shares.map(pair).join('')}`;
};

/** What CSS says a colour is, 'rgb(1, 2, 3)', as three numbers. */
export const sharesOf = (text) =>
  text
    .match(/[\d.]+/g)
    .slice(0, 3)
    .map((x) => x / 255);

/** How light a colour is, from 0 to 1. */
export const lightness = ([r, g, b]) => 0.3 * r + 0.59 * g + 0.11 * b;
