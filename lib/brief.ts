/** The brief: every choice a person can make, with its default and its limits, read from options or an address alike. */
import {
  barRange,
  type Choice,
  each,
  key,
  listOf,
  nearest,
  oneOf,
  orNone,
  pitch,
  ratio,
  refuse,
  split,
  text,
  value,
  whole,
  yesNo,
} from './choice.ts'
import { levelSets } from './levels.ts'
import type { Problem } from './problem.ts'
import { instruments, partGroups } from './theory/instrument.ts'
import { type Key, type KeyOrder, keyOrders, nameOfKey, readKey } from './theory/key.ts'
import type { Pitch } from './theory/pitch.ts'
import { type ScaleName, scaleDegrees } from './theory/scale.ts'

/** The most that anything may grow to; beyond it the person is told, and nothing is cut in silence. */
export const limits = {
  /** Characters of changes. */
  changes: 65_536,
  /** Bars as played, all choruses. */
  bars: 2_048,
  choruses: 64,
  keys: 12,
  passes: 999,
  pins: 256,
  /** Parts of a class set, the concert score apart. */
  parts: 32,
  title: 200,
  seed: 4_294_967_295,
} as const

export const approachKinds = ['enclosure', 'chromatic', 'scale', 'arpeggio'] as const
export type ApproachKind = (typeof approachKinds)[number]

/** Degrees to land on: a number stands for whatever the chord has there, so 3 is a minor chord's flat third. */
export const landings = ['1', '3', '5', '7', '9', '#11', '13'] as const
export type Landing = (typeof landings)[number]

/** What can be shown on the staff besides notes and chord symbols. */
export const marks = ['targets', 'degrees', 'brackets', 'names', 'analysis', 'scales'] as const
export type Mark = (typeof marks)[number]

/** swing: walking bass and ride; ballad: in two, with brushes; waltz: swung in three; even: even eighths; click: no band. */
export const feels = ['swing', 'ballad', 'waltz', 'even', 'click'] as const
export type Feel = (typeof feels)[number]

/** What sounds when a line is played; `click` is a metronome on 2 and 4. */
export const sounding = ['line', 'bass', 'chords', 'drums', 'click'] as const
export type Sounding = (typeof sounding)[number]

/** A change of tempo after each pass, in quarter notes a minute or in per cent; negative goes down. */
export interface TempoStep {
  readonly by: number
  readonly unit: 'beats' | '%'
}

