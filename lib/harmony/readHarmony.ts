/** From changes as played to harmony as heard: local keys and functions by a cheapest path, then scales and reasons. */
import type { Changes, PlayedChord } from '../changes/unrollChart.ts'
import { pitchClassesOf } from '../theory/chord.ts'
import { type Key, keyAt, signatureOf } from '../theory/key.ts'
import { bestPath } from '../theory/lattice.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, fifthsOf, noteAtFifths, type PitchClass } from '../theory/pitch.ts'
import { type ScaleName, scaleDegrees } from '../theory/scale.ts'
import { chooseScale, type Heard, type ScaleChoices, scaleNamed } from './chooseScale.ts'
import { kindOf, motionCost, type Reading, readingsOf, restingCost, type Sound } from './functions.ts'
import type { Harmony, HarmonyChord } from './harmony.ts'
import { numeralOf } from './numerals.ts'
import { reasonFor } from './reasons.ts'

/** What a person may choose of the harmony: a part of the brief. */
export interface HarmonyChoices extends ScaleChoices {
  /** Scales chosen for single chords, each as `BAR.BEAT=scale name`, played bars and quarter notes counted from 1. */
  readonly scales: readonly string[]
}

const usualChoices: HarmonyChoices = {
  minorDominant: 'phrygian dominant',
  halfDiminished: 'locrian',
  sharpNine: 'half-whole diminished',
  bebop: false,
  scales: [],
}

/** Neighbouring chords on one root and of one kind, heard as one: Fm Fm(maj7) Fm7 Fm6, or a dominant and its sus chord. */
export interface Event extends Sound {
  readonly name: PitchClass
  readonly symbol: string
  /** Indexes into the changes' chords. */
  readonly chords: readonly number[]
  readonly stated: Key | null
  /** The pitch classes of its first chord. */
  readonly sounds: readonly number[]
}

/** An event with the way it is heard. */
export interface HeardEvent extends Event {
  readonly reading: Reading
  readonly key: Key
}

const group = { maj7: 1, triad: 1, aug: 2, m7: 3, m: 3, m6: 3, 'half-dim': 4, dim: 5, dominant: 2, sus: 2, power: 6 }

/** The events of a stretch of chords; no-chords are passed over. */
function eventsOf(changes: Changes, count: number): readonly Event[] {
  const events: { -readonly [K in keyof Event]: Event[K] }[] = []
  for (let i = 0; i < count; i++) {
    const { root, chord, bar, ticks, symbol } = changes.chords[i]!
    if (!root || !chord) continue
    const played = changes.bars[bar - 1]!
    const kind = kindOf(chord)
    const bars = ticks / played.ticks
    const last = events.at(-1)
    if (last && last.root === chromaOf(root) && group[last.kind] === group[kind]) {
      last.chords = [...last.chords, i]
      last.bars += bars
      if (last.kind === 'sus' || last.kind === 'm') last.kind = kind
      continue
    }
    events.push({
      root: chromaOf(root),
      name: root,
      kind,
      bars,
      symbol,
      opens: played.section !== null && changes.chords[i - 1]?.bar !== bar,
      chords: [i],
      stated: played.key,
      sounds: pitchClassesOf(chord).map((up) => (up + chromaOf(root)) % 12),
    })
  }
  return events
}

/** The cheapest way to hear the events, one reading each. The first event follows the last again: a tune goes round. */
function hear(events: readonly Event[], home: Key | null): readonly Reading[] {
  const layers = [...events, ...events.slice(0, 1)]
  const readings = layers.map((event) => readingsOf(event.kind))
  const homeOf = (event: Event) => event.stated ?? home
  const path = bestPath({
    sizes: readings.map((each) => each.length),
    nodeCost: (layer, node) => {
      const event = layers[layer]!
      const reading = readings[layer]![node]!
      const key = homeOf(event)
      return restingCost(event, reading) + (key ? strangeness(event, reading, key) * (layer === 0 ? 6 : 1) : 0)
    },
    edges: (layer, node) => {
      if (layer === layers.length - 1) return []
      const from = layers[layer]!
      const to = layers[layer + 1]!
      return readings[layer + 1]!.map((reading, next) => ({
        layer: layer + 1,
        node: next,
        cost: motionCost(from, readings[layer]![node]!, to, reading),
      }))
    },
  })
  return path ? path.steps.slice(0, events.length).map((step, layer) => readings[layer]![step.node]!) : []
}

const tonicOf = (event: Sound, reading: Reading) => (event.root - reading.above + 12) % 12

