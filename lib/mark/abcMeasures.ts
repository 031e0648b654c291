/** The measures of an ABC voice from its elements: bars with their chords and marks, and their notes as they sound. */
import { limits } from '../brief.ts'
import type { Mark } from '../changes/chart.ts'
import { readSymbol } from '../changes/symbol/readSymbol.ts'
import { transposeSymbol } from '../changes/transposeChart.ts'
import type { ScoreMeasure } from '../changes/xml/scoreBars.ts'
import { tooManyMeasures } from '../changes/xml/scoreMeasure.ts'
import type { Problem } from '../problem.ts'
import { type Key, keyAt, signatureOf, signOfLetter, transposeKey } from '../theory/key.ts'
import { type Meter, ticksPerBar } from '../theory/meter.ts'
import { chromaOf, letters, type Pitch } from '../theory/pitch.ts'
import { type Head, keyIn, meterIn, type Parsed } from './abcFields.ts'
import { problem, sounding, type WrittenMeasure, type WrittenNote } from './played.ts'

const signs: ReadonlyMap<string, number> = new Map([
  ['dblflat', -2],
  ['flat', -1],
  ['natural', 0],
  ['sharp', 1],
  ['dblsharp', 2],
])

const marksByDecoration: ReadonlyMap<string, Mark> = new Map([
  ['segno', 'Segno'],
  ['coda', 'Coda'],
  ['fine', 'Fine'],
  ['D.C.', 'D.C.'],
  ['D.S.', 'D.S.'],
  ['D.C.alfine', 'D.C. al Fine'],
  ['D.S.alfine', 'D.S. al Fine'],
  ['D.C.alcoda', 'D.C. al Coda'],
  ['D.S.alcoda', 'D.S. al Coda'],
])

/** A bar while it is read. */
interface OpenBar {
  /** Ticks from its beginning. */
  at: number
  readonly notes: WrittenNote[]
  readonly chords: ScoreMeasure['chords'][number][]
  readonly marks: Set<Mark>
  /** Accidentals in force, by step. */
  readonly signs: Map<number, number>
  from: Parsed | null
  /** The note or rest read last. */
  last: { readonly at: number; readonly ticks: number } | null
}

const openBar = (): OpenBar => ({
  at: 0,
  notes: [],
  chords: [],
  marks: new Set(),
  signs: new Map(),
  from: null,
  last: null,
})

/** A voice while it is read, from element to element. */
interface Reader {
  readonly head: Head
  readonly measures: ScoreMeasure[]
  readonly written: WrittenMeasure[]
  readonly lengths: number[]
  readonly problems: Problem[]
  meter: Meter
  key: Key
  ending: readonly number[] | null
  repeatStart: boolean
  section: string | null
  /** What a tuplet makes of lengths. */
  factor: number
  bar: OpenBar
}

export interface AbcMeasures {
  readonly measures: readonly ScoreMeasure[]
  readonly written: readonly WrittenMeasure[]
  /** Ticks of each measure as written, which a pickup does not fill. */
  readonly lengths: readonly number[]
  readonly problems: readonly Problem[]
}

export function readMeasures(elements: readonly Parsed[], head: Head): AbcMeasures {
  const { meter, key } = head
  const lists = { measures: [], written: [], lengths: [], problems: [] }
  const state = { meter, key, ending: null, repeatStart: false, section: null, factor: 1, bar: openBar() }
  const reader: Reader = { head, ...lists, ...state }
  for (const element of elements) {
    if (reader.measures.length > limits.barsWritten) break
    reader.bar.from ??= element
    const { el_type: kind } = element
    if (kind === 'key') reader.key = keyIn(element) ?? reader.key
    else if (kind === 'meter') reader.meter = meterIn(element) ?? reader.meter
    else if (kind === 'part') reader.section = element.title ?? reader.section
    else if (kind === 'bar') readBarLine(reader, element)
    else if (kind === 'note') readNote(reader, element)
  }
  closeBar(reader, false)
  if (reader.measures.length > limits.barsWritten) reader.problems.push(tooManyMeasures)
  return reader
}

/** The key as it sounds. */
function concertKey({ key, head }: Reader): Key {
  const moved = transposeKey(key, head.transposition)
  return Math.abs(signatureOf(moved)) > 7 ? keyAt(chromaOf(moved.tonic), moved.mode) : moved
}

function readBarLine(reader: Reader, { type = '', decoration = [], endEnding, startEnding }: Parsed): void {
  for (const word of decoration) {
    const mark = marksByDecoration.get(word)
    if (mark) reader.bar.marks.add(mark)
  }
  closeBar(reader, /right_repeat|dbl_repeat/.test(type))
  if (endEnding) reader.ending = null
  if (startEnding) reader.ending = [...startEnding.matchAll(/\d+/g)].map(Number)
  if (reader.ending?.length === 0) reader.ending = null
  if (/left_repeat|dbl_repeat/.test(type)) reader.repeatStart = true
}

