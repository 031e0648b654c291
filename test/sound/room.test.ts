/** The room: soon, soft, darker than what it answers, the same in every chunk, and none where playing is strict. */
import { describe, expect, test } from 'vitest'
import { arrange } from '../../lib/sound/arrange.ts'
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { inRoom, roomReach } from '../../lib/sound/room.ts'
import { renderChunk } from '../../lib/sound/synth.ts'
import { pitchedTone } from '../../lib/sound/tones.ts'
import { cents, hertz, pitchNear } from './listen.ts'
import { lineOver, tune } from './soundFixture.ts'

const rate = 44_100
const energyOf = (samples: Float32Array): number => samples.reduce((sum, x) => sum + x * x, 0)
const made = arrange(lineOver(tune('Dm7 | G7')), { tempo: 160, feel: 'swing', looseness: 'light' })

describe('what comes back of a single sample', () => {
  const click = new Float32Array(Math.round(0.2 * rate))
  click[100] = 1
  const answerOf = (part: Part) => inRoom(part, click, 0, rate).map((x, i) => x - click[i]!)

  // Some 12 to 15 dB under the direct sound, nothing before 5 ms, which would colour it, nothing after a tenth of a second: a small room. Ours.
  test.each(['line', 'chords', 'drums'] as const)('%s: soft, soon, and soon over', (part) => {
    const answer = answerOf(part)
    const decibels = 10 * Math.log10(energyOf(answer) * 4)
    expect(decibels).toBeGreaterThan(-16)
    expect(decibels).toBeLessThan(-11)
    const at = (seconds: number) => 100 + Math.round(seconds * rate)
    expect(energyOf(answer.subarray(0, at(0.005)))).toBe(0)
    expect(energyOf(answer.subarray(at(roomReach)))).toBe(0)
    expect(energyOf(answer.subarray(0, at(0.04)))).toBeGreaterThan(2 * energyOf(answer.subarray(at(0.04))))
  })

  test('the bass is answered much less, a click not at all, and no two parts alike', () => {
    expect(energyOf(answerOf('bass'))).toBeLessThan(0.2 * energyOf(answerOf('line')))
    for (const part of ['click', 'count'] as const) expect(energyOf(answerOf(part))).toBe(0)
    expect(answerOf('line')).not.toEqual(answerOf('chords'))
  })

  test('darker: of a high tone less comes back than of a low one', () => {
    const back = (frequency: number) => {
      const tone = Float32Array.from({ length: rate }, (_, i) => Math.sin((2 * Math.PI * frequency * i) / rate))
      const answer = inRoom('line', tone, 0, rate).map((x, i) => x - tone[i]!)
      return energyOf(answer.subarray(rate / 2))
    }
    const mean = (from: number) => [0, 1, 2, 3, 4, 5, 6, 7].reduce((sum, i) => sum + back(from + 37 * i), 0)
    expect(mean(8_000)).toBeLessThan(0.3 * mean(600))
  })
})

test('a held tone keeps its pitch in it', () => {
  for (const midi of [40, 57, 69, 81]) {
    const tone = pitchedTone('reed', midi, 0.7, rate).samples(rate).subarray(0, rate)
    const heard = inRoom('line', tone, 0, rate).subarray(0.1 * rate, 0.6 * rate)
    expect(Math.abs(cents(pitchNear(heard, rate, hertz(midi)), hertz(midi)))).toBeLessThan(5)
  }
})

test('chunks join without a seam, whatever their length, and strict is dry', () => {
  const performance = playTime(made)
  const length = Math.round(performance.seconds * rate)
  const whole = renderChunk(performance, 0, length, rate)
  for (const [from, to] of [
    [0, 700],
    [700, 30_001],
    [30_001, length],
  ] as const) {
    const piece = renderChunk(performance, from, to, rate)
    for (const part of parts) expect(piece[part]!).toEqual(whole[part]!.slice(from, to))
  }
  const dry = renderChunk({ ...performance, room: false }, 0, length, rate)
  expect(dry.line).not.toEqual(whole.line)
  expect(dry.count).toEqual(whole.count)
  expect(playTime({ ...made, looseness: 'strict' }).room).toBe(false)
  expect(performance.room).toBe(true)
})
