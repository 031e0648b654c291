/** A small written part with one of everything, for the writers to be checked on; invented. */
import { noMarks } from '../../lib/score/harmonyMarks.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from '../../lib/score/score.ts'
import type { Chord } from '../../lib/theory/chord.ts'
import { type Instrument, instrumentOf } from '../../lib/theory/instrument.ts'
import { readKey } from '../../lib/theory/key.ts'
import type { Meter } from '../../lib/theory/meter.ts'
import { readPitch, readPitchClass, transposePitch } from '../../lib/theory/pitch.ts'

const chords: Record<string, string> = {
  maj7: '1 3 5 7',
  m7: '1 b3 5 b7',
  '7': '1 3 5 b7',
  '7(b9)': '1 3 5 b7 b9',
  '13(#11)': '1 3 5 b7 9 #11 13',
  m7b5: '1 b3 b5 b7',
  dim7: '1 b3 b5 bb7',
  '6/9': '1 3 5 6 9',
}

/** A chord symbol such as `Fm7/Bb` at a tick of its bar. */
export function harmonyAt(at: number, ticks: number, symbol: string): ScoreHarmony {
  const [, rootName = '', suffix = '', bassName] = /^([A-G][#b]?)(.*?)(?:\/([A-G][#b]?))?$/.exec(symbol) ?? []
  const root = readPitchClass(rootName)
  const chord: Chord | null = root && { degrees: chords[suffix]!.split(' '), alt: false, named: suffix }
  const bass = readPitchClass(bassName ?? '')
  return { at, ticks, symbol, root, chord, bass, ...noMarks }
}

interface Spec {
  readonly pitch: string | null
  readonly value: ScoreEvent['value']
  readonly dots?: ScoreEvent['dots']
  readonly more?: Partial<ScoreEvent>
}

const played = (
  pitch: string | null,
  value: ScoreEvent['value'],
  more: Spec['more'] = {},
  dots: Spec['dots'] = 0,
): Spec => ({
  pitch,
  value,
  more,
  dots,
})
const triplet = { id: 't1', actual: 3, normal: 2 }

function bar(
  instrument: Instrument,
  number: number,
  specs: readonly Spec[],
  harmony: readonly ScoreHarmony[],
  more: Partial<ScoreBar> = {},
): ScoreBar {
  let at = 0
  const events = specs.map(({ pitch, value, dots = 0, more = {} }, index): ScoreEvent => {
    const nominal = (96 / value) * (2 - 0.5 ** dots)
    const ticks = more.ticks ?? (more.tuplet ? (nominal * more.tuplet.normal) / more.tuplet.actual : nominal)
    const written = pitch === null ? null : readPitch(pitch)!
    const event: ScoreEvent = {
      id: `n${number}-${index}`,
      at,
      ticks,
      value,
      dots,
      tuplet: null,
      beam: null,
      pitch: written,
      sounding: written && transposePitch(written, instrument.transposition),
      accidental: null,
      tie: null,
      role: pitch === null ? 'rest' : 'connect',
      degree: null,
      note: index,
      figure: null,
      ...more,
    }
    at += ticks
    return event
  })
  const meter: Meter = { beats: 4, unit: 4 }
  return {
    number,
    meter,
    meterShown: number === 1,
    signature: 0,
    section: null,
    systemStart: (number - 1) % 4 === 0,
    barline: 'single',
    harmony,
    events,
    ...more,
  }
}

/** Eight bars in C as an instrument reads them, sounding where its transposition puts them. */
export function scoreFixture(id = 'alto-sax'): Score {
  const instrument = instrumentOf(id)!
  const shown = { accidental: 'shown' } as const
  const start = { beam: 'start' } as const
  const middle = { beam: 'middle' } as const
  const end = { beam: 'end' } as const
  const make = (...rest: Parameters<typeof bar> extends [Instrument, ...infer R] ? R : never) =>
    bar(instrument, ...rest)
  const bars = [
    make(
      1,
      [
        played('F4', 8, { ...start, degree: 'b3', role: 'target' }),
        played('G4', 8, middle),
        played('A4', 8, middle),
        played('C5', 8, end),
        played('D5', 8, { ...start, role: 'approach' }),
        played('C#5', 8, { ...middle, ...shown, role: 'approach' }),
        played('C5', 8, { ...middle, ...shown, role: 'approach' }),
        played('Bb4', 8, { ...end, ...shown, role: 'approach' }),
      ],
      [harmonyAt(0, 96, 'Dm7')],
      { section: 'A' },
    ),
    make(
      2,
      [
        played('B4', 4, { ...shown, degree: '3', role: 'target' }),
        played('C5', 8, { ...start, tuplet: triplet }),
        played('B4', 8, { ...middle, tuplet: triplet }),
        played('A4', 8, { ...end, tuplet: triplet }),
        played('G4', 4, {}, 1),
        played('F4', 8, { tie: 'start' }),
      ],
      [harmonyAt(0, 48, 'G13(#11)'), harmonyAt(48, 48, 'Db7/F')],
    ),
    make(
      3,
      [
        played('F4', 4, { tie: 'end' }),
        played('E4', 16, { ...start, degree: '3', role: 'target' }),
        played('F4', 16, middle),
        played('F#4', 8, { ...end, ...shown }),
        played('G4', 2),
      ],
      [harmonyAt(0, 96, 'Cmaj7')],
    ),
    make(
      4,
      [
        played(null, 4),
        played('E5', 8, start),
        played('G5', 16, middle),
        played('Eb5', 16, { ...end, ...shown }),
        played('D5', 2),
      ],
      [harmonyAt(0, 72, 'A7(b9)'), harmonyAt(72, 24, 'Ebdim7')],
      { barline: 'double' },
    ),
    make(5, [played('D5', 2, { degree: '11' }), played('F5', 4, { degree: 'b5' })], [harmonyAt(0, 72, 'Bm7b5')], {
      section: 'B',
      meter: { beats: 3, unit: 4 },
      meterShown: true,
    }),
    make(6, [played(null, 1, { ticks: 72 })], [{ ...harmonyAt(0, 72, 'N.C.') }], { meter: { beats: 3, unit: 4 } }),
    make(
      7,
      [
        played('Eb5', 2, { tie: 'start' }),
        played('Eb5', 8, { tie: 'end' }),
        played('F5', 8, start),
        played('Gb5', 8, { ...middle, ...shown }),
        played('G5', 8, { ...end, accidental: 'cautionary' }),
      ],
      [harmonyAt(0, 48, 'Fm7/Bb'), harmonyAt(48, 48, 'Bb7')],
      { signature: -3, meterShown: true },
    ),
    make(8, [played('G5', 1, { degree: '3', role: 'target' })], [harmonyAt(0, 96, 'Eb6/9')], {
      signature: -3,
      barline: 'final',
    }),
  ]
  const key = readKey('C')!
  return {
    title: 'One of <Everything> & more',
    composer: 'Nobody',
    styleLine: 'Medium swing, ♩ = 140',
    tempo: 140,
    instrument,
    concert: false,
    clef: instrument.clef,
    transposition: instrument.transposition,
    key,
    concertKey: { tonic: readPitchClass('E')! && { letter: 'E', alter: -1 }, mode: 'major' },
    bars,
    figures: [],
  }
}