function closeBar(reader: Reader, repeatEnd: boolean): void {
  const { bar, meter, section, ending, repeatStart, measures } = reader
  if (bar.at === 0 && bar.chords.length === 0) return
  const size = ticksPerBar(meter)
  // Chords of a pickup stand at the end of a whole bar.
  const short = measures.length === 0 && bar.at < size ? size - bar.at : 0
  const span = { start: bar.from?.startChar ?? 0, end: bar.from?.endChar ?? 0 }
  const chords = bar.chords.map((chord) => ({ ...chord, at: Math.round(chord.at + short) }))
  const marks = [...bar.marks]
  const key = concertKey(reader)
  measures.push({ meter, key, section, ending, repeatStart, repeatEnd, times: null, marks, chords, repeats: 0, span })
  reader.written.push({ notes: bar.notes })
  reader.lengths.push(Math.round(bar.at))
  reader.repeatStart = false
  reader.bar = openBar()
}

/** Where a chord enters. One on a spacer entered while the note before it was held: in the middle of the bar, or on a beat. */
function chordPlace({ bar, meter }: Reader, { rest }: Parsed): number {
  const { last } = bar
  if (rest?.type !== 'spacer' || !last) return bar.at
  const size = ticksPerBar(meter)
  const beats = Array.from({ length: 2 * meter.beats }, (_, i) => (i * size) / (2 * meter.beats))
  const places = [beats[2 * Math.ceil(meter.beats / 2)] ?? 0, ...beats.filter((_, i) => i % 2 === 0), ...beats]
  return places.find((place) => place > last.at && place < last.at + last.ticks) ?? bar.at
}

/** Reads a note, a rest or a spacer, with the chords above it. */
function readNote(reader: Reader, element: Parsed): void {
  if (element.startTriplet) reader.factor = element.tripletMultiplier ?? 2 / 3
  readChords(reader, element)
  const spacer = element.rest?.type === 'spacer'
  const many = element.rest?.type === 'multimeasure' ? Number(element.rest.text ?? 1) || 1 : 0
  const whole = ticksPerBar(reader.meter)
  const ticks = spacer ? 0 : many > 0 ? whole : (element.duration ?? 0) * 96 * reader.factor
  if (element.endTriplet) reader.factor = 1
  for (let more = 1; more < many && reader.measures.length <= limits.barsWritten; more++) {
    reader.bar.at += ticks
    closeBar(reader, false)
  }
  const { pitches = [], startChar, endChar } = element
  if (pitches.length > 1 && reader.problems.length === 0) {
    const found = `notes that sound together in bar ${reader.measures.length + 1}`
    const hint = 'give the line a voice of its own'
    reader.problems.push(problem('polyphony', found, 'one note at a time', hint, startChar, endChar))
  }
  if (pitches[0]) addNote(reader, pitches[0], ticks)
  if (!spacer) reader.bar.last = { at: reader.bar.at, ticks }
  reader.bar.at += ticks
}

function readChords(reader: Reader, element: Parsed): void {
  const { transposition } = reader.head
  for (const { name, position } of element.chord ?? []) {
    if (position !== 'default') continue
    const { symbol } = readSymbol(name)
    if (!symbol) continue
    const span = { start: element.startChar ?? 0, end: element.endChar ?? 0 }
    const moved = transposeSymbol(symbol, transposition, concertKey(reader))
    reader.bar.chords.push({ at: chordPlace(reader, element), symbol: moved, span })
  }
}

function addNote({ bar, key, head, written }: Reader, note: NonNullable<Parsed['pitches']>[number], ticks: number) {
  // ABC 2.1: an accidental holds for its letter, in every octave, to the end of the bar.
  const step = ((note.pitch % 7) + 7) % 7
  const letter = letters[step]!
  const sign = signs.get(note.accidental ?? '')
  if (sign !== undefined) bar.signs.set(step, sign)
  const tied = note.endTie !== undefined
  const last = bar.notes.at(-1) ?? written.at(-1)?.notes.at(-1)
  const octave = 4 + Math.floor(note.pitch / 7) + head.octave
  const alter = sign ?? bar.signs.get(step) ?? signOfLetter(signatureOf(key), letter)
  const usual: Pitch = { letter, alter, octave }
  const held = tied && sign === undefined && last?.tiedOn && bar.at === 0
  const pitch = held ? last.pitch : sounding(usual, head.transposition)
  const [start, end] = [Math.round(bar.at), Math.round(bar.at + ticks)]
  bar.notes.push({ at: start, ticks: end - start, pitch, tiedBack: tied, tiedOn: note.startTie !== undefined })
}
