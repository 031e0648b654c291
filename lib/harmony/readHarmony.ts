/** From changes as played to harmony as heard: each chord with its local key, function, chord scale and reason. */
import type { Changes } from '../changes/unrollChart.ts'
import { harmonyChoices, type PlacedScale } from '../choices/harmony.ts'
import { type Chord, isAugmented } from '../theory/chord.ts'
import { degreeChroma } from '../theory/degree.ts'
import type { Key } from '../theory/key.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, nameOf, type PitchClass } from '../theory/pitch.ts'
import { type ChordScale, type ScaleName, scaleChromas } from '../theory/scale.ts'
import { type Between, chooseScale, type Heard, type ScaleChoices, spellScale } from './chooseScale.ts'
import { upTo } from './events.ts'
import { harmonicKind, isDominant, type Kind } from './functions.ts'
import type { Harmony, HarmonyChord } from './harmony.ts'
import { type HeardEvent, hearKeys } from './hearKeys.ts'
import { linesWithin } from './lineWithin.ts'
import { numeralOf } from './numerals.ts'
import { scaleFrom, soundOver } from './overBass.ts'
import { type AnalysedEvent, reasonFor } from './reasons.ts'

/** What a person may choose of the harmony: a part of the brief. */
export interface HarmonyChoices extends ScaleChoices {
  /** Scales chosen for single chords, by played bars and quarter notes counted from 1. */
  readonly scales: readonly PlacedScale[]
}

const usualChoices: HarmonyChoices = {
  minorDominant: harmonyChoices.minorDominant.usual,
  halfDiminished: harmonyChoices.halfDiminished.usual,
  sharpNine: harmonyChoices.sharpNine.usual,
  bebop: harmonyChoices.bebop.usual,
  scales: harmonyChoices.scales.usual,
}

const minorKinds: readonly Kind[] = ['m', 'm7', 'm6', 'half-dim']

/** The chord that another leads to: the next, or for a dominant of another degree the V that follows with its own ii before it. */
function ledTo(event: HeardEvent, next: HeardEvent | null, after: HeardEvent | null): HeardEvent | null {
  if (!next || !after || !isDominant(event.kind) || event.reading.above === 7) return next
  if (upTo(event, next) === 5 || upTo(event, next) === 11) return next
  const pair = next.reading.above === 2 && after.reading.above === 7 && next.key === after.key
  const up = upTo(event, after)
  return pair && isDominant(after.kind) && (up === 5 || up === 11) ? after : next
}

/** Whether a diminished chord is the vii° of the minor chord it goes to, in whichever inversion it stands, or that chord's ii°. */
const belongsTo = (event: HeardEvent, led: HeardEvent) =>
  event.sounds.includes((led.root + 11) % 12) || upTo(event, led) === 10

/** What an augmented chord stands between, as far as its scale hangs on it. */
function betweenOf(event: HeardEvent, before: HeardEvent | null, led: HeardEvent | null): Between | null {
  if (!led) return null
  const fromMinor = before && minorKinds.includes(before.kind) ? upTo(event, before) : null
  return { up: upTo(event, led), minor: minorKinds.includes(led.kind), fromMinor }
}

/** How a dominant goes on, as far as its scale hangs on it. */
function leadsTo(event: HeardEvent, led: HeardEvent | null): Heard['leads'] {
  const { above, mode } = event.reading
  const up = led ? upTo(event, led) : -1
  if (event.kind === 'dim') {
    return led && minorKinds.includes(led.kind) && belongsTo(event, led) ? 'minor' : 'elsewhere'
  }
  if (above === 7 && mode === 'minor') return 'minor'
  if (above === 1) return 'semitone'
  if (led && up === 5) return minorKinds.includes(led.kind) ? 'minor' : 'major'
  if (above === 7) return led && up === 11 && !isDominant(led.kind) ? 'semitone' : 'elsewhere'
  if (up === 11 || above === 8) return 'semitone'
  return above === 10 && mode === 'major' ? 'backdoor' : 'elsewhere'
}

/**
 * The minor keys that are heard with their sixth raised, as dorian: by their other chords but the dominant, or, where there is
 * none, by a tonic held for four bars or more.
 */
