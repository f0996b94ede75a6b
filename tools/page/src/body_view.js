// SPDX-License-Identifier: GPL-3.0-or-later
// The body to turn in the hand. Drawn only when something changed.
import {
  BufferAttribute, BufferGeometry, DirectionalLight, DoubleSide, HemisphereLight, Mesh,
  MeshStandardMaterial, OrthographicCamera, Raycaster, Scene, SRGBColorSpace, Vector2, Vector3,
  WebGLRenderer, Color,
} from 'three';

import { EXPLAINED, MADE_UP, WOOD, depthColour, deviationColour } from './colours.js';
import { extentAlong, fromAxes, lookingAxes, vertexNormals } from './skin.js';

/** From where the eye looks, in the body frame (x aft, y to the right, z to the back). */
export const VIEWS = {
  l: { name: 'Left', from: [0, -1, 0], up: [0, 0, 1] },
  r: { name: 'Right', from: [0, 1, 0], up: [0, 0, 1] },
  b: { name: 'Back', from: [0, 0, 1], up: [0, 1, 0] },
  u: { name: 'Under', from: [0, 0, -1], up: [0, -1, 0] },
  n: { name: 'Nose', from: [-1, 0, 0], up: [0, 0, 1] },
  t: { name: 'Tail', from: [1, 0, 0], up: [0, 0, 1] },
};

// A table of a map's colours, as the renderer wants them.
const TABLE = 1024;

function tabled(colourOf) {
  const colour = new Color();
  const table = new Float32Array(3 * TABLE);
  for (let i = 0; i < TABLE; ++i) {
    const [r, g, b] = colourOf(i / (TABLE - 1));
    colour.setRGB(r / 255, g / 255, b / 255, SRGBColorSpace).toArray(table, 3 * i);
  }
  return table;
}

/** Fills in the colours of all vertices by the map that is shown. */
function paint(colours, skin, scale, map) {
  const out = colours.array;
  const deviation = map === 'deviation' || map === 'raw';
  const table = tabled(deviation ? (share) => deviationColour(2 * share - 1) : depthColour);
  const plain = tabled((share) => (share < 0.25 ? MADE_UP : share < 0.75 ? EXPLAINED : WOOD));
  const colour = new Color();
  for (let v = 0; v < colours.count; ++v) {
    const flags = skin.flags ? skin.flags[v] : 3;
    let [from, at] = [plain, TABLE - 1];
    if (map === 'scan') {
      colour.setRGB(skin.colours[3 * v] / 255, skin.colours[3 * v + 1] / 255, skin.colours[3 * v + 2] / 255,
        SRGBColorSpace).toArray(out, 3 * v);
      continue;
    } else if (map === 'depth' && skin.depth[v] > 0) {
      [from, at] = [table, skin.depth[v] / scale.depth_mm * (TABLE - 1)];
    } else if (map === 'depth') {
      at = TABLE >> 1;
    } else if ((flags & 1) === 0) {
      at = 0;
    } else if (map === 'deviation' && (flags & 2) === 0) {
      at = TABLE >> 1;
    } else if (deviation) {
      [from, at] = [table, (0.5 + 0.5 * skin.deviation[v] / scale.deviation_mm) * (TABLE - 1)];
    }
    const row = 3 * Math.min(TABLE - 1, Math.max(0, Math.round(at)));
    out[3 * v] = from[row];
    out[3 * v + 1] = from[row + 1];
    out[3 * v + 2] = from[row + 2];
  }
  colours.needsUpdate = true;
}

