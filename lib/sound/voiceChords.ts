/** The chords: voicings that move as little as they can, and the rhythm that they are played in. */
import type { Feel } from '../brief.ts'
import type { HarmonyChord } from '../harmony/harmony.ts'
import { bestPath, randomFrom } from '../lattice/lattice.ts'
import { guideDegrees, has, tensions } from '../theory/chord.ts'
import { type Degree, degreeChroma } from '../theory/degree.ts'
import { ticksPerBar, ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf } from '../theory/pitch.ts'
import type { ArrangedBar, Passage, SoundNote } from './arrangement.ts'
import { groupsOf } from './feel.ts'

/** C3 to G sharp 4: below it chords growl, above it they cover the line. */
export const chordRange = { low: 48, high: 68 } as const

/** Degrees that may join the guide tones, best first: what the symbol names, then what the scale offers. */
function colours(chord: HarmonyChord): readonly Degree[] {
  const quality = chord.chord!
  const named = tensions(quality).filter((degree) => !guideDegrees(quality).includes(degree))
  if (named.length > 0) return [...named].reverse()
  const scale = new Set(chord.scale?.degrees ?? [])
  const seventh = guideDegrees(quality)[1] !== '1'
  const offered: Degree[] = []
  if (seventh && scale.has('2')) offered.push('9')
  if (seventh && has(quality, '3') && has(quality, 'b7') && scale.has('6')) offered.push('13')
  const fifth = quality.degrees.find((degree) => /^[b#]?5$/.test(degree))
  if (fifth) offered.push(fifth)
  if (guideDegrees(quality)[1] !== '1') offered.push('1')
  return offered
}

/** Every way to lay a chord out in the range: both guide tones and one more, or the two alone. Ascending MIDI numbers. */
export function voicingsOf(
  chord: HarmonyChord,
): readonly { readonly notes: readonly number[]; readonly cost: number }[] {
  const root = chromaOf(chord.root!)
  const placesOf = (degree: Degree): readonly number[] => {
    const chroma = (root + degreeChroma(degree)) % 12
    const lowest = chordRange.low + ((((chroma - chordRange.low) % 12) + 12) % 12)
    return [lowest, lowest + 12].filter((midi) => midi <= chordRange.high)
  }
  const [third, seventh] = guideDegrees(chord.chord!)
  const extra: readonly (Degree | null)[] = [...colours(chord), null]
  const found: { notes: readonly number[]; cost: number }[] = []
  for (const a of placesOf(third))
    for (const b of placesOf(seventh)) {
      if (a === b || Math.abs(a - b) > 12) continue
      extra.forEach((degree, rank) => {
        for (const c of degree === null ? [null] : placesOf(degree)) {
          const notes = [...(c === null ? [a, b] : [a, b, c])].sort((x, y) => x - y)
          const gaps = notes.slice(1).map((note, i) => note - notes[i]!)
          // No clash of a semitone, nothing thicker than a tone below E3, and no more than a tenth from end to end.
          if (gaps.some((gap) => gap < 2) || notes.at(-1)! - notes[0]! > 16) continue
          if (c !== null && c < Math.min(a, b)) continue
          found.push({ notes, cost: degree === null ? 4 : rank })
        }
      })
    }
  // A chord of one note, or two a semitone apart, is played as its root.
  return found.length > 0 ? found : [{ notes: [placesOf('1')[0]!], cost: 0 }]
}

/** How far two voicings are apart: each voice of the smaller one to the nearest of the other, in semitones, summed. */
export function motionBetween(from: readonly number[], to: readonly number[]): number {
  const [few, many] = from.length <= to.length ? [from, to] : [to, from]
  return few.reduce((sum, note) => sum + Math.min(...many.map((other) => Math.abs(other - note))), 0)
}

/**
 * A voicing for every chord of a stretch, null for a no-chord: third and seventh (or what stands for them) and a colour above,
 * from C3 to G sharp 4, the whole chain moving as little as it can.
 */
export function chooseVoicings(chords: readonly HarmonyChord[]): readonly (readonly number[] | null)[] {
  const played = chords.filter((chord) => chord.root !== null && chord.chord !== null)
  const options = played.map(voicingsOf)
  if (options.length === 0) return chords.map(() => null)
  const path = bestPath({
    sizes: options.map((each) => each.length),
    nodeCost: (layer, node) => {
      const { notes, cost } = options[layer]![node]!
      const middle = (notes[0]! + notes.at(-1)!) / 2
      return 0.5 * cost + 0.15 * Math.abs(middle - 59)
    },
    edges: (layer, node) =>
      (options[layer + 1] ?? []).map((to, i) => ({
        layer: layer + 1,
        node: i,
        cost: motionBetween(options[layer]![node]!.notes, to.notes),
      })),
  })
  if (!path) throw new Error('no voicing was found for a chord')
  let next = 0
  return chords.map((chord) =>
    chord.root !== null && chord.chord !== null ? options[next]![path.steps[next++]!.node]!.notes : null,
  )
}

/** A stroke in a bar: where, and how long at most, in ticks. */
type Stroke = readonly [at: number, ticks: number]

/** Reads strokes as they are counted, `1- 2&`: quarters from 1, `&` the eighth after, `-` held and not short. */
const strokes = (text: string): readonly Stroke[] =>
  text.split(' ').map((word) => {
    const at = (Number(word[0]) - 1) * ticksPerQuarter + (word.includes('&') ? ticksPerQuarter / 2 : 0)
    return [at, word.endsWith('-') ? 30 : 12]
  })

/**
 * Rhythms for a group of beats of so many ticks. In four, the Charleston (1 and the and of 2) and its relatives; in three,
 * the and of 2, or beats 2 and 3. Common practice.
 */
const rhythms: Record<'swing' | 'even', Record<number, readonly (readonly Stroke[])[]>> = {
  swing: {
    96: ['1- 2&', '1 2&-', '1& 3-', '2&-', '2& 4&', '1- 3&', '1& 3&-', '1 4&'].map(strokes),
    72: ['1- 2&-', '2&-', '2 3', '1- 3&', '1& 2&-'].map(strokes),
    48: ['1-', '1&', '2&', '1 2&'].map(strokes),
    24: ['1', '1&'].map(strokes),
  },
  even: {
    96: ['1- 2&- 4&', '1 2& 4', '1&- 3- 4&', '1- 2& 3&-'].map(strokes),
    72: ['1- 2&-', '1- 2 3&'].map(strokes),
    48: ['1- 2&', '1& 2&'].map(strokes),
    36: ['1-', '1 2', '1& 2'].map(strokes),
    24: ['1', '1&'].map(strokes),
  },
}

function strokesOf(
  bar: ArrangedBar,
  feel: Feel,
  random: () => number,
  last: { rhythm: readonly Stroke[] | null },
): Stroke[] {
  const table = feel === 'swing' || feel === 'waltz' ? rhythms.swing : rhythms.even
  const isFour = bar.meter.unit <= 4 && ticksPerBar(bar.meter) === 96
  const groups = isFour ? [{ at: 0, ticks: 96 }] : groupsOf(bar.meter)
  return groups.flatMap(({ at, ticks }) => {
    const all: readonly (readonly Stroke[])[] = table[ticks] ?? [[[0, ticks]]]
    // Not the same rhythm twice running where there is another.
    const fresh = all.filter((rhythm) => rhythm !== last.rhythm)
    const choices = fresh.length > 0 ? fresh : all
    const rhythm = choices[Math.floor(random() * choices.length)]!
    last.rhythm = rhythm
    return rhythm.map(([tick, length]): Stroke => [at + tick, length])
  })
}

/**
 * Plays the chords of a stretch. A stroke on the last eighth before a change already has the new chord, the and of 4 that of
 * the next bar; every chord is heard in its time or on that eighth before. In a ballad the chords are held. `click` is silent.
 */
export function voiceChords(passage: Passage, feel: Feel, seed: number): readonly SoundNote[] {
  if (feel === 'click') return []
  const { bars, chords, next } = passage
  const random = randomFrom(seed ^ 0xc40bd)
  const voicings = chooseVoicings(next ? [...chords, next] : chords)
  const lastBar = bars.at(-1)
  const end = lastBar ? lastBar.start + lastBar.ticks : 0
  const changes = chords.map((chord) => chord.start)
  /** The chord that a stroke plays: the next one where it is an eighth away, unless this one has just begun. */
  const indexAt = (tick: number): number => {
    const here = changes.findLastIndex((start) => start <= tick)
    const away = (changes[here + 1] ?? end) - tick
    const follows = here + 1 < voicings.length
    return feel !== 'ballad' && away === 12 && changes[here] !== tick && follows ? here + 1 : here
  }

  const played = new Map<number, number>()
  if (feel === 'ballad') {
    for (const chord of chords) played.set(chord.start, chord.ticks)
    for (const bar of bars) if (!played.has(bar.start)) played.set(bar.start, bar.ticks)
  } else {
    const last = { rhythm: null }
    for (const bar of bars)
      for (const [at, ticks] of strokesOf(bar, feel, random, last)) played.set(bar.start + at, ticks)
    // A change that no stroke announces gets one of its own.
    const heard = new Set([...played.keys()].map(indexAt))
    chords.forEach(({ start, ticks }, i) => {
      if (!heard.has(i)) played.set(start, Math.min(ticks, 24))
    })
  }

  const sorted = [...played].sort(([a], [b]) => a - b)
  return sorted.flatMap(([start, length], i) => {
    const index = indexAt(start)
    const pushed = start < (changes[index] ?? end)
    const voicing = voicings[index]
    if (!voicing) return []
    const until = Math.min(start + length, sorted[i + 1]?.[0] ?? end, changes[index + 1] ?? end)
    const base = pushed ? 0.62 : 0.56
    const touch = 0.06 * random()
    return voicing.map((midi) => ({ start, ticks: until - start, midi, velocity: base + touch }))
  })
}