function raisedSixths(events: readonly HeardEvent[]): ReadonlySet<Key> {
  const found = new Map<Key, { raised: boolean; lowered: boolean; others: boolean; held: boolean }>()
  for (const { key, reading, sounds, bars } of events) {
    if (key.mode === 'major' || reading.above === 7) continue
    const seen = found.get(key) ?? { raised: false, lowered: false, others: false, held: false }
    found.set(key, seen)
    if (reading.above === 0) {
      seen.held ||= bars >= 4
      continue
    }
    seen.others = true
    seen.raised ||= sounds.includes((chromaOf(key.tonic) + 9) % 12)
    seen.lowered ||= sounds.includes((chromaOf(key.tonic) + 8) % 12)
  }
  const dorian = [...found].filter(([, seen]) => !seen.lowered && (seen.raised || (!seen.others && seen.held)))
  return new Set(dorian.map(([key]) => key))
}

/**
 * Whether a tune is written without a signature: it is modal, round a centre of its own that no V confirms. In minor every key
 * it visits is dorian; in major it keeps to suspended chords, or to the centre, its IV and the chord on its flat seventh.
 */
function isOpen(home: Key, events: readonly HeardEvent[], dorian: ReadonlySet<Key>): boolean {
  if (events.length < 2 || events.some(({ reading, kind }) => reading.above === 7 && kind !== 'm7' && kind !== 'm')) {
    return events.length > 1 && events.every(({ kind }) => kind === 'sus')
  }
  if (home.mode === 'minor') return events.every(({ key }) => dorian.has(key))
  const ups = events.map(({ root }) => (root - chromaOf(home.tonic) + 12) % 12)
  const loop = ups.every((up, i) => up === 0 || up === 10 || (up === 5 && events[i]!.kind === 'triad'))
  const plain = events.every(({ kind }) => kind === 'triad' || kind === 'dominant' || kind === 'sus')
  return loop && plain && ups.includes(10)
}

/** The scales that the person named, by the index of the chord each falls on; what falls on no chord is left out. */
export function namedScales(
  changes: Pick<Changes, 'bars' | 'chords'>,
  scales: readonly PlacedScale[],
): ReadonlyMap<number, ScaleName> {
  const named = new Map<number, ScaleName>()
  for (const { bar: number, beat, scale } of scales) {
    const bar = changes.bars[number - 1]
    if (!bar) continue
    const at = bar.start + (beat - 1) * ticksPerQuarter
    const index = changes.chords.findIndex(
      ({ start, ticks, root }) => root !== null && at >= start && at < start + ticks && at < bar.start + bar.ticks,
    )
    if (index >= 0) named.set(index, scale)
  }
  return named
}

/**
 * Which of the scales chosen for single chords fall on no chord: their indexes in the list, for a message to the person.
 *
 * @example
 * strayScales({ bars: [], chords: [] }, [{ bar: 2, beat: 1, scale: 'altered' }]) // => [0]
 */
export function strayScales(
  changes: Pick<Changes, 'bars' | 'chords'>,
  scales: readonly PlacedScale[],
): readonly number[] {
  return scales.flatMap((scale, i) => (namedScales(changes, [scale]).size === 0 ? [i] : []))
}

/** A chord as written, with a root. */
interface Rooted {
  readonly root: PitchClass
  readonly chord: Chord
  readonly bass: PitchClass | null
}

/** The scale of a chord as it sounds over its bass, its degrees counted from the chord's own root. */
function scaleOverBass({ root, chord, bass }: Rooted, context: Omit<Heard, 'kind'>, wanted: ScaleChoices): ChordScale {
  const sounding = soundOver(root, chord, bass)
  const scale = chooseScale(sounding.root, sounding.chord, { ...context, kind: harmonicKind(sounding.chord) }, wanted)
  if (sounding.root === root) return scale
  const name = scaleFrom(root, scale)
  const holds = name && chord.degrees.every((degree) => scaleChromas(name).includes(degreeChroma(degree)))
  return holds ? spellScale(root, name) : chooseScale(root, chord, { ...context, kind: harmonicKind(chord) }, wanted)
}

