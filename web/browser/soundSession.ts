/** A session of playing, pass after pass, rendered chunk by chunk: the worker's own work, without anything of a browser. */
import { type Brief, readBrief } from '../../lib/brief.ts'
import { isOnePiece, linesAsPlayed } from '../../lib/drill/joinLines.ts'
import type { Line } from '../../lib/line/line.ts'
import { writeGoodBars } from '../../lib/lines/write.ts'
import { prefixOfPart } from '../../lib/score/meiMarks.ts'
import { type Arrangement, type Part, parts } from '../../lib/sound/arrangement.ts'
import { arrangePass, practiceOf } from '../../lib/sound/playPasses.ts'
import { playTime, secondsOf, type TimedNote } from '../../lib/sound/playTime.ts'
import { type Pass, type Practice, passAt } from '../../lib/sound/practise.ts'
import { roomReach } from '../../lib/sound/room.ts'
import type { BandSamples } from '../../lib/sound/sampledTones.ts'
import { earliest, renderChunk, tail } from '../../lib/sound/synth.ts'
import { type Key, nameOfKey } from '../../lib/theory/key.ts'
import type { BarMark, ChunkNews, FailNews, Fields, LitNote, Place, ReadyNews } from './soundTalk.ts'

export interface Session {
  /** The next chunk; null once all has been played. */
  readonly next: () => Omit<ChunkNews, 'kind' | 'load'> | null
  /** The notes of the first pass, in seconds from the start. */
  readonly notes: () => readonly TimedNote[]
}

/**
 * Seconds of the first chunk, short so that sound comes at once; of the first after a change, which has until the next bar line; and of the
 * others at least and at most.
 */
const chunkSeconds = { first: 0.7, goingOn: 1.8, least: 1.2, most: 4 } as const

/** A pass put in its place: where it starts, in seconds, and what sounds in it, counted from the start of playing. */
interface PlacedPass {
  readonly pass: Pass
  readonly start: number
  readonly end: number
  readonly notes: readonly TimedNote[]
  readonly arrangement: Arrangement
}

/** What a brief gives to play, wherever playing begins. */
export interface Piece {
  readonly brief: Brief
  readonly shown: readonly Line[]
  readonly lines: readonly Line[]
  readonly practice: Practice
  readonly ready: Omit<ReadyNews, 'kind' | 'load'>
}

/** Writes what is to be played; where the brief has no line, what to say instead. */
export function loadPiece(fields: Fields): Piece | Pick<FailNews, 'message'> {
  const { brief } = readBrief(fields)
  const shown = writeGoodBars(brief).lines
  const [first] = shown
  if (!first) return { message: 'There is no line to play: put right what is marked first.' }
  const lines = linesAsPlayed(linesToPlay(brief, shown), brief)
  const practice = practiceOf(lines, brief)
  const { feel, swing, replaced } = arrangePass(lines, brief, passAt(practice, 0)!)
  const ready = { bars: first.harmony.bars.length, tempo: practice.tempo, swing, feel, replaced }
  return { brief, shown, lines, practice, ready }
}

/** Starts a session at a place; null where the passes are over before it. */
export function startSession(piece: Piece, place: Place, rate: number, samples: BandSamples = {}): Session | null {
  const { brief, lines } = piece
  const practice = { ...piece.practice, climbFrom: place.climb }
  // In the middle of a pass that there is no more, playing goes on in the first.
  const opening = !passAt(practice, place.pass) && place.from !== null ? 0 : place.pass
  const firstPass = passAt(practice, opening)
  if (!firstPass) return null
  const started = startAt(firstPass, place, practice)
  const road: Road = { placed: [], end: 0, over: false }
  let index = opening
  const joined = isOnePiece(piece.shown, brief) ? lines[0]! : null

  let at = 0
  let done = false
  const next = (): ReturnType<Session['next']> => {
    if (done) return null
    const from = at
    const opens = place.goOn ? chunkSeconds.goingOn : chunkSeconds.first
    const length = from === 0 ? opens : twoBars(road.placed.at(-1)?.arrangement ?? null, practice)
    let to = from + Math.round(length * rate)
    // What begins with a slow attack sounds before its pass.
    while (!road.over && (road.end - 2 * earliest) * rate < to) {
      lay(road, index === opening ? started : passAt(practice, index), piece)
      index += 1
    }
    if (road.over) {
      const stop = Math.ceil((road.end + tail) * rate)
      if (to >= stop) {
        to = stop
        done = true
      }
    }
    // Passes that have rung out are forgotten.
    while (road.placed.length > 0 && (road.placed[0]!.end + tail + roomReach) * rate < from) road.placed.shift()
    const notes = road.placed.flatMap((each) => each.notes)
    const room = brief.looseness !== 'strict'
    const whole = { notes, seconds: road.end, program: lines[0]!.instrument.program, room }
    const chunk = renderChunk(whole, from, to, rate, parts, samples)
    at = to
    return {
      at: from,
      frames: to - from,
      parts: sounding(chunk),
      notes: litNotes(road.placed, piece.shown, from, to, rate),
      marks: barMarks(road.placed, piece.shown, joined, from, to, rate),
      last: done,
    }
  }
  return { next, notes: () => playTime(arrangePass(lines, brief, started)).notes }
}

