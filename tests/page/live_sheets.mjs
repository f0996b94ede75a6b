// SPDX-License-Identifier: GPL-3.0-or-later
// Build sheets drawn at random, in the sheet's own language and in many of its ways of writing.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

const METALS = ['lead', 'tungsten', 'steel', 'stainless steel', 'brass', 'zinc', 'tin', 'bismuth', 'glass', 'epoxy'];
const WOODS = ['western redcedar', 'American basswood', 'yellow-poplar', 'balsa', 'teak', 'sugar maple', 'jelutong'];
const NAMES = ['tail weight', 'Gewicht "vorn"', 'Öse \\ hinten', '№ 3 plomb', '# belly', "maker's own", 'a = 1', '[[hook]]', '釣り針'];

/** The demo bodies, and a hollow one that the test makes: [body] and length. */
export function demoBodies(meshes, hollow) {
  const mesh = (name) => JSON.stringify(join(meshes, name));
  const drawn = readFileSync(join(meshes, 'slim-150-sections.toml'), 'utf8');
  const sections = drawn.slice(drawn.indexOf('[[section]]'), drawn.indexOf('[wood]'));
  return [
    { name: 'pencil', length: 140, depth: 20, volume: 40033, text: `[body]\nmesh = ${mesh('pencil-140.stl')}\nnose = "-x"\nback = "+z"\n` },
    { name: 'needle', length: 180, depth: 16, volume: 46323, text: `[body]\nmesh = ${mesh('needle-180.stl')}\nnose = "+x"\nback = "+y"\n` },
    { name: 'glider', length: 165, depth: 30, volume: 98020, text: `[body]\nmesh = ${mesh('glider-165.obj')}\nunits = "cm"\nnose = "+y"\nback = "+z"\n` },
    { name: 'slim', length: 150, depth: 14, volume: 25609, text: sections },
    { name: 'scan', length: 140, depth: 20, volume: 39925, text: `[body]\nmesh = ${mesh('pencil-140-scan.stl')}\nlength = 140\nnose = "0.1,-0.4,0.9"\nback = "0.4,-0.8,-0.4"\n` },
    { name: 'hollow, air', length: 150, depth: 24, volume: 40000, text: `[body]\nmesh = ${JSON.stringify(hollow)}\nnose = "-x"\nback = "+z"\ncavity = "air"\n` },
    { name: 'hollow, flooded', length: 150, depth: 24, volume: 40000, text: `[body]\nmesh = ${JSON.stringify(hollow)}\nnose = "-x"\nback = "+z"\ncavity = "flooded"\n` },
  ];
}

/** An ellipsoid within an ellipsoid, no two of its axes alike, as text STL. */
export function hollowStl() {
  const facets = [...ellipsoid([75, 12, 15], false), ...ellipsoid([40, 5, 6], true)];
  const corner = (p) => `vertex ${p.map((x) => x.toFixed(6)).join(' ')}`;
  return `solid hollow\n${facets.map((f) => `facet normal 0 0 0\nouter loop\n${f.map(corner).join('\n')}\nendloop\nendfacet`).join('\n')}\nendsolid hollow\n`;
}

