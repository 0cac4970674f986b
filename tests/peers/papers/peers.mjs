// The fixed page by pdfkit and by pdf-lib, each document with its own number, fonts embedded as subsets.
import { readFileSync } from 'node:fs'
import fontkit from '@pdf-lib/fontkit'
import { PDFDocument } from 'pdf-lib'
import PDFKit from 'pdfkit'
import { readPage } from './page.mjs'

const [, , path, fontPath] = process.argv
const page = readPage(path)
const font = readFileSync(fontPath)

function byPdfkit(n) {
  return new Promise((done) => {
    const doc = new PDFKit({ size: [page.w, page.h], margin: 0 })
    let bytes = 0
    doc.on('data', (part) => (bytes += part.length))
    doc.on('end', () => done(bytes))
    for (const r of page.rules) doc.lineWidth(r.line).moveTo(r.x, r.y).lineTo(r.x + r.w, r.y + r.h).stroke()
    doc.font(font)
    for (const t of page.texts)
      doc.fontSize(t.size).text(t.text.replaceAll('{reference}', n), t.x, t.y, { lineBreak: false, baseline: 'alphabetic' })
    doc.end()
  })
}

async function byPdfLib(n) {
  const doc = await PDFDocument.create()
  doc.registerFontkit(fontkit)
  const face = await doc.embedFont(font, { subset: true })
  const sheet = doc.addPage([page.w, page.h])
  for (const r of page.rules)
    sheet.drawLine({ start: { x: r.x, y: page.h - r.y }, end: { x: r.x + r.w, y: page.h - r.y - r.h }, thickness: r.line })
  for (const t of page.texts)
    sheet.drawText(t.text.replaceAll('{reference}', n), { x: t.x, y: page.h - t.y, size: t.size, font: face })
  return (await doc.save()).length
}

for (const [name, make, count] of [['pdfkit', byPdfkit, 60], ['pdf-lib', byPdfLib, 60]]) {
  let bytes = await make('0')
  const start = process.hrtime.bigint()
  for (let i = 0; i < count; i++) bytes = await make(String(i))
  const seconds = Number(process.hrtime.bigint() - start) / 1e9
  console.log(`${name.padEnd(12)} ${Math.round(count / seconds)} a second  ${bytes} bytes`)
}
