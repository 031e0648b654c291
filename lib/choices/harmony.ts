/** Choices of harmony: how chords and notes are spelled, and the scale where books differ. */
import { type ScaleName, scaleDegrees } from '../theory/scale.ts'
import { choice } from './choice.ts'
import { limits } from './limits.ts'
import { type Entry, entriesOf, formerly, oneOf, yesNo } from './reader.ts'

const scaleNames = Object.keys(scaleDegrees) as ScaleName[]

/** A scale chosen for the chord that sounds at a place: a played bar and a quarter note of it, both counted from 1. */
export interface PlacedScale {
  readonly bar: number
  readonly beat: number
  readonly scale: ScaleName
}

const placedScale: Entry<PlacedScale> = {
  read: (text) => {
    const [, bar, beat, name] = /^(\d{1,5})\.(\d{1,3}(?:\.\d{1,4})?)=(.+)$/.exec(text) ?? []
    const scale = scaleNames.find((each) => each === name)
    return scale === undefined ? null : { bar: Number(bar), beat: Number(beat), scale }
  },
  text: ({ bar, beat, scale }) => `${bar}.${beat}=${scale}`,
  holds: ({ bar, beat, scale }) =>
    Number.isInteger(bar) &&
    typeof beat === 'number' &&
    beat >= 0 &&
    beat < 1_000 &&
    scaleNames.includes(scale as ScaleName),
}

export const harmonyChoices = {
  /** Easy reading, or the chord's strict letters. */
  spelling: choice(oneOf('easy', 'strict'), {
    usual: 'easy',
    belongs: 'reader',
    help: 'easy reading, or the letters of the chord',
    page: {
      group: 'further',
      label: 'Spelling',
      explanation: 'Easy avoids double accidentals and E♯, B♯, C♭, F♭; strict keeps the letters of the chord.',
      words: [
        ['easy', 'for easy reading'],
        ['strict', 'strictly by the chord'],
      ],
    },
  }),
  /** How chord symbols say major and minor. */
  majorSign: choice(formerly(oneOf('maj7', 'Δ', 'ma7'), { MA7: 'ma7' }), {
    remembered: true,
    usual: 'maj7',
    belongs: 'reader',
    help: 'how chord symbols say a major seventh',
    page: {
      group: 'further',
      label: 'Major sevenths',
      explanation: 'How chord symbols say major: C with maj7, a triangle, or ma7.',
    },
  }),
  minorSign: choice(formerly(oneOf('m', '-', 'mi'), { MI: 'mi' }), {
    remembered: true,
    usual: 'm',
    belongs: 'reader',
    help: 'how chord symbols say minor',
    page: {
      group: 'further',
      label: 'Minor',
      explanation: 'How chord symbols say minor: C with m, a dash, or mi.',
      words: [
        ['m', 'm'],
        ['-', '–'],
        ['mi', 'mi'],
      ],
    },
  }),
  /** The scale of a dominant that resolves to minor, where books differ. */
  minorDominant: choice(oneOf<ScaleName>('phrygian dominant', 'half-whole diminished', 'altered'), {
    usual: 'phrygian dominant',
    help: 'the scale of a dominant that leads to a minor chord',
    page: {
      group: 'further',
      label: 'Dominant going to minor',
      explanation: 'The scale of a dominant seventh that leads to a minor chord. Books differ.',
    },
  }),
  /** The scale of a half-diminished chord, where books differ. */
  halfDiminished: choice(oneOf<ScaleName>('locrian', 'locrian natural 2'), {
    usual: 'locrian',
    help: 'the scale of a half-diminished chord',
    page: {
      group: 'further',
      label: 'Half-diminished',
      explanation: 'The scale of a half-diminished chord. Books differ.',
    },
  }),
  /** The scale of a dominant with a sharp ninth, where books differ. */
  sharpNine: choice(oneOf<ScaleName>('half-whole diminished', 'altered'), {
    usual: 'half-whole diminished',
    help: 'the scale of a dominant with a sharp ninth',
    page: {
      group: 'further',
      label: 'Sharp ninth',
      explanation: 'The scale of a dominant with a sharp ninth. Books differ.',
    },
  }),
  /** Whether runs take the bebop scales' passing note. */
  bebop: choice(yesNo, {
    usual: false,
    help: 'let runs take the passing note of the bebop scales',
    page: {
      group: 'further',
      label: 'Passing notes of the bebop scales',
      explanation: 'Lets runs take the extra semitone that keeps chord tones on the beat.',
      words: [['yes', 'bebop passing notes']],
    },
  }),
  /** Scales chosen for single chords, each typed as `BAR.BEAT=scale name`. */
  scales: choice(
    entriesOf(placedScale, `BAR.BEAT=scale, the scale one of ${scaleNames.join(', ')}`, '2.1=altered', limits.pins),
    {
      usual: [],
      belongs: 'changes',
      option: 'scale',
      gathers: true,
      help: `the scale of a single chord: ${scaleNames.join(', ')}`,
      page: {
        group: 'staff',
        label: 'What was chosen on the staff',
        explanation: 'Scales chosen for single chords.',
      },
    },
  ),
} as const
