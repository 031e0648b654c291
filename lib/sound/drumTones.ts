/** The sound of drums, cymbals and clicks: shaped noise and a few sines. */
import { type DrumVoice, drum } from './bandStyle.ts'
import { type Tone, toneOf } from './tones.ts'
import { cosine, decayFactor, noiseFrom, sine } from './waves.ts'

/** Noise let through above or around a frequency by a two-pole filter (Chamberlin's state-variable form), dying away. */
interface Hiss {
  readonly kind: 'high' | 'band'
  readonly hertz: number
  /** Narrowness: 0.1 rings, 1.4 is broad. */
  readonly damping: number
  readonly seconds: number
  readonly level: number
  /** Seconds to swell, for brushes. */
  readonly swell: number
}

/** A sine that dies away, its pitch falling to `hertz` from `from`. */
interface Beat {
  readonly hertz: number
  readonly from: number
  readonly seconds: number
  readonly level: number
}

interface DrumShape {
  readonly hiss: readonly Hiss[]
  readonly beats: readonly Beat[]
  readonly seconds: number
}

const hiss = (kind: Hiss['kind'], hertz: number, damping: number, seconds: number, level: number, swell = 0): Hiss => ({
  kind,
  hertz,
  damping,
  seconds,
  level,
  swell,
})
const beat = (hertz: number, seconds: number, level: number, from = hertz): Beat => ({ hertz, from, seconds, level })

/** Partials of a cymbal, none a multiple of another. */
const cymbal = [411, 587, 846, 1169, 1507, 1973, 2671, 3319, 4211, 5347]

/** A shape for every voice that a figure of the drums can name. */
const shapes: Readonly<Record<(typeof drum)[DrumVoice], DrumShape>> = {
  [drum.kick]: { hiss: [hiss('band', 900, 0.8, 0.008, 0.25)], beats: [beat(52, 0.13, 0.9, 110)], seconds: 0.6 },
  [drum.stick]: {
    hiss: [hiss('band', 2600, 0.5, 0.012, 0.5)],
    beats: [beat(1740, 0.02, 0.4), beat(820, 0.025, 0.3)],
    seconds: 0.2,
  },
  [drum.snare]: { hiss: [hiss('high', 1800, 1, 0.07, 0.5)], beats: [beat(190, 0.06, 0.35, 230)], seconds: 0.4 },
  [drum.brush]: { hiss: [hiss('band', 3600, 1.3, 0.11, 0.5, 0.015)], beats: [], seconds: 0.6 },
  // Toms: a skin each, struck a little sharp and falling to its note.
  [drum.floor]: { hiss: [hiss('band', 700, 0.9, 0.012, 0.2)], beats: [beat(82, 0.2, 0.75, 112)], seconds: 0.9 },
  [drum.low]: { hiss: [hiss('band', 900, 0.9, 0.012, 0.2)], beats: [beat(112, 0.17, 0.7, 150)], seconds: 0.8 },
  [drum.high]: { hiss: [hiss('band', 1300, 0.9, 0.012, 0.2)], beats: [beat(172, 0.14, 0.65, 225)], seconds: 0.7 },
  [drum.hat]: { hiss: [hiss('high', 7500, 0.8, 0.028, 0.5)], beats: [], seconds: 0.2 },
  [drum.foot]: {
    hiss: [hiss('high', 6000, 0.8, 0.035, 0.55), hiss('band', 3200, 0.7, 0.02, 0.3)],
    beats: [],
    seconds: 0.25,
  },
  [drum.open]: {
    hiss: [hiss('high', 7000, 0.8, 0.22, 0.36), hiss('band', 5200, 0.8, 0.16, 0.12)],
    beats: [],
    seconds: 1.2,
  },
  [drum.crash]: {
    hiss: [hiss('high', 4200, 1.1, 0.42, 0.34, 0.004), hiss('band', 2400, 1.2, 0.28, 0.16)],
    beats: cymbal.map((hertz, i) => beat(1.31 * hertz, 0.42 - 0.02 * i, 0.018)),
    seconds: 1.8,
  },
  // The bell rings clear where the bow of the cymbal hisses.
  [drum.bell]: {
    hiss: [hiss('high', 6500, 0.9, 0.2, 0.05), hiss('band', 5000, 0.6, 0.01, 0.2)],
    beats: [beat(812, 0.34, 0.12), beat(1893, 0.4, 0.16), beat(2951, 0.3, 0.12), beat(4417, 0.22, 0.08)],
    seconds: 1.8,
  },
  [drum.cow]: {
    hiss: [hiss('band', 1800, 0.7, 0.006, 0.2)],
    beats: [beat(562, 0.09, 0.4), beat(845, 0.08, 0.4), beat(1686, 0.04, 0.12)],
    seconds: 0.6,
  },
  [drum.shaker]: { hiss: [hiss('band', 4600, 0.5, 0.04, 0.4, 0.02)], beats: [], seconds: 0.3 },
  [drum.ride]: {
    hiss: [hiss('high', 6500, 0.9, 0.32, 0.16), hiss('band', 4800, 0.6, 0.02, 0.3)],
    beats: cymbal.map((hertz, i) => beat(hertz, 0.5 - 0.025 * i, 0.028 + 0.003 * i)),
    seconds: 1.8,
  },
  [drum.highBlock]: {
    hiss: [hiss('band', 3000, 0.6, 0.004, 0.3)],
    beats: [beat(1640, 0.03, 0.7), beat(2710, 0.016, 0.25)],
    seconds: 0.25,
  },
  [drum.lowBlock]: {
    hiss: [hiss('band', 2400, 0.6, 0.004, 0.3)],
    beats: [beat(1180, 0.032, 0.7), beat(1950, 0.016, 0.25)],
    seconds: 0.25,
  },
}

