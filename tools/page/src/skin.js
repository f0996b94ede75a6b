// SPDX-License-Identifier: GPL-3.0-or-later
// The body's skin, unpacked. Little-endian, one after the other: positions (three planes of 16-bit
// places within the box), facets (each corner as a zigzag variable-length step from the one
// before), then what scene.skin.attributes names, a plane each. A skin with "fine" also has its
// places as the solver wants them, `exact`.

function bytesOf(text) {
  const coded = atob(text.trim());
  const bytes = new Uint8Array(coded.length);
  for (let i = 0; i < coded.length; ++i) bytes[i] = coded.charCodeAt(i);
  return bytes;
}

// The places, which come first, and what "fine" adds to each, in 1/65535 of their step.
function exactPlaces({ vertices, low_mm: low, high_mm: high }, view, fineAt) {
  const exact = new Float64Array(3 * vertices);
  for (let k = 0, at = 0; k < 3; ++k) {
    const step = (high[k] - low[k]) / 65535;
    for (let v = 0; v < vertices; ++v, at += 2) {
      exact[3 * v + k] = low[k] + step * (view.getUint16(at, true) + view.getInt16(fineAt + at, true) / 65535);
    }
  }
  return exact;
}

export function unpackSkin(facts, text) {
  const bytes = bytesOf(text);
  const view = new DataView(bytes.buffer);
  const { vertices, facets, low_mm: low, high_mm: high } = facts;
  let at = 0;
  const positions = new Float32Array(3 * vertices);
  for (let k = 0; k < 3; ++k) {
    const step = (high[k] - low[k]) / 65535;
    for (let v = 0; v < vertices; ++v, at += 2) {
      positions[3 * v + k] = low[k] + step * view.getUint16(at, true);
    }
  }
  const index = new Uint32Array(3 * facets);
  let last = 0;
  for (let i = 0; i < index.length; ++i) {
    let coded = 0;
    let shift = 0;
    let byte = 0;
    do {
      byte = bytes[at++];
      coded |= (byte & 127) << shift;
      shift += 7;
    } while (byte & 128);
    last += (coded >>> 1) ^ -(coded & 1);
    index[i] = last;
  }
  const skin = { ...facts, positions, index, exact: null };
  for (const name of facts.attributes) {
    if (name === 'deviation') {
      skin.deviation = new Float32Array(vertices);
      for (let v = 0; v < vertices; ++v, at += 2) {
        skin.deviation[v] = view.getInt16(at, true) * facts.deviation_step_mm;
      }
    } else if (name === 'depth') {
      skin.depth = new Float32Array(vertices);
      for (let v = 0; v < vertices; ++v, at += 2) {
        skin.depth[v] = view.getUint16(at, true) * facts.depth_step_mm;
      }
    } else if (name === 'flags') {  // 1: measured and compared; 2: more than noise explains
      skin.flags = bytes.slice(at, at += vertices);
    } else if (name === 'colours') {
      skin.colours = bytes.slice(at, at += 3 * vertices);
    } else if (name === 'fine') {
      skin.exact = exactPlaces(facts, view, at);
      at += 6 * vertices;
    }
  }
  return skin;
}

