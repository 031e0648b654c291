/** From a line to a written part: its key, its bars and systems, note values, ties, beams, accidentals and chord symbols. */
import type { Brief } from '../brief.ts'
import { styleWith } from '../changes/symbol/printSymbol.ts'
import type { PlayedBar } from '../changes/unrollChart.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { transposeHarmony } from '../harmony/transposeHarmony.ts'
import { type FingeringMark, markFingerings, type Stop, stopsOf, tablatureOf } from '../line/fingerLine.ts'
import type { Line, LineNote, Role } from '../line/line.ts'
import { spellPart } from '../line/spellLine.ts'
import { type Key, signatureOf } from '../theory/key.ts'
import { commonTime, type Meter, upperNumber } from '../theory/meter.ts'
import { beamValues, type NoteValue, type Piece, writeValues } from '../theory/noteValues.ts'
import { invert, type Pitch, transposePitch } from '../theory/pitch.ts'
import { accidentalsOf } from './accidentals.ts'
import { earlyTargets } from './carriedRoles.ts'
import { marksOf, noMarks, writtenHarmony } from './harmonyMarks.ts'
import { barWidth } from './lineWidth.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'
import { canSwing } from './swing.ts'
import { breakLines } from './systems.ts'
import { type WrittenPart, writtenPart } from './writtenPart.ts'

export interface Layout {
  /** Bars a line, at most; four unless given. */
  readonly barsPerLine?: number
  /**
   * What a line holds, in staff spaces: where so many bars would be cramped, there are half as many, and so on. As much as a
   * page of paper unless given; no end to it where only the bars are given.
   */
  readonly room?: number
}

/** What a line of an A4 page holds, in staff spaces, at the smallest staves and in large print. */
const pageRoom = { normal: 112.5, large: 75 }

/**
 * Lays a line out as a part. Bars stand as they are played: repeats are written out, since each pass has notes of its own. What
 * the brief does not ask to show is left out (degrees, numerals and keys, scale names); roles and figures stay, for whoever marks them.
 *
 * @param line - every bar of its harmony exactly filled by its notes, which sound
 * @param brief - for title, tempo, written or concert pitch, and what to show
 */
export function layScore(
  line: Line,
  brief: Pick<Brief, 'title' | 'tempo' | 'pitch' | 'show' | 'print' | 'spelling' | 'majorSign' | 'minorSign'> &
    Partial<Pick<Brief, 'fingering' | 'tablature' | 'changes' | 'plan'>>,
  layout: Layout = {},
): Score {
  const { harmony, instrument } = line
  const { barsPerLine = 4, room = layout.barsPerLine === undefined ? pageRoom[brief.print] : Infinity } = layout
  const part = writtenPart(line.key, instrument, brief.pitch === 'concert')
  const tempo = brief.tempo ?? harmony.tempo ?? 120
  const meter = harmony.bars[0]?.meter ?? commonTime
  const laid = layBars(line, part, brief)
  const tablature = tablatureOf(line, brief)
  return {
    title: brief.title ?? harmony.title ?? '',
    composer: harmony.composer,
    styleLine: `${harmony.style ?? (canSwing(meter) ? 'Swing' : 'Even eighths')}, ♩ = ${tempo}`,
    tempo,
    instrument,
    concert: brief.pitch === 'concert',
    clef: part.clef,
    transposition: part.transposition,
    key: part.key,
    concertKey: line.key,
    bars: breakIntoLines(brief.changes === '' && brief.plan ? sayOnce(laid) : laid, barsPerLine, room),
    figures: line.figures,
    ...(tablature ? { tablature } : {}),
    symbols: styleWith(brief.majorSign, brief.minorSign),
  }
}

/** A bar before lines are broken: whether a section or a chorus starts with it. */
interface LaidBar extends Omit<ScoreBar, 'systemStart'> {
  readonly opens: boolean
}

