/** What is rendered, listened to from outside: pitch, time, swing, seams, and that it never changes. */
import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { swingAt } from '../../lib/score/swing.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { drum } from '../../lib/sound/bandStyle.ts'
import { drumTone } from '../../lib/sound/drumTones.ts'
import { type Performance, playTime } from '../../lib/sound/playTime.ts'
import { mixChunk, renderChunk, soften, tail } from '../../lib/sound/synth.ts'
import { pitchedTone, voiceOf } from '../../lib/sound/tones.ts'
import { cosine, decayFactor, frequencyOf, sine } from '../../lib/sound/waves.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { bandsOf, cents, energyNear, growth, hertz, onsetNear, pitchNear, shareOf, soundsApart } from './listen.ts'
import { lineOver, tune } from './soundFixture.ts'

const rate = 44_100

const samplesOf = (performance: Performance, part: Part): Float32Array =>
  renderChunk(performance, 0, Math.ceil((performance.seconds + tail) * rate), rate, [part])[part]!

interface Heard {
  readonly midi: number
  readonly centsOff: number
  readonly msOff: number
  /** How much stronger the onset is than the sound usually is. */
  readonly clear: number
}

/** Listens for every note of a part; each onset is the strongest growth in reach, half way to its neighbours at most. */
function listenTo(performance: Performance, part: Part): readonly Heard[] {
  const samples = samplesOf(performance, part)
  const grown = growth(samples, rate)
  const usual = [...grown.values].sort((a, b) => a - b)[grown.values.length >> 1]!
  // Ghosts, and notes that one touches again at once, are too short for their pitch.
  const notes = performance.notes.filter((note) => note.part === part)
  const heard = notes.filter((note) => part === 'line' || (note.velocity > 0.4 && note.end - note.start > 0.15))
  return heard.map((note) => {
    const { start, end, midi } = note
    const i = notes.indexOf(note)
    const before = notes[i - 1]?.start ?? -1
    const after = notes[i + 1]?.start ?? Number.POSITIVE_INFINITY
    const reach = Math.min(0.045, (start - before) / 2, (after - start) / 2)
    const onset = onsetNear(grown, start, reach)
    const from = Math.round((start + 0.025) * rate)
    const to = Math.round((Math.min(end, start + 0.17) - 0.005) * rate)
    const heard = pitchNear(samples.subarray(from, to), rate, hertz(midi))
    return {
      midi,
      centsOff: Math.abs(cents(heard, hertz(midi))),
      msOff: 1000 * Math.abs(onset.time - start),
      clear: onset.strength / usual,
    }
  })
}

describe('every note of the line and the bass is in tune and in time', () => {
  // One instrument of each way of sounding, high and low.
  const some = [
    'alto-sax',
    'clarinet',
    'flute',
    'trombone',
    'cello',
    'guitar',
    'double-bass',
    'piano',
    'vibraphone',
    'bass-voice',
  ]
  const cases = some.flatMap((id, i) => [60, 160, 300].map((tempo) => [id, tempo, i] as const))
  test.each(cases)('%s at %d: within 15 cents and 20 ms', (id, tempo, seed) => {
    const line = lineOver(tune(tempo === 60 ? 'Dm7 G7' : 'Dm7 | G7 | Cmaj7 A7', { up: seed }), id, seed + 1)
    const performance = playTime(arrange(line, { tempo, seed, feel: 'swing' }))
    for (const part of ['line', 'bass'] as const) {
      const heard = listenTo(performance, part)
      expect(heard.length).toBeGreaterThanOrEqual(4)
      for (const note of heard) {
        expect(note.centsOff, `${part} ${note.midi}`).toBeLessThan(15)
        expect(note.msOff, `${part} ${note.midi}`).toBeLessThan(20)
        expect(note.clear, `${part} ${note.midi}`).toBeGreaterThan(2)
      }
    }
  })

  test('the listener hears what is wrong: a note a quarter tone off, and one 40 ms late', () => {
    const line = lineOver(tune('Dm7 | G7'))
    const performance = playTime(arrange(line, { tempo: 160 }))
    const samples = samplesOf(performance, 'line')
    const note = performance.notes.find((each) => each.part === 'line')!
    const from = Math.round((note.start + 0.025) * rate)
    const heard = pitchNear(samples.subarray(from, from + 6000), rate, hertz(note.midi + 0.5))
    expect(cents(heard, hertz(note.midi + 0.5))).toBeCloseTo(-50, 0)
    const onset = onsetNear(growth(samples, rate), note.start + 0.04, 0.05)
    expect(1000 * (note.start + 0.04 - onset.time)).toBeGreaterThan(30)
  })

  test('every instrument on offer sounds every note of its range at its pitch', () => {
    for (const { program } of instruments)
      for (let midi = 30; midi <= 94; midi += 16) {
        const samples = pitchedTone(voiceOf(program), midi, 0.7, rate).samples(12_000)
        const heard = pitchNear(samples.subarray(1500, 12_000), rate, hertz(midi))
        expect(Math.abs(cents(heard, hertz(midi))), `program ${program}, note ${midi}`).toBeLessThan(5)
      }
  })
})

