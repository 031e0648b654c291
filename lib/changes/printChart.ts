/** A chart printed as canonical text, which reads back to the same chart. */
import { nameOfKey } from '../theory/key.ts'
import { type Meter, meterText, shareBar } from '../theory/meter.ts'
import type { Bar, Chart, ChartChord, Mark } from './chart.ts'
import { canonicalStyle, printSymbol, type SymbolStyle } from './symbol/printSymbol.ts'
import { barsUnknown } from './typed/chartTraits.ts'
import { namesSection } from './typed/sectionLabel.ts'

/** Bars on a line of text. */
const barsPerLine = 4
/** The finest part of a beat that can be written. */
const finestPart = 48
const opening: readonly Mark[] = ['Segno', 'Coda']

/**
 * Prints a chart: headers, a line of its own for each section's label, four bars on a line, chords in the person's style.
 * Beats go without signs where they are even; else each beat is a `/`, and parts of a beat are tied by `~`.
 *
 * @example
 * printChart({ title: 'Study', composer: null, style: null, tempo: 120, key: null, meter: { beats: 4, unit: 4 }, barsKnown: true, bars: [], playOrder: [], problems: [] })
 * // => 'Title: Study\nTempo: 120\n'
 */
export function printChart(chart: Chart, style: SymbolStyle = canonicalStyle): string {
  const lines: string[] = []
  const header = (name: string, value: string | number | null): void => {
    if (value !== null) lines.push(`${name}: ${value}`)
  }
  header('Title', chart.title)
  header('Composer', chart.composer)
  header('Style', chart.style)
  header('Tempo', chart.tempo)
  header('Key', chart.key && nameOfKey(chart.key))
  if (meterText(chart.meter) !== '4/4') header('Time', meterText(chart.meter))

  let line = ''
  let onLine = 0
  let section: string | null = null
  let meter = chart.meter
  /** Bars printed among words already. */
  let sungTo = 0
  const endLine = (): void => {
    if (line) lines.push(line.trimEnd())
    line = ''
    onLine = 0
  }
  for (const [i, bar] of chart.bars.entries()) {
    const previous = chart.bars[i - 1]
    const newSection = bar.section !== section
    if (newSection) {
      endLine()
      section = bar.section
      if (lines.length > 0) lines.push('')
      if (section !== null) lines.push(namesSection(section) ? `[${section}]` : `"${section}"`)
    }
    const opensEnding =
      bar.ending !== null && (!previous || previous.repeatEnd || !samePasses(previous.ending, bar.ending))
    // A last ending goes as far as its line does.
    if (previous?.ending && !bar.ending) endLine()
    else if (onLine >= barsPerLine && (!bar.ending || (opensEnding && !previous?.ending))) endLine()
    const sung = chart.barsKnown || i < sungTo ? 0 : sungBars(chart.bars, i)
    if (i < sungTo) continue
    if (sung > 0) {
      endLine()
      printSung(chart.bars.slice(i, i + sung))
      sungTo = i + sung
      meter = bar.meter
      continue
    }
    const marks = (bar.marks ?? []).filter((mark) => !(mark === 'Coda' && newSection && /^coda$/i.test(section ?? '')))
    const words = [
      ...(bar.key ? [`[Key: ${nameOfKey(bar.key)}]`] : []),
      ...(meterText(bar.meter) === meterText(meter) ? [] : [meterText(bar.meter)]),
      ...marks.filter((mark) => opening.includes(mark)),
      printBeats(bar.chords, bar.meter, style),
      ...marks.filter((mark) => !opening.includes(mark)),
    ]
    meter = bar.meter
    const start = bar.repeatStart ? '|:' : onLine === 0 ? '|' : ''
    const ending = opensEnding
      ? `${start || line.endsWith('|') ? '' : '|'}${bar.ending!.join(',')}. `
      : start || onLine > 0
        ? ' '
        : ''
    // A double bar line says that a last ending is over.
    const over = bar.ending !== null && !chart.bars[i + 1]?.ending
    const count = bar.times === undefined ? '' : ` x${bar.times} `
    const end = bar.repeatEnd ? `:|${count}` : over ? '||' : '|'
    line += `${start}${ending}${words.join(' ')} ${end}`
    onLine += 1
  }
  endLine()
  if (!chart.barsKnown && sungTo === 0) lines.push(barsUnknown)
  return `${lines.join('\n')}\n`

  /** Bars without bar lines: chords in brackets among words, with what else they need on lines of its own. */
  function printSung(bars: readonly Bar[]): void {
    const [bar] = bars
    if (!bar) return
    if (bar.key) lines.push(`Key: ${nameOfKey(bar.key)}`)
    if (meterText(bar.meter) !== meterText(meter)) lines.push(meterText(bar.meter))
    const last = bars[bars.length - 1]!
    for (const mark of bar.marks ?? []) if (mark === 'Segno') lines.push(mark)
    lines.push(bars.map(({ chords }) => `[${printSymbol(chords[0]!, style)}]_`).join(' '))
    if (last.times !== undefined) lines.push(`x${last.times}`)
    for (const mark of last.marks ?? []) if (!opening.includes(mark)) lines.push(mark)
  }
}