function ellipsoid(half, inward) {
  const [around, along] = [48, 60];
  const at = (i, j) => {
    const [u, v] = [Math.PI * i / along, 2 * Math.PI * (j % around) / around];
    return i % along === 0 ? [half[0] * Math.cos(u), 0, 0]
      : [half[0] * Math.cos(u), half[1] * Math.sin(u) * Math.cos(v), half[2] * Math.sin(u) * Math.sin(v)];
  };
  const facets = [];
  for (let i = 0; i < along; ++i) {
    for (let j = 0; j < around; ++j) {
      const [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
      if (i < along - 1) facets.push([a, b, c]);
      if (i > 0) facets.push([a, c, d]);
    }
  }
  return inward ? facets.map(([a, b, c]) => [a, c, b]) : facets;
}

const text = (value) => (value.includes("'") || /[\u0000-\u001f]/.test(value) ? JSON.stringify(value) : null) ?? `'${value}'`;

class Drawer {
  constructor(random, body) {
    [this.random, this.body] = [random, body];
    this.taken = 0;
  }

  grams(low, high) {
    const g = this.random.spread(low, high);
    return this.random.one([String(g), `"${g} g"`, `"${(g / 28.349523125).toFixed(3)} oz"`]);
  }

  mm(value) { return this.random.chance(0.1) ? `"${(value / 25.4).toFixed(3)} in"` : String(value); }

  /** A name, or now and then none. */
  name() {
    this.taken += 1;
    if (this.random.chance(0.15)) return [];
    const name = `${this.random.one(NAMES)} ${this.taken}`;
    return [`name = ${this.random.chance(0.5) ? text(name) : JSON.stringify(name)}`];
  }

  stuff() {
    return this.random.chance(0.7) ? `metal = "${this.random.one(METALS)}"` : `density = ${this.random.rounded(1.05, 20, 2)}`;
  }

  station(low = 0.15, high = 0.85) { return this.random.rounded(low * this.body.length, high * this.body.length); }

  side(share) { return this.random.chance(share) ? `, right = ${this.random.rounded(-2, 2)}` : ''; }

  inside() {
    const { random } = this;
    const height = random.rounded(2, 0.45 * this.body.depth);
    const from = random.one(['above_belly', 'above_belly', 'below_back']);
    return `{ station = ${this.mm(this.station())}${this.side(0.3)}, ${from} = ${height} }`;
  }

  hookEye() {
    const { random } = this;
    if (random.chance(0.3)) return `[${random.rounded(this.body.length, this.body.length + 9)}, ${random.rounded(-3, 3)}]`;
    return `{ station = ${this.station(0.2, 0.9)}, below_belly = ${random.rounded(0, 4)} }`;
  }

  wire() {
    const { random, body } = this;
    const rise = () => random.rounded(-1.5, 1.5);
    const middle = random.chance(0.4) ? `, [${this.station()}, ${rise()}]` : '';
    const weighed = random.chance(0.3) ? [`weighed = ${random.rounded(2, 6)}`] : [];
    const diameter = weighed.length && random.chance(0.5) ? [] : [`diameter = ${random.rounded(0.8, 2)}`];
    return [...this.name(), `metal = "stainless steel"`, ...diameter, `path = [[${random.rounded(-9, -2)}, ${rise()}]${middle}, [${body.length + random.rounded(2, 9)}, ${rise()}]]`, ...weighed];
  }

  ballast() {
    const hole = this.random.chance(0.3) ? [`diameter = ${this.random.rounded(4, 10)}`, 'axis = "upright"'] : [];
    return [...this.name(), `at = ${this.inside()}`, `mass = ${this.grams(0.5, 12e-4 * this.body.volume / 4)}`, this.stuff(), ...hole];
  }

  pocket() {
    const { random } = this;
    const filled = random.one(['"nothing"', '"water"', '"epoxy"', '"lead"', '0.5', '"1.2 g/cm3"']);
    return [...this.name(), `at = ${this.inside()}`, `diameter = ${random.rounded(2, 6)}`, `depth = ${random.rounded(3, 12)}`,
      `axis = "${random.one(['along', 'across', 'upright'])}"`, ...(random.chance(0.2) ? [] : [`filled = ${filled}`])];
  }

  hook() {
    const { random } = this;
    const size = random.chance(0.3) ? ['size_up = 40'] : [];
    const sizes = random.chance(0.3) ? ['sizes = [3, "5 g", 8]'] : [];
    const eye = random.chance(0.15) ? [`eye_x = [${this.station(0.3, 0.4)}, ${this.station(0.5, 0.7)}]`] : [];
    const hang = random.chance(0.8) ? [`hang = ${random.rounded(0, 22)}`] : [];
    return [...this.name(), `eye = ${this.hookEye()}`, `mass = ${this.grams(1, 15)}`, 'metal = "steel"', ...hang, ...size, ...sizes, ...eye];
  }

  outside() {
    const { random } = this;
    return [...this.name(), `at = [${random.rounded(0, this.body.length)}, ${random.rounded(-3, 3)}, ${random.rounded(-1.2, 1) * this.body.depth}]`,
      `mass = ${this.grams(0.3, 4)}`, this.stuff()];
  }

  wood() {
    const { random, body } = this;
    const g = (random.within(0.25, 0.75) * body.volume / 1000).toFixed(1);
    const balance = random.chance(0.2) ? [`balance = ${this.station(0.42, 0.55)}`] : [];
    const half = (share) => (g * share / 2).toFixed(2);
    return [...random.one([
      [`species = "${random.one(WOODS)}"`], [`density = ${random.rounded(0.16, 0.9, 3)}`], [`weighed = "${g} g"`],
      [`weighed = ${g}`, `species = "${random.one(WOODS)}"`],
      [`halves = { left = ${half(1)}, right = "${half(random.within(0.96, 1.04))} g" }`]]), ...balance];
  }

  finish() {
    const { random } = this;
    return [`thickness = ${random.rounded(0.05, 0.8, 2)}`, random.chance(0.5) ? 'density = 1.15' : `weighed = ${random.rounded(1, 5)}`];
  }

  water() {
    const { random } = this;
    const what = random.one(['kind = "fresh"', 'kind = "sea"', `salinity = ${random.rounded(0, 40)}`, `density = ${random.rounded(0.99, 1.05, 4)}`]);
    return [what, ...(random.chance(0.6) ? [`temperature = ${random.rounded(0, 30)}`] : [])];
  }
}

const headed = (heading, lines) => `${heading}\n${lines.join('\n')}\n\n`;
const inBraces = (lines) => `{ ${lines.map((line) => line.replace(/^(\w+)\s*=/, '$1 =')).join(', ')} }`;

/** A sheet on one of the bodies. */
export function randomSheet(random, bodies) {
  const body = random.one(bodies);
  const draw = new Drawer(random, body);
  const parts = { wire: random.chance(0.8) ? 1 : 2 * random.whole(2), ballast: random.whole(4), pocket: random.whole(3), hook: random.whole(4), outside: random.whole(3) };
  const inline = random.chance(0.25) ? random.one(['ballast', 'hook', 'outside', 'wood', 'water']) : null;
  let top = '# drawn at random\nsheet = 1\n';
  let below = body.text;
  const single = (kind) => {
    if (kind === inline) top += `${kind} = ${inBraces(draw[kind]())}\n`;
    else below += headed(`[${kind}]`, draw[kind]());
  };
  single('wood');
  if (random.chance(0.5)) single('finish');
  if (random.chance(0.8)) single('water');
  for (const [kind, count] of Object.entries(parts)) {
    const tables = Array.from({ length: count }, () => draw[kind]());
    if (kind === inline && count > 0) top += `${kind} = [\n  ${tables.map(inBraces).join(',\n  ')},\n]\n`;
    else for (const lines of tables) below += `${random.chance(0.2) ? '# a word on it\n' : ''}${headed(`[[${kind}]]`, lines)}`;
  }
  const whole = top + below;
  return { body: body.name, text: random.chance(0.2) ? whole.replaceAll('\n', '\r\n') : whole };
}
