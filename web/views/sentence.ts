/** The brief as a sentence: every choice a form control with its words, its plain explanation and what is wrong with it. */
import { approachKinds, type Brief, type BriefProblem, landings, limits, marks, writeBrief } from '../../lib/brief.ts'
import { type InstrumentFamily, instrumentOf, instruments, partGroups } from '../../lib/theory/instrument.ts'
import { type Key, keyAt, nameOfKey } from '../../lib/theory/key.ts'
import { nameOf } from '../../lib/theory/pitch.ts'
import type { Given } from '../server/address.ts'
import { type View, viewChoices } from './display.ts'

export interface Option {
  readonly value: string
  readonly words: string
  readonly chosen: boolean
}

export interface Control {
  readonly name: string
  /** What a screen reader calls it; also its heading in the explanations. */
  readonly label: string
  readonly explanation: string
  readonly value: string
  readonly options: readonly Option[]
  readonly groups: readonly { readonly label: string; readonly options: readonly Option[] }[]
  /** For numbers and texts. */
  readonly least: string
  readonly most: string
  readonly hint: string
  readonly problem: { readonly message: string; readonly hint: string } | null
}

/** Flats and sharps as a musician writes them. */
export const withSigns = (text: string): string =>
  text
    .replace(
      /(?<=^|[^A-Za-z])([A-G])(b+|#+)/g,
      (_, letter: string, signs: string) => letter + signs.replaceAll('b', '♭').replaceAll('#', '♯'),
    )
    .replace(/[b#](?=\d)|(?<![A-Za-z])[b#](?=[IViv])/g, (sign) => (sign === 'b' ? '♭' : '♯'))

/** What each choice is called and means, as a teacher would say it. */
export const meanings = {
  land: [
    'Landing notes',
    'The degrees of the chord that a line may land on. Thirds and sevenths alone already say the harmony.',
  ],
  every: [
    'How often to land',
    'Where a landing waits: on each downbeat and wherever the chord changes on a strong beat, once in each bar, on every chord as well, or twice in each bar.',
  ],
  on: [
    'Which beat to land on',
    'The beat of the landing. On the and of 4 it comes early, as players push it over the bar line.',
  ],
  notes: ['Approach notes at most', 'How many notes may lead into a landing, at most.'],
  approach: [
    'Kinds of approach',
    'Enclosures close in from both sides; chromatic approaches come by semitones; scale and arpeggio approaches use the chord’s own notes.',
  ],
  instrument: ['Instrument', 'Sets the clef, the transposition and a range that asks for no strain.'],
  key: ['Key', 'Puts the whole tune in another key, as it sounds.'],
  keys: ['Further keys', 'Takes the line through other keys as well, in the order that you practise them.'],
  keyList: ['My own keys', 'Keys as they sound, in your own order, up to twelve, with commas between: C, F, Bb.'],
  seed: [
    'Line number',
    'Each number is another line over the same changes. The same number always gives the same line.',
  ],
  each: ['In further keys', 'Carries the same line to each key, or draws a fresh one in each.'],
  rhythm: ['Rhythm', 'Even eighths all through, phrases with breaths in them, or eighth-note triplets.'],
  compass: ['Range', 'How wide the line moves: a tenth in the middle, where the instrument is easy, or all of it.'],
  low: ['Lowest note', 'The lowest note as you read it, such as D4; middle C is C4. Left empty, the range decides.'],
  high: ['Highest note', 'The highest note as you read it, such as A5. Left empty, the range decides.'],
  choruses: ['Choruses', 'How many times through the tune, with a new line each time.'],
  bars: ['Only these bars', 'Writes only these bars, counted as played, such as 5-8.'],
  tempo: [
    'Tempo',
    'Quarter notes in a minute, for the heading and for playing. Left empty: what the changes say, else 120.',
  ],
  textbook: ['Textbook enclosures', 'Lets in enclosures that books teach but recordings hardly use.'],
  cells: [
    'Cells',
    'Patterns to carry on with after a landing, by their degrees: 1-2-3-5, 1-3-5-7. Left empty: whatever arises.',
  ],
  bebop: ['Passing notes of the bebop scales', 'Lets runs take the extra semitone that keeps chord tones on the beat.'],
  level: [
    'Step of difficulty',
    'Six steps from one approach note on one landing to long lines. It sets what you have not chosen yourself.',
  ],
  plan: [
    'Landings by hand',
    'Degrees to land on, in order, with bars between: 3 7 3 5 | 1 3. They go before the choice above.',
  ],
  title: ['Title', 'Goes above the music in place of the title in the changes.'],
  minorDominant: [
    'Dominant going to minor',
    'The scale of a dominant seventh that leads to a minor chord. Books differ.',
  ],
  halfDiminished: ['Half-diminished', 'The scale of a half-diminished chord. Books differ.'],
  sharpNine: ['Sharp ninth', 'The scale of a dominant with a sharp ninth. Books differ.'],
  majorSign: ['Major sevenths', 'How chord symbols say major: C with maj7, a triangle, or MA7.'],
  minorSign: ['Minor', 'How chord symbols say minor: C with m, a dash, or MI.'],
  spelling: ['Spelling', 'Easy avoids double accidentals and E♯, B♯, C♭, F♭; strict keeps the letters of the chord.'],
  pitch: ['Pitch', 'The part as you read it, or everything at concert pitch.'],
  show: [
    'Marks',
    'What stands on the staff besides notes and chords. Untick to read without help. The analysis numbers each chord in its key, names a key where it is new, and sets a dashed bracket over each ii–V.',
  ],
  print: ['Print', 'Large print puts fewer bars on a line, for a stand or for tired eyes.'],
  paper: ['Paper', 'The sheet that the music is laid out for.'],
  parts: [
    'Parts for a class',
    'The PDF and the zipped set then hold a concert score and a part for each of these. None ticked: your own part alone.',
  ],
  ownStaves: [
    'Staves of your own',
    'Adds empty staves under the same changes after each line of the PDF, to write your own.',
  ],
  answers: ['Answers', 'Puts the answers at the end of a guide-tone worksheet.'],
  tone: ['Light', 'Ink on paper, paper on ink, or whichever your screen is set to.'],
  ink: ['Ink', 'Blue ink shows the landings at a glance; every mark is also told by its shape.'],
} as const satisfies Record<string, readonly [string, string]>

export type ControlName = keyof typeof meanings

const numberWords = ['', 'one', 'two', 'three', 'four']
const words: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  every: {
    strong: 'on downbeats and changes',
    bar: 'once a bar',
    chord: 'on every chord',
    half: 'twice a bar',
  },
  on: { '1': 'on beat 1', '3': 'on beat 3', '4&': 'early, on the and of 4' },
  approach: { enclosure: 'enclosures', chromatic: 'chromatic steps', scale: 'scale steps', arpeggio: 'arpeggios' },
  keys: {
    '': 'in that key only',
    fourths: 'then in all twelve by fourths',
    fifths: 'then in all twelve by fifths',
    chromatic: 'then in all twelve, going up',
    'chromatic-down': 'then in all twelve, going down',
    'whole-tones': 'then in all twelve by whole tones',
    'minor-thirds': 'then in all twelve by minor thirds',
    'major-thirds': 'then in all twelve by major thirds',
    tritones: 'then in all twelve by tritones',
    shuffled: 'then in all twelve, shuffled',
    list: 'in keys of my own:',
  },
  compass: { small: 'a tenth', comfortable: 'the easy range', full: 'the whole range' },
  each: { same: 'the same line carried along', fresh: 'a fresh line drawn' },
  rhythm: { eighths: 'even eighths', phrased: 'phrases with breaths', triplets: 'eighth-note triplets' },
  majorSign: { maj7: 'maj7', Δ: 'Δ', MA7: 'MA7' },
  minorSign: { m: 'm', '-': '–', MI: 'MI' },
  spelling: { easy: 'for easy reading', strict: 'strictly by the chord' },
  pitch: { written: 'as I read it', concert: 'at concert pitch' },
  show: {
    targets: 'landings',
    degrees: 'degrees',
    brackets: 'brackets over approaches',
    names: 'note names',
    analysis: 'analysis',
    scales: 'scales',
  },
  print: { normal: 'normal', large: 'large' },
  paper: { A4: 'A4', Letter: 'Letter' },
  tone: { auto: 'as my screen is set', light: 'ink on paper', dark: 'paper on ink' },
  ink: { blue: 'blue', black: 'black' },
}
const familyNames: Readonly<Record<InstrumentFamily, string>> = {
  saxophones: 'Saxophones',
  woodwind: 'Woodwind',
  brass: 'Brass',
  strings: 'Strings',
  'rhythm section': 'Rhythm section',
  voices: 'Voices',
}

/**
 * Every control of the form, by name.
 *
 * @param heard the key of the tune, where it is known: keys on offer are then of its mode
 */
export function controlsOf(
  brief: Brief,
  view: View,
  given: Given,
  problems: readonly BriefProblem[],
  heard: Key | null,
): Readonly<Record<ControlName, Control>> {
  const said = writeBrief(brief)
  const control = (name: ControlName, more: Partial<Control> = {}): Control => {
    const wrong = problems.find((each) => each.choice === name || (name === 'keyList' && each.choice === 'keys'))
    const [label, explanation] = meanings[name]
    return {
      name,
      label,
      explanation,
      value: (wrong && name !== 'keyList' ? given[name] : said[name as keyof Brief]) ?? '',
      options: [],
      groups: [],
      least: '',
      most: '',
      hint: '',
      problem: wrong ? { message: `Found ${wrong.found}; expected ${wrong.expected}.`, hint: wrong.hint } : null,
      ...more,
    }
  }
  const options = (name: string, values: readonly string[], chosen: readonly string[]): readonly Option[] =>
    values.map((value) => ({ value, words: words[name]?.[value] ?? value, chosen: chosen.includes(value) }))
  const pick = (name: ControlName, values: readonly string[], chosen: string) =>
    control(name, { options: options(name, values, [chosen]), value: chosen })

  const ownKeys = Array.isArray(brief.keys)
  const keysWrong = problems.some((problem) => problem.choice === 'keys')
  const mode = (brief.key ?? heard)?.mode ?? 'major'
  const named = (key: Key) => withSigns(nameOfKey(key)).replace('m', ' minor')
  const keyNames = Array.from({ length: 12 }, (_, chroma) => keyAt(chroma, mode))
  const ownKey = brief.key && !keyNames.some((key) => nameOfKey(key) === nameOfKey(brief.key!)) ? [brief.key] : []
  const reading = instrumentOf(brief.instrument)
  const easy = reading ? reading.comfortable.map((pitch) => nameOf(pitch)) : ['', '']

  return {
    land: control('land', {
      options: landings.map((value) => ({ value, words: withSigns(value), chosen: brief.land.includes(value) })),
    }),
    every: pick('every', ['strong', 'bar', 'chord', 'half'], brief.every),
    on: pick('on', ['1', '3', '4&'], brief.on),
    notes: control('notes', {
      options: [1, 2, 3, 4].map((n) => ({
        value: String(n),
        words: `${numberWords[n]} ${n === 1 ? 'note' : 'notes'}`,
        chosen: brief.notes === n,
      })),
      value: String(brief.notes),
    }),
    approach: control('approach', { options: options('approach', approachKinds, brief.approach) }),
    instrument: control('instrument', {
      groups: Object.entries(familyNames).map(([family, label]) => ({
        label,
        options: instruments
          .filter((each) => each.family === family)
          .map(({ id, name }) => ({
            value: id,
            words: name.charAt(0).toLowerCase() + name.slice(1),
            chosen: id === brief.instrument,
          })),
      })),
      value: brief.instrument,
    }),
    key: control('key', {
      options: [
        {
          value: '',
          words: heard && !brief.key ? `${named(heard)}, its own key` : 'its own key',
          chosen: brief.key === null,
        },
        ...[...ownKey, ...keyNames].map((key) => ({
          value: nameOfKey(key),
          words: named(key),
          chosen: brief.key !== null && nameOfKey(key) === nameOfKey(brief.key),
        })),
      ],
    }),
    keys: pick(
      'keys',
      Object.keys(words.keys!),
      ownKeys || keysWrong ? 'list' : brief.keys === null ? '' : (brief.keys as string),
    ),
    keyList: control('keyList', {
      value: keysWrong ? (given.keys ?? '') : ownKeys ? (said.keys ?? '').replaceAll(',', ', ') : '',
      hint: 'C, F, Bb',
    }),
    seed: control('seed', { least: '0', most: String(limits.seed), value: given.seed ?? String(brief.seed) }),
    each: pick('each', ['same', 'fresh'], brief.each),
    rhythm: pick('rhythm', ['eighths', 'phrased', 'triplets'], brief.rhythm),
    compass: pick('compass', ['small', 'comfortable', 'full'], brief.compass),
    low: control('low', { hint: easy[0]! }),
    high: control('high', { hint: easy[1]! }),
    choruses: control('choruses', {
      least: '1',
      most: String(limits.choruses),
      value: given.choruses ?? String(brief.choruses),
    }),
    bars: control('bars', { hint: 'all' }),
    tempo: control('tempo', { least: '40', most: '320', hint: '120' }),
    textbook: control('textbook', {
      options: [{ value: 'yes', words: 'textbook enclosures', chosen: brief.textbook }],
    }),
    cells: control('cells', { hint: '1-2-3-5', value: given.cells ?? said.cells ?? '' }),
    bebop: control('bebop', { options: [{ value: 'yes', words: 'bebop passing notes', chosen: brief.bebop }] }),
    level: control('level', {
      options: [
        { value: '', words: 'as chosen here', chosen: brief.level === null },
        ...[1, 2, 3, 4, 5, 6].map((n) => ({ value: String(n), words: `step ${n} of 6`, chosen: brief.level === n })),
      ],
    }),
    plan: control('plan', { hint: '3 7 3 5 | 1 3' }),
    title: control('title', { most: String(limits.title), hint: 'as in the changes' }),
    minorDominant: pick(
      'minorDominant',
      ['phrygian dominant', 'half-whole diminished', 'altered'],
      brief.minorDominant,
    ),
    halfDiminished: pick('halfDiminished', ['locrian', 'locrian natural 2'], brief.halfDiminished),
    sharpNine: pick('sharpNine', ['altered', 'half-whole diminished'], brief.sharpNine),
    spelling: pick('spelling', ['easy', 'strict'], brief.spelling),
    majorSign: pick('majorSign', ['maj7', 'Δ', 'MA7'], brief.majorSign),
    minorSign: pick('minorSign', ['m', '-', 'MI'], brief.minorSign),
    pitch: pick('pitch', ['written', 'concert'], brief.pitch),
    show: control('show', { options: options('show', marks, brief.show) }),
    print: pick('print', ['normal', 'large'], brief.print),
    paper: pick('paper', ['A4', 'Letter'], brief.paper),
    parts: control('parts', {
      options: [...new Set([...partGroups, ...brief.parts])].map((value) => ({
        value,
        words: instrumentOf(value)?.name ?? withSigns(value),
        chosen: brief.parts.includes(value),
      })),
    }),
    ownStaves: control('ownStaves', {
      options: [{ value: 'yes', words: 'empty staves to write on', chosen: brief.ownStaves }],
    }),
    answers: control('answers', {
      options: [{ value: 'yes', words: 'the answers of a worksheet', chosen: brief.answers }],
    }),
    tone: pick('tone', viewChoices.tone, view.tone),
    ink: pick('ink', viewChoices.ink, view.ink),
  }
}