/** How many bars from one on can stand over words: one chord each, alone or as a stretch with a count; 0 for none. */
function sungBars(bars: readonly Bar[], from: number): number {
  const first = bars[from]!
  if (!isSung(first)) return 0
  if (!first.repeatStart) return first.repeatEnd ? 0 : 1
  for (let i = from; i < bars.length && isSung(bars[i]!); i++) {
    const bar = bars[i]!
    const marks = bar.marks ?? []
    const opens = i > from && (bar.key || bar.repeatStart || marks.some((mark) => opening.includes(mark)))
    const closes = !bar.repeatEnd && marks.some((mark) => !opening.includes(mark))
    const changes = bar.section !== first.section || meterText(bar.meter) !== meterText(first.meter)
    if (opens || closes || changes) return 0
    if (bar.repeatEnd) return (bar.times ?? 0) < 2 ? 0 : i - from + 1
  }
  return 0
}

const samePasses = (a: readonly number[] | null, b: readonly number[]): boolean =>
  a !== null && a.length === b.length && a.every((n, i) => n === b[i])

/** A bar that is one chord, no part of an ending, and not led to by a coda sign, which on a line of its own could lead away. */
const isSung = (bar: Bar): boolean =>
  bar.chords.length === 1 && !bar.chords[0]!.optional && !bar.ending && !bar.marks?.includes('Coda')

const whole = (n: number): boolean => Math.abs(n - Math.round(n)) < 1e-6

/** The chords of a bar with as many beat signs as they need. */
function printBeats(chords: readonly ChartChord[], meter: Meter, style: SymbolStyle): string {
  const names = chords.map((chord) => (chord.optional ? `(${printSymbol(chord, style)})` : printSymbol(chord, style)))
  const shares = shareBar(meter, chords.length)
  if (chords.every((chord, i) => Math.abs(chord.beats - shares[i]!) < 1e-6 && shares[i] === shares[0]))
    return names.join(' ')
  if (chords.every((chord) => whole(chord.beats)))
    return chords.map((chord, i) => names[i] + ' /'.repeat(Math.round(chord.beats) - 1)).join(' ')
  const starts: number[] = []
  let at = 0
  for (const chord of chords) {
    starts.push(at)
    at += chord.beats
  }
  const cells: string[] = []
  for (let beat = 0; beat < meter.beats; beat++) {
    const inside = starts.filter((start) => start > beat - 1e-6 && start < beat + 1 - 1e-6)
    let parts = 1
    while (parts < finestPart && !inside.every((start) => whole((start - beat) * parts))) parts++
    const cell = Array.from({ length: parts }, (_, part) => {
      const chord = starts.findIndex((start) => Math.abs(start - beat - part / parts) < 1e-6)
      return chord < 0 ? '/' : names[chord]!
    })
    cells.push(cell.join('~'))
  }
  return cells.join(' ')
}
