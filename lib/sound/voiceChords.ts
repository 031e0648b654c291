/** The chords as they are played: strokes in the rhythm of the style that leave room for the line and answer where it rests. */

import type { Feel } from '../choices/practice.ts'
import { lastStarted } from '../inOrder.ts'
import { randomFrom } from '../lattice/lattice.ts'
import type { ArrangedBar, Passage, SoundNote } from './arrangement.ts'
import { drawVaried, readStrokes, type Stroke } from './bandStyle.ts'
import { bandStyles } from './bandStyles.ts'
import { groupsFor } from './feel.ts'
import { looseChords } from './looseChords.ts'
import { chooseVoicings, clearOf } from './voicing.ts'

export interface Under {
  /** The line that is played to; the band answers where it rests. */
  readonly line?: readonly SoundNote[]
  /** The bass, above which the chords keep. */
  readonly bass?: readonly SoundNote[]
  /** No rhythm stands too often. */
  readonly fresh?: boolean
}

/** How much a stroke at a tick is wanted: less where the line is busy, more where it rests or holds. */
function roomAround(line: readonly SoundNote[]): (tick: number) => number {
  if (line.length === 0) return () => 0
  // Ticks since the line last began a note, and whether it sounds: by eighths.
  const begins = new Set(line.map(({ start }) => Math.floor(start / 12)))
  return (tick) => {
    const place = Math.floor(tick / 12)
    const near = [place - 1, place, place + 1].filter((each) => begins.has(each)).length
    return near === 0 ? 1 : near === 3 ? -0.7 : -0.2
  }
}

function strokesOf(
  passage: Passage,
  feel: Feel,
  random: () => number,
  { line = [], fresh = false }: Under,
): ReadonlyMap<number, number> {
  const strict = bandStyles[feel].chords
  const table = fresh ? { ...strict, ...looseChords[feel] } : strict
  const draw = drawVaried(random, fresh)
  const room = roomAround(line)
  const going = new Map<string, string>()
  const strokes = new Map<number, number>()
  const inBar = (bar: ArrangedBar): readonly Stroke[] => {
    const inPair = Math.abs(bar.bar - 1) % 2
    return groupsFor(bar.meter, table).flatMap(({ at, ticks }) => {
      const name = `${at} ${ticks}`
      const before = going.get(name)
      const within = (rhythm: string) => readStrokes(rhythm, inPair).filter(([tick]) => tick < ticks)
      const wanted = (rhythm: string): number => {
        const sum = within(rhythm).reduce((all, [tick]) => all + room(bar.start + at + tick), 0)
        return 2.2 ** sum
      }
      const rhythm =
        inPair === 1 && before?.includes('|')
          ? before
          : draw(table[ticks] ?? onceThrough, wanted, (text) => text.replaceAll('-', ''))
      going.set(name, rhythm)
      return within(rhythm).map(([tick, length]): Stroke => [at + tick, length])
    })
  }
  for (const bar of passage.bars) for (const [at, ticks] of inBar(bar)) strokes.set(bar.start + at, ticks)
  return strokes
}

/**
 * The highest note that sounds in a stretch, 0 where none does. Notes lie in the eighths that they touch, so that a stretch looks at
 * its own and a long tune takes no more a bar than a short one.
 */
function topOf(notes: readonly SoundNote[]): (from: number, to: number) => number {
  const byEighth = new Map<number, SoundNote[]>()
  const eighthsOf = (from: number, to: number) => [Math.floor(from / 12), Math.ceil(to / 12)] as const
  for (const note of notes) {
    const [first, end] = eighthsOf(note.start, note.start + note.ticks)
    for (let at = first; at < end; at++) byEighth.set(at, [...(byEighth.get(at) ?? []), note])
  }
  return (from, to) => {
    let top = 0
    const [first, end] = eighthsOf(from, to)
    for (let at = first; at < end; at++)
      for (const { start, ticks, midi } of byEighth.get(at) ?? [])
        if (start < to && start + ticks > from) top = Math.max(top, midi)
    return top
  }
}

const onceThrough: readonly string[] = ['1-']

/** Chords that are held: struck when they change and when a bar begins; now and then once more in between. */
function heldStrokes({ bars, chords }: Passage, random: () => number, isFresh: boolean): ReadonlyMap<number, number> {
  const strokes = new Map(chords.map((chord) => [chord.start, chord.ticks]))
  let last = 0
  const counts = new Map<number, number>()
  const often = (at: number) => counts.get(at) ?? 0
  for (const bar of bars) {
    if (!strokes.has(bar.start)) strokes.set(bar.start, bar.ticks)
    const places = [0, 24, 36, 48, 60].filter((at) => at < bar.ticks)
    const others = places.filter((at) => at !== last || places.length === 1)
    const least = Math.min(...others.map(often))
    const open = isFresh ? others.filter((at) => often(at) === least) : others
    const at = open[Math.floor(random() * open.length)]!
    last = at
    counts.set(at, often(at) + 1)
    if (at > 0 && !strokes.has(bar.start + at)) strokes.set(bar.start + at, bar.ticks - at)
  }
  return strokes
}

/**
 * Plays the chords of a stretch. Where the style pushes, a stroke on the last eighth before a change already has the new chord, the
 * and of 4 that of the next bar; every chord is heard in its time or on that eighth before. In a ballad the chords are held. The
 * rhythms leave room for the line and answer where it rests. `click` is silent.
 */
export function voiceChords(passage: Passage, feel: Feel, seed: number, under: Under = {}): readonly SoundNote[] {
  if (feel === 'click') return []
  const style = bandStyles[feel]
  const { bars, chords, next } = passage
  const random = randomFrom(seed ^ 0xc40bd)
  const bass = under.bass ?? []
  const topIn = topOf(bass)
  const floors = chords.map(({ start, ticks }) => topIn(start, start + ticks))
  const voicings = chooseVoicings(next ? [...chords, next] : chords, floors)
  const lastBar = bars.at(-1)
  const end = lastBar ? lastBar.start + lastBar.ticks : 0
  const changes = chords.map((chord) => chord.start)
  const isChange = new Set(changes)
  /** The chord that sounds at a tick, and the one that a stroke plays: the next one an eighth away, unless this one has just begun. */
  const soundsAt = (tick: number): number => lastStarted(chords, tick)
  const indexAt = (tick: number): number => {
    const here = soundsAt(tick)
    const away = (changes[here + 1] ?? end) - tick
    const follows = here + 1 < voicings.length
    return style.pushes && away > 0 && away <= 12 && !isChange.has(tick) && follows ? here + 1 : here
  }

  const played = new Map(
    style.held ? heldStrokes(passage, random, under.fresh ?? false) : strokesOf(passage, feel, random, under),
  )
  // A change that no stroke announces gets one of its own.
  const heard = new Set([...played.keys()].map(indexAt))
  chords.forEach(({ start, ticks }, i) => {
    if (!heard.has(i)) played.set(start, Math.min(ticks, 24))
  })

  const sorted = [...played].sort(([a], [b]) => a - b)
  return sorted.flatMap(([start, length], i) => {
    const index = indexAt(start)
    const pushed = start < (changes[index] ?? end)
    const voicing = voicings[index]
    if (!voicing) return []
    const until = Math.min(start + length, sorted[i + 1]?.[0] ?? end, changes[index + 1] ?? end, end)
    const base = pushed ? 0.62 : 0.56
    const touch = 0.06 * random()
    return clearOf(voicing, topIn(start, until)).map((midi) => ({
      start,
      ticks: until - start,
      midi,
      velocity: base + touch,
    }))
  })
}
