// Addresses a second of a general-purpose npm library over the same rows, for comparison: median of five rounds.
//   node peer_address.mjs NODE_FOLDER EXAMPLES.tsv SECONDS
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

const [folder, file, seconds] = process.argv.slice(2);
const { formatAddress } = createRequire(path.resolve(folder, 'package.json'))('localized-address-format');
const lines = readFileSync(file, 'utf8').trimEnd().split('\n').map((l) => l.split('\t'));
const at = Object.fromEntries(lines[0].map((n, i) => [n, i]));
const rows = lines.slice(1).map((l) => ({
  postalCountry: l[at.country], name: l[at.recipient], addressLines: l[at.street_lines].split('\\n'),
  dependentLocality: l[at.dependent_locality], locality: l[at.city], administrativeArea: l[at.region], postalCode: l[at.postcode],
}));
const rates = [];
let letters = 0;
for (let round = 0; round < 5; round++) {
  const start = process.hrtime.bigint(), end = start + BigInt(Math.round(Number(seconds) * 1e9));
  let n = 0;
  while (process.hrtime.bigint() < end) {
    for (let k = 0; k < 50; k++) for (const r of rows) letters += formatAddress(r, 'latin').join('\n').length;
    n += 50 * rows.length;
  }
  rates.push(n / (Number(process.hrtime.bigint() - start) / 1e9));
}
rates.sort((a, b) => a - b);
console.log(`peer localized-address-format 1.3.3: ${Math.round(rates[2])} addresses/s (min ${Math.round(rates[0])}, max ${Math.round(rates[4])}), ` +
  `layout only, no checks; node ${process.version}`);
if (!letters) process.exit(1);