/** The tune's own key is expected; its relative and parallel hardly less than it. */
function strangeness(event: Event, reading: Reading, home: Key): number {
  const up = (tonicOf(event, reading) - chromaOf(home.tonic) + 12) % 12
  if (up === 0) return reading.mode === home.mode ? 0 : 0.3
  const relative = home.mode === 'major' ? up === 9 && reading.mode === 'minor' : up === 3 && reading.mode === 'major'
  return relative ? 0.3 : 0.45
}

/** The key that a chord standing first or last in a tune speaks for, and how loudly. */
function speaksFor({ kind, root }: Event): { tonic: number; mode: Key['mode']; share: number } {
  if (kind === 'maj7' || kind === 'triad') return { tonic: root, mode: 'major', share: 0.35 }
  if (kind === 'm' || kind === 'm6') return { tonic: root, mode: 'minor', share: 0.35 }
  if (kind === 'm7') return { tonic: root, mode: 'minor', share: 0.1 }
  return { tonic: root, mode: 'major', share: kind === 'dominant' ? 0.1 : 0 }
}

/** The key of a tune that states none: where it rests longest, and above all where it starts and where it ends. */
function homeOf(events: readonly Event[], readings: readonly Reading[]): { tonic: number; mode: Key['mode'] } {
  const keys: { tonic: number; mode: Key['mode']; weight: number }[] = []
  const add = (tonic: number, mode: Key['mode'], weight: number) => {
    const known = keys.find((key) => key.tonic === tonic && key.mode === mode)
    if (known) known.weight += weight
    else keys.push({ tonic, mode, weight })
  }
  const total = events.reduce((sum, each) => sum + each.bars, 0)
  readings.forEach((reading, i) => {
    const event = events[i]!
    add(tonicOf(event, reading), reading.mode, Math.min(event.bars, 8) * (reading.above === 0 ? 2 : 1))
  })
  for (const event of [events[0]!, events.at(-1)!]) {
    const { tonic, mode, share } = speaksFor(event)
    add(tonic, mode, share * total)
  }
  const last = readings.length - 1
  add(tonicOf(events[last]!, readings[last]!), readings[last]!.mode, 0.15 * total)
  const lastRest = readings.findLastIndex((reading) => reading.above === 0)
  if (lastRest >= 0) add(events[lastRest]!.root, readings[lastRest]!.mode, 0.15 * total)
  return keys.reduce((best, key) => (key.weight > best.weight + 1e-9 ? key : best))
}

/** How far along the line of fifths a root lies above its tonic, by the usual name of its degree. */
const fifthsAbove = [0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5]

/** The name of a local key, as the chords that belong to it are spelled; in doubt, its usual name. */
function nameKey(tonic: number, mode: Key['mode'], members: readonly { event: Event; reading: Reading }[]): Key {
  const usual = keyAt(tonic, mode)
  const names = [-12, 0, 12]
    .map((shift): Key => ({ tonic: noteAtFifths(fifthsOf(usual.tonic) + shift), mode }))
    .filter((key) => Math.abs(signatureOf(key)) <= 7)
  const votes = (key: Key) =>
    members.reduce((sum, { event, reading }) => {
      const spelled = fifthsOf(event.name) - fifthsAbove[reading.above]! === fifthsOf(key.tonic)
      const weight = reading.above === 0 ? 3 : reading.above === 7 || reading.above === 2 ? 2 : 1
      return sum + (spelled ? weight : 0)
    }, 0)
  return names.reduce((best, key) => (votes(key) > votes(best) ? key : best), usual)
}

/** Neighbouring events in one key are named together. */
function nameKeys(events: readonly Event[], readings: readonly Reading[]): readonly Key[] {
  const keys: Key[] = []
  let from = 0
  for (let i = 1; i <= events.length; i++) {
    const same =
      i < events.length &&
      readings[i]!.mode === readings[from]!.mode &&
      tonicOf(events[i]!, readings[i]!) === tonicOf(events[from]!, readings[from]!)
    if (same) continue
    const members = events.slice(from, i).map((event, j) => ({ event, reading: readings[from + j]! }))
    const key = nameKey(tonicOf(events[from]!, readings[from]!), readings[from]!.mode, members)
    for (let j = from; j < i; j++) keys.push(key)
    from = i
  }
  return keys
}

const minorish = ['m', 'm7', 'm6', 'half-dim']

