/** A session of playing, pass after pass, rendered chunk by chunk: the worker's own work, without anything of a browser. */
import { type Brief, readBrief } from '../../lib/brief.ts'
import { isOnePiece, linesAsPlayed } from '../../lib/drill/joinLines.ts'
import type { Line } from '../../lib/line/line.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { prefixOfPart } from '../../lib/score/meiMarks.ts'
import { type Arrangement, type Part, parts } from '../../lib/sound/arrangement.ts'
import { arrangePass, practiceOf } from '../../lib/sound/playPasses.ts'
import { playTime, secondsOf, type TimedNote } from '../../lib/sound/playTime.ts'
import { type Pass, type Practice, passAt } from '../../lib/sound/practise.ts'
import type { BandSamples } from '../../lib/sound/sampledTones.ts'
import { earliest, renderChunk, tail } from '../../lib/sound/synth.ts'
import { type Key, nameOfKey } from '../../lib/theory/key.ts'
import type { BarMark, ChunkNews, FailNews, LitNote, LoadOrder, ReadyNews } from './soundTalk.ts'

export interface Session {
  readonly ready: Omit<ReadyNews, 'kind' | 'load'>
  /** The next chunk; null once all has been played. */
  readonly next: () => Omit<ChunkNews, 'kind' | 'load'> | null
  /** The notes of the first pass, in seconds from the start. */
  readonly notes: () => readonly TimedNote[]
}

/** Seconds of the first chunk, short so that sound comes at once, and of the others at least and at most. */
const chunkSeconds = { first: 0.7, least: 1.2, most: 4 } as const

/** A pass put in its place: where it starts, in seconds, and what sounds in it, counted from the start of playing. */
interface PlacedPass {
  readonly pass: Pass
  readonly start: number
  readonly end: number
  readonly notes: readonly TimedNote[]
  readonly arrangement: Arrangement
}

/** Starts a session; where the brief has no line, what to say instead. */
export function startSession(order: LoadOrder, samples: BandSamples = {}): Session | Pick<FailNews, 'message'> {
  const { rate } = order
  const { brief } = readBrief(order.fields)
  const shown = writeLines(brief)
  const [first] = shown.lines
  if (!first) return { message: 'There is no line to play: put right what is marked first.' }
  const lines = linesAsPlayed(linesToPlay(brief, shown.lines), brief)
  const practice = practiceOf(lines, brief)
  const opening = passAt(practice, order.pass) ? order.pass : 0
  const firstPass = passAt(practice, opening)!
  const { feel, swing, replaced } = arrangePass(lines, brief, firstPass)

  const placed: PlacedPass[] = []
  let index = opening
  let end = 0
  let over = false
  const place = (): void => {
    const given = passAt(practice, index)
    if (!given) {
      over = true
      return
    }
    const pass = index === opening ? startAt(given, order, practice) : given
    index += 1
    const arrangement = arrangePass(lines, brief, pass)
    const { notes, seconds } = playTime(arrangement)
    const start = end
    end += seconds
    placed.push({
      pass,
      start,
      end,
      arrangement,
      notes: notes.map((note) => ({ ...note, start: note.start + start, end: note.end + start })),
    })
  }

  let at = 0
  let done = false
  const next = (): ReturnType<Session['next']> => {
    if (done) return null
    const from = at
    const bar = placed.at(-1)?.arrangement ?? null
    const length = from === 0 ? chunkSeconds.first : twoBars(bar, practice)
    let to = from + Math.round(length * rate)
    // What begins with a slow attack sounds before its pass.
    while (!over && (end - 2 * earliest) * rate < to) place()
    if (over) {
      const stop = Math.ceil((end + tail) * rate)
      if (to >= stop) {
        to = stop
        done = true
      }
    }
    // Passes that have rung out are forgotten.
    while (placed.length > 0 && (placed[0]!.end + tail) * rate < from) placed.shift()
    const notes = placed.flatMap((each) => each.notes)
    const chunk = renderChunk(
      { notes, seconds: end, program: first.instrument.program },
      from,
      to,
      rate,
      parts,
      samples,
    )
    at = to
    return {
      at: from,
      frames: to - from,
      parts: sounding(chunk),
      notes: litNotes(placed, shown.lines, from, to, rate),
      marks: barMarks(placed, shown.lines, isOnePiece(shown.lines, brief) ? lines[0]! : null, from, to, rate),
      last: done,
    }
  }
  const notes = () => playTime(arrangePass(lines, brief, startAt(firstPass, order, practice))).notes
  return { ready: { bars: first.harmony.bars.length, tempo: practice.tempo, swing, feel, replaced }, next, notes }
}

/** Lines in all the keys that are gone through; by fourths where none are chosen. */
function linesToPlay(brief: Brief, shown: readonly Line[]): readonly Line[] {
  // Joined keys are one piece, which is played whole.
  if (isOnePiece(shown, brief)) return shown
  if (brief.keyAfter === 0) return shown.slice(0, 1)
  return brief.keys === null ? writeLines({ ...brief, keys: 'fourths' }).lines : shown
}

/** The first pass, counted in unless playing goes on, from a bar on where that bar is among those practised. */
function startAt(pass: Pass, { from, goOn }: LoadOrder, practice: Practice): Pass {
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
    arrangement.bars.flatMap((bar) => {
      const at = Math.round((start + secondsOf(bar.start, arrangement.tempo)) * rate)
      if (at < from || at >= to) return []
      const key = nameOfKey(joined ? keyOfBar(joined, bar.bar) : pass.key)
      const part = joined ? 1 : partOf(pass, shown)
      return [{ at, part, bar: bar.bar, pass: pass.index + 1, tempo: pass.tempo, key, lineOut: pass.lineOut }]
    }),
  )
}