// The nearest facet that a ray meets from outside, with the place's shares of its corners
// (T. Möller, B. Trumbore, J. Graphics Tools 2(1), 1997). Plain numbers: it runs over all facets
// as the finger moves.
function nearestHit({ positions, index }, origin, way) {
  let least = Infinity;
  let [facet, second, third] = [-1, 0, 0];
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
    const px = way.y * vz - way.z * vy;
    const py = way.z * vx - way.x * vz;
    const pz = way.x * vy - way.y * vx;
    const det = ux * px + uy * py + uz * pz;
    if (det < 1e-12) continue;  // from behind, or along the facet
    const sx = origin.x - positions[a];
    const sy = origin.y - positions[a + 1];
    const sz = origin.z - positions[a + 2];
    const shareB = (sx * px + sy * py + sz * pz) / det;
    if (shareB < 0 || shareB > 1) continue;
    const qx = sy * uz - sz * uy;
    const qy = sz * ux - sx * uz;
    const qz = sx * uy - sy * ux;
    const shareC = (way.x * qx + way.y * qy + way.z * qz) / det;
    if (shareC < 0 || shareB + shareC > 1) continue;
    const distance = (vx * qx + vy * qy + vz * qz) / det;
    if (distance <= 0 || distance >= least) continue;
    least = distance;
    facet = i / 3;
    second = shareB;
    third = shareC;
  }
  return facet < 0 ? null : { facet, shares: [1 - second - third, second, third] };
}

export class BodyView {
  /** Throws where the browser has no WebGL. */
  constructor(canvas, skin, scale) {
    this.canvas = canvas;
    this.skin = skin;
    this.scale = scale;
    this.axes = lookingAxes(skin);
    this.size = this.axes.map((axis) => {
      const [low, high] = extentAlong(skin, axis);
      return high - low;
    });
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.scene = new Scene();
    this.middle = new Vector3(...skin.low_mm.map((low, k) => (low + skin.high_mm[k]) / 2));
    this.radius = Math.hypot(...skin.low_mm.map((low, k) => skin.high_mm[k] - low)) / 2;
    this.camera = new OrthographicCamera();
    this.makeBody();
    this.makeLight();
    this.target = this.middle.clone();
    new ResizeObserver(() => this.fit()).observe(canvas);
    this.look('l');
    this.fit();
  }

