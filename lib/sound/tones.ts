/** The sound of one note: pitched tones by family of instrument, built up from harmonics; no recording is used. */
import { cosine, decayFactor, frequencyOf, noiseFrom, sine } from './waves.ts'

/** How an instrument speaks. */
export type Voice = 'reed' | 'clarinet' | 'flute' | 'brass' | 'bowed' | 'sung' | 'plucked' | 'bass' | 'struck' | 'bar'

/**
 * The voice for a General MIDI program, from 0: its sixteen families as the standard groups them, clarinet apart (GM level 1,
 * from memory).
 *
 * @example
 * voiceOf(65) // => 'reed'
 * voiceOf(32) // => 'bass'
 */
export function voiceOf(program: number): Voice {
  if (program === 71) return 'clarinet'
  const families: readonly Voice[] = [
    'struck',
    'bar',
    'reed',
    'plucked',
    'bass',
    'bowed',
    'sung',
    'brass',
    'reed',
    'flute',
  ]
  return families[program >> 3] ?? 'reed'
}

/** A tone that is worked out as far as it is asked for; the samples already there never change. */
export interface Tone {
  /** At least so many samples, mono, around -1 to 1; shorter where the tone has died away. */
  readonly samples: (count: number) => Float32Array
}

/** A tone from a function that gives one sample after another, at most so many. */
export function toneOf(next: () => number, most: number): Tone {
  let done = 0
  let kept = new Float32Array(0)
  return {
    samples: (count) => {
      const wanted = Math.min(count, most)
      if (wanted > done) {
        if (wanted > kept.length) {
          const grown = new Float32Array(Math.min(most, Math.max(wanted, kept.length * 2)))
          grown.set(kept)
          kept = grown
        }
        for (; done < wanted; done++) kept[done] = next()
      }
      return kept
    },
  }
}

interface Blown {
  /** Strength of each harmonic when soft, and when loud. */
  readonly soft: (k: number, hertz: number) => number
  readonly loud: (k: number, hertz: number) => number
  /** Seconds to full strength. */
  readonly attack: number
  /** How much of the loud spectrum remains once the note is held, 0 to 1. */
  readonly held: number
  readonly breath: number
  /** Cents to either side, once a held note has settled. */
  readonly vibrato: number
}

/** A hump of strength around a frequency, as the body of an instrument gives it. */
const formant = (hertz: number, middle: number, width: number): number => {
  const x = (hertz - middle) / width
  return 1 / (1 + x * x)
}

const blown: Partial<Record<Voice, Blown>> = {
  reed: {
    soft: (k, hz) => (0.35 + formant(hz, 650, 420) + 0.4 * formant(hz, 1500, 500)) / (k * Math.sqrt(k)),
    loud: (k, hz) => (0.35 + formant(hz, 700, 500) + 0.9 * formant(hz, 1700, 700)) / k,
    attack: 0.01,
    held: 0.55,
    breath: 0.012,
    vibrato: 6,
  },
  clarinet: {
    soft: (k, hz) => ((k % 2 === 1 ? 1 : 0.06 + 0.1 * formant(hz, 2500, 900)) * (0.5 + formant(hz, 900, 900))) / k / k,
    loud: (k, hz) => ((k % 2 === 1 ? 1 : 0.15 + 0.3 * formant(hz, 2500, 900)) * (0.5 + formant(hz, 1200, 900))) / k,
    attack: 0.01,
    held: 0.45,
    breath: 0.006,
    vibrato: 0,
  },
  flute: {
    soft: (k) => [0, 1, 0.3, 0.1, 0.03, 0.012][k] ?? 0.006,
    loud: (k) => [0, 1, 0.55, 0.28, 0.1, 0.05, 0.03][k] ?? 0.012,
    attack: 0.012,
    held: 0.5,
    breath: 0.03,
    vibrato: 7,
  },
  brass: {
    soft: (k, hz) => (0.5 + formant(hz, 600, 500)) / (k * k),
    loud: (k, hz) => (0.5 + formant(hz, 1200, 900)) / Math.sqrt(k) / (1 + hz / 3500),
    attack: 0.009,
    held: 0.5,
    breath: 0.004,
    vibrato: 4,
  },
  bowed: {
    soft: (k, hz) => (0.4 + formant(hz, 500, 300) + 0.6 * formant(hz, 2600, 900)) / (k * Math.sqrt(k)),
    loud: (k, hz) => (0.4 + formant(hz, 500, 300) + formant(hz, 2800, 1200)) / k,
    attack: 0.012,
    held: 0.6,
    breath: 0.006,
    vibrato: 8,
  },
  sung: {
    soft: (k, hz) => (0.05 + formant(hz, 700, 150) + 0.5 * formant(hz, 1150, 180) + 0.1 * formant(hz, 2700, 300)) / k,
    loud: (k, hz) => (0.08 + formant(hz, 750, 170) + 0.6 * formant(hz, 1200, 200) + 0.3 * formant(hz, 2800, 300)) / k,
    attack: 0.012,
    held: 0.6,
    breath: 0.008,
    vibrato: 7,
  },
}