/** Normals at the vertices, the facets weighed by area. */
export function vertexNormals({ positions, index }) {
  const normals = new Float32Array(positions.length);
  for (let i = 0; i < index.length; i += 3) {
    const a = 3 * index[i];
    const b = 3 * index[i + 1];
    const c = 3 * index[i + 2];
    const ux = positions[b] - positions[a];
    const uy = positions[b + 1] - positions[a + 1];
    const uz = positions[b + 2] - positions[a + 2];
    const vx = positions[c] - positions[a];
    const vy = positions[c + 1] - positions[a + 1];
    const vz = positions[c + 2] - positions[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    for (let corner = a, k = 0; k < 3; ++k, corner = k === 1 ? b : c) {
      normals[corner] += nx;
      normals[corner + 1] += ny;
      normals[corner + 2] += nz;
    }
  }
  for (let i = 0; i < normals.length; i += 3) {
    const size = Math.sqrt(normals[i] ** 2 + normals[i + 1] ** 2 + normals[i + 2] ** 2) || 1;
    normals[i] /= size;
    normals[i + 1] /= size;
    normals[i + 2] /= size;
  }
  return normals;
}

/**
 * Directions to look along: of a body in its own frame its axes; else the principal axes of its
 * vertices, longest first, with the thinner of the other two across, as most lures have it.
 */
export function lookingAxes({ frame, positions }) {
  if (frame === 'body') return [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
  const count = positions.length / 3;
  const mean = [0, 0, 0];
  for (let i = 0; i < positions.length; ++i) mean[i % 3] += positions[i] / count;
  const spread = [[0, 0, 0], [0, 0, 0], [0, 0, 0]];
  for (let v = 0; v < positions.length; v += 3) {
    for (let j = 0; j < 3; ++j) {
      for (let k = 0; k < 3; ++k) spread[j][k] += (positions[v + j] - mean[j]) * (positions[v + k] - mean[k]);
    }
  }
  const [first, second] = principal(spread);
  const third = [first[1] * second[2] - first[2] * second[1], first[2] * second[0] - first[0] * second[2],
    first[0] * second[1] - first[1] * second[0]];
  // Right-handed: along, across, upright.
  return [first, third.map((x) => -x), second];
}

// The two directions of greatest spread, by Jacobi's turns; each to the positive side of the axis
// that it is nearest to.
function principal(matrix) {
  const a = matrix.map((row) => [...row]);
  const turned = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
  for (let sweep = 0; sweep < 30; ++sweep) {
    for (const [p, q] of [[0, 1], [0, 2], [1, 2]]) {
      if (Math.abs(a[p][q]) < 1e-300) continue;
      const angle = 0.5 * Math.atan2(2 * a[p][q], a[q][q] - a[p][p]);
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      for (const rows of [a, turned]) {
        for (const row of rows) [row[p], row[q]] = [c * row[p] - s * row[q], s * row[p] + c * row[q]];
      }
      [a[p], a[q]] = [a[p].map((x, k) => c * x - s * a[q][k]), a[p].map((x, k) => s * x + c * a[q][k])];
    }
  }
  const order = [0, 1, 2].sort((i, j) => a[j][j] - a[i][i]);
  return order.slice(0, 2).map((i) => {
    const axis = turned.map((row) => row[i]);
    const most = axis.reduce((best, x) => (Math.abs(x) > Math.abs(best) ? x : best), 0);
    return most < 0 ? axis.map((x) => -x) : axis;
  });
}

/** From the looking axes to the skin's own. */
export const fromAxes = (axes, way) => [0, 1, 2].map((k) => axes.reduce((sum, axis, i) => sum + way[i] * axis[k], 0));

/** [low, high] of the skin along a direction. */
export function extentAlong({ positions }, way) {
  let [low, high] = [Infinity, -Infinity];
  for (let v = 0; v < positions.length; v += 3) {
    const at = positions[v] * way[0] + positions[v + 1] * way[1] + positions[v + 2] * way[2];
    low = Math.min(low, at);
    high = Math.max(high, at);
  }
  return [low, high];
}

/** Where the plane x = `station` cuts the skin: pairs of points [y, z]. */
export function sectionAt({ positions, index }, station) {
  const pairs = [];
  for (let i = 0; i < index.length; i += 3) {
    const met = [];
    for (let k = 0; k < 3; ++k) {
      const a = 3 * index[i + k];
      const b = 3 * index[i + (k + 1) % 3];
      const above = positions[a] - station;
      const below = positions[b] - station;
      if ((above < 0) === (below < 0)) continue;
      const t = above / (above - below);
      met.push([positions[a + 1] + t * (positions[b + 1] - positions[a + 1]),
        positions[a + 2] + t * (positions[b + 2] - positions[a + 2])]);
    }
    if (met.length === 2) pairs.push(met);
  }
  return pairs;
}