describe('a held plain tone lives', () => {
  /** Cents between the highest and the lowest pitch heard in stretches of a twentieth of a second between two times. */
  const moved = (voice: Parameters<typeof pitchedTone>[0], midi: number, from: number, to: number): number => {
    const samples = pitchedTone(voice, midi, 0.7, rate).samples(Math.ceil(to * rate))
    const heard: number[] = []
    for (let at = from; at + 0.05 <= to + 1e-9; at += 0.0125)
      heard.push(cents(pitchNear(samples.subarray(at * rate, (at + 0.05) * rate), rate, hertz(midi)), hertz(midi)))
    return Math.max(...heard) - Math.min(...heard)
  }

  test.each(['reed', 'flute', 'brass', 'bowed', 'sung'] as const)(
    '%s: vibrato is there within an eighth at 120, and not in one at 240',
    (voice) => {
      expect(moved(voice, 72, 0.02, 0.125)).toBeLessThan(1)
      expect(moved(voice, 72, 0.1, 0.25)).toBeGreaterThan(1.5)
      expect(moved(voice, 72, 0.4, 0.8)).toBeGreaterThan(5)
    },
  )

  test.each(['reed', 'clarinet', 'flute', 'bowed', 'sung'] as const)(
    '%s: breath or bow between its partials',
    (voice) => {
      // A quarter tone off the third partial there is noise, and none in a tone that rings.
      const between = (name: Parameters<typeof pitchedTone>[0]) => {
        const samples = pitchedTone(name, 69, 0.7, rate)
          .samples(0.12 * rate)
          .subarray(0.03 * rate, 0.12 * rate)
        const windowed = samples.map((x, i) => x * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / samples.length)))
        return energyNear(windowed, rate, 440 * 1.5) / energyNear(windowed, rate, 440)
      }
      expect(10 * Math.log10(between(voice))).toBeGreaterThan(-75)
      expect(10 * Math.log10(between(voice))).toBeLessThan(-25)
    },
  )
})

describe('swing', () => {
  const beatsOf = (swing: number | null, tempo: number) => {
    const performance = playTime(arrange(lineOver(tune('Dm7 | G7 | Cmaj7 | Cmaj7')), { tempo, swing, countIn: 0 }))
    return { performance, beat: 60 / tempo }
  }

  test.each([
    [null, 60, 2],
    [null, 160, swingAt(160)],
    [null, 300, 1],
    [1.5, 160, 1.5],
    [3, 100, 3],
    [1, 120, 1],
  ])('asked for %s at %d: the second eighth waits for a ratio of %d, in every part', (swing, tempo, ratio) => {
    const { performance, beat } = beatsOf(swing, tempo)
    let found = 0
    for (const { part, start } of performance.notes) {
      const place = (start / beat) % 1
      if (place < 1e-6 || place > 1 - 1e-6) continue
      expect(place / (1 - place), `${part} at ${start}`).toBeCloseTo(ratio, 6)
      found += 1
    }
    expect(found).toBeGreaterThan(10)
  })

  test.each([
    [60, 2],
    [160, swingAt(160)],
    [300, 1],
  ])('heard in the samples at %d: ratio %d', (tempo, ratio) => {
    const { performance, beat } = beatsOf(null, tempo)
    const grown = growth(samplesOf(performance, 'line'), rate)
    for (let i = 0; i < 3; i++) {
      const on = onsetNear(grown, i * beat, 0.03).time
      const off = onsetNear(grown, (i + ratio / (1 + ratio)) * beat, 0.03).time
      expect((off - on) / beat).toBeCloseTo(ratio / (1 + ratio), 1)
      expect(Math.abs(off - on - (beat * ratio) / (1 + ratio))).toBeLessThan(0.008)
    }
  })

  test('triplets and sixteenths stay even', () => {
    const line = lineOver(tune('Dm7'))
    const notes = [0, 8, 16, 24, 30, 36, 42, 48, 60].map((start, i, all) => ({
      ...line.notes[0]!,
      start,
      ticks: (all[i + 1] ?? 96) - start,
    }))
    const performance = playTime(arrange({ ...line, notes }, { tempo: 60, swing: 2, countIn: 0 }))
    const starts = performance.notes.filter((note) => note.part === 'line').map((note) => note.start * 24)
    const expected = [0, 8, 16, 24, 30, 36, 42, 48, 64]
    for (const [i, start] of starts.entries()) expect(start).toBeCloseTo(expected[i]!, 9)
    expect(starts.length).toBe(expected.length)
  })
})

