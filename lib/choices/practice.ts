/** Choices of playing and practising: tempo and feel, who sounds, what is played how often, and how it changes. */
import { choice } from './choice.ts'
import { limits } from './limits.ts'
import { barRange, isRecord, listOf, oneOf, orNone, type Reader, ratio, refuse, value, whole, yesNo } from './reader.ts'

/**
 * swing: walking bass and ride; two: swung, the bass in halves; shuffle: in triplets; ballad: in two, with brushes; waltz: swung in
 * three; bossa, samba, mambo, funk, rock: as their names say; even: even eighths; click: no band, the metronome alone.
 */
export const feels = [
  'swing',
  'two',
  'shuffle',
  'ballad',
  'waltz',
  'bossa',
  'samba',
  'mambo',
  'funk',
  'rock',
  'even',
  'click',
] as const
export type Feel = (typeof feels)[number]

/** strict: every note on its place in the measure; light: as players lie about the beat; loose: more of it. */
export const loosenesses = ['strict', 'light', 'loose'] as const
export type Looseness = (typeof loosenesses)[number]

/** Where a metronome clicks: on every beat; on 2 and 4; or where the meter's groups of beats start. */
const clicks = ['beats', '2-and-4', 'groups'] as const
export type Click = (typeof clicks)[number]

/** What sounds when a line is played; `click` is a metronome. */
export const sounding = ['line', 'bass', 'chords', 'drums', 'click'] as const
export type Sounding = (typeof sounding)[number]

/** A change of tempo after each pass, in quarter notes a minute or in per cent; negative goes down. */
export interface TempoStep {
  readonly by: number
  readonly unit: 'beats' | '%'
}

/** The most that the tempo changes at once, either way. */
const biggestStep = 50

const tempoStep: Reader<TempoStep> = {
  read: (t) => {
    const match = /^([+-]?\d{1,2}) ?(%?)$/.exec(t)
    const by = Number(match?.[1])
    return match && by !== 0 && Math.abs(by) <= biggestStep
      ? value({ by, unit: match[2] === '%' ? '%' : 'beats' })
      : refuse(tempoStep.expected, tempoStep.hint)
  },
  text: ({ by, unit }) => `${by}${unit === '%' ? '%' : ''}`,
  holds: (v) => {
    if (!isRecord(v)) return false
    const { by, unit } = v
    return (
      Number.isInteger(by) && by !== 0 && Math.abs(by as number) <= biggestStep && (unit === 'beats' || unit === '%')
    )
  },
  form: '4|-4|5%|-5%',
  expected: 'beats a minute or per cent up to 50, such as 4, -4, 5% or -5%',
  hint: 'try 5%',
}

const tempo = orNone(whole(...limits.tempo))

