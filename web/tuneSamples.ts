/** Puts recorded notes in tune: how far each is from its note as it is held, and what to add from place to place. Used by the build. */
import { bendStep, type SampleSet, type SampleZone, sampledTone } from '../lib/sound/sampledTones.ts'

/** A recording of a set, decoded. */
export type Recorded = SampleSet['zones'][number]

const harmonics = 4
/** Cents either way in which a pitch is looked for at first. */
const reach = 60

/** What is left of each harmonic once it is turned back by where it ought to be: real and imaginary parts, a pair a block. */
type Turned = readonly { readonly k: number; readonly re: Float64Array; readonly im: Float64Array }[]

function turnBack(samples: Float32Array, rate: number, hertz: number, block: number): Turned {
  const size = Math.round(block * rate)
  const count = Math.floor(samples.length / size)
  return Array.from({ length: harmonics }, (_, i) => i + 1)
    .filter((k) => k * hertz < 0.42 * rate)
    .map((k) => {
      const re = new Float64Array(count)
      const im = new Float64Array(count)
      const turn = (2 * Math.PI * k * hertz) / rate
      const [c, s] = [Math.cos(turn), Math.sin(turn)]
      for (let b = 0; b < count; b++) {
        let x = Math.cos(turn * b * size)
        let y = -Math.sin(turn * b * size)
        let sumX = 0
        let sumY = 0
        for (let n = b * size; n < (b + 1) * size; n++) {
          sumX += samples[n]! * x
          sumY += samples[n]! * y
          const next = x * c + y * s
          y = y * c - x * s
          x = next
        }
        re[b] = sumX
        im[b] = sumY
      }
      return { k, re, im }
    })
}

/** A way of listening, every so many blocks of so many seconds: over a block a harmonic is summed, so that what is left of its turning shows. */
interface Listen {
  readonly block: number
  readonly hop: number
  /** The pitch heard around a block, in cents from where it ought to be, and how much sound that rests on; null where there is none. */
  readonly at: (turned: Turned, at: number) => { readonly off: number; readonly weight: number } | null
}

const hann = (blocks: number): Float64Array =>
  Float64Array.from({ length: blocks }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / blocks))

/** Listens to some 40 ms: how fast the harmonics turn, the higher ones counting more; follows a vibrato. */
function quickly(hertz: number): Listen {
  const block = 0.002
  const window = hann(Math.round(Math.max(0.04, 4 / hertz) / block))
  const apart = 2
  const sumAt = ({ re, im }: Turned[number], from: number): readonly [number, number] => {
    let x = 0
    let y = 0
    for (let i = 0; i < window.length; i++) {
      x += window[i]! * re[from + i]!
      y += window[i]! * im[from + i]!
    }
    return [x, y]
  }
  const at: Listen['at'] = (turned, at) => {
    const from = at - (window.length >> 1)
    if (from < 0 || from + window.length + apart > (turned[0]?.re.length ?? 0)) return null
    let [sum, weights, weight] = [0, 1e-12, 0]
    for (const each of turned) {
      const [a, b] = sumAt(each, from)
      const [c, d] = sumAt(each, from + apart)
      const [x, y] = [a * c + b * d, a * d - b * c]
      const size = Math.sqrt(x * x + y * y)
      const off = Math.atan2(y, x) / (2 * Math.PI * apart * block * each.k * hertz)
      sum += size * each.k * each.k * off
      weights += size * each.k * each.k
      weight += size
    }
    return { off: Math.max(-reach, Math.min(reach, (1200 / Math.LN2) * (sum / weights))), weight }
  }
  return { block, hop: 2, at }
}

/** Listens to a fifth of a second: of fundamentals near by, the one whose harmonics hold the most energy. */
function slowly(hertz: number, reach: number): Listen {
  const block = 0.004
  const window = hann(Math.round(0.2 / block))
  const step = reach / 8
  const energy = (turned: Turned, from: number, cents: number): number => {
    let sum = 0
    for (const { k, re, im } of turned) {
      const turn = 2 * Math.PI * k * hertz * (2 ** (cents / 1200) - 1) * block
      const [c, s] = [Math.cos(turn), Math.sin(turn)]
      let x = 1
      let y = 0
      let a = 0
      let b = 0
      for (let i = 0; i < window.length; i++) {
        const u = window[i]! * re[from + i]!
        const v = window[i]! * im[from + i]!
        a += u * x + v * y
        b += v * x - u * y
        const next = x * c - y * s
        y = x * s + y * c
        x = next
      }
      sum += a * a + b * b
    }
    return sum
  }
  const at: Listen['at'] = (turned, at) => {
    const from = at - (window.length >> 1)
    if (from < 0 || from + window.length > (turned[0]?.re.length ?? 0)) return null
    const found = Array.from({ length: 17 }, (_, i) => energy(turned, from, i * step - reach))
    const best = found.indexOf(Math.max(...found))
    const [l, m, r] = [found[best - 1], found[best]!, found[best + 1]].map((each) => Math.log(each ?? 0)) as [
      number,
      number,
      number,
    ]
    const top = l > -Infinity && r > -Infinity ? (step * (l - r)) / (2 * (l - 2 * m + r)) : 0
    return { off: best * step - reach + top, weight: Math.sqrt(found[best]!) }
  }
  return { block, hop: 6, at }
}

/** Seconds that a held recording is listened to: through its loop and round it again. */
function heardFor({ loop, rate, samples }: Recorded): number {
  if (!loop) return Math.min(2.6, samples.length / rate - 0.01)
  return Math.min(5, loop[1] / rate + Math.max(0.6, (2 * (loop[1] - loop[0])) / rate))
}

