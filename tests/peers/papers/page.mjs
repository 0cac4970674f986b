// Reads the fixed page of the speed measure: rules and strings, in points from the top left corner.
import { readFileSync } from 'node:fs'

const mm = 72 / 25.4
const attributes = (tag) => Object.fromEntries([...tag.matchAll(/(\w+)="([^"]*)"/g)].map((m) => [m[1], m[2]]))
const plain = (text) => text.replace(/&lt;/g, '<').replace(/&gt;/g, '>').replace(/&amp;/g, '&')

export function readPage(path) {
  const xml = readFileSync(path, 'utf8')
  const sizes = {}
  for (const [tag] of xml.matchAll(/<style [^>]*>/g)) sizes[attributes(tag).name] = Number(attributes(tag).size)
  const rules = [...xml.matchAll(/<rule [^>]*>/g)].map(([tag]) => {
    const a = attributes(tag)
    return { x: a.x * mm, y: a.y * mm, w: a.w * mm, h: a.h * mm, line: a.line * mm }
  })
  const texts = [...xml.matchAll(/(<text [^>]*>)([^<]*)<\/text>/g)].map(([, tag, text]) => {
    const a = attributes(tag)
    const size = sizes[a.style]
    return { x: a.x * mm, y: a.y * mm + 0.716 * size, size, text: plain(text) }
  })
  return { w: 210 * mm, h: 148 * mm, rules, texts }
}
