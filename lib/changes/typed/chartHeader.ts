/** The words about a chart: header lines and ChordPro directives, read to key, meter, tempo, title and the like. */
import { type Key, readKey, signatureOf } from '../../theory/key.ts'
import { type Meter, readMeter } from '../../theory/meter.ts'
import { type Letter, readPitchClass } from '../../theory/pitch.ts'

/** One thing said about the chart; `at` and `end` are the value's offsets in the line. */
export interface HeaderItem {
  readonly name: 'title' | 'key' | 'meter' | 'tempo' | 'style' | 'composer' | 'form'
  readonly value: string
  readonly at: number
  readonly end: number
  /** Said in German, where B is B flat. */
  readonly german: boolean
}

const names: Record<string, HeaderItem['name']> = {
  title: 'title',
  titel: 'title',
  tune: 'title',
  key: 'key',
  'key signature': 'key',
  tonart: 'key',
  time: 'meter',
  meter: 'meter',
  metre: 'meter',
  'time signature': 'meter',
  takt: 'meter',
  taktart: 'meter',
  tempo: 'tempo',
  bpm: 'tempo',
  feel: 'style',
  style: 'style',
  groove: 'style',
  composer: 'composer',
  'composed by': 'composer',
  'music by': 'composer',
  'written by': 'composer',
  komponist: 'composer',
  form: 'form',
}
const alternatives = Object.keys(names)
  .sort((a, b) => b.length - a.length)
  .join('|')
const opening = new RegExp(`^[-*_•\\s]{0,6}(${alternatives})[*_]{0,2}\\s?[:=]\\s?[*_]{0,2}`, 'i')
const inside = new RegExp(`(?<=[\\s|,;(])[*_]{0,2}(${alternatives})[*_]{0,2}\\s?[:=]\\s?[*_]{0,2}`, 'gi')

/** A text without the signs it ends with; a pattern would go over a long run of them again and again. */
function withoutEnd(text: string, signs: string): string {
  let end = text.length
  while (end > 0 && signs.includes(text[end - 1]!)) end--
  return text.slice(0, end)
}

/**
 * The headers of a line, several where it holds several; null where it has none. Words before the first are a title.
 */
export function readHeaders(line: string): readonly HeaderItem[] | null {
  const first = opening.exec(line)
  if (!first) return titledHeaders(line)
  const found = [{ word: first[1]!, at: 0, from: first[0].length }]
  for (const more of line.matchAll(inside))
    if (more.index >= first[0].length) found.push({ word: more[1]!, at: more.index, from: more.index + more[0].length })
  return found.map(({ word, from }, i) => {
    const raw = line.slice(from, found[i + 1]?.at ?? line.length)
    const lead = raw.length - raw.trimStart().length
    const value = withoutEnd(raw.trim(), ' \t|,;')
    const at = from + lead
    return {
      name: names[word.toLowerCase()]!,
      value,
      at,
      end: at + value.length,
      german: /^(tonart|takt|taktart|titel|komponist)$/i.test(word),
    }
  })
}

function titledHeaders(line: string): readonly HeaderItem[] | null {
  const at = line.search(inside)
  if (at < 1 || at > 80) return null
  const words = line.slice(0, at)
  const rest = readHeaders(line.slice(at))
  if (!rest || /[|:[\]]\s*\S/.test(words)) return null
  const value = words.replace(/[\s|,;(-]+$/, '').trim()
  const start = words.length - words.trimStart().length
  const title: HeaderItem = { name: 'title', value, at: start, end: start + value.length, german: false }
  const moved = rest.map((item) => ({
    ...item,
    value: item.value.replace(/\)$/, ''),
    at: item.at + at,
    end: item.end + at,
  }))
  return [title, ...moved]
}

/** A ChordPro directive of its own line; null where the line is none. */
export function readDirective(line: string): { name: string; value: string; at: number } | null {
  if (line[0] !== '{' || !line.endsWith('}') || line.indexOf('{', 1) > 0) return null
  const name = /^\{\s{0,9}([A-Za-z_]+)(?:-[\w-]{1,20})?(?=[\s:}])/.exec(line)
  if (!name) return null
  const rest = line.slice(name[0].length, -1)
  const from = name[0].length + (/^\s{0,9}:?\s*/.exec(rest)?.[0].length ?? 0)
  return { name: name[1]!.toLowerCase(), value: line.slice(from, -1).trim(), at: from }
}