function layBars(
  line: Line,
  part: WrittenPart,
  brief: Pick<Brief, 'show' | 'pitch' | 'spelling' | 'tempo'> & Partial<Pick<Brief, 'fingering' | 'tablature'>>,
): readonly LaidBar[] {
  const { show } = brief
  const up = invert(part.transposition)
  const unmoved = up.steps === 0 && up.semitones === 0
  const harmony = analysed(show)
    ? writtenHarmony(line, brief)
    : unmoved
      ? line.harmony
      : transposeHarmony(line.harmony, up)
  const written = writtenPitches(line, brief)
  const signatures = signaturesOf(harmony, part.key)
  const chords = chordsByBar(harmony, line.bars, show)
  const degrees = show.includes('degrees')
  const early = earlyTargets(line)
  const fingerings = markFingerings(line, brief)
  const stops = tablatureOf(line, brief) ? stopsOf(line, brief) : []
  const inside = line.harmony.bars.flatMap((bar, index) => {
    if (bar.bar < line.bars[0] || bar.bar > line.bars[1]) return []
    const place: Place = { bar: bar.bar, meter: bar.meter, written, degrees, early, fingerings, stops }
    return [{ bar, index, signature: signatures[index]!, events: layEvents(line, piecesOf(line, bar), place) }]
  })
  const pickup = pickupBar(line)
  const laid = pickup
    ? [
        {
          bar: pickup,
          index: -1,
          signature: signatures[0]!,
          events: layPickup(line, pickup, { written, fingerings, stops }),
        },
        ...inside,
      ]
    : inside
  const accidentals = accidentalsOf(
    laid.map(({ signature, events }) => ({
      signature,
      notes: events.map(({ pitch, tie }) => ({ pitch, held: tie === 'middle' || tie === 'end' })),
    })),
  )
  const opens = laid.map(
    ({ bar }, at) => bar.bar > 0 && (bar.section !== null || bar.chorus !== laid[at - 1]?.bar.chorus),
  )
  return laid.map(({ bar, index, signature, events }, at): LaidBar => {
    const before = laid[at - 1]?.bar.meter
    const { meter } = bar
    return {
      number: bar.bar,
      meter,
      meterShown: !before || before.unit !== meter.unit || upperNumber(before) !== upperNumber(meter),
      signature,
      section: bar.section,
      opens: opens[at]!,
      barline: at === laid.length - 1 ? 'final' : opens[at + 1] ? 'double' : 'single',
      harmony: chords[index] ?? [],
      events: events.map((event, place) => ({ ...event, accidental: accidentals[at]![place]! })),
    }
  })
}

/** A drill without changes of its own says its chord once. */
const sayOnce = (bars: readonly LaidBar[]): readonly LaidBar[] => {
  let said: string | null = null
  return bars.map((bar) => {
    const harmony = bar.harmony.filter(({ symbol }) => symbol !== said)
    said = bar.harmony.at(-1)?.symbol ?? said
    return { ...bar, harmony }
  })
}

function breakIntoLines(bars: readonly LaidBar[], most: number, room: number): readonly ScoreBar[] {
  if (bars[0]?.number === 0) {
    // A pickup stands on the line of the bar that it leads into.
    const { opens: _, ...pickup } = bars[0]
    const [first, ...rest] = breakIntoLines(bars.slice(1), most, room)
    return [{ ...pickup, systemStart: true }, ...(first ? [{ ...first, systemStart: false }] : []), ...rest]
  }
  const opening = bars.map(({ opens }) => opens)
  const starts = new Set(breakLines(opening, bars.map(barWidth), most, room))
  let before: string | null = null
  return bars.map(({ opens, ...bar }, at) => {
    if (opens || starts.has(at)) before = null
    const harmony = bar.harmony.map((each): ScoreHarmony => {
      const again = each.symbol === before
      before = each.symbol
      return again ? { ...each, again } : each
    })
    return { ...bar, harmony, systemStart: starts.has(at) }
  })
}

/** The written signature of each bar: the chart's own changes of key, else the tune's. */
function signaturesOf(harmony: Harmony, first: Key): readonly number[] {
  let key = first
  return harmony.bars.map((bar) => {
    key = bar.key ?? key
    return signatureOf(key)
  })
}

function chordsByBar(
  { bars, chords }: Harmony,
  [first, last]: Line['bars'],
  show: Brief['show'],
): readonly (readonly ScoreHarmony[])[] {
  const found: ScoreHarmony[][] = bars.map(() => [])
  const place = new Map(bars.map((bar, index) => [bar.bar, index]))
  const shown = chords.filter(({ bar }) => bar >= first && bar <= last)
  const marks = analysed(show) ? marksOf(shown, show) : []
  shown.forEach(({ bar, start, ticks, symbol, root, chord, bass }, index) => {
    const at = place.get(bar)
    if (at === undefined) return
    const since = start - bars[at]!.start
    found[at]!.push({ symbol, root, chord, bass, at: since, ticks, ...(marks[index] ?? noMarks) })
  })
  return found
}

/** Whether a part needs more of the harmony than its symbols. */
const analysed = (show: Brief['show']): boolean => show.includes('analysis') || show.includes('scales')

/** A stretch of a bar filled by one note of the line, or by rests that follow each other. */
interface NotePiece extends Piece {
  readonly note: number
  readonly opens: boolean
  readonly closes: boolean
}