/**
 * Hears changes as a player would: each chord with its local key, its function there, its chord scale and a reason in words,
 * and the key of the tune, stated or heard. Later choruses are heard as the first. Never fails: a tune without chords is in
 * the key it states, else in C major.
 *
 * Where teachers differ: a m7 and the dominant a fourth above are ii and V of the key the dominant points to, wherever it then
 * goes (minor if it reaches a minor chord, or if the ii is half-diminished, even on the way to a major chord); what they arrive on
 * belongs to that key, unless it sets out again as another ii. A dominant without its ii stays in the key if it leads to one of
 * the key's degrees (`V/ii`), and else makes a key of its target. iv, bVII7 and I are one key: the backdoor.
 */
export function readHarmony(changes: Changes, choices: Partial<HarmonyChoices> = {}): Harmony {
  const wanted = { ...usualChoices, ...choices }
  const second = changes.chords.findIndex((each) => changes.bars[each.bar - 1]!.chorus > 1)
  const count = second < 0 ? changes.chords.length : second
  const { home, events } = hearKeys(changes, count)
  const dorian = raisedSixths(events)
  const key: Key = changes.key === null && isOpen(home, events, dorian) ? { ...home, open: true } : home
  const eventOf = new Int32Array(count).fill(-1)
  const onward = (i: number, step: number) => (events.length > 1 ? events[(i + step) % events.length]! : null)
  const analysed = events.map((event, i): AnalysedEvent => {
    const next = onward(i, 1)
    const after = onward(i, 2)
    const led = ledTo(event, next, after)
    const chain = next !== null && after !== null && upTo(next, after) === 5 && isDominant(after.kind)
    const following = led && { up: upTo(event, led), kind: led.kind, chain: chain && isDominant(led.kind) }
    const numeral = numeralOf(event.kind, event.reading, following)
    return { ...event, numeral, led }
  })
  const described = analysed.map((event, i) => {
    for (const chord of event.chords) eventOf[chord] = i
    const { above, mode } = event.reading
    const goal = event.kind === 'dim' && event.led ? upTo(event, event.led) : 0
    const between = betweenOf(event, analysed[i - 1] ?? null, event.led)
    const context = { above, mode, leads: leadsTo(event, event.led), goal, dorian: dorian.has(event.key) }
    const next = events.length > 1 ? analysed[(i + 1) % events.length]! : null
    return { event, context, between, reason: reasonFor(event, analysed[i - 1] ?? null, next, home) }
  })
  const named = namedScales(changes, wanted.scales)
  const scales = new Map<string, ChordScale>()
  const usualScale = (played: Rooted, heard: Omit<Heard, 'kind'>, stands: Between | null): ChordScale => {
    const { root, chord, bass } = played
    const { mode, above, leads, goal, dorian } = heard
    const under = bass && nameOf(bass)
    const between = isAugmented(chord) ? stands : null
    const context = between ? { ...heard, between } : heard
    const around = between ? Object.values(between) : []
    const name = [nameOf(root), ...chord.degrees, chord.alt, under, mode, above, leads, goal, dorian, ...around].join(
      ' ',
    )
    const scale = scales.get(name) ?? scaleOverBass(played, context, wanted)
    scales.set(name, scale)
    return scale
  }
  const lines = linesWithin(changes.chords.slice(0, count))
  const chords = changes.chords.map((played, i): HarmonyChord => {
    const at = described[eventOf[i % count]!]
    const { root, chord } = played
    if (!at || !root || !chord) return { ...played, localKey: null, function: null, scale: null, reason: 'No chord.' }
    const own = named.get(i)
    const scale = own ? spellScale(root, own) : usualScale({ root, chord, bass: played.bass }, at.context, at.between)
    return {
      ...played,
      localKey: at.event.key,
      function: at.event.numeral,
      scale,
      reason: [at.reason, lines.get(i % count) ?? []].flat().join(' '),
    }
  })
  const { title, composer, style, tempo, bars } = changes
  return { title, composer, style, tempo, bars, key, chords }
}
