/** Charts, lines and guide tones as plain text, a bar a row: for reading in a terminal, and aloud. */
import type { Brief } from './brief.ts'
import type { Chart } from './changes/chart.ts'
import { transposeHarmony } from './harmony/transposeHarmony.ts'
import type { Thread } from './line/guideTones.ts'
import type { Line, LineNote } from './line/line.ts'
import { writtenPitches } from './score/layScore.ts'
import { writtenPart } from './score/writtenPart.ts'
import { keyName } from './theory/key.ts'
import { commonTime, type Meter, meterText, upperNumber } from './theory/meter.ts'
import { invert, nameOf } from './theory/pitch.ts'

const columns = (rows: readonly (readonly string[])[]): string => {
  const widths = (rows[0] ?? []).map((_, c) => Math.max(...rows.map((row) => row[c]!.length)))
  return rows
    .map((row) =>
      row
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}

/** A chart: a row a bar, its number, its section and its chords. */
export function chartText(chart: Chart): string {
  const head = [chart.title, chart.key && keyName(chart.key), meterText(chart.meter)]
    .filter((s) => s !== null)
    .join(', ')
  const rows = chart.bars.map((bar) => [
    String(bar.index + 1),
    bar.section ?? '',
    bar.chords.map(({ symbol, beats }) => `${symbol} (${beats})`).join('  '),
  ])
  const order = chart.playOrder.map((index) => index + 1).join(' ')
  return `${head}\n${columns(rows)}\nplayed: ${order}\n`
}

/**
 * A line as the player reads it: a row a bar (0 is a pickup), its chords and its notes, both as written for the instrument. `*` marks a target,
 * `.` an approach note, `-` a rest; a length other than an eighth follows in quarters, and so do those of chords that do not
 * share their bar evenly. A meter other than 4/4 ends the head, and stands before a bar that changes it.
 */
export function lineText(line: Line, brief: Pick<Brief, 'pitch' | 'spelling'>): string {
  const { harmony, instrument } = line
  const [from, to] = line.bars
  const written = new Map(writtenPitches(line, brief).map((each, i) => [line.notes[i]!, each]))
  const name = (note: LineNote): string => {
    const read = written.get(note)
    if (!read) return '-'
    return nameOf(read) + (note.role === 'target' ? '*' : note.role === 'approach' ? '.' : '')
  }
  const length = (ticks: number) => `:${Number((ticks / 24).toFixed(3))}`
  const part = transposeHarmony(
    harmony,
    invert(writtenPart(line.key, instrument, brief.pitch === 'concert').transposition),
  )
  const crowds = byBar(part.chords, ({ ticks }) => ticks)
  const uneven = (bar: number) => new Set(crowds.get(bar)).size > 1
  const chords = byBar(part.chords, ({ bar, ticks, symbol }) => symbol + (uneven(bar) ? length(ticks) : ''))
  const notes = byBar(line.notes, (note) => name(note) + (note.ticks === 12 ? '' : length(note.ticks)))
  const shown = harmony.bars.filter(({ bar }) => bar >= from && bar <= to)
  const rows = shown.map(({ bar, meter }, i) => {
    const before = shown[i - 1]?.meter ?? meter
    const changed = signOf(meter) === signOf(before) ? [] : [signOf(meter)]
    return [String(bar), [...changed, ...(chords.get(bar) ?? [])].join(' '), (notes.get(bar) ?? []).join(' ')]
  })
  if (from === 1 && notes.has(0)) rows.unshift(['0', '', (notes.get(0) ?? []).join(' ')])
  const meter = signOf(shown[0]?.meter ?? commonTime)
  const said = [`${keyName(line.key)} concert`, instrument.name, brief.pitch, meter === '4/4' ? null : meter]
  const head = [harmony.title, ...said].filter(Boolean).join(', ')
  return `${head}\n${columns(rows)}\n`
}

/** A meter in one word, its groups added up where the chart says them. */
const signOf = (meter: Meter) => `${upperNumber(meter)}/${meter.unit}`

function byBar<T extends { readonly bar: number }, Said>(
  list: readonly T[],
  say: (each: T) => Said,
): ReadonlyMap<number, readonly Said[]> {
  const bars = new Map<number, Said[]>()
  for (const each of list) {
    const said = bars.get(each.bar) ?? []
    bars.set(each.bar, said)
    said.push(say(each))
  }
  return bars
}

/** The two threads, a row a chord. */
export function guideTonesText(
  threads: readonly Thread[],
  chords: readonly { readonly bar: number; readonly symbol: string }[],
): string {
  const [first = [], second = []] = threads
  const rows = first.map((tone, i) => [
    String(tone.bar),
    chords[tone.chord]!.symbol,
    `${nameOf(tone.pitch)} (${tone.degree})`,
    second[i] ? `${nameOf(second[i].pitch)} (${second[i].degree})` : '',
  ])
  return `${columns(rows)}\n`
}
