/**
 * Where a metronome clicks, in every meter. Beats of simple, compound and unequal meters as any primer of notation has them (6/8 is two
 * dotted quarters); 2 and 4, 5/4 as 3+2 and 7/4 as 4+3 are common practice, and the chart's own groups go before it.
 */
import { type MidiEvent, parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import { defaultBrief, readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import { clickTicks, heardParts } from '../../lib/sound/clicks.ts'
import { planRecording, samplesOf } from '../../lib/sound/recordSound.ts'
import { goodMeter, type Meter, readMeter, ticksPerBar, ticksPerBeat } from '../../lib/theory/meter.ts'
import { lineOver, tune } from './soundFixture.ts'

/** Ticks of the bar, 24 to a quarter. */
test.each([
  // meter, every beat, 2 and 4 or what stands for it, groups
  ['1/4', [0], [0], [0]],
  ['2/4', [0, 24], [24], [0]],
  ['3/4', [0, 24, 48], [0], [0]],
  ['4/4', [0, 24, 48, 72], [24, 72], [0, 48]],
  ['5/4', [0, 24, 48, 72, 96], [0, 72], [0, 72]],
  ['5/4 (2+3)', [0, 24, 48, 72, 96], [0, 48], [0, 48]],
  ['6/4', [0, 24, 48, 72, 96, 120], [0, 72], [0, 72]],
  ['6/4 (2+2+2)', [0, 24, 48, 72, 96, 120], [24, 72, 120], [0, 48, 96]],
  ['7/4', [0, 24, 48, 72, 96, 120, 144], [0, 96], [0, 96]],
  ['7/4 (3+4)', [0, 24, 48, 72, 96, 120, 144], [0, 72], [0, 72]],
  ['8/4', [0, 24, 48, 72, 96, 120, 144, 168], [24, 72, 120, 168], [0, 48, 96, 144]],
  // Two halves, counted in four as players count a tune in cut time.
  ['2/2', [0, 24, 48, 72], [24, 72], [0, 48]],
  ['3/2', [0, 24, 48, 72, 96, 120], [24, 72, 120], [0, 48, 96]],
  ['3/8', [0], [0], [0]],
  ['4/8', [0, 24], [24], [0, 24]],
  ['5/8', [0, 36], [0, 36], [0, 36]],
  ['6/8', [0, 36], [36], [0, 36]],
  ['7/8', [0, 36, 60], [0, 36, 60], [0, 36, 60]],
  ['7/8 (2+2+3)', [0, 24, 48], [0, 24, 48], [0, 24, 48]],
  ['8/8 (3+3+2)', [0, 36, 72], [0, 36, 72], [0, 36, 72]],
  ['9/8', [0, 36, 72], [0, 36, 72], [0, 36, 72]],
  ['12/8', [0, 36, 72, 108], [36, 108], [0, 36, 72, 108]],
] as const)('%s', (text, beats, even, groups) => {
  const meter = readMeter(text)!
  expect(clickTicks(meter, 'beats')).toEqual(beats)
  expect(clickTicks(meter, '2-and-4')).toEqual(even)
  expect(clickTicks(meter, 'groups')).toEqual(groups)
})

test('in every meter that a chart can have there are clicks, in order, on its beats; groups begin with the bar', () => {
  const meters = [1, 2, 4, 8, 16, 32].flatMap((unit) =>
    Array.from({ length: 32 }, (_, i): Meter => ({ beats: i + 1, unit })),
  )
  for (const meter of meters) {
    expect(goodMeter(meter)).toBe(true)
    const counted = clickTicks(meter, 'beats')
    const grid = Math.min(24, ticksPerBeat(meter))
    expect(counted[0]).toBe(0)
    expect(clickTicks(meter, 'groups')[0]).toBe(0)
    for (const click of ['beats', '2-and-4', 'groups'] as const) {
      const ticks = clickTicks(meter, click)
      expect(ticks.length, `${meter.beats}/${meter.unit} ${click}`).toBeGreaterThan(0)
      expect(ticks).toEqual([...new Set(ticks)].sort((a, b) => a - b))
      expect(ticks.at(-1)).toBeLessThan(ticksPerBar(meter))
      for (const tick of ticks) expect(tick % grid).toBe(0)
    }
    for (const tick of clickTicks(meter, '2-and-4')) expect(counted).toContain(tick)
  }
})

test.each([
  ['beside a band', { feel: 'swing', click: null }, [24, 72]],
  ['alone', { feel: 'click', click: null }, [0, 24, 48, 72]],
  ['alone, on 2 and 4', { feel: 'click', click: '2-and-4' }, [24, 72]],
  ['beside a band, every beat', { feel: 'bossa', click: 'beats' }, [0, 24, 48, 72]],
] as const)('%s', (_, given, ticks) => {
  const { tracks } = arrange(lineOver(tune('Dm7 | G7')), { ...given, countIn: 0 })
  const notes = tracks.find(({ part }) => part === 'click')!.notes
  expect(notes.map(({ start }) => start)).toEqual([...ticks, ...ticks.map((tick) => 96 + tick)])
  // The first of the bar is told from the others.
  expect(new Set(notes.filter(({ start }) => start % 96 !== 0).map(({ midi }) => midi)).size).toBe(1)
  expect(notes.every(({ start, midi }) => (start % 96 === 0) === (midi === 76))).toBe(true)
})

test.each([
  ['beats', true],
  ['2-and-4', true],
  ['groups', true],
  ['', true],
  ['3', false],
  ['offbeats', false],
])('--click %j is read: %s', (click, good) => {
  expect(readBrief({ click }).problems.length === 0).toBe(good)
})

describe('the click alone is a feel that sounds', () => {
  const { lines } = writeLines({ ...defaultBrief, changes: 'Time: 3/4\n| Dm7 | G7 | Cmaj7 | Cmaj7 |' })
  const brief = { ...defaultBrief, feel: 'click', tempo: 120, looseness: 'strict', countIn: 0 } as const
  /** Three beats a bar, four bars, half a second each. */
  const beats = Array.from({ length: 12 }, (_, i) => i)

  test('in MIDI, beat by beat', () => {
    const { tracks, header } = parseMidi(writeBandMidi(lines, brief)!)
    const nameOf = (track: MidiEvent[]) => track.find((event) => event.type === 'trackName')?.text
    expect(tracks.slice(1).map(nameOf)).toEqual(['Alto saxophone', 'Click'])
    let now = 0
    const starts = tracks[2]!.flatMap((event) => {
      now += event.deltaTime
      return event.type === 'noteOn' && event.velocity > 0 ? [now / header.ticksPerBeat!] : []
    })
    expect(starts).toEqual(beats)
  })

  test('in a recording, beat by beat', () => {
    const recording = planRecording(lines, { ...brief, hear: ['bass', 'chords', 'drums'] })!
    const rate = 22_050
    const samples = [...samplesOf(recording, rate)].flatMap((block) =>
      [...block].filter((_, i) => i % 2 === 0).map((sample) => sample / 32_768),
    )
    const loudest = (from: number, to: number) =>
      samples
        .slice(Math.round(from * rate), Math.round(to * rate))
        .reduce((most, each) => Math.max(most, Math.abs(each)), 0)
    for (const beat of beats) {
      expect(loudest(beat / 2, beat / 2 + 0.02), `beat ${beat}`).toBeGreaterThan(0.05)
      expect(loudest(beat / 2 + 0.25, beat / 2 + 0.495), `after beat ${beat}`).toBeLessThan(0.005)
    }
  })

  test('and is heard unless the line alone is asked for', () => {
    const hears = (hear: (typeof defaultBrief)['hear'], feel: 'click' | null = 'click') => heardParts({ feel, hear })
    expect(hears(defaultBrief.hear)).toEqual(['line', 'click', 'count'])
    expect(hears(['drums'])).toEqual(['click', 'count'])
    expect(hears(['line'])).toEqual(['line', 'count'])
    expect(hears(['line', 'bass'], null)).toEqual(['line', 'bass', 'count'])
  })
})
