"""JavaScript for how well something stands out: put COLOUR before a script, then contrast(colour, ground) is a ratio.

Relative luminance and contrast ratio as WCAG 2.1 defines them; half-transparent colours are mixed with their ground
first.
"""

COLOUR = """
let parse = c => { let m = c.match(/[0-9.]+/g).map(Number); return [m[0], m[1], m[2], m.length > 3 ? m[3] : 1]; };
let mix = (top, under) => [0, 1, 2].map(i => top[i] * top[3] + under[i] * (1 - top[3]));
let ground = e => {
  for (; e; e = e.parentElement) {
    let c = parse(getComputedStyle(e).backgroundColor);
    if (c[3] > 0.99) return c;
  }
  return [255, 255, 255, 1];
};
let linear = v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
let lum = c => {
  let [r, g, b] = [0, 1, 2].map(i => linear(c[i] / 255));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
let contrast = (top, under) => {
  let a = lum(mix(top, under)), b = lum(under);
  return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
};
"""
