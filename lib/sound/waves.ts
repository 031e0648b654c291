/** Sines, frequencies, decays and noise, from sums and products alone, so that the same numbers come out on every machine. */

/**
 * The sine of so many turns (1 is a full circle), within 1e-10: a polynomial, since the sines of two machines may differ.
 *
 * @example
 * sine(0.25) // => 1
 * sine(0.5) // => 0
 */
export function sine(turns: number): number {
  let x = turns - Math.round(turns)
  if (x > 0.25) x = 0.5 - x
  else if (x < -0.25) x = -0.5 - x
  const a = 6.283185307179586 * x
  const s = a * a
  const sum =
    1 - (s / 6) * (1 - (s / 20) * (1 - (s / 42) * (1 - (s / 72) * (1 - (s / 110) * (1 - (s / 156) * (1 - s / 210))))))
  // A Taylor series to the fifteenth power; its last bits are rounded off.
  return Math.round(a * sum * 1e10) / 1e10 + 0
}

export const cosine = (turns: number): number => sine(turns + 0.25)

/** Two to the power of twelfths from 0 to 11, to the last bit of a double. */
const twelfths = [
  1,
  1.0594630943592953,
  1.122462048309373,
  1.189207115002721,
  1.2599210498948732,
  1.3348398541700344,
  Math.SQRT2,
  1.4983070768766815,
  1.5874010519681994,
  1.6817928305074292,
  1.7817974362806785,
  1.8877486253633868,
]

/**
 * The frequency of a MIDI number in hertz, equal temperament, A4 at 440.
 *
 * @example
 * frequencyOf(69) // => 440
 * frequencyOf(57) // => 220
 */
export function frequencyOf(midi: number): number {
  const up = midi - 69
  const octave = Math.floor(up / 12)
  let frequency = 440 * twelfths[up - 12 * octave]!
  for (let i = 0; i < octave; i++) frequency *= 2
  for (let i = 0; i > octave; i--) frequency /= 2
  return frequency
}

/** e to the power of -x for x of 0 or more: halved until small, a series, squared back. */
function falling(x: number): number {
  let halvings = 0
  let small = x
  while (small > 0.05) {
    small /= 2
    halvings += 1
  }
  let result =
    1 - small * (1 - (small / 2) * (1 - (small / 3) * (1 - (small / 4) * (1 - (small / 5) * (1 - small / 6)))))
  for (let i = 0; i < halvings; i++) result *= result
  return result
}

/** The factor a sample that brings a sound down to 1/e in so many seconds. */
export const decayFactor = (seconds: number, rate: number): number => falling(1 / (seconds * rate))

/** White noise from -1 to 1: a stream of numbers from a seed (a linear congruential generator, Numerical Recipes' constants). */
export function noiseFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return (state >>> 8) / 8388608 - 1
  }
}