/** Passes laid one after another, as far as they are wanted. */
interface Road {
  readonly placed: PlacedPass[]
  /** Where the last of them ends, in seconds. */
  end: number
  /** There are no more. */
  over: boolean
}

/** Lays a pass behind the others, or the end where there is none. */
function lay(road: Road, pass: Pass | null, { brief, lines }: Piece): void {
  if (!pass) {
    road.over = true
    return
  }
  const arrangement = arrangePass(lines, brief, pass)
  const { notes, seconds } = playTime(arrangement)
  const start = road.end
  road.end += seconds
  const later = notes.map((note) => ({ ...note, start: note.start + start, end: note.end + start }))
  road.placed.push({ pass, start, end: road.end, arrangement, notes: later })
}

/** Lines in all the keys that are gone through; by fourths where none are chosen. */
function linesToPlay(brief: Brief, shown: readonly Line[]): readonly Line[] {
  // Joined keys are one piece, which is played whole.
  if (isOnePiece(shown, brief)) return shown
  if (brief.keyAfter === 0) return shown.slice(0, 1)
  return brief.keys === null ? writeGoodBars({ ...brief, keys: 'fourths' }).lines : shown
}

/** The first pass, counted in unless playing goes on, from a bar on where that bar is among those practised. */
function startAt(pass: Pass, { from, goOn }: Place, practice: Practice): Pass {
  const [low, high] = pass.bars
  const count = goOn ? 0 : practice.countIn
  const bars: Pass['bars'] = from === null || from < low || from > high ? pass.bars : [from, high]
  const lead = practice.pickup && bars[0] === 1 && !goOn ? Math.max(1, count) : count
  return { ...pass, bars, lead, countIn: count }
}

function twoBars(arrangement: Arrangement | null, practice: Practice): number {
  const bar = arrangement?.bars.at(-1)
  const seconds = bar && arrangement ? secondsOf(2 * bar.ticks, arrangement.tempo) : 480 / practice.tempo
  return Math.max(chunkSeconds.least, Math.min(chunkSeconds.most, seconds))
}

const sounding = (chunk: ReturnType<typeof renderChunk>): ChunkNews['parts'] =>
  Object.fromEntries(
    parts.flatMap((part): [Part, Float32Array][] => {
      const samples = chunk[part]
      return samples?.some((sample) => sample !== 0) ? [[part, samples]] : []
    }),
  )

/** The part of the page that shows a pass, from 1; 0 where its key is not on the page. */
const partOf = ({ key }: Pass, shown: readonly Line[]): number =>
  1 + shown.findIndex((line) => nameOfKey(line.key) === nameOfKey(key))

/** Notes that stand on the page, each in the part that shows its key. */
function litNotes(
  placed: readonly PlacedPass[],
  shown: readonly Line[],
  from: number,
  to: number,
  rate: number,
): readonly LitNote[] {
  return placed.flatMap(({ pass, notes }) => {
    const part = partOf(pass, shown)
    if (part === 0) return []
    return notes.flatMap(({ id, start, end }) => {
      const frame = Math.round(start * rate)
      if (id === null || frame < from || frame >= to) return []
      return [{ id: prefixOfPart(part) + id, start: frame, end: Math.round(end * rate) }]
    })
  })
}

/** The key of a bar of a line that goes through several. */
const keyOfBar = ({ harmony, key }: Line, bar: number): Key =>
  harmony.bars.slice(0, bar).findLast((each) => each.key)?.key ?? key

function barMarks(
  placed: readonly PlacedPass[],
  shown: readonly Line[],
  joined: Line | null,
  from: number,
  to: number,
  rate: number,
): readonly BarMark[] {
  return placed.flatMap(({ pass, start, arrangement }) =>
    arrangement.bars.flatMap((bar, i) => {
      const at = Math.round((start + secondsOf(bar.start, arrangement.tempo)) * rate)
      if (at < from || at >= to) return []
      const key = nameOfKey(joined ? keyOfBar(joined, bar.bar) : pass.key)
      const part = joined ? 1 : partOf(pass, shown)
      // A bar of an ending has the number of the last bar.
      const ending = bar.bar > 0 && bar.bar === arrangement.bars[i - 1]?.bar
      const { tempo, lineOut } = pass
      return [{ at, part, bar: bar.bar, pass: pass.index + 1, ending, tempo, key, lineOut }]
    }),
  )
}