export interface Brief {
  readonly changes: string
  /** Overrides the chart's title. */
  readonly title: string | null
  readonly instrument: string
  /** Parts as the player reads them, or all at concert pitch. */
  readonly pitch: 'written' | 'concert'
  /** Put the tune in this key. */
  readonly key: Key | null
  /** Several keys: an order of all twelve from the tune's own, a seeded shuffle, or a list. Null: the tune's own key alone. */
  readonly keys: KeyOrder | 'shuffled' | readonly Key[] | null
  /** The same line carried to each key, or a fresh one drawn in each. */
  readonly each: 'same' | 'fresh'
  readonly land: readonly Landing[]
  /**
   * How often a target waits: on every downbeat and wherever the chord changes on a strong beat; once a bar; on every chord as
   * well; or twice a bar.
   */
  readonly every: 'strong' | 'bar' | 'chord' | 'half'
  /** Where in the bar it waits: on beat 1, on beat 3, or early on the and of 4. */
  readonly on: '1' | '3' | '4&'
  readonly approach: readonly ApproachKind[]
  /** At most so many approach notes. */
  readonly notes: 1 | 2 | 3 | 4
  /** Whether enclosures that books teach and recordings hardly use may occur. */
  readonly textbook: boolean
  /** Cells to carry on with, by name such as `1-2-3-5`; empty for whatever arises. */
  readonly cells: readonly string[]
  readonly rhythm: 'eighths' | 'phrased' | 'triplets'
  /** A step of difficulty, 1 to 6, that sets what is not chosen otherwise; null for none. */
  readonly level: number | null
  /** Landings typed bar by bar, `3 7 3 5 | 1 2 3 4`; empty for none. */
  readonly plan: string
  /** Notes and figures to keep, each as `BAR.BEAT=…`; see the line's pins. */
  readonly pins: readonly string[]
  /** Places to draw anew, each as `FROM-TO:SEED` in played bars. */
  readonly again: readonly string[]
  /** How wide the line moves where no range is given: a tenth in the middle, the comfortable range, or all of it. */
  readonly compass: 'small' | 'comfortable' | 'full'
  /** Written range; null for what the compass gives. */
  readonly low: Pitch | null
  readonly high: Pitch | null
  readonly seed: number
  /** Only these played bars, counted from 1. */
  readonly bars: readonly [number, number] | null
  readonly choruses: number
  /** Easy reading, or the chord's strict letters. */
  readonly spelling: 'easy' | 'strict'
  /** How chord symbols say major and minor. */
  readonly majorSign: 'maj7' | 'Δ' | 'MA7'
  readonly minorSign: 'm' | '-' | 'MI'
  /** The scale of a dominant that resolves to minor, where books differ. */
  readonly minorDominant: ScaleName
  /** The scale of a half-diminished chord, where books differ. */
  readonly halfDiminished: ScaleName
  /** The scale of a dominant with a sharp ninth, where books differ. */
  readonly sharpNine: ScaleName
  /** Whether runs take the bebop scales' passing note. */
  readonly bebop: boolean
  /** Scales chosen for single chords, each as `BAR.BEAT=scale name`. */
  readonly scales: readonly string[]
  /** Quarter notes a minute; null for the chart's own, else 120. */
  readonly tempo: number | null
  /** How the band plays; null for what the style, the meter and the tempo ask for. */
  readonly feel: Feel | null
  /** Long eighth to short, 1 even, 2 triplets; null for the usual one of the tempo. */
  readonly swing: number | null
  /** Bars counted in. */
  readonly countIn: number
  /** Plain sound is worked out and needs nothing; sampled sound is of recorded notes, where the server has them. */
  readonly sound: 'plain' | 'sampled'
  /** The parts that sound. */
  readonly hear: readonly Sounding[]
  /** The played bars to practise, counted from 1; null for all that are written out. */
  readonly loop: readonly [number, number] | null
  /** How many passes; 0 goes on until stopped; null once, or once through the keys where the key changes. */
  readonly passes: number | null
  /** The change of tempo after each pass. */
  readonly faster: TempoStep | null
  /** The tempo at which that change stops. */
  readonly goal: number | null
  /** The next key after so many passes; 0 stays in one key. */
  readonly keyAfter: number
  /** The line rests on every second pass. */
  readonly lineOut: boolean
  /** One bar at a time, then two, then four, then all. */
  readonly build: boolean
  /** Bars of rest between passes. */
  readonly rest: number
  readonly show: readonly Mark[]
  readonly paper: 'A4' | 'Letter'
  /** A class set as PDF or zip: groups (C, Bb, Eb, F, bass clef) and instruments, besides a concert score; empty for one part. */
  readonly parts: readonly string[]
  /** Empty staves after each line of a book, for the student's own. */
  readonly ownStaves: boolean
  /** Whether a worksheet of guide tones ends with its answers. */
  readonly answers: boolean
  readonly print: 'normal' | 'large'
}

export const defaultBrief: Brief = {
  changes: '',
  title: null,
  instrument: 'alto-sax',
  pitch: 'written',
  key: null,
  keys: null,
  each: 'same',
  land: ['3', '7'],
  every: 'strong',
  on: '1',
  approach: ['enclosure', 'chromatic'],
  notes: 4,
  textbook: false,
  cells: [],
  rhythm: 'eighths',
  level: null,
  plan: '',
  pins: [],
  again: [],
  compass: 'comfortable',
  low: null,
  high: null,
  seed: 1,
  bars: null,
  choruses: 1,
  spelling: 'easy',
  majorSign: 'maj7',
  minorSign: 'm',
  minorDominant: 'phrygian dominant',
  halfDiminished: 'locrian',
  sharpNine: 'half-whole diminished',
  bebop: false,
  scales: [],
  tempo: null,
  feel: null,
  swing: null,
  countIn: 1,
  sound: 'plain',
  hear: ['line', 'bass', 'chords', 'drums'],
  loop: null,
  passes: null,
  faster: null,
  goal: null,
  keyAfter: 0,
  lineOut: false,
  build: false,
  rest: 0,
  show: ['targets', 'degrees', 'brackets'],
  paper: 'A4',
  parts: [],
  ownStaves: false,
  answers: true,
  print: 'normal',
}

