/** How far a part reaches on paper, told from the part itself: its lines, how wide each is, what stands over and under its staff. */
import type { Mark } from '../brief.ts'
import { engravedStyle, printSymbol } from '../changes/symbol/printSymbol.ts'
import { labelsOf } from './harmonyLabels.ts'
import { barLineWidth, chordWidth, labelWidth, noteWidth, startWidth } from './lineWidth.ts'
import { twoFiveBrackets } from './meiBrackets.ts'
import { type MeiOptions, meiDefaults } from './meiMarks.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'

/** One line of music. */
export interface SystemExtent {
  readonly bars: number
  /** In staff spaces, clef and signature included. */
  readonly width: number
  /** The rows that an analysis has under this line. */
  readonly rows: number
  /** Whether a bracket over a ii–V is written in it. */
  readonly twoFive: boolean
}

export interface Extent {
  readonly systems: readonly SystemExtent[]
  /** Whether title, instrument and style stand over the music. */
  readonly head: boolean
  /** The rows of words under the notes, all through the part: degrees or rings, and names. */
  readonly noteRows: number
  /** The strings of a tablature; 0 where there is none. */
  readonly strings: number
}

/** What of a bar takes room: its notes and rests, and what is said at its chords, in letters. */
export interface BarContent {
  readonly notes: readonly Pick<ScoreEvent, 'value' | 'accidental'>[]
  readonly said: readonly Said[]
}

/** A chord symbol over the staff, or what an analysis says under it; the wider of those at one place counts. */
export interface Said {
  readonly at: number
  readonly letters: number
  readonly below: boolean
}

/**
 * How far a part reaches as `writeMei` writes it with the same marks.
 *
 * @returns its lines in their order, each with its bars, its width and its rows
 */
export function extentOf(score: Score, marks: Partial<Pick<MeiOptions, 'show' | 'head'>> = {}): Extent {
  const { show, head } = { ...meiDefaults, ...marks }
  const brackets = twoFiveBrackets(score, (id) => id)
  const systems = linesOf(score.bars).map(([first, bars]): SystemExtent => {
    const rows = bars.flatMap(({ harmony }) => harmony.flatMap((each) => rowsUnder(each).map(({ row }) => row)))
    return {
      bars: bars.length,
      width: widthOfLine(bars.map((bar) => contentOf(bar, score))),
      rows: new Set(rows).size,
      twoFive: bars.some((_, at) => brackets.has(first + at)),
    }
  })
  return { systems, head, noteRows: noteRows(score, show), strings: score.tablature?.length ?? 0 }
}

/** The bars of a part line by line, each line with the index of its first. */
export function linesOf(bars: readonly ScoreBar[]): readonly (readonly [first: number, bars: readonly ScoreBar[]])[] {
  const starts = bars.flatMap(({ systemStart }, at) => (systemStart || at === 0 ? [at] : []))
  return starts.map((first, line) => [first, bars.slice(first, starts[line + 1])])
}

/** What an analysis says under a chord, row by row. */
function rowsUnder(harmony: ScoreHarmony): readonly { readonly row: string; readonly letters: number }[] {
  const { key, numeral, scale } = labelsOf(harmony)
  const first = [key, numeral].filter((text) => text !== null).join(' ')
  return [
    ...(first === '' ? [] : [{ row: 'function', letters: first.length }]),
    ...scale.map(({ length }, line) => ({ row: `scale ${line}`, letters: length })),
  ]
}

function contentOf({ events, harmony }: ScoreBar, { symbols = engravedStyle }: Score): BarContent {
  // A rest that fills its bar stands in the middle of whatever room there is.
  const empty = events.length === 1 && events[0]!.pitch === null
  return {
    notes: empty ? [] : events,
    said: harmony.flatMap((each): readonly Said[] => [
      ...(each.again ? [] : [{ at: each.at, letters: printSymbol(each, symbols).length, below: false }]),
      ...rowsUnder(each).map(({ letters }) => ({ at: each.at, letters, below: true })),
    ]),
  }
}

/** The width of a line of bars with its clef and signature, in staff spaces. */
export const widthOfLine = (bars: readonly BarContent[]): number =>
  bars.reduce((width, bar) => width + printedWidth(bar), startWidth)

/** The width of a bar as it is printed: its notes, or what is said at its chords where that needs more. */
function printedWidth({ notes, said }: BarContent): number {
  const widths = new Map<number, number>()
  for (const { at, letters, below } of said)
    widths.set(at, Math.max(widths.get(at) ?? 0, below ? labelWidth(letters) : chordWidth(letters)))
  const chords = [...widths.values()].reduce((sum, width) => sum + width, 0)
  const music = notes.reduce((sum, { value, accidental }) => sum + noteWidth(value, accidental), 0)
  return Math.max(music, chords) + barLineWidth
}

function noteRows({ bars }: Score, show: readonly Mark[]): number {
  const begun = bars.flatMap(({ events }) =>
    events.filter(({ pitch, tie }) => pitch !== null && tie !== 'middle' && tie !== 'end'),
  )
  const under = begun.some(
    ({ role, degree }) =>
      (role === 'target' && show.includes('targets')) || (degree !== null && show.includes('degrees')),
  )
  return Number(under) + Number(show.includes('names') && begun.length > 0)
}