/** The tone of a percussion key; an unknown one clicks like the low block. */
export function drumTone(key: number, rate: number): Tone {
  const shape = (shapes as Readonly<Record<number, DrumShape>>)[key] ?? shapes[drum.lowBlock]
  const hisses = shape.hiss.map((each, i) => hissOf(each, noiseFrom(key * 977 + i * 131 + 5), rate))
  const beats = shape.beats.map((each) => beatOf(each, rate))
  const attack = 0.0008 * rate
  const most = Math.ceil(shape.seconds * rate)
  const tail = Math.ceil(0.05 * rate)
  let n = 0
  const next = (): number => {
    let sum = 0
    for (const each of hisses) sum += each()
    for (const each of beats) sum += each()
    const edge = Math.min(1, n / attack, (most - n) / tail)
    n += 1
    return sum * edge
  }
  return toneOf(next, most)
}

function hissOf(
  { kind, hertz, damping, seconds, level, swell }: Hiss,
  noise: () => number,
  rate: number,
): () => number {
  const f = 2 * sine(Math.min(hertz, rate / 6.5) / (2 * rate))
  const fade = decayFactor(seconds, rate)
  let loud = level
  let low = 0
  let band = 0
  let n = 0
  return () => {
    low += f * band
    const high = noise() - low - damping * band
    band += f * high
    loud *= fade
    n += 1
    const grown = swell > 0 ? Math.min(1, n / (swell * rate)) : 1
    return grown * loud * (kind === 'high' ? high : band)
  }
}

function beatOf({ hertz, from, seconds, level }: Beat, rate: number): () => number {
  const fade = decayFactor(seconds, rate)
  if (from === hertz) {
    const cos = cosine(hertz / rate) * fade
    const sin = sine(hertz / rate) * fade
    let x = level
    let y = 0
    return () => {
      const a = x
      x = a * cos - y * sin
      y = a * sin + y * cos
      return y
    }
  }
  const fall = decayFactor(0.025, rate)
  let above = from - hertz
  let phase = 0
  let loud = level
  return () => {
    phase += (hertz + above) / rate
    above *= fall
    loud *= fade
    return loud * sine(phase)
  }
}
