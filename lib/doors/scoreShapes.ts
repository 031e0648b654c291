/** What a program hands over of written parts and of MIDI, described field by field. */
import type { Brief, Mark } from '../brief.ts'
import { marks } from '../brief.ts'
import type { SymbolStyle } from '../changes/symbol/printSymbol.ts'
import type { Layout } from '../score/layScore.ts'
import type { MeiOptions } from '../score/meiMarks.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from '../score/score.ts'
import type { MidiBar, MidiNote, MidiOptions, MidiSequence, MidiTrack } from '../score/writeMidi.ts'
import type { MusicXmlOptions } from '../score/writeMusicXml.ts'
import { articulation, figure, role, someChoices } from './lineShapes.ts'
import {
  count,
  instrument,
  interval,
  key,
  length,
  meter,
  midi,
  pitch,
  program,
  symbolFields,
  tempo,
  ticks,
} from './musicShapes.ts'
import {
  astray,
  holding,
  listOf,
  maybe,
  number,
  oneOf,
  options,
  orNull,
  plainly,
  record,
  type Shape,
  text,
  whole,
  yesOrNo,
} from './shapes.ts'

const harmony: Shape<ScoreHarmony> = record('a chord symbol over the staff', {
  ...symbolFields,
  at: length,
  ticks: length,
  numeral: orNull(text),
  newKey: orNull(text),
  scaleName: orNull(text),
  twoFive: oneOf('start', 'middle', 'end', null),
  again: maybe(oneOf(true)),
})

const fret = whole(0, 99)
const event: Shape<ScoreEvent> = record('a note or a rest as written', {
  id: text,
  at: length,
  ticks: length,
  value: oneOf(1, 2, 4, 8, 16, 32),
  dots: oneOf(0, 1, 2),
  tuplet: orNull(record('a tuplet', { id: text, actual: whole(1, 64), normal: whole(1, 64) })),
  beam: oneOf('start', 'middle', 'end', null),
  pitch: orNull(pitch),
  sounding: orNull(pitch),
  accidental: oneOf('shown', 'cautionary', null),
  tie: oneOf('start', 'middle', 'end', null),
  role,
  early: maybe(oneOf(true)),
  degree: orNull(text),
  note: count,
  figure: orNull(count),
  articulation: maybe(orNull(articulation)),
  fingering: maybe(orNull(record('a fingering', { text, string: orNull(whole(1, 12)), fret: orNull(fret) }))),
  stop: maybe(orNull(record('a place on a string', { string: whole(1, 12), fret }))),
})

const bar: Shape<ScoreBar> = record('a bar of a score', {
  number: count,
  meter,
  meterShown: yesOrNo,
  signature: whole(-14, 14),
  section: orNull(text),
  systemStart: yesOrNo,
  barline: oneOf('single', 'double', 'final'),
  harmony: listOf(harmony),
  events: listOf(event),
})

const symbols: Shape<SymbolStyle> = record('how chord symbols are written', {
  major: oneOf('maj7', 'Δ', 'ma7'),
  minor: oneOf('m', '-', 'mi'),
  diminished: oneOf('dim', '°'),
  halfDiminished: oneOf('m7b5', 'ø'),
  augmented: oneOf('aug', '+'),
  accidentals: oneOf('ascii', 'signs'),
})

export const score: Shape<Score> = holding(
  record<Score>('a score, as layScore gives it', {
    title: text,
    composer: orNull(text),
    styleLine: text,
    tempo,
    instrument,
    concert: yesOrNo,
    clef: oneOf('treble', 'bass', 'tenor', 'alto', 'treble-8'),
    transposition: interval,
    key,
    concertKey: key,
    bars: listOf(bar, 100_000),
    figures: listOf(figure),
    tablature: maybe(listOf(midi, 12)),
    symbols: maybe(symbols),
  }),
  ({ bars, figures }) => {
    if (bars.length === 0) return { at: '.bars', found: bars, expected: 'a bar or more', hint: 'see layScore' }
    for (const [i, { events }] of bars.entries()) {
      const misfit = astray(
        events,
        (at) => `.bars[${i}].events[${at}].figure`,
        (each) => each.figure,
        figures.length,
        'figure',
      )
      if (misfit) return misfit
    }
    return null
  },
)

export const show: Shape<readonly Mark[]> = listOf(oneOf(...marks), 100)
/** A name of its own in XML: what stands before ids. */
const namePart: Shape<string> = plainly('letters, digits and hyphens', "try 'a-'", (v) =>
  /^[\w-]{0,60}$/.test(`${isText(v) ? v : ' '}`),
)
const isText = (v: unknown): v is string => typeof v === 'string'
export const colour: Shape<string> = plainly(
  'a colour of six hexadecimal digits',
  "try '#a03020'",
  (v) => isText(v) && /^#[0-9a-f]{6}$/i.test(v),
)
export const meiOptions: Shape<Partial<MeiOptions>> = options<MeiOptions>({
  show,
  accent: colour,
  head: yesOrNo,
  prefix: namePart,
  pages: listOf(count, 100_000),
})
export const musicXmlOptions: Shape<MusicXmlOptions> = options<MusicXmlOptions>({ brackets: yesOrNo })
export const midiOptions: Shape<MidiOptions> = options<MidiOptions>({ tempo, swing: number(1, 3) })
export const layout: Shape<Layout> = options<Layout>({
  barsPerLine: whole(1, 1_000),
  room: plainly<number>('a number above 0', 'try 112', (v) => typeof v === 'number' && v > 0),
})

const midiNote: Shape<MidiNote> = record('a note of MIDI', {
  start: ticks,
  ticks: length,
  midi,
  velocity: whole(1, 127),
})
const midiTrack: Shape<MidiTrack> = record('a track', {
  name: text,
  channel: whole(0, 15),
  program: orNull(program),
  notes: listOf(midiNote),
})
const midiBar: Shape<MidiBar> = record('a bar of MIDI', {
  start: ticks,
  meter,
  signature: whole(-14, 14),
  mode: oneOf('major', 'minor'),
})
export const sequence: Shape<MidiSequence> = record('a sequence, as sequenceOf gives it', {
  title: text,
  tempo,
  tempos: maybe(listOf(record('a tempo', { start: ticks, tempo }))),
  ticks: length,
  bars: listOf(midiBar),
  remarks: maybe(listOf(text)),
  markers: listOf(record('a text at a tick', { start: ticks, text })),
  tracks: listOf(midiTrack, 1_000),
})

type LayChoices = Parameters<typeof import('../score/layScore.ts').layScore>[1]
export const layChoices: Shape<LayChoices> = someChoices<LayChoices>(
  ['title', 'tempo', 'pitch', 'show', 'print', 'spelling', 'majorSign', 'minorSign'],
  ['fingering', 'tablature', 'changes', 'plan'],
)
export const textChoices = someChoices<Pick<Brief, 'pitch' | 'spelling'>>(['pitch', 'spelling'])
