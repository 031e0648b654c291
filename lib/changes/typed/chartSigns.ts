/** The shapes of a chart's signs: bar lines, meters, endings, counts, marks, repeats of bars, keys and labels within a line. */
import type { Mark } from '../chart.ts'

export const barLine = /(?::{1,2} {0,2})?\[?\|{1,3}(?:\]| {0,2}:{1,2}(?= [^|]|[^\s|]|$)|:{1,2}|\.(?=\s*$))?|::(?=\s)/y
const groups = '\\d{1,4}(?:\\s?\\+\\s?\\d{1,4}){1,31}'
const oneMeter = `(?:\\d{1,4}|${groups}|\\(${groups}\\))\\/\\d{1,4}`
const grouped = `(?:\\s{0,3}[([]\\s?${groups}\\s?[)\\]])?`
export const meterSign = new RegExp(
  `(?:\\(${oneMeter}${grouped}\\)|\\[${oneMeter}${grouped}\\]|${oneMeter}(?=\\s|$|\\||:|\\()|\\(${oneMeter}\\)|\\[${oneMeter}\\])${grouped}`,
  'y',
)
const passList = '\\d{1,2}(?:(?:\\.?\\s?[,&]\\s?|\\.\\s?[-/]?\\s?|\\s?-\\s?|\\.,\\s?)\\d{1,2})*'
export const endingDotted = new RegExp(`\\[?\\(?(${passList})\\s?(?:[.)]\\]?|\\.\\)|\\.?\\]|x?:(?!\\|))(?!\\d)`, 'y')
export const endingBracket = new RegExp(`\\[(${passList})[.)]?\\]?(?=\\s|[A-H(%|]|$)`, 'y')
export const endingBare = new RegExp(`(${passList})(?=\\s+\\S|[A-H])`, 'y')
export const endingWords =
  /[[(]?(?:ending\s(\d)(?!\d)|(?:(\d)(?:st|nd|rd|th)|(first|second|third|fourth))(?:(?:\s?(?:&|and|,)\s?)(?:(\d)(?:st|nd|rd|th)|(second|third|fourth)))?\s(?:endings?|times?|x|volta))\s?[:.]?[\])]?:?/iy
export const markSign =
  /[[(]?\s?(?:(d\.c\.?|d\. c\.|dc(?![a-z0-9#])|da capo)|(d\.s\.?|d\. s\.|ds(?![a-z0-9#])|dal segno)|(to\s+(?:the\s+)?(?:coda|[⊕\u{1d10c}ø])|al\s+coda(?!\w))|(coda(?:\s?(?:sign|[⊕\u{1d10c}]))?(?![a-z])|[⊕\u{1d10c}])|(segno(?![a-z])|\u{1d10b}|§)|(fine(?![a-z])))(?:[\s(]{0,3}(?:al|alla)\s+(?:(fine)|(coda|[⊕\u{1d10c}ø])|segno))?\.?(?:\s?[)\]])?/iuy
export const countSign =
  /[[(]?\s?(?:(?:repeat|play|played)\s+)?(?:[x×]\s?(-?\d{1,6})|(-?\d{1,6})\s?(?:[x×](?![\w#])|times(?!\w))|(bis)(?!\w))\s?(?:times)?[)\]]?(?=$|[\s|.,;)\]])/iy
export const simileSign = /%%|\.\/\/\.|%|\.\/\.|𝄎|sim(?:ile|\.)(?=\s|$|\|)/y
export const keySign = /[[(]\s?(?:key|tonart)(?:\s?[:=]\s?|\s(?:of\s)?)([^\])|\n]{1,24})[\])]/iy
export const inlineLabel = /([A-Z]\d?'{0,2}|[A-Z][A-Za-z -]{2,20}\d{0,2}):(?=\s)/y
export const noChordWords = /n\.\s?c\.?(?![a-z])|no[ -]chord(?![a-z])|nc\.?(?=\s|$|[|)\],])/iy
export const arrows = /(?:->|=>|→|⇒|➔|➝|»|>)+/y

/** What a symbol may go on with after a space. */
export const joins =
  /^(?:maj|ma?\d|min|mi?\d|m$|M\d|add|sus|alt|lyd|dim|aug|dom|°|ø|Δ|[-+]\d|\d{1,2}$|6\/9$|[679]|1[13])/i

export function passesOf(list: string): readonly number[] {
  const passes: number[] = []
  const numbers = [...list.matchAll(/(-)?\s?(\d{1,2})/g)]
  for (const [, dash, digits] of numbers) {
    const number = Number(digits)
    const before = passes[passes.length - 1]
    if (dash && before !== undefined) for (let n = before + 1; n < number; n++) passes.push(n)
    passes.push(number)
  }
  return [...new Set(passes)]
}

export const ordinals = ['first', 'second', 'third', 'fourth']

export function markOf(found: RegExpExecArray): Mark {
  const [, dc, ds, toCoda, coda, segno, , alFine, alCoda] = found
  if (dc) return alFine ? 'D.C. al Fine' : alCoda ? 'D.C. al Coda' : 'D.C.'
  if (ds) return alFine ? 'D.S. al Fine' : alCoda ? 'D.S. al Coda' : 'D.S.'
  return toCoda ? 'To Coda' : coda ? 'Coda' : segno ? 'Segno' : 'Fine'
}
