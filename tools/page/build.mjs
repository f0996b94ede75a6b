// SPDX-License-Identifier: GPL-3.0-or-later
// node build.mjs OUT [MODULE] : bundles the page's script and style and writes them as C++ text,
// with the hashes that its content-security policy names and the notices of what is bundled; with
// the WebAssembly module also that, and the script of the worker that runs it.
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { deflateRawSync } from 'node:zlib';

import { build } from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));
const [out, modulePath] = process.argv.slice(2);
const packages = join(here, 'node_modules');

const bundle = (entry) => build({
  entryPoints: [join(here, entry)],
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  charset: 'utf8',
  legalComments: 'none',
  write: false,
  metafile: true,
});
const bundled = await bundle('src/main.js');
const worker = modulePath ? await bundle('src/live/worker.js') : null;
const styled = await build({
  entryPoints: [join(here, 'src/page.css')], bundle: true, minify: true, charset: 'utf8', legalComments: 'none', write: false,
});

// Nothing in a script may end its element.
const scriptOf = (made) => made.outputFiles[0].text.trim().replace(/<(\/script|!--)/gi, '<\\$1');
const script = scriptOf(bundled);
const workerScript = worker ? scriptOf(worker) : '';
const packed = modulePath ? deflateRawSync(readFileSync(modulePath), { level: 9, memLevel: 9 }).toString('base64') : '';
const style = styled.outputFiles[0].text.trim();
const hash = (text) => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;

const inputs = [bundled, worker].flatMap((one) => Object.keys(one?.metafile.inputs ?? {}));
const names = new Set(inputs.map((path) => /node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]).filter(Boolean));
const notices = [...names].sort().map((name) => {
  const facts = JSON.parse(readFileSync(join(packages, name, 'package.json'), 'utf8'));
  return `${name} ${facts.version}, licence ${facts.license}:\n${readFileSync(join(packages, name, 'LICENSE'), 'utf8').trim()}`;
}).join('\n\n');

// A compiler takes texts of 64 KiB for sure: in pieces, cut between characters.
function pieces(text) {
  const found = [];
  for (let i = 0; i < text.length;) {
    let end = Math.min(text.length, i + 12000);
    if (end < text.length && (text.charCodeAt(end) & 0xfc00) === 0xdc00) ++end;
    found.push(`    R"page(${text.slice(i, end)})page"sv,`);
    i = end;
  }
  return `{\n${found.join('\n') || '    ""sv'}\n}`;
}

writeFileSync(out, `// Made by tools/page/build.mjs.
#include "report/page_parts.h"

#include <array>
#include <string_view>

namespace trueblank::report {

namespace {

using namespace std::string_view_literals;

constexpr std::string_view script_pieces[] = ${pieces(script)};
constexpr std::string_view style_pieces[] = ${pieces(style)};
constexpr std::string_view notice_pieces[] = ${pieces(notices)};
constexpr std::string_view module_pieces[] = ${pieces(packed)};
constexpr std::string_view worker_pieces[] = ${pieces(workerScript)};

template <std::size_t N>
std::string joined(const std::string_view (&pieces)[N]) {
  std::string whole;
  for (const std::string_view piece : pieces) whole += piece;
  return whole;
}

}  // namespace

bool has_page() { return true; }

std::string page_script() { return joined(script_pieces); }

std::string page_style() { return joined(style_pieces); }

std::string page_notices() { return joined(notice_pieces); }

std::string page_module() { return joined(module_pieces); }

std::string page_worker() { return joined(worker_pieces); }

std::string_view page_script_hash() { return "${hash(script)}"; }

std::string_view page_style_hash() { return "${hash(style)}"; }

}  // namespace trueblank::report
`);
console.log(`script ${script.length}, style ${style.length}, worker ${workerScript.length}, module ${packed.length} characters`);
