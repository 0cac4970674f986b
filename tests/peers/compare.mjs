// Compares the atlas with two general-purpose npm libraries over all places: the order of the lines and what counts as a
// postcode. Every difference must stand in allowed.tsv with its reason; a row there that no longer differs fails too.
//
//   node compare.mjs SELVEDGE ALLOWED.tsv
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const [selvedge, allowedFile] = process.argv.slice(2);
const require = createRequire(path.join(process.cwd(), 'package.json'));
const { formatAddress } = require('localized-address-format');
const load = (name) => import(pathToFileURL(require.resolve(name)));
const { COUNTRIES } = await load('postal-code-checker');

// One letter a part; the tokens are no words and no region of any country.
const tokens = { recipient: 'Nnqn', organisation: 'Ooqo', street_lines: 'Aaqa', dependent_locality: 'Ddqd', city: 'Ccqc', region: 'Ssqs' };
const letters = Object.fromEntries(Object.values(tokens).map((t) => [t.toUpperCase(), t[0]]));

function ours(rows) {
  const columns = ['country', ...Object.keys(tokens), 'postcode'];
  const text = [columns, ...rows.map((r) => columns.map((c) => r[c] ?? ''))].map((r) => r.join('\t')).join('\n') + '\n';
  let out;
  try {
    out = execFileSync(selvedge, ['address', '--table', '-', '--tsv'], { input: text, encoding: 'utf8', maxBuffer: 1 << 28 });
  } catch (e) {
    if (e.status !== 1) throw e; // 1: done, and a stop was found in a row
    out = e.stdout;
  }
  const lines = out.trimEnd().split('\n').map((l) => l.split('\t'));
  const at = Object.fromEntries(lines[0].map((n, i) => [n, i]));
  return lines.slice(1).map((l) => ({ block: l[at.block].split('\\n').slice(0, -1), ok: l[at.postcode_ok] }));
}

// The order of the parts: "N|O|A|Z C|S". A printed code is Z; what is no part (PR, GUERNSEY) is left out.
function order(lines, code) {
  const squeeze = (s) => s.toUpperCase().replace(/[^0-9A-Z]/g, '');
  const parts = lines.map((line) => {
    let found = [];
    for (const [token, letter] of Object.entries(letters)) {
      const i = line.toUpperCase().indexOf(token);
      if (i >= 0) found.push([i, letter]);
    }
    const digits = squeeze(code).replace(/^[A-Z]+(?=[0-9])/, '') || squeeze(code);
    if (code) {
      // the place of the code: how much of the squeezed line stands before it
      const i = squeeze(line).indexOf(digits);
      if (i >= 0) {
        let k = -1;
        for (let n = 0; k + 1 < line.length && n <= i; ) if (/[0-9A-Z]/i.test(line[++k])) n++;
        found.push([k, 'Z']);
      }
    }
    return found.sort((a, b) => a[0] - b[0]).map((f) => f[1]).join(' ');
  });
  return parts.filter((p) => p).join('|');
}

const places = Object.keys(COUNTRIES).filter((c) => /^[A-Z]{2}$/.test(c) && !['AC', 'TA'].includes(c));
const rules = (c) => COUNTRIES[c].patterns.map((p) => new RegExp(p.slice(1, p.lastIndexOf('/')), 'i'));
const theirsTakes = (c, code) => rules(c).some((r) => r.test(code.toUpperCase()));
const example = (c) => COUNTRIES[c].example.find((e) => theirsTakes(c, e)) ?? '';

const differences = [];

// Layout: the Latin form with every part filled, with the peer's own example code.
const layoutRows = places.map((c) => ({ country: c, ...tokens, postcode: example(c) }));
ours(layoutRows).forEach((mine, i) => {
  const c = places[i], code = layoutRows[i].postcode;
  const address = { postalCountry: c, name: tokens.recipient, organization: tokens.organisation, addressLines: [tokens.street_lines],
    dependentLocality: tokens.dependent_locality, locality: tokens.city, administrativeArea: tokens.region, postalCode: code };
  const theirs = order(formatAddress(address, 'latin'), code);
  let our = order(mine.block, code);
  // The peer leaves the dependent locality out wherever its template does not name it; the atlas prints what was given.
  if (!theirs.includes('D')) our = our.split('|').map((l) => l.replace(/D ?/, '').trim()).filter((l) => l).join('|');
  if (theirs !== our) differences.push(['layout', c, our, theirs]);
});

// Postcodes: the peer's examples, and what is made of them by leaving out, adding or exchanging a character.
const codes = [];
for (const c of places) {
  const seeds = COUNTRIES[c].example.slice(0, 3);
  const seed = seeds[0] ?? '12345';
  const made = [...seeds, ...seeds.map((s) => s.toLowerCase()), seed.slice(0, -1), seed + '1', seed.replace(/[0-9](?=[^0-9]*$)/, 'X'), '1', '1234', '12345',
    '123456', 'AB1 2CD'];
  for (const code of new Set(made)) if (code && !/^0+$/.test(code)) codes.push({ country: c, city: 'Ccqc', postcode: code });
}
const tally = {};
ours(codes).forEach((mine, i) => {
  const { country, postcode } = codes[i];
  const theirs = theirsTakes(country, postcode) ? '1' : '0';
  if (mine.ok !== theirs) ((tally[country] ??= {})[mine.ok === '1' ? 'only ours takes' : 'only theirs takes'] ??= []).push(postcode);
});
for (const [c, kinds] of Object.entries(tally))
  for (const [kind, list] of Object.entries(kinds)) differences.push(['postcode', c, kind, list.join(', ')]);

const allowed = new Map();
for (const line of readFileSync(allowedFile, 'utf8').split('\n').slice(1)) {
  if (!line || line.startsWith('#')) continue;
  const [kind, country, ours_, theirs, reason] = line.split('\t');
  if (!reason) throw new Error(`${allowedFile}: a row without a reason: ${line}`);
  allowed.set([kind, country, ours_, theirs].join('\t'), false);
}
let bad = 0;
for (const d of differences) {
  const key = d.join('\t');
  if (allowed.has(key)) allowed.set(key, true);
  else { bad++; console.log(`differs, and is not in the list of reasons: ${key}`); }
}
for (const [key, used] of allowed) if (!used) { bad++; console.log(`in the list of reasons, and does not differ: ${key}`); }
console.log(`${places.length} places, ${layoutRows.length} layouts, ${codes.length} postcodes; ${differences.length} differences, ${bad} without a reason`);
console.log(`${bad ? 0 : 1} passed, ${bad ? 1 : 0} failed`);
process.exit(bad ? 1 : 0);
