/** A score file's measure as its reader hands it on, whatever the file: what stands in it and where. */
import { limits } from '../../brief.ts'
import type { Problem, Span } from '../../problem.ts'
import type { Key } from '../../theory/key.ts'
import { type Meter, ticksPerBeat } from '../../theory/meter.ts'
import { signsOfFonts, typedSigns } from '../../theory/signs.ts'
import type { ChordSymbol, Mark } from '../chart.ts'

/** A chord symbol where a score has it. `at` counts ticks from the start of its measure; `room` is how long the note lasts that it stands over. */
export interface ScoreChord {
  readonly at: number
  readonly room?: number | undefined
  /** Whether the file says that it is not to be shown. */
  readonly hidden?: boolean
  readonly symbol: ChordSymbol
  readonly span: Span
}

/** A measure as a score file has it. */
export interface ScoreMeasure {
  /** What the file calls it. */
  readonly number?: string | undefined
  readonly meter: Meter
  /** The key from here on, where the file says one. */
  readonly key: Key | null
  readonly section: string | null
  readonly ending: readonly number[] | null
  /** Whether the bracket over it is one that nothing has closed. */
  readonly endingOpen?: boolean
  readonly repeatStart: boolean
  readonly repeatEnd: boolean
  readonly times: number | null
  readonly marks: readonly Mark[]
  /** Coda signs that do not say whether they leave or are led to, by where in the measure they stand. */
  readonly codas?: readonly ('start' | 'end')[]
  readonly chords: readonly ScoreChord[]
  /** How long its music lasts, in ticks; 0 or nothing where that is not known. */
  readonly length?: number
  /** Whether the file says that it is no whole bar. */
  readonly partial?: boolean
  /** The bars before that this one repeats, where it holds a repeat sign for bars; 0 for none. */
  readonly repeats: number
  readonly span: Span
}

/** That a score has more measures than are read. */
export const tooManyMeasures: Problem = {
  severity: 'error',
  code: 'too-large',
  span: { start: 0, end: 0 },
  found: `more than ${limits.barsWritten} measures`,
  expected: 'a score of ordinary size',
  hint: '| Dm7 | G7 | Cmaj7 |',
}

/** The most beats that a bar may have. */
const mostBeats = 32

/** The meter of a measure whose music lasts so many ticks, in these beats or finer ones; null where none fits. */
export function meterLasting(length: number, beat: number): Meter | null {
  for (const unit of [beat, beat * 2, beat * 4]) {
    const beats = length / ticksPerBeat({ beats: 1, unit })
    if (beats >= 1 && Number.isInteger(beats) && beats <= mostBeats && unit <= 32) return { beats, unit }
  }
  return null
}

/** A measure in which nothing stands but what is said beside it. */
export const emptyMeasure: Omit<ScoreMeasure, 'meter' | 'span'> = {
  key: null,
  section: null,
  ending: null,
  repeatStart: false,
  repeatEnd: false,
  times: null,
  marks: [],
  chords: [],
  repeats: 0,
}

/** What was found, with the number of its measure. */
export const placedIn = (found: string, measure: Pick<ScoreMeasure, 'number'>): string =>
  measure.number ? `${found} in measure ${measure.number}` : found

/** Signs of a music font for the qualities of chords (SMuFL 1.4: csym glyphs), as they are typed. */
const qualitiesOfFonts: ReadonlyMap<string, string> = new Map([
  ['\ue870', '°'],
  ['\ue871', 'ø'],
  ['\ue872', '+'],
  ['\ue873', 'Δ'],
  ['\ue874', '-'],
])

/** Text with the signs of a music font as they are typed. */
export const plainSigns = (text: string): string =>
  text.replace(/[\ue000-\uf8ff]/g, (sign) => qualitiesOfFonts.get(sign) ?? typedSigns(signsOfFonts.get(sign) ?? sign))

/** Words of a score that steer: jumps, stops and signs by their names. */
export function marksIn(text: string): readonly Mark[] {
  const words = text
    .replace(/[\ue048\u2295\u{1d10c}]/gu, ' coda')
    .replace(/[\ue047\u{1d10b}]/gu, ' segno')
    .replace(/[()[\]]/g, ' ')
    .trim()
    .toLowerCase()
    .replace(/\s+/g, ' ')
    .replace(/^d\. ?s\. ?s\./, 'd.s.')
  const jump =
    /^(?:d\. ?c\.?|d\.?c\.?(?= |$)|da capo|d\. ?s\.?|d\.?s\.?(?= |$)|dal segno)(?: segno)?(?: al(?:la)? (?:the )?(fine|coda))?/.exec(
      words,
    )
  if (jump) {
    const from = /^d(?:\. ?c|\.?c|a c)/.test(words) ? 'D.C.' : 'D.S.'
    return [jump[1] === 'fine' ? `${from} al Fine` : jump[1] === 'coda' ? `${from} al Coda` : from]
  }
  if (/^(?:\w{3,5} (?:time|x) )?to (?:the )?coda/.test(words)) return ['To Coda']
  if (/^fine\b/.test(words) && words.length <= 24) return ['Fine']
  if (/^coda\.?$/.test(words)) return ['Coda']
  return /^segno\.?$/.test(words) ? ['Segno'] : []
}

/** The longest number of an ending that is looked at, in characters: 64 passes one by one. */
const longestPasses = 200

/** The passes that an ending's number names: `1, 2`, `1-3`. */
export function passesOf(text: string): readonly number[] {
  const passes: number[] = []
  for (const [, dash, digits] of text.slice(0, longestPasses).matchAll(/(-)?\s*(\d{1,2})/g)) {
    const number = Number(digits)
    const before = passes[passes.length - 1]
    if (dash && before !== undefined) for (let n = before + 1; n < number; n++) passes.push(n)
    if (number >= 1 && number <= 64) passes.push(number)
  }
  return passes.length > 0 ? [...new Set(passes)] : [1]
}
