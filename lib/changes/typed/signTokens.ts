/** Signs of a fixed shape on a music line: bar lines, meters, labels, counts, endings, marks, repeats of bars, keys, no chord. */
import { readMeter } from '../../theory/meter.ts'
import { readHeaderKey } from './chartHeader.ts'
import {
  barLine,
  countSign,
  endingBare,
  endingBracket,
  endingDotted,
  endingWords,
  inlineLabel,
  keySign,
  markOf,
  markSign,
  meterSign,
  noChordWords,
  ordinals,
  passesOf,
  simileSign,
} from './chartSigns.ts'
import { type Cutting, here, type Matcher, match, put, skip } from './cutTokens.ts'
import { namesSection } from './sectionLabel.ts'

/** A bar line, and the bare number of an ending behind it. A colon alone is nothing. */
export const barLineAt: Matcher = (cut, c) => {
  if (c !== '|' && c !== ':' && c !== '[') return false
  const bar = match(cut, barLine)
  if (!bar?.[0]) return c === ':' && skip(cut)
  const sign = bar[0]
  put(cut, {
    kind: 'bar',
    opens: /[|:]:{1,2}$/.test(sign),
    closes: sign[0] === ':',
    plain: sign === '|',
    at: here(cut),
    end: here(cut) + sign.length,
  })
  const spaced = sign[0] === ':' ? /^ {0,3}[2-9] (?=\s*[A-H])/ : cut.lastClose >= cut.i ? /^ {0,3}1 (?=\s*[A-H])/ : null
  const digit = spaced?.exec(cut.line.slice(cut.i, cut.i + 12))?.[0]
  if (digit) skip(cut, digit.length - digit.trimStart().length)
  const next = match(cut, endingBare)
  if (next)
    put(cut, { kind: 'ending', passes: passesOf(next[1]!), bare: true, at: here(cut), end: here(cut) + next[0].length })
  return true
}

const meterAt: Matcher = (cut, c) => {
  if (!cut.barStart || !/[\d([]/.test(c)) return false
  const found = match(cut, meterSign)
  const meter = found && readMeter(found[0])
  if (!meter) return false
  return put(cut, {
    kind: 'meter',
    meter,
    at: here(cut),
    end: here(cut) + found[0].length,
  })
}

const labelAt: Matcher = (cut) => {
  const label = cut.barStart ? match(cut, inlineLabel) : null
  return (
    label !== null &&
    namesSection(label[1]!) &&
    put(cut, { kind: 'label', name: label[1]!, at: here(cut), end: here(cut) + label[0].length })
  )
}

/** Whether a capital X and a number fill a cell of their own among others: a chord gone wrong, no count. */
function isCell({ line, i, tokens }: Cutting, found: string): boolean {
  const before = tokens[tokens.length - 1]
  return /^X\d/.test(found) && before?.kind === 'bar' && !before.closes && /^\s*\|/.test(line.slice(i + found.length))
}

const countAt: Matcher = (cut) => {
  const count = match(cut, countSign)
  if (!count || isCell(cut, count[0])) return false
  return put(cut, {
    kind: 'count',
    count: count[3] ? 2 : Number(count[1] ?? count[2]),
    at: here(cut),
    end: here(cut) + count[0].length,
  })
}

const endingAt: Matcher = (cut, c) => {
  if (!cut.barStart || !/[\d[(fFsStTeE]/.test(c)) return false
  const words = match(cut, endingWords)
  if (words) {
    const passes = words
      .slice(1)
      .filter((part) => part !== undefined)
      .map((part) => Number(part) || ordinals.indexOf(part.toLowerCase()) + 1)
    return put(cut, { kind: 'ending', passes, bare: false, at: here(cut), end: here(cut) + words[0].length })
  }
  const dotted = match(cut, endingDotted) ?? match(cut, endingBracket)
  if (!dotted) return false
  const closed = cut.tokens[cut.tokens.length - 1]
  const inRepeat = closed?.kind === 'bar' && (closed.closes || cut.lastClose >= cut.i)
  if (!inRepeat && /^\(\d+\)$/.test(dotted[0])) return false
  const bare = /^\[\d+\]$/.test(dotted[0])
  return put(cut, {
    kind: 'ending',
    passes: passesOf(dotted[1]!),
    bare,
    at: here(cut),
    end: here(cut) + dotted[0].length,
  })
}

const balanced = (found: string): boolean => /^[[(]/.test(found) === /[)\]]$/.test(found)

const markAt: Matcher = (cut, c) => {
  if (!/[[(dDtTaAcCsSfF\u{1d10b}\u{1d10c}⊕§\ud834]/u.test(c)) return false
  const mark = match(cut, markSign)
  if (!mark || !balanced(mark[0]) || !/^$|[\s|:.,;)\]]/.test(cut.line[cut.i + mark[0].length] ?? '')) return false
  return put(cut, {
    kind: 'mark',
    mark: markOf(mark),
    sure: !/^[[(]?\s?coda/i.test(mark[0]),
    at: here(cut),
    end: here(cut) + mark[0].length,
  })
}

const simileAt: Matcher = (cut) => {
  const simile = match(cut, simileSign)
  if (!simile) return false
  const bars = simile[0] === '%%' || simile[0] === './/.' ? 2 : 1
  return put(cut, { kind: 'simile', bars, at: here(cut), end: here(cut) + simile[0].length })
}

const keyAt: Matcher = (cut, c) => {
  if (c !== '[' && c !== '(') return false
  const key = match(cut, keySign)
  return (
    key !== null &&
    readHeaderKey(key[1]!) !== null &&
    put(cut, { kind: 'key', text: key[1]!, at: here(cut), end: here(cut) + key[0].length })
  )
}

const noChordAt: Matcher = (cut) => {
  const silent = match(cut, noChordWords)
  return (
    silent !== null &&
    put(cut, { kind: 'symbol', text: silent[0], optional: false, at: here(cut), end: here(cut) + silent[0].length })
  )
}

/** Signs that stand apart from what is before them, in the order in which they are tried. */
const signs: readonly Matcher[] = [meterAt, labelAt, countAt, endingAt, markAt, simileAt, keyAt, noChordAt]

const apart = ({ line, i }: Cutting): boolean => i === 0 || /[\s|:\])}"]/.test(line[i - 1]!)

/** A sign of a fixed shape. */
export const signAt: Matcher = (cut, c) => {
  if (!apart(cut)) return false
  for (const sign of signs) if (sign(cut, c)) return true
  return false
}