/** A problem with a choice; its span counts in the choice's own text. */
export interface BriefProblem extends Problem {
  readonly choice: keyof Brief
}

const keys: Choice<Exclude<Brief['keys'], null>> = {
  read: (t) => {
    if (t === 'shuffled') return value(t)
    if (Object.hasOwn(keyOrders, t)) return value(t as KeyOrder)
    const list = split(t).map(readKey)
    if (list.length > limits.keys) return refuse(`at most ${limits.keys} keys`, 'take some out')
    return list.length > 0 && list.every((k) => k !== null)
      ? value(list)
      : refuse(
          `${Object.keys(keyOrders).join(', ')}, shuffled, or keys such as C,F,Bb`,
          `try ${nearest(t, Object.keys(keyOrders))}`,
        )
  },
  text: (v) => (typeof v === 'string' ? v : v.map(nameOfKey).join(',')),
}

const tempoStep: Choice<TempoStep> = {
  read: (t) => {
    const match = /^([+-]?\d{1,2}) ?(%?)$/.exec(t)
    const by = Number(match?.[1])
    return match && by !== 0 && Math.abs(by) <= 50
      ? value({ by, unit: match[2] === '%' ? '%' : 'beats' })
      : refuse('beats a minute or per cent up to 50, such as 4, -4, 5% or -5%', 'try 5%')
  },
  text: ({ by, unit }) => `${by}${unit === '%' ? '%' : ''}`,
}

const scaleNames = Object.keys(scaleDegrees) as ScaleName[]

/** Groups of a class and single instruments, by any usual spelling of the groups. */
const classParts: Choice<readonly string[]> = {
  read: (t) => {
    const known = [...partGroups, ...instruments.map(({ id }) => id)]
    const plain = (part: string) =>
      part
        .toLowerCase()
        .replace('♭', 'b')
        .replace(/^bass$/, 'bass clef')
    const found = split(t).map((part) => known.find((name) => name.toLowerCase() === plain(part)) ?? `?${part}`)
    const odd = found.find((part) => part.startsWith('?'))
    if (odd !== undefined)
      return refuse(`groups (${partGroups.join(', ')}) or instruments`, `try ${nearest(odd.slice(1), known)}`)
    return found.length > limits.parts
      ? refuse(`at most ${limits.parts} parts`, 'take some out')
      : value([...new Set(found)])
  },
  text: (v) => v.join(','),
}

