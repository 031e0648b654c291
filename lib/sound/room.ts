/** A small room: what walls near by send back of each part, soon, softly and darker than it was; it dies away within a tenth of a second. */
import type { Part } from './arrangement.ts'
import { noiseFrom } from './waves.ts'

/** What comes back of a part: so many samples later, so loud; a wall may turn it over. */
interface Reflection {
  readonly later: number
  readonly gain: number
}

/** Seconds after which nothing comes back any more. */
export const roomReach = 0.08

/** The first and the last reflection in seconds, and how many there are. */
const span = { first: 0.007, last: 0.075, count: 12 } as const

/**
 * How loud the room answers each part, as energy of what it played: some 14 dB softer, the bass softer still, since low notes blur. A
 * click is a click.
 */
const answers: Readonly<Record<Part, number>> = {
  line: 0.045,
  bass: 0.006,
  chords: 0.045,
  drums: 0.05,
  click: 0,
  count: 0,
}

const kept = new Map<string, readonly Reflection[]>()

/** The reflections of a part: one in each equal stretch of time, anywhere in it, either way up, falling; each part's its own. */
function reflectionsOf(part: Part, rate: number): readonly Reflection[] {
  const name = `${part} ${rate}`
  const found = kept.get(name)
  if (found) return found
  const { first, last, count } = span
  const noise = noiseFrom(part.charCodeAt(0) * 131 + part.length)
  const raw = Array.from({ length: answers[part] > 0 ? count : 0 }, (_, i) => {
    const at = (i + 0.5 + 0.45 * noise()) / count
    return { later: Math.round((first + (last - first) * at) * rate), gain: (noise() < 0 ? -1 : 1) * (1.05 - at) ** 2 }
  })
  const energy = raw.reduce((sum, { gain }) => sum + gain * gain, 0)
  const made = raw.map(({ later, gain }) => ({ later, gain: gain * Math.sqrt(answers[part] / energy) }))
  kept.set(name, made)
  return made
}

/**
 * A part as it sounds in the room, from its dry samples with so many before them that are there to be heard back; as many as are left once
 * those are taken away.
 */
export function inRoom(part: Part, dry: Float32Array, before: number, rate: number): Float32Array {
  const heard = dry.slice(before)
  const reflections = reflectionsOf(part, rate)
  if (reflections.length === 0) return heard
  // Walls swallow high sounds first: four samples are one.
  const dark = new Float32Array(dry.length)
  let [a, b, c] = [0, 0, 0]
  for (let n = 0; n < dry.length; n++) {
    const d = dry[n]!
    dark[n] = 0.25 * (a + b + c + d)
    a = b
    b = c
    c = d
  }
  for (const { later, gain } of reflections) {
    const shift = before - later
    for (let n = Math.max(0, -shift); n < heard.length; n++) heard[n]! += gain * dark[n + shift]!
  }
  return heard
}