/** The label that a ChordPro section directive gives: its `label` attribute, or plain words. */
export function directiveLabel(value: string): string | null {
  const named = /label\s*=\s*"([^"]*)"/.exec(value)
  if (named) return named[1]!.trim() || null
  return /=/.test(value) || value === '' || /^\d+(\+\d+)?x\d+/.test(value) ? null : value
}

const germanNotes: ReadonlyMap<string, string> = new Map([
  ['es', 'Eb'],
  ['as', 'Ab'],
  ['his', 'B#'],
  ['h', 'B'],
  ['b', 'Bb'],
])
const germanNote = (word: string): string | null => {
  const lower = word.toLowerCase()
  const own = germanNotes.get(lower)
  if (own) return own
  const found = /^([a-h])(is|es|s)?$/.exec(lower)
  if (!found) return null
  const letter = found[1]! === 'h' ? 'B' : (found[1]!.toUpperCase() as Letter)
  return letter + (found[2] === 'is' ? '#' : found[2] ? 'b' : '')
}

/**
 * Reads a key as a chart's header says it: as `readKey`, and with modes, remarks and German names.
 *
 * @example
 * keyName(readHeaderKey('D dorian')) // => 'D minor'
 * keyName(readHeaderKey('B-Dur')) // => 'Bb major'
 * keyName(readHeaderKey('Eb (concert)')) // => 'Eb major'
 */
export function readHeaderKey(text: string, german = false): Key | null {
  const plain = text
    .replace(/\(.*$/, '')
    .replace(/[|,;/].*$/, '')
    .replace(/^(?:the )?key of\s+/i, '')
    .replace(/\bconcert\b.*$/i, '')
    .trim()
  const said = /^([A-Ha-h](?:is|es|s)?)[\s-]*(dur|moll)$/i.exec(plain)
  if (said || german) {
    const [, word = plain, mode = ''] = said ?? /^([A-Ha-h](?:is|es|s)?)(m)?$/.exec(plain) ?? []
    const note = germanNote(word)
    const tonic = note === null ? null : readPitchClass(note)
    if (tonic) {
      const minor = /^(moll|m)$/i.test(mode) || (mode === '' && word[0] === word[0]!.toLowerCase())
      const key: Key = { tonic, mode: minor ? 'minor' : 'major' }
      if (Math.abs(signatureOf(key)) <= 7) return key
    }
  }
  const modal = /^(.*?)[\s-]+(dorian|phrygian|locrian|lydian|mixolydian)$/i.exec(plain)
  if (modal) return readKey(`${modal[1]}${/^(dor|phr|loc)/i.test(modal[2]!) ? ' minor' : ''}`)
  return readKey(plain)
}

/** Reads a meter such as `3/4`, `5/4 (2+3)`, `C`, `cut time`; null where it is none. A wrong one comes back as it stands, to be reported. */
export function readHeaderMeter(text: string): Meter | null {
  const found = readMeter(text)
  if (found) return found
  if (/^(c|common(?: time)?)$/i.test(text.trim())) return { beats: 4, unit: 4 }
  if (/^(cut(?: time)?|alla breve|c\|)$/i.test(text.trim())) return { beats: 2, unit: 2 }
  return null
}

/** Reads a tempo in quarter notes a minute; null where it names no number. A half note counts two quarters. */
export function readTempo(text: string): number | null {
  const found = /(?:^|\D)(\d{2,3})(?!\d)/.exec(text)
  if (!found) return null
  const number = Number(found[1])
  const tempo = /half|𝅗𝅥|minim/i.test(text) ? number * 2 : /dotted|𝅘𝅥\.|♩\./i.test(text) ? number * 1.5 : number
  return tempo >= 20 && tempo <= 600 ? tempo : null
}

const styleWord =
  /\b(?:swing|bossa|ballad|waltz|latin|samba|funk|rock|shuffle|straight|bebop|even (?:8|eighth)|medium|up ?tempo|afro)/i

/** Whether a line says how to play, such as `(Medium swing)`. */
export const saysStyle = (text: string): boolean => text.length <= 40 && styleWord.test(text)
