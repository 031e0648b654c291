/** From lines and a brief to what is heard: pass after pass, each a performance of its own, and all of them as one. */
import type { Brief } from '../brief.ts'
import type { Line } from '../line/line.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { arrange } from './arrange.ts'
import { type Arrangement, hasPickup } from './arrangement.ts'
import { endingBars, planEnding } from './ending.ts'
import { feelAndSwing } from './feel.ts'
import { type Performance, playTime, secondsOf } from './playTime.ts'
import { type Pass, type Practice, passAt } from './practise.ts'

/** What of a brief says how its lines are played. */
export type Playing = Pick<
  Brief,
  | 'tempo'
  | 'feel'
  | 'click'
  | 'swing'
  | 'looseness'
  | 'countIn'
  | 'loop'
  | 'passes'
  | 'faster'
  | 'goal'
  | 'keyAfter'
  | 'lineOut'
  | 'build'
  | 'demonstration'
  | 'rest'
  | 'seed'
>

/** The tempo where neither the brief nor the chart says one. */
export const usualTempo = 120

/**
 * What a brief asks to practise over lines, one a key and the first of them the start. Bars that the tune does not have are
 * left out; where none are left, all bars are practised.
 */
export function practiceOf(lines: readonly Line[], brief: Playing): Practice {
  const line = lines[0]
  if (!line) throw new Error('there is no line to practise')
  const count = line.harmony.bars.length
  const loop = brief.loop && brief.loop[0] <= count ? brief.loop : line.bars
  return {
    tempo: brief.tempo ?? line.harmony.tempo ?? usualTempo,
    bars: [loop[0], Math.min(count, loop[1])],
    passes: brief.passes,
    faster: brief.faster,
    goal: brief.goal,
    keys: lines.map((each) => each.key),
    keyAfter: brief.keyAfter,
    lineOut: brief.lineOut,
    build: brief.build,
    demonstration: brief.demonstration,
    rest: brief.rest,
    countIn: brief.countIn,
    pickup: hasPickup(line, loop[0]),
  }
}

/** Arranges one pass. Passes differ a little, as a band's choruses do: the seed moves on with each. */
export function arrangePass(lines: readonly Line[], brief: Playing, pass: Pass): Arrangement {
  const { tempo, bars, countIn, lead, lineOut, bandOut, ends, round } = pass
  const seed = (brief.seed + Math.imul(pass.index, 0x9e3779b1)) >>> 0
  const { feel, click, swing, looseness } = brief
  const how = { tempo, feel, click, swing, looseness, seed }
  return arrange(lines[pass.keyIndex]!, { ...how, countIn, lead, bars, round, lineOut, bandOut, ends })
}

/** What the band plays otherwise than a recording's chords are written, in words, each once; empty for nearly every tune. */
export function replacedInRecording(lines: readonly Line[], brief: Playing): readonly string[] {
  const passes = new Map(recordedPasses(lines, brief)?.map((pass) => [`${pass.keyIndex} ${pass.bars}`, pass]))
  return [...new Set([...passes.values()].flatMap((pass) => arrangePass(lines, brief, pass).replaced))]
}

/** Plays one pass. */
export const playPass = (lines: readonly Line[], brief: Playing, pass: Pass): Performance =>
  playTime(arrangePass(lines, brief, pass))

/** Plays performances one after another as one, without a gap; the sound of the line's instrument is that of the first. */
export function joinPerformances(all: readonly Performance[]): Performance {
  let seconds = 0
  const notes = all.flatMap((each) => {
    const from = seconds
    seconds += each.seconds
    return each.notes.map((note) => ({ ...note, start: note.start + from, end: note.end + from }))
  })
  return { notes, seconds, program: all[0]?.program ?? 0, room: all[0]?.room ?? false }
}

/** The longest recording, in seconds: twelve keys of 32 bars of four at 60, with room for their count-ins. */
export const longestRecording = 1_800

/**
 * The passes that a recording holds: those that are practised, or where the key does not change, each line once through its
 * passes, one key after another with a count-in for each. What would go on until stopped is played once. Null where they would
 * last longer than `longestRecording`.
 */
export function recordedPasses(lines: readonly Line[], brief: Playing): readonly Pass[] | null {
  const practice = practiceOf(lines, brief)
  const finite = { ...practice, passes: practice.passes === 0 ? null : practice.passes }
  const oneByOne = lines.length > 1 && practice.keyAfter === 0
  const practices = oneByOne ? lines.map((line) => ({ ...finite, keys: [line.key] })) : [finite]
  const passes: Pass[] = []
  let seconds = 0
  for (const [i, each] of practices.entries())
    for (let n = 0; ; n++) {
      const pass = passAt(each, n)
      if (!pass) break
      const keyIndex = oneByOne ? i : pass.keyIndex
      seconds += secondsOfPass(lines[keyIndex]!, pass, brief)
      if (seconds > longestRecording) return null
      passes.push({ ...pass, keyIndex })
    }
  return passes
}

/** How many seconds a recording lasts, what rings on left out; null where it would last longer than `longestRecording`. */
export const secondsOfRecordedPasses = (lines: readonly Line[], brief: Playing): number | null =>
  recordedPasses(lines, brief)?.reduce((sum, pass) => sum + secondsOfPass(lines[pass.keyIndex]!, pass, brief), 0) ??
  null

/** How long a pass lasts, its lead and its ending included. */
function secondsOfPass(line: Line, { bars: [from, to], lead, tempo, ends, bandOut }: Pass, brief: Playing): number {
  const { harmony } = line
  const first = harmony.bars[from - 1]
  const last = harmony.bars[to - 1]
  if (!first || !last) return 0
  const { feel } = feelAndSwing(harmony, tempo, brief)
  const after = ends && !bandOut ? endingBars(planEnding(line, to, feel, tempo)) : 0
  return secondsOf(last.start + (1 + after) * last.ticks - first.start + lead * ticksPerBar(first.meter), tempo)
}