/** Every choice, by its name: the option `--name` on the command line and `name` in an address. */
export const choices: { readonly [K in keyof Brief]: Choice<Brief[K]> } = {
  changes: text(limits.changes),
  title: orNone(text(limits.title)),
  instrument: oneOf(...instruments.map((i) => i.id)),
  pitch: oneOf('written', 'concert'),
  key: orNone(key),
  keys: orNone(keys),
  each: oneOf('same', 'fresh'),
  land: listOf(landings),
  every: oneOf('strong', 'bar', 'chord', 'half'),
  on: oneOf('1', '3', '4&'),
  approach: listOf(approachKinds),
  notes: whole(1, 4) as Choice<1 | 2 | 3 | 4>,
  textbook: yesNo,
  cells: each(/^\d{1,2}(-\d{1,2}){2,5}$/, 'cells such as 1-2-3-5', 'try 1-2-3-5', limits.pins),
  rhythm: oneOf('eighths', 'phrased', 'triplets'),
  level: orNone(whole(1, 6)),
  plan: text(4_096),
  pins: each(/^\d+(\.[\d.]+)?=.+$/, 'pins such as 3.1=F4', 'try 3.1=F4', limits.pins),
  again: each(/^\d+-\d+:\d+$/, 'bars and a seed such as 5-8:2', 'try 5-8:2', limits.pins),
  compass: oneOf('small', 'comfortable', 'full'),
  low: orNone(pitch),
  high: orNone(pitch),
  seed: whole(0, limits.seed),
  bars: orNone(barRange),
  choruses: whole(1, limits.choruses),
  spelling: oneOf('easy', 'strict'),
  majorSign: oneOf('maj7', 'Δ', 'MA7'),
  minorSign: oneOf('m', '-', 'MI'),
  minorDominant: oneOf<ScaleName>('phrygian dominant', 'half-whole diminished', 'altered'),
  halfDiminished: oneOf<ScaleName>('locrian', 'locrian natural 2'),
  sharpNine: oneOf<ScaleName>('half-whole diminished', 'altered'),
  bebop: yesNo,
  scales: each(
    new RegExp(`^\\d+\\.[\\d.]+=(${scaleNames.join('|')})$`),
    `BAR.BEAT=scale, the scale one of ${scaleNames.join(', ')}`,
    'try 2.1=altered',
    limits.pins,
  ),
  tempo: orNone(whole(40, 320)),
  feel: orNone(oneOf(...feels)),
  swing: orNone(ratio),
  countIn: whole(0, 2),
  sound: oneOf('plain', 'sampled'),
  hear: listOf(sounding),
  loop: orNone(barRange),
  passes: orNone(whole(0, limits.passes)),
  faster: orNone(tempoStep),
  goal: orNone(whole(40, 320)),
  keyAfter: whole(0, limits.passes),
  lineOut: yesNo,
  build: yesNo,
  rest: whole(0, 8),
  show: listOf(marks, 0),
  paper: oneOf('A4', 'Letter'),
  parts: classParts,
  ownStaves: yesNo,
  answers: yesNo,
  print: oneOf('normal', 'large'),
}

export const choiceNames = Object.keys(choices) as (keyof Brief)[]

/** What is not chosen otherwise: the defaults, with what a level sets. */
function usualBrief(level: string | undefined): Brief {
  return { ...defaultBrief, ...levelSets(/^[1-6]$/.test(level?.trim() ?? '') ? Number(level) : null) }
}

/**
 * Reads a brief from named texts, such as the options of a command or the fields of an address; what is missing takes its
 * default, what is wrong is reported and takes its default too.
 *
 * @example
 * readBrief({ instrument: 'trumpet', notes: '2' }).brief.notes // => 2
 * readBrief({ key: 'H' }).problems[0].expected // => 'a key such as C, Eb, F#m or Bb minor'
 */
export function readBrief(given: Readonly<Record<string, string | undefined>>): {
  readonly brief: Brief
  readonly problems: readonly BriefProblem[]
} {
  const problems: BriefProblem[] = []
  const usual = usualBrief(given.level)
  const read = <K extends keyof Brief>(name: K): Brief[K] => {
    const raw = given[name]
    if (raw === undefined) return usual[name]
    const typed = name === 'changes' ? raw : raw.trim()
    const reading = choices[name].read(typed)
    if ('value' in reading) return reading.value
    const span = { start: 0, end: raw.length }
    const found = raw.length > 60 ? `${raw.slice(0, 57)}…` : raw || 'nothing'
    problems.push({ severity: 'error', code: `bad-${name}`, choice: name, span, found, ...reading })
    return usual[name]
  }
  const brief = Object.fromEntries(choiceNames.map((name) => [name, read(name)])) as unknown as Brief
  return { brief, problems }
}

/**
 * Writes a brief as named texts, leaving out what is as by default, so that reading them gives the brief again.
 *
 * @example
 * writeBrief({ ...defaultBrief, seed: 7 }) // => { seed: '7' }
 */
export function writeBrief(brief: Brief): Readonly<Record<string, string>> {
  const base = usualBrief(brief.level === null ? undefined : String(brief.level))
  const said = <K extends keyof Brief>(name: K): [string, string] => [name, choices[name].text(brief[name])]
  const usual = <K extends keyof Brief>(name: K): string =>
    choices[name].text(name === 'level' ? defaultBrief[name] : base[name])
  return Object.fromEntries(choiceNames.filter((name) => said(name)[1] !== usual(name)).map(said))
}