const tableSize = 2048
const sines = Float64Array.from({ length: tableSize }, (_, i) => sine(i / tableSize))

/** One period of a sum of harmonics below `top` hertz; phases spread so that peaks stay low; the fundamental always there. */
function period(frequency: number, top: number, strength: (k: number, hertz: number) => number): Float64Array {
  const table = new Float64Array(tableSize + 1)
  let power = 0
  const harmonics = Math.max(1, Math.min(40, Math.floor(top / frequency)))
  for (let k = 1; k <= harmonics; k++) {
    const amount = k === 1 ? Math.max(strength(1, frequency), 0.25) : strength(k, k * frequency)
    power += (amount * amount) / 2
    const shift = (k * (k - 1) * tableSize) / (2 * harmonics)
    for (let i = 0; i < tableSize; i++) table[i]! += amount * sines[(k * i + Math.round(shift)) % tableSize]!
  }
  const scale = 0.22 / Math.sqrt(power)
  for (let i = 0; i < tableSize; i++) table[i]! *= scale
  table[tableSize] = table[0]!
  return table
}

/** A rise from 0 to 1 without a corner. */
const rise = (x: number): number => (x >= 1 ? 1 : x * x * (3 - 2 * x))

function blownTone(shape: Blown, midi: number, velocity: number, rate: number): Tone {
  const frequency = frequencyOf(midi)
  const top = Math.min(0.45 * rate, 9000)
  const dark = period(frequency, top, shape.soft)
  const bright = period(frequency, top, shape.loud)
  const noise = noiseFrom(midi * 7919 + 17)
  const smooth = Math.min(0.5, (frequency * 6) / rate)
  const step = (frequency * tableSize) / rate
  const attack = shape.attack * rate
  let phase = 0
  let n = 0
  let air = 0
  let pitch = step
  const next = (): number => {
    // Vibrato comes in on an eighth at 120 and on longer notes: five and a half a second, re-tuned every 64 samples.
    if ((n & 63) === 0) {
      const t = n / rate
      const depth = rise(Math.max(0, (t - 0.12) / 0.22))
      pitch = step * (1 + 0.00057762265 * shape.vibrato * depth * sine(5.5 * t))
    }
    const at = Math.floor(phase)
    const part = phase - at
    const low = dark[at]! + part * (dark[at + 1]! - dark[at]!)
    const high = bright[at]! + part * (bright[at + 1]! - bright[at]!)
    const t = n / rate
    const body = rise(n / attack)
    // Brightest just after the start, then settling.
    const settle = t < 0.15 ? 1 - (1 - shape.held) * rise(t / 0.15) : shape.held
    const colour = velocity * settle * body
    air += smooth * (noise() - air)
    phase += pitch
    if (phase >= tableSize) phase -= tableSize
    n += 1
    const swell = 1.12 - 0.12 * rise(t / 0.2)
    return body * swell * (low + colour * (high - low) + shape.breath * air)
  }
  return toneOf(next, Math.ceil(30 * rate))
}

interface Ringing {
  /** Strength of each partial of the string or bar; velocity from 0 to 1 makes it brighter. */
  readonly strength: (k: number, velocity: number) => number
  /** Multiple of the fundamental for each partial. */
  readonly ratio: (k: number) => number
  readonly partials: number
  /** Seconds to 1/e of the fundamental, by its frequency; and of the k-th partial as a share of that. */
  readonly ring: (hertz: number) => number
  readonly share: (k: number) => number
  /** A touch of finger, pick or hammer. */
  readonly knock: number
}

const pluckedAt = (place: number) => (k: number) => Math.abs(sine((k * place) / 2))