describe('chunks', () => {
  const performance = playTime(arrange(lineOver(tune('Dm7 G7 | Cmaj7 A7 | Fm7 | Bb7')), { tempo: 210 }))
  const length = Math.ceil(performance.seconds * rate)
  const whole = renderChunk(performance, 0, length, rate)

  const bytes = (samples: Float32Array) => Buffer.from(samples.buffer)

  test('join without a seam wherever they are cut, in any order', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(length), { maxLength: 6 }), (cuts) => {
        const bounds = [0, ...cuts.sort((a, b) => a - b), length]
        for (let i = bounds.length - 2; i >= 0; i--) {
          const [from, to] = [bounds[i]!, bounds[i + 1]!]
          const chunk = renderChunk(performance, from, to, rate)
          for (const part of parts) expect(bytes(chunk[part]!).equals(bytes(whole[part]!.slice(from, to)))).toBe(true)
        }
      }),
      { numRuns: 12 },
    )
  })

  test('hold only the parts asked for, and nothing where nothing is asked', () => {
    expect(Object.keys(renderChunk(performance, 0, 100, rate, ['bass']))).toEqual(['bass'])
    expect(renderChunk(performance, 500, 500, rate).line).toEqual(new Float32Array(0))
  })

  test('a mix never leaves -1 to 1, is loud enough, and ends in silence', () => {
    const [left, right] = mixChunk(renderChunk(performance, 0, length + tail * rate, rate))
    const peak = Math.max(...[left, right].map((side) => side.reduce((most, x) => Math.max(most, Math.abs(x)), 0)))
    expect(peak).toBeLessThanOrEqual(1)
    expect(peak).toBeGreaterThan(0.4)
    expect(left.slice(-20).every((x) => Math.abs(x) < 1e-4)).toBe(true)
  })

  test('samples are the same bytes as ever, on every machine', () => {
    // A golden hash: it changes only when the sound is changed on purpose.
    const [left, right] = mixChunk(renderChunk(performance, 0, length, rate))
    const pcm = new Int16Array(2 * length)
    for (let i = 0; i < length; i++) {
      pcm[2 * i] = Math.round(left[i]! * 32767)
      pcm[2 * i + 1] = Math.round(right[i]! * 32767)
    }
    expect(createHash('sha256').update(new Uint8Array(pcm.buffer)).digest('hex').slice(0, 16)).toMatchInlineSnapshot(
      `"762afa21edea387e"`,
    )
  })
})

