/** The bass: a line in the rhythms of its style, drawn through the beats of the changes. */
import type { Feel } from '../choices/practice.ts'
import type { HarmonyChord } from '../harmony/harmony.ts'
import { type Edge, type Lattice, randomFrom, samplePath } from '../lattice/lattice.ts'
import { chordTones } from '../theory/chord.ts'
import { degreeChroma, numberOf } from '../theory/degree.ts'
import { strongTicks, ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import type { Passage, SoundNote } from './arrangement.ts'
import { type BassRole, type Draw, drawVaried, readBass } from './bandStyle.ts'
import { bandStyles } from './bandStyles.ts'
import { groupsFor } from './feel.ts'
import { bassFills, looseBass } from './looseBass.ts'
import { backBeats } from './playDrums.ts'

/** E1 to G3, sounding: the open string up to where a walking bass still sounds like one. */
export const bassRange = { low: 28, high: 55 } as const

/** A moment where the bass plays. */
interface Slot {
  readonly start: number
  readonly ticks: number
  /** Index into the passage's chords. */
  readonly chord: number
  /** What the rhythm asks for; a ghost is no slot of its own but stands in `touched`. */
  readonly role: BassRole
  readonly short: boolean
  /** The chord begins here: its root, or the bass note of a slash chord, must sound. */
  readonly change: boolean
  /** The next slot begins another chord: this one leads there by a step, a half step or from the fifth above, or is its note early. */
  readonly leads: boolean
  readonly strong: boolean
  /** On a beat that answers: 2 and 4. */
  readonly back: boolean
  /** Off the beat. */
  readonly light: boolean
  /** Ticks after the start at which the note is touched once more. */
  readonly touched: number | null
}

interface Place extends Pick<Slot, 'start' | 'role' | 'short' | 'strong' | 'back' | 'light'> {
  readonly end: number
}

/** Where the bass plays in each bar, and what it owes there: the style's rhythms, and each change of chord. */
function placesOf({ bars, chords }: Passage, feel: Feel, draw: Draw, fresh: boolean): readonly Place[] {
  const strict = bandStyles[feel].bass
  const usual = fresh ? { ...strict, ...looseBass[feel] } : strict
  const fills = { ...usual, ...bassFills[feel] }
  return bars.flatMap((bar, index) => {
    const bass = fresh && bars[index + 1]?.opens ? fills : usual
    const end = bar.start + bar.ticks
    const changes = chords.flatMap(({ start }) => (start >= bar.start && start < end ? [start - bar.start] : []))
    const inPair = Math.abs(bar.bar - 1) % 2
    const at = new Map<number, { role: BassRole; short: boolean }>()
    for (const group of groupsFor(bar.meter, bass)) {
      // Changes of chord are struck besides, so that two rhythms may come to one.
      const forced = changes.map((tick) => tick - group.at).filter((tick) => tick >= 0 && tick < group.ticks)
      const shape = (rhythm: string) =>
        [...new Set([...readBass(rhythm, inPair).map((place) => place.at), ...forced])].sort((a, b) => a - b).join(' ')
      const rhythm = draw(bass[group.ticks] ?? wholeGroup, undefined, shape)
      for (const { at: tick, role, short } of readBass(rhythm, inPair))
        if (tick < group.ticks) at.set(group.at + tick, { role, short })
    }
    for (const tick of changes) at.set(tick, firm)
    const strong = new Set(strongTicks(bar.meter))
    const back = new Set(backBeats(bar.meter))
    const sorted = [...at].sort(([a], [b]) => a - b)
    return sorted.map(([tick, place], i) => ({
      start: bar.start + tick,
      end: bar.start + (sorted[i + 1]?.[0] ?? bar.ticks),
      ...place,
      strong: strong.has(tick),
      back: back.has(tick),
      light: tick % ticksPerQuarter !== 0,
    }))
  })
}

const wholeGroup: readonly string[] = ['1r']
const firm = { role: 'r', short: false } as const

/** Ghosts folded into the note that they touch again. */
function touchedPlaces(places: readonly Place[]): readonly (Place & { readonly touched: number | null })[] {
  const kept: (Place & { touched: number | null })[] = []
  for (const place of places) {
    const before = kept.at(-1)
    if (place.role === 'g' && before && before.end === place.start && before.touched === null)
      kept[kept.length - 1] = { ...before, end: place.end, touched: place.start - before.start }
    else kept.push({ ...place, role: place.role === 'g' ? 'w' : place.role, touched: null })
  }
  return kept
}

/** The slots of a passage, in runs that a no-chord parts. */
function slotsOf(passage: Passage, feel: Feel, draw: Draw, fresh: boolean): readonly (readonly Slot[])[] {
  const { chords, next } = passage
  const runs: Slot[][] = []
  let run: Slot[] = []
  const starts = new Map(chords.map((chord, index) => [chord.start, index]))
  const places = touchedPlaces(placesOf(passage, feel, draw, fresh))
  let chord = 0
  places.forEach(({ end, ...place }, i) => {
    while (chord + 1 < chords.length && chords[chord + 1]!.start <= place.start) chord += 1
    if (!chords[chord]?.root) {
      if (run.length > 0) runs.push(run)
      run = []
      return
    }
    const after = places[i + 1]
    const nextChord = after ? chords[chord + 1] : next
    const changes = after ? starts.has(after.start) : next !== null
    const change = starts.get(place.start) === chord
    run.push({
      ...place,
      ticks: end - place.start,
      chord,
      change,
      leads: changes && !change && nextChord?.root != null,
    })
  })
  if (run.length > 0) runs.push(run)
  return runs
}

/** The pitch class that the bass owes a chord when it begins. */
export const bassChroma = (chord: HarmonyChord): number => chromaOf(chord.bass ?? chord.root!)

/** Cost in nats of moving by so many semitones; after playing walking basses: steps first, thirds to fifths, an octave. */
const moveCosts = [3.2, 0.4, 0.2, 0.7, 0.7, 0.6, 2.2, 0.9, 2.4, 2.2, 3, 4, 1.5]

/** How firmly the costs hold: at 1 a line would wander, and the more the closer it keeps to the cheapest. */
const firmness = 1.5

const lowest = bassRange.low
const count = bassRange.high - bassRange.low + 1

/** Ways up or down into the note of a change: a step, a half step, or the fifth above it (a fourth below). */
const leadsInto = (up: number): boolean => [1, 2, -1, -2, 5, -7].includes(up)

/**
 * Writes the bass for a stretch of changes in the rhythms of its style. Each change gets its root (a slash chord its bass note);
 * between, chord tones on strong beats, chord, scale or passing notes elsewhere; the last note before a change is a step, a half
 * step or a fifth above where it goes. From E1 to G3, 2 and 4 a little louder. The seed draws the rhythms and the line; `fresh` has more of
 * them, pushes and runs into a new section, and keeps any from standing too often. A no-chord is silent, and so is the whole of `click`.
 */
export function writeBass(passage: Passage, feel: Feel, seed: number, fresh = false): readonly SoundNote[] {
  if (feel === 'click') return []
  const random = randomFrom(seed ^ 0x0ba55)
  return slotsOf(passage, feel, drawVaried(random, fresh), fresh).flatMap((run) => walk(run, passage, random))
}

function walk(run: readonly Slot[], passage: Passage, random: () => number): readonly SoundNote[] {
  const path = samplePath(bassLattice(run, passage), random)
  if (!path) throw new Error('no bass line leads through these changes')
  return run.flatMap((slot, i) => {
    const { start, ticks, touched } = slot
    const midi = lowest + (path.steps[i]!.node >> 1)
    const velocity = (slot.light ? 0.64 : slot.back ? 0.8 : 0.72) + 0.04 * random()
    const sounds = slot.short ? Math.max(4, ticks >> 1) : ticks
    if (touched === null) return [{ start, ticks: sounds, midi, velocity }]
    return [
      { start, ticks: touched, midi, velocity },
      { start: start + touched, ticks: Math.min(6, ticks - touched), midi, velocity: 0.4 },
    ]
  })
}

/** A layer a slot, and one more for what comes after; two nodes a pitch: reached from below (0) or from above (1). */
function bassLattice(run: readonly Slot[], passage: Passage): Lattice {
  const { chords, next } = passage
  const last = run.at(-1)!
  // One more slot at the end stands for the root of what comes after, so that the last note leads there too.
  const goal = last.leads ? (chords[last.chord + 1] ?? next) : null
  const layers = run.length + (goal ? 1 : 0)
  const fits = chords.map(pitchFits)
  const passes = (layer: number, i: number): boolean => {
    const slot = run[layer]
    return slot !== undefined && !slot.change && !slot.leads && !fits[slot.chord]!.all.has(modulo(lowest + i, 12))
  }
  // Worked out once a layer: most pitches of most layers are out of the question.
  const costs = Array.from({ length: layers }, (_, layer) =>
    Float64Array.from({ length: count }, (_, i) => {
      const slot = run[layer]
      if (!slot) return modulo(lowest + i, 12) === bassChroma(goal!) ? 0 : Infinity
      // Nothing passes from nowhere or to nowhere.
      if ((layer === 0 || layer === layers - 1) && passes(layer, i)) return Infinity
      const after = slot.leads ? (chords[slot.chord + 1] ?? next) : null
      return firmness * noteCost(slot, chords[slot.chord]!, after, fits[slot.chord]!, lowest + i)
    }),
  )
  const open = costs.map((layer) => [...layer.keys()].filter((i) => layer[i]! < Infinity))
  const edges = (layer: number, node: number): readonly Edge[] => {
    if (layer + 1 >= layers) return []
    const from = node >> 1
    const rising = (node & 1) === 0
    const slot = run[layer]!
    const wide = run[layer + 1]?.role === 'o'
    const found: Edge[] = []
    for (const to of open[layer + 1]!) {
      const up = to - from
      const size = Math.abs(up)
      const isUp = to === from ? rising : to > from
      if (size > 12 || (slot.leads && !(slot.role === 'p' ? size % 12 === 0 : leadsInto(up)))) continue
      // A passing note goes on the way it came, by half steps.
      if (passes(layer, from) && (size !== 1 || isUp !== rising)) continue
      if (passes(layer + 1, to) && (size === 0 || size > 2)) continue
      // After a leap a line turns back; after a step it goes on.
      const turn = isUp === rising ? 0 : 0.5
      const move = wide && size === 12 ? 0 : size === 0 && slot.role !== 'w' ? 0.6 : moveCosts[size]!
      found.push({ layer: layer + 1, node: 2 * to + (isUp ? 0 : 1), cost: firmness * (move + turn) })
    }
    return found
  }
  return {
    sizes: Array(layers).fill(2 * count),
    nodeCost: (layer, node) => costs[layer]![node >> 1]!,
    edges,
  }
}

/** What a note costs at a slot, in nats: where it lies, and what the slot owes; infinite where it may not stand. */
function noteCost(
  slot: Slot,
  chord: HarmonyChord,
  after: HarmonyChord | null,
  { tones, all, fifths }: PitchFits,
  midi: number,
): number {
  const chroma = modulo(midi, 12)
  // A pull to the middle of the range, C2 to D3, growing outside it.
  const off = Math.max(0, 36 - midi, midi - 50)
  const pull = 0.02 * off * off
  const root = bassChroma(chord)
  if (slot.change) return chroma === root ? pull : Infinity
  // A push is the note of the change itself, wherever the chord that still sounds may have it.
  if (slot.role === 'p' && after) return chroma === bassChroma(after) ? pull : Infinity
  const tone = tones.get(chroma)
  const owed = {
    r: chroma === root,
    p: chroma === root,
    o: chroma === root,
    f: fifths.has(chroma),
    t: tone !== undefined,
    w: true,
    g: true,
  }
  const miss = owed[slot.role] ? 0 : slot.leads ? 1 : 3
  if (slot.leads) return pull + miss + (tone !== undefined ? 0.3 : all.has(chroma) ? 0.5 : 0.6)
  if (tone !== undefined) return pull + miss + (slot.strong ? tone : 0.5 * tone)
  if (slot.strong || slot.role !== 'w') return Infinity
  return pull + (all.has(chroma) ? 0.6 : 1.1)
}

interface PitchFits {
  /** Chord tones with what each costs. */
  readonly tones: ReadonlyMap<number, number>
  /** Chord tones and the scale. */
  readonly all: ReadonlySet<number>
  readonly fifths: ReadonlySet<number>
}

/** The chord tones of a chord with what each costs the bass, and the pitch classes of its scale. */
function pitchFits(chord: HarmonyChord): PitchFits {
  if (!chord.root || !chord.chord) return { tones: new Map(), all: new Set(), fifths: new Set() }
  const root = chromaOf(chord.root)
  const tones = new Map<number, number>()
  for (const degree of chordTones(chord.chord)) {
    const chroma = (root + degreeChroma(degree)) % 12
    tones.set(chroma, degree === '1' ? 0.3 : degree === '5' ? 0 : 0.3)
  }
  if (chord.bass) tones.set(chromaOf(chord.bass), 0)
  const fifths = chordTones(chord.chord).filter((degree) => numberOf(degree) === 5)
  return {
    tones,
    all: new Set([...tones.keys(), ...(chord.scale?.notes.map(chromaOf) ?? [])]),
    fifths: new Set(fifths.map((degree) => (root + degreeChroma(degree)) % 12)),
  }
}