/** How a dominant goes on, by what follows it. */
export function leadsTo(event: HeardEvent, next: HeardEvent | null): Heard['leads'] {
  const { above, mode } = event.reading
  const up = next ? (next.root - event.root + 12) % 12 : -1
  if (above === 7 && mode === 'minor') return 'minor'
  if (next && up === 5) return minorish.includes(next.kind) ? 'minor' : 'major'
  if (up === 11) return 'semitone'
  if (above === 10 && mode === 'major') return 'backdoor'
  if (above === 1 || above === 8) return 'semitone'
  return 'elsewhere'
}

/**
 * Whether a minor key is heard with its sixth raised, as dorian: by the chords around that are in the same key, or, where they
 * have no sixth of either kind, by a tonic held for four bars or more.
 */
function raisedSixth(events: readonly HeardEvent[], index: number): boolean {
  const { reading, key } = events[index]!
  if (reading.mode === 'major') return false
  const near = (step: number) => {
    const found: HeardEvent[] = []
    for (let i = index + step; events[i]?.key === key; i += step) found.push(events[i]!)
    return found
  }
  const others = [...near(-1), ...near(1)].filter((event) => event.reading.above !== 7 && event.reading.above !== 0)
  const holds = (sixth: number) => others.some((event) => event.sounds.includes((chromaOf(key.tonic) + sixth) % 12))
  if (holds(8)) return false
  return holds(9) || (others.length === 0 && events[index]!.bars >= 4)
}

/** The scale that the person named for a chord, or null. */
function ownScale(changes: Changes, played: PlayedChord, scales: readonly string[]): ScaleName | null {
  for (const text of scales) {
    const match = /^(\d+)\.([\d.]+)=(.+)$/.exec(text)
    const bar = changes.bars[Number(match?.[1]) - 1]
    if (!match || !bar || bar.bar !== played.bar || !(match[3]! in scaleDegrees)) continue
    const at = bar.start + (Number(match[2]) - 1) * ticksPerQuarter
    if (at >= played.start && at < played.start + played.ticks) return match[3] as ScaleName
  }
  return null
}

/**
 * Hears changes as a player would: each chord with its local key, its function there, its chord scale and a reason in words,
 * and the key of the tune, stated or heard. Later choruses are heard as the first. Never fails: a tune without chords is in
 * the key it states, else in C major.
 */
export function readHarmony(changes: Changes, choices: Partial<HarmonyChoices> = {}): Harmony {
  const wanted = { ...usualChoices, ...choices }
  const inFirst = changes.chords.findIndex((each) => changes.bars[each.bar - 1]!.chorus > 1)
  const count = inFirst < 0 ? changes.chords.length : inFirst
  const events = eventsOf(changes, count)
  let home: Key = changes.key ?? keyAt(0, 'major')
  let readings = hear(events, changes.key)
  if (!changes.key && events.length > 0) {
    const heard = homeOf(events, readings)
    home = keyAt(heard.tonic, heard.mode)
    readings = hear(events, home)
    const members = events
      .map((event, i) => ({ event, reading: readings[i]! }))
      .filter(({ event, reading }) => tonicOf(event, reading) === heard.tonic && reading.mode === heard.mode)
    home = nameKey(heard.tonic, heard.mode, members)
  }
  const keys = nameKeys(events, readings)
  const heard = events.map((event, i): HeardEvent => ({ ...event, reading: readings[i]!, key: keys[i]! }))
  const eventOf = new Int32Array(count).fill(-1)
  heard.forEach((event, i) => {
    for (const chord of event.chords) eventOf[chord] = i
  })
  const described = heard.map((event, i) => {
    const next = heard.length > 1 ? heard[(i + 1) % heard.length]! : null
    const previous = heard[i - 1] ?? null
    const following = next && { up: (next.root - event.root + 12) % 12, kind: next.kind }
    const numeral = numeralOf(event.kind, event.reading, following)
    const { above, mode } = event.reading
    const context = { mode, above, leads: leadsTo(event, next), dorian: raisedSixth(heard, i) }
    return { event, context, numeral, reason: reasonFor(event, numeral, previous, next, home) }
  })
  const chords = changes.chords.map((played, i): HarmonyChord => {
    const at = described[eventOf[i % Math.max(count, 1)]!]
    const { root, chord } = played
    if (!at || !root || !chord) return { ...played, localKey: null, function: null, scale: null, reason: 'No chord.' }
    const own = ownScale(changes, played, wanted.scales)
    const scale = own ? scaleNamed(root, own) : chooseScale(root, chord, { ...at.context, kind: kindOf(chord) }, wanted)
    return { ...played, localKey: at.event.key, function: at.numeral, scale, reason: at.reason }
  })
  const { title, composer, style, tempo, bars } = changes
  return { title, composer, style, tempo, bars, key: home, chords }
}
