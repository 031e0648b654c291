/** The line in the text that `line --format text` prints: a row a bar, its chords and its notes. */
import { limits } from '../brief.ts'
import { readSymbol } from '../changes/symbol/readSymbol.ts'
import { transposeSymbol } from '../changes/transposeChart.ts'
import { chartOfMeasures } from '../changes/xml/scoreBars.ts'
import { emptyMeasure, type ScoreMeasure, tooManyMeasures } from '../changes/xml/scoreMeasure.ts'
import type { Problem, Span } from '../problem.ts'
import { writtenPart } from '../score/writtenPart.ts'
import { instruments } from '../theory/instrument.ts'
import { type Key, readKey } from '../theory/key.ts'
import { commonTime, type Meter, readMeter, ticksPerBar, ticksPerQuarter } from '../theory/meter.ts'
import { type Interval, readPitch } from '../theory/pitch.ts'
import { choosePart } from './choosePart.ts'
import {
  type HandMark,
  playMeasures,
  problem,
  type Reading,
  refused,
  sounding,
  type WrittenMeasure,
  type WrittenNote,
  withoutPickup,
} from './played.ts'

const head =
  /^(?:(.*), )?([A-G][#b]? (?:major|minor)) concert, ([^,]+(?:, tenor clef|, right hand)?), (written|concert)(?:, (\d+(?:\+\d+)*\/\d+))?$/

/** The longest line that is read and the longest of its bars, in characters: 2,048 bars of sixteenths take some 300,000. */
const longestText = 400_000
const longestRow = 4_096

/** Whether a text is what `line --format text` prints. */
export const isTextLine = (text: string): boolean => text.split('\n', 40).some((row) => head.test(row.trim()))

/** Reads one line of the text: the first, or the one asked for, by number or by its key. */
export function readTextLine(text: string, part: string | null): Reading {
  const blocks = blocksOf(text)
  const chosen = choosePart(blocks, part)
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const block = chosen.part
  const row = text.slice(block.at).split('\n', 1)[0]!.trim()
  const [, title, keyText = '', instrumentName, pitch, meterSaid = ''] = head.exec(row)!
  const instrument = instruments.find(({ name }) => name === instrumentName)
  // A tune may lie in a key that no signature can write.
  const key = readKey(keyText, 10)
  if (!instrument || !key) {
    const what = instrument ? `the key ${keyText}` : `the instrument ${instrumentName}`
    const problems = [problem('unreadable-file', what, 'one that line prints', 'leave the head as printed', block.at)]
    return { played: null, problems }
  }
  const size = block.rows.reduce((sum, { text }) => sum + text.length, 0)
  const long = block.rows.find(({ text }) => text.length > longestRow)
  if (size > longestText) return refused('too-large', `${size} characters`, `at most ${longestText}`, 'give one line')
  if (long) {
    const found = `a bar of ${long.text.length} characters`
    return refused('too-large', found, `at most ${longestRow}`, 'give every bar a row', long.at)
  }
  const { transposition } = writtenPart(key, instrument, pitch === 'concert')
  const meter = readMeter(meterSaid) ?? commonTime
  const { problems, measures, written, lead } = readRows(block.rows, key, transposition, meter)
  if (problems.length > 0) return { played: null, problems }
  const words = { title: title ?? null, composer: null, style: null, tempo: null }
  const whole = chartOfMeasures(measures, words, [])
  const chart = lead > 0 ? withoutPickup(whole) : whole
  const pickup = lead > 0 ? { measure: written[0]!, ticks: lead } : null
  return {
    played: {
      chart,
      notes: playMeasures(pickup ? written.slice(1) : written, chart, pickup),
      name: instrument.name,
      program: instrument.program,
      transposition,
      parts: blocks.map(({ name }) => name),
      spelled: true,
      carried: null,
    },
    problems: [],
  }
}

interface Row {
  readonly text: string
  readonly at: number
}

/** The lines of a text, each by the row that heads it. */
function blocksOf(
  text: string,
): readonly { readonly name: string; readonly at: number; readonly rows: readonly Row[] }[] {
  const blocks: { name: string; at: number; rows: Row[] }[] = []
  let at = 0
  for (const row of text.split('\n')) {
    const found = head.exec(row.trim())
    if (found) blocks.push({ name: found[2]!, at, rows: [] })
    else if (row.trim() !== '') blocks.at(-1)?.rows.push({ text: row.replace(/\r$/, ''), at })
    at += row.length + 1
  }
  return blocks
}

/** The rows of a block while they are read, a bar a row. */
interface Reader {
  readonly key: Key
  readonly transposition: Interval
  readonly problems: Problem[]
  readonly measures: ScoreMeasure[]
  readonly written: WrittenMeasure[]
  meter: Meter
  /** Ticks that the last note reaches into the bar that follows. */
  over: number
  /** How long a pickup lasts; 0 for none. */
  lead: number
}

function readRows(rows: readonly Row[], key: Key, transposition: Interval, meter: Meter): Reader {
  const reader: Reader = {
    key,
    transposition,
    problems: [],
    measures: [],
    written: [],
    meter,
    over: 0,
    lead: 0,
  }
  for (const row of rows.slice(0, limits.barsWritten + 1)) readRow(reader, row)
  if (rows.length > limits.barsWritten) reader.problems.push(tooManyMeasures)
  return reader
}

function readRow(reader: Reader, { text: line, at: from }: Row): void {
  const cells = cellsOf(line, from)
  const span: Span = { start: from, end: from + line.length }
  // A bar through which a note is held has chords and no notes of its own.
  const held = cells.length < 3 && reader.over >= heldThrough(reader, cells[1])
  const [number, chords, notes] = held || cells.length !== 2 ? cells : [cells[0], undefined, cells[1]]
  if (!number || !(notes || held) || cells.length > 3 || !/^\d+$/.test(number.text)) {
    const expected = 'a bar, its chords and its notes'
    reader.problems.push({ ...problem('unreadable-bar', line.trim(), expected, '1  Dm7  F4* A4 C5 E5'), span })
    return
  }
  const words = wordsOf(chords)
  const changed = /^\d+(?:\+\d+)*\/\d+$/.test(words[0]?.text ?? '')
  if (changed) {
    reader.meter = readMeter(words[0]!.text)!
    words.shift()
  }
  const { meter, measures } = reader
  const size = ticksPerBar(meter)
  const key = measures.length === 0 ? reader.key : null
  measures.push({ ...emptyMeasure, meter, key, chords: placeChords(reader, words), span })
  const bar = placeNotes(reader, wordsOf(notes))
  if (bar.end < size && number.text !== '0') {
    const found = `${quarters(bar.end)} beats in bar ${number.text}`
    reader.problems.push({
      ...problem('short-bar', found, `${quarters(size)}`, 'fill it with rests, such as -:2'),
      span,
    })
  }
  if (number.text === '0' && measures.length === 1) reader.lead = Math.min(bar.end, size)
  reader.over = Math.max(0, bar.end - size)
  reader.written.push({ notes: bar.notes })
}

/** How long a bar lasts whose chords stand in a cell, which may begin with a meter of its own. */
function heldThrough({ meter }: Reader, chords: Word | undefined): number {
  const changed = /^\d+(?:\+\d+)*\/\d+(?= |$)/.exec(chords?.text ?? '')?.[0]
  return ticksPerBar((changed && readMeter(changed)) || meter)
}

function placeChords(reader: Reader, symbols: readonly Word[]): ScoreMeasure['chords'] {
  let start = 0
  return symbols.flatMap(({ text: word, span }) => {
    const [name = '', length] = word.split(':')
    const ticks =
      length === undefined ? ticksPerBar(reader.meter) / symbols.length : Math.round(Number(length) * ticksPerQuarter)
    const reading = readSymbol(name)
    if (!reading.symbol || !(ticks > 0)) {
      reader.problems.push({ ...problem('unknown-quality', word, 'a chord symbol', 'G7:2'), span })
      return []
    }
    const symbol = transposeSymbol(reading.symbol, reader.transposition, reader.key)
    const here = { at: Math.round(start), symbol, span }
    start += ticks
    return [here]
  })
}

function placeNotes(reader: Reader, list: readonly Word[]): { notes: readonly WrittenNote[]; end: number } {
  let start = reader.over
  const notes = list.flatMap(({ text: word, span }): WrittenNote[] => {
    const [, name = '', sign = '', length] = /^([A-G][#b]{0,2}-?\d|-)([*.]?)(?::([\d.]+))?$/.exec(word) ?? []
    const ticks = length === undefined ? ticksPerQuarter / 2 : Math.round(Number(length) * ticksPerQuarter)
    const read = name === '-' ? null : readPitch(name)
    if ((name !== '-' && !read) || !(ticks > 0)) {
      const expected = 'a note such as F#4, F4*, F4.:0.333, or - for a rest'
      reader.problems.push({ ...problem('unknown-note', word, expected, 'F4'), span })
      return []
    }
    const note = { at: start, ticks }
    start += ticks
    const mark: HandMark = sign === '*' ? 'target' : sign === '.' ? 'approach' : null
    if (!read) return []
    return [{ ...note, pitch: sounding(read, reader.transposition), tiedBack: false, tiedOn: false, mark }]
  })
  return { notes, end: start }
}

const quarters = (ticks: number): string => String(Number((ticks / ticksPerQuarter).toFixed(2)))

interface Word {
  readonly text: string
  readonly span: Span
}

/** The columns of a row: two spaces or more lie between them. */
const cellsOf = (row: string, at: number): readonly Word[] =>
  [...row.matchAll(/\S+(?: \S+)*/g)].map(({ 0: text, index }) => ({
    text,
    span: { start: at + index, end: at + index + text.length },
  }))

const wordsOf = (cell: Word | undefined): Word[] =>
  [...(cell?.text.matchAll(/\S+/g) ?? [])].map(({ 0: text, index }) => {
    const start = cell!.span.start + index
    return { text, span: { start, end: start + text.length } }
  })