function piecesOf(line: Line, bar: Pick<PlayedBar, 'bar' | 'start' | 'ticks'>): readonly NotePiece[] {
  const { notes } = line
  const end = bar.start + bar.ticks
  const pieces: NotePiece[] = []
  for (let index = firstAfter(notes, bar.start); index < notes.length && notes[index]!.start < end; index++) {
    const note = notes[index]!
    const rest = note.pitch === null
    const [from, to] = [Math.max(note.start, bar.start) - bar.start, Math.min(note.start + note.ticks, end) - bar.start]
    const before = pieces.at(-1)
    if (rest && before?.rest) pieces[pieces.length - 1] = { ...before, to }
    else
      pieces.push({
        from,
        to,
        rest,
        note: index,
        // A note cut off by the first or last bar written out stands there untied.
        opens: note.start >= bar.start || bar.bar === line.bars[0],
        closes: note.start + note.ticks <= end || bar.bar === line.bars[1],
      })
  }
  return pieces
}

/** The bar before the first, where a pickup stands in it and bar 1 is written out; null for none. */
function pickupBar({ notes, harmony, bars }: Line): PlayedBar | null {
  const first = harmony.bars[0]
  if (notes[0]?.bar !== 0 || !first || bars[0] !== 1) return null
  return { ...first, bar: 0, start: first.start - first.ticks, section: null }
}

/** A pickup's notes, beamed as at the end of a full bar; its bar begins with the first of them. */
function layPickup(
  line: Line,
  bar: PlayedBar,
  kept: Pick<Place, 'written' | 'fingerings' | 'stops'>,
): readonly Omit<ScoreEvent, 'accidental'>[] {
  const place: Place = { bar: 0, meter: bar.meter, degrees: false, early: new Set(), ...kept }
  const events = layEvents(line, piecesOf(line, bar), place)
  const from = events[0]?.at ?? 0
  return events.map((event) => ({ ...event, at: event.at - from, id: event.id.replace(/\d+$/, `${event.at - from}`) }))
}

/** The first note that ends after a tick; notes stand in order without gap. */
function firstAfter(notes: readonly LineNote[], tick: number): number {
  let [from, to] = [0, notes.length]
  while (from < to) {
    const middle = (from + to) >> 1
    if (notes[middle]!.start + notes[middle]!.ticks <= tick) from = middle + 1
    else to = middle
  }
  return from
}

interface Place {
  readonly bar: number
  readonly meter: Meter
  readonly written: readonly (Pitch | null)[]
  readonly degrees: boolean
  /** Where targets stand that belong to the chord to come. */
  readonly early: ReadonlySet<number>
  readonly fingerings: readonly (FingeringMark | null)[]
  readonly stops: readonly (Stop | null)[]
}

function layEvents(line: Line, pieces: readonly NotePiece[], place: Place): readonly Omit<ScoreEvent, 'accidental'>[] {
  const values = writeValues(place.meter, pieces)
  const beams = beamValues(place.meter, values)
  return values.map((value, index) => {
    const piece = pieces[value.piece]!
    const note = line.notes[piece.note]!
    const first = piece.opens && values[index - 1]?.piece !== value.piece
    const last = piece.closes && values[index + 1]?.piece !== value.piece
    const role: Role = note.pitch === null ? 'rest' : note.role
    return {
      id: `${note.pitch === null ? 'r' : 'n'}-${place.bar}-${value.at}`,
      at: value.at,
      ticks: value.ticks,
      value: value.value,
      dots: value.dots,
      tuplet: tupletOf(value, place.bar),
      beam: beams[index]!,
      pitch: place.written[piece.note]!,
      sounding: note.pitch,
      tie: note.pitch === null || (first && last) ? null : first ? 'start' : last ? 'end' : 'middle',
      role,
      ...(role === 'target' && place.early.has(note.start) ? { early: true as const } : {}),
      degree: first && place.degrees && role === 'target' ? note.degree : null,
      note: piece.note,
      figure: note.figure,
      articulation: first ? (note.articulation ?? null) : null,
      fingering: first ? (place.fingerings[piece.note] ?? null) : null,
      ...(place.stops[piece.note] ? { stop: first ? place.stops[piece.note]! : null } : {}),
    }
  })
}

function tupletOf({ tuplet }: NoteValue, bar: number): ScoreEvent['tuplet'] {
  return tuplet && { id: `t-${bar}-${tuplet.from}`, actual: tuplet.actual, normal: tuplet.normal }
}

/** What the player reads for each note of a line, null for rests: the very pitches that stand on the part. */
export function writtenPitches(line: Line, brief: Pick<Brief, 'pitch' | 'spelling'>): readonly (Pitch | null)[] {
  const { transposition } = writtenPart(line.key, line.instrument, brief.pitch === 'concert')
  const up = invert(transposition)
  if (line.written && transposition.semitones === line.instrument.transposition.semitones) return line.written
  // A part at concert pitch, or octaves from it, keeps the line's own letters.
  if (up.steps % 7 === 0 && up.semitones % 12 === 0)
    return line.notes.map(({ pitch }) => pitch && transposePitch(pitch, up))
  return spellPart(line, up, brief)
}
