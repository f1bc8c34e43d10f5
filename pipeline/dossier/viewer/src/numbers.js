// How figures are written: true minus, inches and millimetres, degrees.

export const MM_PER_IN = 25.4;

/**
 * A number with a fixed count of decimals and a true minus; never minus nought.
 * @param {number} value
 * @param {number} decimals
 * @returns {string}
 */
export function figure(value, decimals) {
  const text = value.toFixed(decimals);
  if (Number(text) === 0) return text.replace('-', '');
  return text.replace('-', '\u2212');
}

/** A length in inches, of millimetres: '1.25 in'. */
export const inches = (mm, decimals) => `${figure(mm / MM_PER_IN, decimals)} in`;

/** A length in millimetres: '31.8 mm'. */
export const millimetres = (mm, decimals) => `${figure(mm, decimals)} mm`;

/** An angle: '45.0\u00b0'. */
export const degrees = (angle, decimals) => `${figure(angle, decimals)}\u00b0`;