export const practiceChoices = {
  /** Quarter notes a minute; null for the chart's own, else 120. */
  tempo: choice(tempo, {
    usual: null,
    belongs: 'reader',
    help: 'quarter notes a minute; what the changes say where not said, else 120',
    page: {
      group: 'further',
      label: 'Tempo',
      explanation:
        'Quarter notes in a minute, for the heading and for playing. Left empty: what the changes say, else 120.',
      hint: '120',
    },
  }),
  /** How the band plays; null for what the style, the meter and the tempo ask for. */
  feel: choice(orNone(oneOf(...feels)), {
    usual: null,
    help: 'how the band plays; as the tune asks where not said',
    page: {
      group: 'playing',
      label: 'Feel',
      explanation: 'How the band plays.',
      words: [
        ['', 'as the tune asks'],
        ['swing', 'swung'],
        ['two', 'swung, in two'],
        ['shuffle', 'as a shuffle'],
        ['ballad', 'as a ballad'],
        ['waltz', 'as a waltz'],
        ['bossa', 'as a bossa nova'],
        ['samba', 'as a samba'],
        ['mambo', 'as a mambo'],
        ['funk', 'as funk'],
        ['rock', 'as rock'],
        ['even', 'in even eighths'],
        ['click', 'as the click alone'],
      ],
    },
  }),
  /** Where the metronome clicks; null for 2 and 4 beside a band, and every beat where it plays alone. */
  click: choice(orNone(oneOf(...clicks)), {
    usual: null,
    belongs: 'reader',
    help: 'where the metronome clicks; on 2 and 4 beside a band and on every beat alone where not said',
    page: {
      group: 'playing',
      label: 'Metronome',
      explanation:
        'Where the metronome clicks. Left as usual: on 2 and 4 beside a band, on every beat alone. A meter without a 2 and 4 clicks by its groups: 3/4 on 1, 5/4 on 1 and 4, 7/4 on 1 and 5.',
      words: [
        ['', 'as usual'],
        ['beats', 'on every beat'],
        ['2-and-4', 'on 2 and 4'],
        ['groups', 'by groups of beats'],
      ],
    },
  }),
  /** How line and band lie about the beat: exactly on it, a little loose as players are, or looser. */
  looseness: choice(oneOf(...loosenesses), {
    remembered: true,
    usual: 'light',
    help: 'how line and band lie about the beat, and how notes are weighed and joined; strict is exactly as written',
    page: {
      group: 'playing',
      label: 'Time',
      explanation: 'How strictly everyone plays: exactly as written, or about the beat as players do.',
      words: [
        ['strict', 'strict time'],
        ['light', 'easy time'],
        ['loose', 'loose time'],
      ],
    },
  }),
  /** Long eighth to short, 1 even, 2 triplets; null for the usual one of the tempo. */
  swing: choice(orNone(ratio), {
    usual: null,
    help: 'long eighth to short: 1 even, 2 triplets; as usual at the tempo where not said',
    page: {
      group: 'playing',
      label: 'Swing, long eighth to short',
      explanation: 'How much longer the first eighth of a beat is: 1 is even, 2 is triplets.',
      hint: 'as usual',
    },
  }),
  /** Bars counted in. */
  countIn: choice(whole(0, 2), {
    usual: 1,
    help: 'bars counted in',
    page: {
      group: 'playing',
      label: 'Count-in',
      explanation: 'Bars counted in before the music.',
      words: [
        ['0', 'nothing'],
        ['1', 'one bar'],
        ['2', 'two bars'],
      ],
    },
  }),
  /** Plain sound is worked out and needs nothing; sampled sound is of recorded notes, and plain where there are none. */
  sound: choice(oneOf('plain', 'sampled'), {
    remembered: true,
    usual: 'sampled',
    belongs: 'reader',
    help: 'sound worked out, or of recorded notes where they are there',
    page: {
      group: 'playing',
      label: 'Sound',
      explanation: 'Sound that is worked out, or recorded notes.',
      words: [
        ['plain', 'plain sound'],
        ['sampled', 'recorded notes'],
      ],
    },
  }),
  /** The parts that sound. */
  hear: choice(listOf(sounding), {
    remembered: true,
    usual: ['line', 'bass', 'chords', 'drums'],
    belongs: 'reader',
    help: 'the parts that sound; click is a metronome',
    page: {
      group: 'playing',
      label: 'Parts',
      explanation: 'What sounds.',
      words: [
        ['line', 'line'],
        ['bass', 'bass'],
        ['chords', 'chords'],
        ['drums', 'drums'],
        ['click', 'metronome'],
      ],
    },
  }),
  /** The played bars to practise, counted from 1; null for all that are written out. */
  loop: choice(orNone(barRange), {
    usual: null,
    help: 'play only these bars',
    page: { group: 'playing', label: 'Bars to play', explanation: 'Plays only these bars, such as 5-8.', hint: 'all' },
  }),
  /** How many passes; 0 goes on until stopped; null once, or once through the keys where the key changes. */
  passes: choice(orNone(whole(0, limits.passes)), {
    usual: null,
    help: 'how many times it is played; 0 goes on until stopped',
    page: {
      group: 'playing',
      label: 'How many times',
      explanation: 'How many times it is played.',
      words: [
        ['', 'once'],
        ['2', 'twice'],
        ['3', '3 times'],
        ['4', '4 times'],
        ['6', '6 times'],
        ['8', '8 times'],
        ['12', '12 times'],
        ['0', 'until I stop'],
      ],
    },
  }),
  /** The change of tempo after each pass. */
  faster: choice(orNone(tempoStep), {
    usual: null,
    help: 'the change of tempo after each pass, in beats a minute or per cent',
    page: {
      group: 'playing',
      label: 'Tempo after each pass',
      explanation: 'The change of tempo after each pass.',
      words: [
        ['', 'at the same tempo'],
        ['2%', '2 % faster'],
        ['5%', '5 % faster'],
        ['10%', '10 % faster'],
        ['4', '4 beats faster'],
        ['8', '8 beats faster'],
        ['-5%', '5 % slower'],
        ['-10%', '10 % slower'],
        ['-4', '4 beats slower'],
      ],
    },
  }),
  /** The tempo at which that change stops. */
  goal: choice(tempo, {
    usual: null,
    help: 'the tempo at which that change stops',
    page: {
      group: 'playing',
      label: 'Tempo to stop at',
      explanation: 'The tempo at which the change stops.',
      hint: 'any',
    },
  }),
  /** The next key after so many passes; 0 stays in one key. */
  keyAfter: choice(whole(0, limits.passes), {
    usual: 0,
    help: 'the next key after so many passes; 0 stays in one key',
    page: {
      group: 'playing',
      label: 'The next key',
      explanation: 'After how many passes the key changes.',
      words: [
        ['0', 'stays'],
        ['1', 'changes after each'],
        ['2', 'changes after 2'],
        ['3', 'changes after 3'],
        ['4', 'changes after 4'],
      ],
    },
  }),
  /** The line rests on every second pass. */
  lineOut: choice(yesNo, {
    usual: false,
    help: 'the line rests on every second pass',
    page: {
      group: 'playing',
      label: 'The line rests',
      explanation: 'The line rests on every second pass, and is yours to play.',
      words: [['yes', 'Leave the line to me every second time']],
    },
  }),
  /** One bar at a time, then two, then four, then all. */
  build: choice(yesNo, {
    usual: false,
    help: 'one bar at a time, then two, then four, then all',
    page: {
      group: 'playing',
      label: 'Bar by bar',
      explanation: 'Builds the line up from single bars.',
      words: [['yes', 'One bar at a time, then two, then four, then all']],
    },
  }),
  /** A demonstration: the line alone and slow, with the band at the tempo, then the band alone. */
  demonstration: choice(yesNo, {
    usual: false,
    help: 'the line alone and slow, then with the band at the tempo, then the band alone, each counted in',
    page: {
      group: 'playing',
      label: 'Demonstration',
      explanation: 'The line alone and slow, then with the band, then the band alone, each counted in.',
      words: [['yes', 'Show it: the line alone and slow, with the band, then the band alone']],
    },
  }),
  /** Bars of rest between passes. */
  rest: choice(whole(0, 8), {
    usual: 0,
    help: 'bars of rest between passes',
    page: {
      group: 'playing',
      label: 'Rest between passes',
      explanation: 'Bars of rest between passes.',
      words: [
        ['0', 'no rest'],
        ['1', 'one bar of rest'],
        ['2', '2 bars of rest'],
        ['4', '4 bars of rest'],
      ],
    },
  }),
} as const
