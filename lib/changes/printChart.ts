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
  const page: Page = { chart, style, lines: headers(chart), line: '', onLine: 0, section: null, meter: chart.meter }
  /** Bars printed among words already. */
  let sungTo = 0
  for (const [i, bar] of chart.bars.entries()) {
    const opensSection = bar.section !== page.section
    if (opensSection) printSection(page, bar.section)
    const opens = opensEnding(chart.bars, i)
    breakLine(page, chart.bars, i, opens)
    if (i < sungTo) continue
    const sung = chart.barsKnown ? 0 : sungBars(chart.bars, i)
    if (sung > 0) {
      endLine(page)
      printSung(page, chart.bars.slice(i, i + sung))
      sungTo = i + sung
    } else printBar(page, i, opensSection, opens)
    page.meter = bar.meter
  }
  endLine(page)
  if (!chart.barsKnown && sungTo === 0) page.lines.push(barsUnknown)
  return `${page.lines.join('\n')}\n`
}

/** What is printed so far: whole lines, the line that is begun, and what holds in it. */
interface Page {
  readonly chart: Chart
  readonly style: SymbolStyle
  readonly lines: string[]
  line: string
  /** Bars on the line. */
  onLine: number
  section: string | null
  meter: Meter
}

function headers({ title, composer, style, tempo, key, meter }: Chart): string[] {
  const time = meterText(meter)
  const rows: readonly (readonly [string, string | number | null])[] = [
    ['Title', title],
    ['Composer', composer],
    ['Style', style],
    ['Tempo', tempo],
    ['Key', key && nameOfKey(key)],
    ['Time', time === '4/4' ? null : time],
  ]
  return rows.flatMap(([name, value]) => (value === null ? [] : [`${name}: ${value}`]))
}

function endLine(page: Page): void {
  if (page.line) page.lines.push(page.line.trimEnd())
  page.line = ''
  page.onLine = 0
}

function printSection(page: Page, section: string | null): void {
  endLine(page)
  page.section = section
  if (page.lines.length > 0) page.lines.push('')
  if (section !== null) page.lines.push(namesSection(section) ? `[${section}]` : `"${section}"`)
}

/** Whether an ending begins at a bar. */
function opensEnding(bars: readonly Bar[], i: number): boolean {
  const [previous, { ending }] = [bars[i - 1], bars[i]!]
  return ending !== null && (!previous || previous.repeatEnd || !samePasses(previous.ending, ending))
}

function breakLine(page: Page, bars: readonly Bar[], i: number, opens: boolean): void {
  const [previous, { ending }] = [bars[i - 1], bars[i]!]
  // A last ending goes as far as its line does.
  if (previous?.ending && !ending) endLine(page)
  else if (page.onLine >= barsPerLine && (!ending || (opens && !previous?.ending))) endLine(page)
}

/** Prints a bar with its lines; `page.meter` is still that of the bar before. */
function printBar(page: Page, i: number, opensSection: boolean, opens: boolean): void {
  const { bars } = page.chart
  const bar = bars[i]!
  const named = opensSection && /^coda$/i.test(page.section ?? '')
  const marks = (bar.marks ?? []).filter((mark) => !(mark === 'Coda' && named))
  const words = [
    ...(bar.key ? [`[Key: ${nameOfKey(bar.key)}]`] : []),
    ...(meterText(bar.meter) === meterText(page.meter) ? [] : [meterText(bar.meter)]),
    ...marks.filter((mark) => opening.includes(mark)),
    printBeats(bar.chords, bar.meter, page.style),
    ...marks.filter((mark) => !opening.includes(mark)),
  ]
  const start = bar.repeatStart ? '|:' : page.onLine === 0 ? '|' : ''
  const ending = opens
    ? `${start || page.line.endsWith('|') ? '' : '|'}${bar.ending!.join(',')}. `
    : start || page.onLine > 0
      ? ' '
      : ''
  // A double bar line says that a last ending is over.
  const over = bar.ending !== null && !bars[i + 1]?.ending
  const count = bar.times === undefined ? '' : ` x${bar.times} `
  const end = bar.repeatEnd ? `:|${count}` : over ? '||' : '|'
  page.line += `${start}${ending}${words.join(' ')} ${end}`
  page.onLine += 1
}

/** Bars without bar lines: chords in brackets among words, with what else they need on lines of its own. */
function printSung({ lines, meter, style }: Page, bars: readonly Bar[]): void {
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
export function printBeats(chords: readonly ChartChord[], meter: Meter, style: SymbolStyle): string {
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
