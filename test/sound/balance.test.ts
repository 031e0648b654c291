/** The balance of band and line, by an independent loudness meter: EBU R 128. The levels themselves are this project's own choice. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Feel } from '../../lib/choices/practice.ts'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import type { Part } from '../../lib/sound/arrangement.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { mixChunk, renderChunk } from '../../lib/sound/synth.ts'
import type { InstrumentId } from '../../lib/theory/instrument.ts'
import { buildSamples } from '../../web/buildSamples.ts'
import { loudnessOf } from './loudness.ts'
import { lineOver, tune } from './soundFixture.ts'

const rate = 44_100
const wanted = { line: -18, bass: -20, chords: -22, drums: -22 } as const
const changes = 'Dm7 | G7 | Cmaj7 | A7(b9) | Fm7 | Bb7 | Ebmaj7 | D7(b9)'

let folder = ''
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'throughline-balance-'))
  await buildSamples(folder)
}, 60_000)
afterAll(() => rmSync(folder, { recursive: true }))

/** LUFS of parts alone, in the mix's own levels. */
async function heard(id: InstrumentId, feel: Feel, tempo: number, sound: 'plain' | 'sampled', parts: readonly Part[]) {
  const line = lineOver(tune(changes, feel === 'waltz' ? { meter: { beats: 3, unit: 4 } } : {}), id)
  const performance = playTime(arrange(line, { tempo, feel, countIn: 0, looseness: 'light' }))
  const samples = sound === 'plain' ? {} : (await loadSamples(line.instrument.program, pathToFileURL(`${folder}/`)))!
  const frames = Math.ceil(performance.seconds * rate)
  return parts.map((part) => {
    const [left, right] = mixChunk(renderChunk(performance, 0, frames, rate, [part], samples))
    return [part, loudnessOf(left, right, rate)] as const
  })
}

test('the meter reads what the recommendation says it should', () => {
  // EBU Tech 3341, test signal 1: a stereo sine of 1 kHz at -23 dBFS peak reads -23 LUFS.
  const sine = Float32Array.from({ length: 20 * 48_000 }, (_, i) => 10 ** (-23 / 20) * Math.sin((2 * Math.PI * i) / 48))
  expect(Math.abs(loudnessOf(sine, sine, 48_000) + 23)).toBeLessThan(0.1)
})

describe.each(['plain', 'sampled'] as const)('%s sound', (sound) => {
  test.each<[Feel, number]>([
    ['swing', 160],
    ['two', 130],
    ['shuffle', 130],
    ['ballad', 66],
    ['waltz', 150],
    ['bossa', 130],
    ['samba', 180],
    ['mambo', 150],
    ['funk', 104],
    ['rock', 130],
    ['even', 130],
  ])('%s at %d: bass, chords and drums within 2 LU of their levels', async (feel, tempo) => {
    for (const [part, lufs] of await heard('alto-sax', feel, tempo, sound, ['bass', 'chords', 'drums']))
      expect(Math.abs(lufs - wanted[part as keyof typeof wanted]), `${part} ${lufs}`).toBeLessThan(2)
  })

  test.each<InstrumentId>([
    'soprano-sax',
    'alto-sax',
    'flute',
    'clarinet',
    'trumpet',
    'trombone',
    'tuba',
    'violin',
    'cello',
    'guitar',
    'double-bass',
    'piano',
    'vibraphone',
    'bass-voice',
  ])('a line on %s within 2 LU of its level, slow and quick', async (id) => {
    for (const tempo of [70, 150])
      for (const [, lufs] of await heard(id, 'swing', tempo, sound, ['line']))
        expect(Math.abs(lufs - wanted.line), `at ${tempo}: ${lufs}`).toBeLessThan(2)
  })
})
