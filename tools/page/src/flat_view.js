// SPDX-License-Identifier: GPL-3.0-or-later
// Where the browser has no WebGL: still pictures of the six views, facet by facet from back to
// front.
import { VIEWS } from './body_view.js';
import { EXPLAINED, MADE_UP, WOOD, css, depthColour, deviationColour } from './colours.js';
import { extentAlong, fromAxes, lookingAxes } from './skin.js';

const cross = ([a, b, c], [d, e, f]) => [b * f - c * e, c * d - a * f, a * e - b * d];
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

function colourOf(skin, scale, map, v) {
  if (skin.flags && (skin.flags[v] & 1) === 0) return MADE_UP;
  if (map === 'deviation' && (skin.flags[v] & 2) === 0) return EXPLAINED;
  if (map === 'deviation' || map === 'raw') return deviationColour(skin.deviation[v] / scale.deviation_mm);
  if (map === 'depth') return depthColour(skin.depth[v] / scale.depth_mm);
  if (map === 'scan') return skin.colours.subarray(3 * v, 3 * v + 3);
  return WOOD;
}

export class FlatView {
  constructor(canvas, skin, scale) {
    Object.assign(this, { canvas, skin, scale, map: 'plain', view: 'l', axes: lookingAxes(skin) });
    this.size = this.axes.map((axis) => {
      const [low, high] = extentAlong(skin, axis);
      return high - low;
    });
    new ResizeObserver(() => this.drawNow()).observe(canvas);
  }

  look(letter) {
    this.view = letter;
    this.drawNow();
  }

  show(map) {
    this.map = map;
    this.drawNow();
  }

  showGhost() {}
  turn() {}
  zoomBy() {}
  shift() {}
  face(_, outward) {
    const nearest = Object.entries(VIEWS).sort(([, a], [, b]) => dot(b.from, outward) - dot(a.from, outward));
    this.look(nearest[0][0]);
  }

  pick() {
    return null;
  }

  still(letter) {
    const kept = this.view;
    this.look(letter);
    const picture = this.canvas.toDataURL('image/png');
    this.look(kept);
    return picture;
  }

  drawNow() {
    const { canvas, skin } = this;
    const from = fromAxes(this.axes, VIEWS[this.view].from);
    const up = fromAxes(this.axes, VIEWS[this.view].up);
    const right = cross(up, from);
    canvas.width = 2 * Math.max(1, canvas.clientWidth);
    canvas.height = 2 * Math.max(1, canvas.clientHeight);
    const middle = skin.low_mm.map((low, k) => (low + skin.high_mm[k]) / 2);
    const [sx, sy, sz] = this.size;
    const half = Math.max(1.08 * sx / 2, 1.2 * Math.max(sy, sz) / 2 * canvas.width / canvas.height);
    const scale = canvas.width / (2 * half);
    const point = (v) => [0, 1, 2].map((k) => skin.positions[3 * v + k] - middle[k]);
    const shown = [];
    for (let i = 0; i < skin.index.length; i += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => point(skin.index[i + k]));
      const normal = cross(b.map((x, k) => x - a[k]), c.map((x, k) => x - a[k]));
      const facing = dot(normal, from);
      if (facing <= 0) continue;
      shown.push({ depth: dot(a, from), corners: [a, b, c], light: 0.55 + 0.45 * facing / Math.hypot(...normal),
        vertex: skin.index[i] });
    }
    shown.sort((one, other) => one.depth - other.depth);
    const ink = canvas.getContext('2d');
    ink.clearRect(0, 0, canvas.width, canvas.height);
    for (const facet of shown) {
      ink.fillStyle = css(Array.from(colourOf(skin, this.scale, this.map, facet.vertex), (x) => x * facet.light));
      ink.strokeStyle = ink.fillStyle;
      ink.beginPath();
      for (const corner of facet.corners) {
        ink.lineTo(canvas.width / 2 + scale * dot(corner, right), canvas.height / 2 - scale * dot(corner, up));
      }
      ink.closePath();
      ink.fill();
      ink.stroke();
    }
  }
}