/** The place in a recording at each block as it is played, its loop gone round. */
function placesOf(
  { loop, rate, cents }: Recorded,
  bend: readonly number[],
  block: number,
  count: number,
): Float64Array {
  const places = new Float64Array(count)
  const size = Math.round(block * rate)
  let place = 0
  for (let i = 0; i < count; i++) {
    places[i] = place
    const at = Math.min(bend.length - 1, Math.floor(place / (bendStep * rate)))
    place += size * 2 ** ((cents + (bend[at] ?? 0)) / 1200)
    if (loop) while (place >= loop[1]) place -= loop[1] - loop[0]
  }
  return places
}

/** A recording's bend with what is still heard to be off taken away, and the most, in cents, that it was off. */
function corrected(
  zone: Recorded,
  bend: readonly number[],
  listen: Listen,
): { readonly bend: readonly number[]; readonly most: number } {
  const { rate, root } = zone
  const played = { ...zone, bend, gain: 1, hold: 0, decay: 0, sustain: 1 }
  const seconds = heardFor(zone)
  const samples = sampledTone({ zones: [{ ...played, low: root, high: root }] }, root, rate)!
    .samples(Math.round(seconds * rate))
    .subarray(0, Math.round(seconds * rate))
  const turned = turnBack(samples, rate, 440 * 2 ** ((root - 69) / 12), listen.block)
  const places = placesOf(zone, bend, listen.block, turned[0]!.re.length)
  const sums = new Float64Array(bend.length)
  const weights = new Float64Array(bend.length)
  let most = 0
  for (let at = 0; at < places.length; at += listen.hop) {
    const heard = listen.at(turned, at)
    if (!heard) continue
    most = Math.max(most, Math.abs(heard.off))
    const index = places[at]! / (bendStep * rate)
    const low = Math.floor(index)
    for (const [i, part] of [
      [low, 1 - (index - low)],
      [low + 1, index - low],
    ] as const) {
      if (i >= bend.length) continue
      sums[i]! += part * heard.weight * heard.off
      weights[i]! += part * heard.weight
    }
  }
  // Where nothing is heard, before the tone stands or once it is gone, what is nearest holds.
  const least = 0.02 * Math.max(...weights)
  const known = [...weights.keys()].filter((i) => weights[i]! > least)
  if (known.length === 0) return { bend, most: 0 }
  let next = 0
  const better = bend.map((each, i) => {
    while (next + 1 < known.length && Math.abs(known[next + 1]! - i) <= Math.abs(known[next]! - i)) next += 1
    const from = known[next]!
    return each - (0.9 * sums[from]!) / weights[from]!
  })
  return { bend: better, most }
}

/**
 * How a recording keeps its pitch: played once as it is; a string that rings, which drifts slowly; held, where blowing, bowing and loops
 * are put right from place to place.
 */
export type Kind = 'once' | 'string' | 'held'

/** Cents to add at every `bendStep` of a recording, so that it keeps one pitch from where it has one to the end of its loop. */
export function bendOf(zone: Recorded, kind: Kind): readonly number[] {
  if (kind === 'once') return []
  const { rate, loop, samples, root } = zone
  const end = loop ? loop[1] : Math.min(samples.length, 2.6 * rate)
  const hertz = 440 * 2 ** ((root - 69) / 12)
  let bend: readonly number[] = Array(Math.ceil(end / (bendStep * rate)) + 1).fill(0)
  const listen = (how: Listen, times: number): void => {
    for (let i = 0; i < times; i++) {
      const heard = corrected(zone, bend, how)
      bend = heard.bend
      if (heard.most < 1.5) return
    }
  }
  listen(slowly(hertz, reach), 1)
  if (kind === 'held') listen(quickly(hertz), 3)
  listen(slowly(hertz, 24), 4)
  return bend.map(Math.round)
}

/**
 * The loop of a recording, moved as little as can be where what leads up to its end is not like what leads up to its start: a wave
 * that steps at every round is heard as another pitch.
 */
export function loopOf({ samples, loop, rate, root, cents }: Recorded): SampleZone['loop'] {
  if (!loop) return null
  const [start, end] = loop
  const period = rate / (440 * 2 ** ((root - 69 - cents / 100) / 12))
  const size = Math.min(start, end - start, Math.round(Math.max(2 * period, 0.008 * rate)))
  const likeness = (from: number, to: number): number => {
    let both = 0
    let one = 1e-9
    let other = 1e-9
    for (let n = 1; n <= size; n++) {
      const x = samples[from - n]!
      const y = samples[to - n]!
      both += x * y
      one += x * x
      other += y * y
    }
    return both / Math.sqrt(one * other)
  }
  let best = { from: start, to: end, like: likeness(start, end) }
  if (best.like > enoughAlike) return loop
  // Near by first, so that no more is moved than must be.
  for (let away = 0; away <= 60 && best.like < enoughAlike; away++)
    for (const from of [start - away * Math.round(0.002 * rate), start + away * Math.round(0.002 * rate)]) {
      const about = from + end - start
      if (from < size || about - period - size <= from) continue
      for (let to = Math.ceil(about - period); to <= Math.min(samples.length, about + period); to++) {
        const like = likeness(from, to)
        if (like > best.like + 0.005) best = { from, to, like }
      }
    }
  return [best.from, best.to]
}

/** Likeness, 1 at the most, from which on a seam is not heard. */
const enoughAlike = 0.97