const ringing: Partial<Record<Voice, Ringing>> = {
  // A string stopped by a finger, plucked a fifth of the way along.
  bass: {
    strength: (k, velocity) => (pluckedAt(0.22)(k) / k) * (k < 3 ? 1 : 0.5 + 0.5 * velocity),
    ratio: (k) => k,
    partials: 14,
    ring: (hz) => 0.55 + 30 / hz,
    share: (k) => 1 / (1 + 0.55 * (k - 1)),
    knock: 0.14,
  },
  plucked: {
    strength: (k, velocity) => (pluckedAt(0.16)(k) / k) * (k < 3 ? 1 : 0.4 + 0.6 * velocity),
    ratio: (k) => k,
    partials: 20,
    ring: (hz) => 0.5 + 120 / hz,
    share: (k) => 1 / (1 + 0.25 * (k - 1)),
    knock: 0.03,
  },
  // A tine and its bar: a soft fundamental, a bell that dies at once, more bite when struck harder.
  struck: {
    strength: (k, velocity) =>
      [0, 1, 0.16 + 0.34 * velocity, 0.05 + 0.12 * velocity, 0.02, 0, 0, 0.1 * velocity][k] ?? 0,
    ratio: (k) => k,
    partials: 7,
    ring: (hz) => 0.5 + 190 / hz,
    share: (k) => (k === 7 ? 0.05 : 1 / (1 + 0.8 * (k - 1))),
    knock: 0.015,
  },
  bar: {
    strength: (k, velocity) => [0, 1, 0.22 + 0.1 * velocity, 0.08 * velocity][k] ?? 0,
    ratio: (k) => [0, 1, 4, 10][k] ?? k,
    partials: 3,
    ring: (hz) => 0.6 + 300 / hz,
    share: (k) => [0, 1, 0.25, 0.06][k] ?? 0.05,
    knock: 0.02,
  },
}

function ringingTone(shape: Ringing, midi: number, velocity: number, rate: number): Tone {
  const frequency = frequencyOf(midi)
  const ring = shape.ring(frequency)
  const ks = Array.from({ length: shape.partials }, (_, i) => i + 1).filter(
    (k) => shape.ratio(k) * frequency < 0.45 * rate && shape.strength(k, velocity) > 0,
  )
  const power = ks.reduce((sum, k) => sum + (shape.strength(k, velocity) * shape.strength(k, velocity)) / 2, 0)
  const scale = 0.36 / Math.sqrt(power)
  // Each partial is a point turning round a circle that shrinks.
  const count = ks.length
  const x = new Float64Array(count)
  const y = new Float64Array(count)
  const cos = new Float64Array(count)
  const sin = new Float64Array(count)
  ks.forEach((k, i) => {
    const turn = (shape.ratio(k) * frequency) / rate
    const shrink = decayFactor(ring * shape.share(k), rate)
    x[i] = scale * shape.strength(k, velocity)
    cos[i] = cosine(turn) * shrink
    sin[i] = sine(turn) * shrink
  })
  const noise = noiseFrom(midi * 6151 + 3)
  const fade = decayFactor(0.006, rate)
  const attack = 0.002 * rate
  let knock = 2 * shape.knock
  let touch = 0
  let n = 0
  const next = (): number => {
    let sum = 0
    for (let i = 0; i < count; i++) {
      const a = x[i]!
      const b = y[i]!
      x[i] = a * cos[i]! - b * sin[i]!
      y[i] = a * sin[i]! + b * cos[i]!
      sum += b
    }
    knock *= fade
    // A dull noise: flesh or felt, not hiss.
    touch += 0.4 * (noise() - touch)
    const sound = rise(n / attack) * (sum + knock * touch)
    n += 1
    return sound
  }
  return toneOf(next, Math.ceil(7 * ring * rate))
}

/** The tone of a note on a voice; velocity from 0 to 1 sets its colour, not its loudness. Within a cent of equal temperament. */
export function pitchedTone(voice: Voice, midi: number, velocity: number, rate: number): Tone {
  const air = blown[voice]
  if (air) return blownTone(air, midi, velocity, rate)
  return ringingTone(ringing[voice]!, midi, velocity, rate)
}

/** Seconds that a voice takes to fall silent once its note ends. */
export const releaseOf = (voice: Voice): number =>
  voice === 'struck' || voice === 'bar' ? 0.04 : voice === 'bass' || voice === 'plucked' ? 0.03 : 0.02