  makeBody() {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(this.skin.positions, 3));
    geometry.setAttribute('normal', new BufferAttribute(vertexNormals(this.skin), 3));
    this.colours = new BufferAttribute(new Float32Array(this.skin.positions.length), 3);
    geometry.setAttribute('color', this.colours);
    geometry.setIndex(new BufferAttribute(this.skin.index, 1));
    this.body = new Mesh(geometry,
      new MeshStandardMaterial({ vertexColors: true, roughness: 0.85, metalness: 0 }));
    this.scene.add(this.body);
    // The other side's mirror image, as a thin veil over the body.
    this.ghost = new Mesh(geometry, new MeshStandardMaterial({
      color: 0x2f6f8f, transparent: true, opacity: 0.35, roughness: 1, side: DoubleSide, depthWrite: false,
    }));
    this.ghost.scale.y = -1;
    this.ghost.visible = false;
    this.scene.add(this.ghost);
  }

  makeLight() {
    this.scene.add(new HemisphereLight(0xffffff, 0xe4e0d8, 2.9));
    this.lamp = new DirectionalLight(0xffffff, 0.7);  // goes with the eye, a little from above
    this.scene.add(this.lamp, this.lamp.target);
  }

  fit() {
    const width = Math.max(1, this.canvas.clientWidth);
    const height = Math.max(1, this.canvas.clientHeight);
    this.renderer.setPixelRatio(Math.min(2, globalThis.devicePixelRatio || 1));
    this.renderer.setSize(width, height, false);
    const [sx, sy, sz] = this.size;
    // A flank from the side fills the picture.
    const half = Math.max(1.08 * sx / 2, 1.2 * Math.max(sy, sz) / 2 * width / height);
    Object.assign(this.camera, { left: -half, right: half, top: half * height / width,
      bottom: -half * height / width, near: 0.01 * this.radius, far: 20 * this.radius });
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  look(letter) {
    this.lookFrom(fromAxes(this.axes, VIEWS[letter].from), fromAxes(this.axes, VIEWS[letter].up));
    this.view = letter;
  }

  lookFrom(from, up) {
    this.camera.up.set(...up);
    this.target.copy(this.middle);
    this.camera.position.copy(this.target).addScaledVector(new Vector3(...from).normalize(), 8 * this.radius);
    this.camera.zoom = 1;
    this.aim();
  }

  /** Turns the body so that a point of the skin faces the eye. */
  face(point, outward) {
    this.lookFrom(outward, Math.abs(outward[2]) > 0.9 ? [0, 1, 0] : [0, 0, 1]);
    const shift = new Vector3(...point).sub(this.target).multiplyScalar(0.4);
    this.target.add(shift);
    this.camera.position.add(shift);
    this.camera.zoom = 1.6;
    this.aim();
  }

  /** Turns about the eye's own upright, then about its own crosswise axis; radians. */
  turn(across, upward) {
    const arm = this.camera.position.clone().sub(this.target);
    const upright = this.camera.up.clone().projectOnPlane(arm.clone().normalize()).normalize();
    const side = new Vector3().crossVectors(upright, arm).normalize();
    arm.applyAxisAngle(upright, across).applyAxisAngle(side, upward);
    this.camera.up.copy(upright.applyAxisAngle(side, upward));
    this.camera.position.copy(this.target).add(arm);
    this.aim();
  }

  /** Shifts the picture by pixels. */
  shift(right, down) {
    const scale = (this.camera.right - this.camera.left) / this.camera.zoom / Math.max(1, this.canvas.clientWidth);
    this.camera.updateMatrixWorld();
    const along = new Vector3().setFromMatrixColumn(this.camera.matrixWorld, 0).multiplyScalar(-scale * right)
      .addScaledVector(new Vector3().setFromMatrixColumn(this.camera.matrixWorld, 1), scale * down);
    this.target.add(along);
    this.camera.position.add(along);
    this.aim();
  }

  zoomBy(factor) {
    this.camera.zoom = Math.min(40, Math.max(0.5, this.camera.zoom * factor));
    this.aim();
  }

  aim() {
    this.camera.lookAt(this.target);
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  show(map) {
    this.map = map;
    paint(this.colours, this.skin, this.scale, map);
    this.draw();
  }

  showGhost(shown) {
    this.ghost.visible = shown;
    this.draw();
  }

  draw() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => this.drawNow());
  }

  drawNow() {
    this.waiting = false;
    const eye = this.camera.position;
    this.lamp.position.copy(eye).addScaledVector(this.camera.up, 4 * this.radius);
    this.lamp.target.position.copy(this.target);
    this.renderer.render(this.scene, this.camera);
  }

  /** The skin under a point of the window: its place and what is mapped there. */
  pick(clientX, clientY) {
    const box = this.canvas.getBoundingClientRect();
    const place = new Vector2(2 * (clientX - box.left) / box.width - 1, 1 - 2 * (clientY - box.top) / box.height);
    const caster = new Raycaster();
    this.camera.updateMatrixWorld();
    caster.setFromCamera(place, this.camera);
    const hit = nearestHit(this.skin, caster.ray.origin, caster.ray.direction);
    if (hit === null) return null;
    const corners = [0, 1, 2].map((k) => this.skin.index[3 * hit.facet + k]);
    const mixed = (values, width, k) =>
      corners.reduce((sum, v, i) => sum + hit.shares[i] * values[width * v + k], 0);
    const nearest = corners[hit.shares.indexOf(Math.max(...hit.shares))];
    return {
      point: [0, 1, 2].map((k) => mixed(this.skin.positions, 3, k)),
      deviation: this.skin.deviation ? mixed(this.skin.deviation, 1, 0) : null,
      depth: this.skin.depth ? mixed(this.skin.depth, 1, 0) : null,
      flags: this.skin.flags ? this.skin.flags[nearest] : 3,
    };
  }

  /** Where a point of the body lies in the window. */
  project(point) {
    const box = this.canvas.getBoundingClientRect();
    this.camera.updateMatrixWorld();
    const seen = new Vector3(...point).project(this.camera);
    return [box.left + (seen.x + 1) / 2 * box.width, box.top + (1 - seen.y) / 2 * box.height];
  }

  /** A still picture of a view, for paper. */
  still(letter) {
    const kept = [this.camera.position, this.camera.up, this.target].map((vector) => vector.clone());
    const zoom = this.camera.zoom;
    this.look(letter);
    this.drawNow();
    const picture = this.canvas.toDataURL('image/png');
    [this.camera.position, this.camera.up, this.target].forEach((vector, i) => vector.copy(kept[i]));
    this.camera.zoom = zoom;
    this.aim();
    this.drawNow();
    return picture;
  }
}
