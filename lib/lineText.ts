/** Charts, lines and guide tones as plain text, a bar a row: for reading in a terminal, and aloud. */
import type { Brief } from './brief.ts'
import type { Chart } from './changes/chart.ts'
import type { Thread } from './line/guideTones.ts'
import type { Line, LineNote } from './line/line.ts'
import { writtenPitches } from './score/layScore.ts'
import { keyName } from './theory/key.ts'
import { meterName } from './theory/meter.ts'
import { nameOf } from './theory/pitch.ts'

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
  const head = [chart.title, chart.key && keyName(chart.key), meterName(chart.meter)]
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
 * A line as the player reads it: a row a bar, its chords (concert) and its written notes. `*` marks a target, `.` an approach
 * note, `-` a rest; a length other than an eighth follows in quarters.
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
  const length = (ticks: number) => (ticks === 12 ? '' : `:${Number((ticks / 24).toFixed(3))}`)
  const chords = byBar(harmony.chords, ({ symbol }) => symbol)
  const notes = byBar(line.notes, (note) => name(note) + length(note.ticks))
  const rows = harmony.bars
    .filter(({ bar }) => bar >= from && bar <= to)
    .map(({ bar }) => [String(bar), (chords.get(bar) ?? []).join(' '), (notes.get(bar) ?? []).join(' ')])
  const head = [harmony.title, `${keyName(line.key)} concert`, instrument.name, brief.pitch].filter(Boolean).join(', ')
  return `${head}\n${columns(rows)}\n`
}

function byBar<T extends { readonly bar: number }>(
  list: readonly T[],
  say: (each: T) => string,
): ReadonlyMap<number, readonly string[]> {
  const bars = new Map<number, string[]>()
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
