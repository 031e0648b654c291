/** Listening by spectrum: finds when a tone starts and how high it is, from samples alone; knows nothing of how they were made. */
import FFT from 'fft.js'

/** Hertz of a MIDI number: A4 is 440, twelve equal steps to the octave (ISO 16). */
export const hertz = (midi: number): number => 440 * 2 ** ((midi - 69) / 12)

export const cents = (a: number, b: number): number => 1200 * Math.log2(a / b)

/**
 * The pitch heard in a stretch, as hertz: of all fundamentals within a semitone of the one expected, in cents, the one whose
 * harmonics hold the most energy (a least-squares comb, each harmonic measured at its own frequency through a Hann window).
 */
export function pitchNear(samples: Float32Array, rate: number, expected: number): number {
  const n = samples.length
  const windowed = new Float64Array(n)
  for (let i = 0; i < n; i++) windowed[i] = samples[i]! * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / n))
  const energyAt = (f: number): number => {
    // Goertzel's filter at any frequency.
    const w = (2 * Math.PI * f) / rate
    const c = 2 * Math.cos(w)
    let a = 0
    let b = 0
    for (let i = 0; i < n; i++) {
      const next = windowed[i]! + c * a - b
      b = a
      a = next
    }
    return a * a + b * b - c * a * b
  }
  const comb = (f: number): number => {
    let sum = 0
    for (let k = 1; k <= 4 && k * f < rate / 2.5; k++) sum += energyAt(k * f)
    return sum
  }
  const step = 6
  let best = 0
  let most = -1
  for (let c = -96; c <= 96; c += step) {
    const energy = comb(expected * 2 ** (c / 1200))
    if (energy > most) {
      most = energy
      best = c
    }
  }
  // The top of a parabola through the best and its neighbours.
  const [l, m, r] = [-step, 0, step].map((d) => Math.log(comb(expected * 2 ** ((best + d) / 1200)))) as [
    number,
    number,
    number,
  ]
  return expected * 2 ** ((best + (step * (l - r)) / (2 * (l - 2 * m + r))) / 1200)
}

/**
 * How sharply the spectrum grows, every two milliseconds or so: the rise of each bin's loudness in decibels, summed over bins,
 * from one transform to one 8 ms later. It peaks where a tone starts.
 */
export function growth(
  samples: Float32Array,
  rate: number,
  size = 1024,
): { readonly values: Float64Array; readonly hop: number } {
  const hop = 88
  const back = 4
  const fft = new FFT(size)
  const window = Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size))
  const input = new Array<number>(size).fill(0)
  const output: number[] = fft.createComplexArray()
  const frames: Float64Array[] = []
  for (let middle = 0; middle < samples.length; middle += hop) {
    for (let i = 0; i < size; i++) input[i] = (samples[middle - size / 2 + i] ?? 0) * window[i]!
    fft.realTransform(output, input)
    // Floored at 80 dB below full scale, so that what cannot be heard does not count.
    const frame = new Float64Array((size * 300) / 1024)
    for (let k = 0; k < frame.length; k++) {
      const [x, y] = [output[2 * k]!, output[2 * k + 1]!]
      frame[k] = Math.log10(Math.max(1e-4 * size, Math.sqrt(x * x + y * y)))
    }
    frames.push(frame)
  }
  const values = new Float64Array(frames.length)
  for (let t = 0; t < frames.length; t++) {
    const before = frames[Math.max(0, t - back)]!
    const now = frames[t]!
    let sum = 0
    for (let k = 0; k < now.length; k++) sum += Math.max(0, now[k]! - before[k]!)
    // The rise lies between the two transforms.
    values[Math.max(0, t - back / 2)] = sum
  }
  return { values, hop: hop / rate }
}

/** The time within `reach` of one expected where the spectrum grows the most, and how much. */
export function onsetNear(
  { values, hop }: ReturnType<typeof growth>,
  expected: number,
  reach: number,
): { readonly time: number; readonly strength: number } {
  let time = Number.NaN
  let strength = -1
  for (let t = Math.ceil((expected - reach) / hop); t <= Math.floor((expected + reach) / hop); t++) {
    const value = values[t] ?? 0
    if (value > strength) {
      strength = value
      time = t * hop
    }
  }
  return { time, strength }
}

/** The energy at a frequency in a tone's first third of a second, by Goertzel's filter. */
export function energyNear(samples: Float32Array, rate: number, frequency: number): number {
  const c = 2 * Math.cos((2 * Math.PI * frequency) / rate)
  let a = 0
  let b = 0
  const n = Math.min(samples.length, Math.round(rate / 3))
  for (let i = 0; i < n; i++) {
    const next = samples[i]! + c * a - b
    b = a
    a = next
  }
  return a * a + b * b - c * a * b
}

/** Energy in bands a third of an octave wide from 50 Hz, in 46 ms from a place: [middle of the band in hertz, energy]. */
export function bandsOf(
  samples: Float32Array,
  rate: number,
  at: number,
): readonly (readonly [hertz: number, energy: number])[] {
  const size = 2048
  const fft = new FFT(size)
  const from = Math.round(at * rate)
  const input = Array.from(
    { length: size },
    (_, i) => (samples[from + i] ?? 0) * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size)),
  )
  const output: number[] = fft.createComplexArray()
  fft.realTransform(output, input)
  const bands = Array.from({ length: 26 }, (_, i): [number, number] => [50 * 2 ** (i / 3), 1e-9])
  for (let k = 1; k < size / 2; k++) {
    const i = Math.round(3 * Math.log2((k * rate) / size / 50))
    const band = bands[Math.max(0, i)]
    if (band) band[1] += output[2 * k]! ** 2 + output[2 * k + 1]! ** 2
  }
  return bands
}

type Bands = ReturnType<typeof bandsOf>

/** The share of the energy that lies between two frequencies. */
export const shareOf = (bands: Bands, from: number, to: number): number =>
  bands.reduce((sum, [f, e]) => sum + (f >= from && f <= to ? e : 0), 0) / bands.reduce((sum, [, e]) => sum + e, 0)

/**
 * How far two sounds are apart, whatever their loudness: the mean difference of their bands in dB at the places given, each against the
 * loudest band of its own sound, none below 50 dB under it. How long a sound rings counts with where it lies.
 */
export function soundsApart(a: Float32Array, b: Float32Array, rate: number, places: readonly number[]): number {
  const levels = (samples: Float32Array) => {
    const energies = places.flatMap((at) => bandsOf(samples, rate, at).map(([, energy]) => energy))
    const top = Math.max(...energies)
    return energies.map((energy) => Math.max(-50, 10 * Math.log10(energy / top)))
  }
  const other = levels(b)
  return levels(a).reduce((sum, level, i) => sum + Math.abs(level - other[i]!), 0) / other.length
}
