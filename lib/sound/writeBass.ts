/** The bass: a walking line as a cheapest path through the beats of the changes. */
import type { Feel } from '../brief.ts'
import type { HarmonyChord } from '../harmony/harmony.ts'
import { bestPath, type Edge, randomFrom } from '../lattice/lattice.ts'
import { chordTones } from '../theory/chord.ts'
import { degreeChroma } from '../theory/degree.ts'
import { strongTicks, ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import type { ArrangedBar, Passage, SoundNote } from './arrangement.ts'
import { countedTicks, groupsOf } from './feel.ts'

/** E1 to G3, sounding: the open string up to where a walking bass still sounds like one. */
export const bassRange = { low: 28, high: 55 } as const

/** A moment where the bass plays. */
interface Slot {
  readonly start: number
  readonly ticks: number
  /** Index into the passage's chords. */
  readonly chord: number
  /** The chord begins here: its root, or the bass note of a slash chord, must sound. */
  readonly change: boolean
  /** The next slot begins another chord: this one leads there by a step or a half step. */
  readonly leads: boolean
  readonly strong: boolean
  /** An eighth before a longer note. */
  readonly pickup: boolean
}

/** Where the bass plays in a bar, in ticks from its start; the feel decides. */
function bassTicks(bar: ArrangedBar, feel: Feel, changesNext: boolean): readonly number[] {
  const { meter } = bar
  if (meter.unit >= 8) {
    // A group of eighths and the last eighth before the next.
    return groupsOf(meter).flatMap(({ at, ticks }) => (feel === 'even' && ticks > 24 ? [at, at + ticks - 12] : [at]))
  }
  if (feel === 'swing' || feel === 'waltz') return countedTicks(meter)
  if (feel === 'ballad') {
    const last = bar.ticks - ticksPerQuarter
    return [...strongTicks(meter), ...(changesNext && last > 0 ? [last] : [])]
  }
  // Even eighths: the bass on the start of each group, and the eighth that leads to the next.
  return groupsOf(meter).flatMap(({ at, ticks }) => (ticks >= 48 ? [at, at + ticks - 12] : [at]))
}

function slotsOf(passage: Passage, feel: Feel): readonly (readonly Slot[])[] {
  const { bars, chords, next } = passage
  const runs: Slot[][] = []
  let run: Slot[] = []
  const starts = new Map<number, number>()
  chords.forEach((chord, index) => {
    starts.set(chord.start, index)
  })
  const places: { start: number; end: number; strong: boolean }[] = []
  bars.forEach((bar, i) => {
    const end = bar.start + bar.ticks
    const follows = bars[i + 1] ? starts.has(end) : next !== null
    const strong = new Set(strongTicks(bar.meter))
    const at = new Set(bassTicks(bar, feel, follows))
    for (const chord of chords) if (chord.start >= bar.start && chord.start < end) at.add(chord.start - bar.start)
    const sorted = [...at].sort((a, b) => a - b)
    sorted.forEach((tick, j) => {
      places.push({ start: bar.start + tick, end: bar.start + (sorted[j + 1] ?? bar.ticks), strong: strong.has(tick) })
    })
  })
  let chord = 0
  places.forEach((place, i) => {
    while (chord + 1 < chords.length && chords[chord + 1]!.start <= place.start) chord += 1
    const sounding = chords[chord]
    if (!sounding?.root) {
      if (run.length > 0) runs.push(run)
      run = []
      return
    }
    const after = places[i + 1]
    const nextChord = after ? chords[chord + 1] : next
    const changes = after ? starts.has(after.start) : next !== null
    const change = starts.get(place.start) === chord
    run.push({
      start: place.start,
      ticks: place.end - place.start,
      chord,
      change,
      leads: changes && !change && nextChord?.root != null,
      strong: place.strong,
      pickup: place.end - place.start === 12 && !place.strong,
    })
  })
  if (run.length > 0) runs.push(run)
  return runs
}

/** The pitch class that the bass owes a chord when it begins. */
export const bassChroma = (chord: HarmonyChord): number => chromaOf(chord.bass ?? chord.root!)

/** Cost in nats of moving by so many semitones; after playing walking basses: steps first, thirds to fifths, an octave. */
const moveCosts = [2.6, 0.4, 0.2, 0.7, 0.7, 0.8, 2.2, 1, 2.4, 2.2, 3, 4, 1.7]

const lowest = bassRange.low
const count = bassRange.high - bassRange.low + 1

/**
 * Writes the bass for a stretch of changes. Each change gets its root (a slash chord its bass note); between, chord tones on
 * strong beats, chord or scale tones elsewhere; the last note before a change is a step or a half step from where it goes.
 * From E1 to G3. The seed leans the path a little this way or that. A no-chord is silent, and so is the whole of `click`.
 */
export function writeBass(passage: Passage, feel: Feel, seed: number): readonly SoundNote[] {
  if (feel === 'click') return []
  const random = randomFrom(seed ^ 0x0ba55)
  return slotsOf(passage, feel).flatMap((run) => walk(run, passage, random))
}

function walk(run: readonly Slot[], passage: Passage, random: () => number): readonly SoundNote[] {
  const { chords, next } = passage
  const last = run.at(-1)!
  // One more slot at the end stands for the root of what comes after, so that the last note leads there too.
  const goal = last.leads ? (chords[last.chord + 1] ?? next) : null
  const layers = run.length + (goal ? 1 : 0)
  const leaning = run.map(() => Array.from({ length: 12 }, random))
  const fits = chords.map(pitchFits)

  const cost = (layer: number, midi: number): number => {
    const slot = run[layer]
    const chroma = modulo(midi, 12)
    if (!slot) return chroma === bassChroma(goal!) ? 0 : Infinity
    const { tones, scale } = fits[slot.chord]!
    // A pull to the middle of the range, C2 to D3, growing outside it.
    const off = Math.max(0, 36 - midi, midi - 50)
    const pull = 0.02 * off * off
    if (slot.change) return chroma === bassChroma(chords[slot.chord]!) ? pull : Infinity
    const lean = 0.9 * leaning[layer]![chroma]!
    const tone = tones.get(chroma)
    if (tone !== undefined) return pull + lean + (slot.strong ? tone : 0.5 * tone)
    if (slot.leads) return pull + lean + (scale.has(chroma) ? 0.5 : 0.7)
    return scale.has(chroma) && !slot.strong ? pull + lean + 0.6 : Infinity
  }

  // Worked out once a layer: most pitches of most layers are out of the question.
  const costs = Array.from({ length: layers }, (_, layer) =>
    Float64Array.from({ length: count }, (_, i) => cost(layer, lowest + i)),
  )
  const open = costs.map((layer) => [...layer.keys()].filter((i) => layer[i]! < Infinity))

  // Two nodes a pitch: reached from below (0) or from above (1), so that the way a line goes can weigh.
  const edges = (layer: number, node: number): readonly Edge[] => {
    if (layer + 1 >= layers) return []
    const from = node >> 1
    const rising = (node & 1) === 0
    const slot = run[layer]!
    const found: Edge[] = []
    for (const to of open[layer + 1]!) {
      const size = Math.abs(to - from)
      if (size > 12 || (slot.leads && (size === 0 || size > 2))) continue
      const up = to === from ? rising : to > from
      // After a leap a line turns back; after a step it goes on.
      const turn = up === rising ? 0 : 0.5
      const move = size === 0 && slot.pickup ? 0.2 : moveCosts[size]!
      found.push({ layer: layer + 1, node: 2 * to + (up ? 0 : 1), cost: move + turn })
    }
    return found
  }

  const path = bestPath({
    sizes: Array(layers).fill(2 * count),
    nodeCost: (layer, node) => costs[layer]![node >> 1]!,
    edges,
  })
  if (!path) throw new Error('no bass line leads through these changes')
  return run.map((slot, i) => {
    const touch = 0.04 * random()
    return {
      start: slot.start,
      ticks: slot.ticks,
      midi: lowest + (path.steps[i]!.node >> 1),
      velocity: (slot.pickup ? 0.58 : slot.strong ? 0.76 : 0.72) + touch,
    }
  })
}

/** The chord tones of a chord with what each costs the bass, and the pitch classes of its scale. */
function pitchFits(chord: HarmonyChord): {
  readonly tones: ReadonlyMap<number, number>
  readonly scale: ReadonlySet<number>
} {
  if (!chord.root || !chord.chord) return { tones: new Map(), scale: new Set() }
  const root = chromaOf(chord.root)
  const tones = new Map<number, number>()
  for (const degree of chordTones(chord.chord)) {
    const chroma = (root + degreeChroma(degree)) % 12
    tones.set(chroma, degree === '1' ? 0.3 : degree === '5' ? 0 : 0.3)
  }
  if (chord.bass) tones.set(chromaOf(chord.bass), 0)
  return { tones, scale: new Set(chord.scale?.notes.map(chromaOf) ?? []) }
}
