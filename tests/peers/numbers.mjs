// Compares the check digits of identifiers with the general-purpose npm library stdnum: for each kind, numbers drawn by a
// fixed seed, as they come and with the last character tried through, so that well formed ones are among them. Every kind
// that differs must stand in numbers-allowed.tsv with its reason; a row there that no longer differs fails too.
//
//   node numbers.mjs SELVEDGE NUMBERS-ALLOWED.tsv
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

const [selvedge, allowedFile] = process.argv.slice(2);
const { stdnum } = createRequire(path.join(process.cwd(), 'package.json'))('stdnum');

let seed = 20261125;
const random = (n) => {
  seed = (seed * 1103515245 + 12345) % 2147483648;
  return Math.floor(seed / 65536) % n;
};
const D = '0123456789', L = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
// d a digit, l a letter, all else itself; several forms apart by |.
const draw = (forms) => {
  const all = forms.split('|'), form = all[random(all.length)];
  return [...form].map((c) => (c === 'd' ? D[random(10)] : c === 'l' ? L[random(26)] : c)).join('');
};

// Kind, prefix, form of the number, the peer's module.
const kinds = [
  ['EUVAT', 'AT', 'Udddddddd', stdnum.AT.uid], ['EUVAT', 'BE', '0ddddddddd|1ddddddddd', stdnum.BE.vat], ['EUVAT', 'CY', 'ddddddddl', stdnum.CY.vat],
  ['EUVAT', 'DE', 'ddddddddd', stdnum.DE.vat], ['EUVAT', 'DK', 'dddddddd', stdnum.DK.cvr], ['EUVAT', 'EE', 'ddddddddd', stdnum.EE.kmkr],
  ['EUVAT', 'EL', 'ddddddddd', stdnum.GR.vat], ['EUVAT', 'ES', 'Bdddddddd|Add0ddddd|ddddddddl', stdnum.ES.nif],
  ['EUVAT', 'FI', 'dddddddd', stdnum.FI.alv], ['EUVAT', 'FR', 'ddddddddddd', stdnum.FR.tva], ['EUVAT', 'HR', 'ddddddddddd', stdnum.HR.oib],
  ['EUVAT', 'HU', 'dddddddd', stdnum.HU.anum], ['EUVAT', 'IE', 'dddddddl|dddddddlA', stdnum.IE.vat], ['EUVAT', 'IT', 'ddddddd00dd', stdnum.IT.iva],
  ['EUVAT', 'LT', 'ddddddd1d|dddddddddd1d', stdnum.LT.pvm], ['EUVAT', 'LU', 'dddddddd', stdnum.LU.tva], ['EUVAT', 'MT', 'dddddddd', stdnum.MT.vat],
  ['EUVAT', 'NL', 'dddddddddB01', stdnum.NL.btw], ['EUVAT', 'PL', 'dddddddddd', stdnum.PL.nip], ['EUVAT', 'PT', 'ddddddddd', stdnum.PT.nif],
  ['EUVAT', 'SE', 'dddddddddd01', stdnum.SE.vat], ['EUVAT', 'SI', 'dddddddd', stdnum.SI.ddv], ['EUVAT', 'SK', 'dddddddddd', stdnum.SK.dph],
  ['GBVAT', '', 'ddddddddd', stdnum.GB.vat], ['ABN', '', 'ddddddddddd', stdnum.AU.abn], ['IRD', '', 'dddddddd|1dddddddd', stdnum.NZ.ird],
  ['CHUID', '', 'CHEddddddddd', stdnum.CH.uid], ['BRCPF', '', 'ddddddddddd', stdnum.BR.cpf], ['BRCNPJ', '', 'dddddddddddddd', stdnum.BR.cnpj],
].filter((k) => k[3]);

const rows = [];
for (const [kind, prefix, form, peer] of kinds) {
  for (let i = 0; i < 150; i++) {
    const number = draw(form), last = number.at(-1);
    const tries = i % 2 ? [number] : [...(L.includes(last) ? L : D)].map((c) => number.slice(0, -1) + c);
    for (const n of tries) rows.push([kind, prefix + n, peer.validate(n).isValid ? '1' : '0', kind + prefix]);
  }
}

let out;
try {
  const input = 'kind\tvalue\n' + rows.map((r) => r[0] + '\t' + r[1]).join('\n') + '\n';
  out = execFileSync(selvedge, ['number', '--table', '-', '--tsv'], { input, encoding: 'utf8', maxBuffer: 1 << 28 });
} catch (e) {
  if (e.status !== 1) throw e; // 1: done, and numbers that are not well formed were among them
  out = e.stdout;
}
const lines = out.trimEnd().split('\n').map((l) => l.split('\t'));
const valid = lines[0].indexOf('valid');
const differ = new Map();
lines.slice(1).forEach((l, i) => {
  if (l[valid] !== rows[i][2]) differ.set(rows[i][3], [...(differ.get(rows[i][3]) ?? []), `${rows[i][1]} (ours ${l[valid]})`]);
});
const allowed = new Map(readFileSync(allowedFile, 'utf8').trimEnd().split('\n').slice(1).map((l) => l.split('\t')));
let bad = 0;
for (const [kind, list] of differ) {
  if (allowed.has(kind)) continue;
  bad++;
  console.log(`${kind}: ${list.length} differ, such as ${list.slice(0, 3).join(', ')}`);
}
for (const kind of allowed.keys()) {
  if (differ.has(kind)) continue;
  bad++;
  console.log(`${kind}: stands in ${allowedFile} and no longer differs`);
}
console.log(`numbers: ${rows.length} of ${kinds.length} kinds compared, ${differ.size} kinds differ, ${bad} without a reason`);
console.log(`${bad ? 0 : 1} passed, ${bad ? 1 : 0} failed`);
process.exit(bad ? 1 : 0);