describe('waves', () => {
  test('sine and cosine agree with the machine', () => {
    fc.assert(
      fc.property(fc.double({ min: -50, max: 50, noNaN: true }), (turns) => {
        expect(sine(turns)).toBeCloseTo(Math.sin(2 * Math.PI * turns), 9)
        expect(cosine(turns)).toBeCloseTo(Math.cos(2 * Math.PI * turns), 9)
      }),
    )
  })

  test('frequencies are equal temperament at 440', () => {
    for (let midi = 0; midi < 128; midi++) expect(frequencyOf(midi) / hertz(midi)).toBeCloseTo(1, 12)
  })

  test('a decay reaches 1/e in its time', () => {
    for (const seconds of [0.002, 0.1, 3]) {
      const factor = decayFactor(seconds, rate)
      expect(factor ** (seconds * rate)).toBeCloseTo(Math.exp(-1), 6)
    }
  })

  test('what is loud is bent within bounds, what is not is left alone', () => {
    expect(soften(0.5)).toBe(0.5)
    expect(soften(-0.7)).toBe(-0.7)
    expect(soften(40)).toBeLessThan(1)
    expect(soften(-40)).toBeGreaterThan(-1)
  })
})

describe('drums', () => {
  test.each(Object.entries(drum))('%s sounds at once and dies away', (_, key) => {
    const samples = drumTone(key, rate).samples(2 * rate)
    const loudness = (from: number, to: number) =>
      Math.sqrt(samples.subarray(from * rate, to * rate).reduce((sum, x) => sum + x * x, 0) / ((to - from) * rate))
    expect(loudness(0, 0.02)).toBeGreaterThan(0.02)
    expect(samples.length).toBeLessThanOrEqual(tail * rate)
    expect(Math.abs(samples.at(-1)!)).toBeLessThan(1e-3)
  })

  const tones = Object.entries(drum).map(([name, key]) => ({ name, samples: drumTone(key, rate).samples(2 * rate) }))
  const near = (name: keyof typeof drum, from: number, to: number) =>
    shareOf(bandsOf(tones.find((each) => each.name === name)!.samples, rate, 0.005), from, to)

  test('each voice is told from each other by where its energy lies at first and after a while', () => {
    for (const [i, one] of tones.entries())
      for (const other of tones.slice(i + 1)) {
        const apart = soundsApart(one.samples, other.samples, rate, [0, 0.04, 0.15, 0.3])
        expect(apart, `${one.name} and ${other.name}`).toBeGreaterThan(2)
      }
  })

  test('the listener hears two strokes of one voice as one voice', () => {
    const [one] = tones
    const again = drumTone(drum[one!.name as keyof typeof drum], rate).samples(2 * rate)
    expect(soundsApart(one!.samples, again, rate, [0, 0.04])).toBeLessThan(0.1)
  })

  // Where the energy of each lies is common practice: skins low, wood and bell in the middle, cymbals and shaker high.
  test.each([
    ['kick', 20, 160, 0.8],
    ['floor', 50, 200, 0.7],
    ['low', 70, 250, 0.7],
    ['high', 100, 400, 0.7],
    ['cow', 400, 2_000, 0.7],
    ['bell', 500, 6_000, 0.7],
    ['hat', 4_000, 20_000, 0.7],
    ['open', 3_500, 20_000, 0.7],
    ['crash', 1_000, 20_000, 0.8],
    ['shaker', 2_500, 12_000, 0.7],
  ] as const)('%s has its energy between %d and %d hertz', (name, from, to, share) => {
    expect(near(name, from, to)).toBeGreaterThan(share)
  })

  test('what rings on: crash and ride over open hat over closed hat; toms fall in pitch from high to floor', () => {
    const loudAfter = (name: string, at: number) => {
      const { samples } = tones.find((each) => each.name === name)!
      const energy = (from: number) =>
        samples.subarray(from * rate, (from + 0.03) * rate).reduce((sum, x) => sum + x * x, 1e-12)
      return 10 * Math.log10(energy(at) / energy(0.002))
    }
    expect(loudAfter('hat', 0.2)).toBeLessThan(loudAfter('open', 0.2) - 20)
    expect(loudAfter('open', 0.5)).toBeLessThan(loudAfter('crash', 0.5) - 5)
    const pitch = (['floor', 'low', 'high'] as const).map((name) => {
      const { samples } = tones.find((each) => each.name === name)!
      return [...Array(40).keys()]
        .map((i) => 60 + 4 * i)
        .reduce((best, f) => (energyNear(samples, rate, f) > energyNear(samples, rate, best) ? f : best), 60)
    })
    expect(pitch).toEqual([...pitch].sort((a, b) => a - b))
    expect(pitch[2]! / pitch[0]!).toBeGreaterThan(1.5)
  })
})
