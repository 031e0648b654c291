/** The changes of a tune in ABC: the chord symbols that stand in quotes over its notes, with its meters, keys, repeats and endings. */
import { limits } from '../../brief.ts'
import type { Problem, Span } from '../../problem.ts'
import type { Key } from '../../theory/key.ts'
import { commonTime, goodMeter, type Meter, ticksPerBar, ticksPerQuarter } from '../../theory/meter.ts'
import { type Interval, lettersOf, statedTransposition } from '../../theory/pitch.ts'
import { type Chart, type Mark, noChord } from '../chart.ts'
import { readSymbol } from '../symbol/readSymbol.ts'
import { emptyChart, keyUp, transposeSymbol } from '../transposeChart.ts'
import { readHeaderKey, readHeaderMeter, readTempo } from '../typed/chartHeader.ts'
import { chartOfMeasures } from '../xml/scoreBars.ts'
import { countMeasures } from '../xml/scoreForm.ts'
import {
  marksIn,
  passesOf,
  placedIn,
  type ScoreChord,
  type ScoreMeasure,
  tooManyMeasures,
} from '../xml/scoreMeasure.ts'

/** Whether a text is a tune in ABC: it has the fields that open its head and close it, and the note length or a bar line after them. */
export const isAbcTune = (text: string): boolean => /^X:\s*\d/m.test(text) && /^K:/m.test(text)

/** A tune while it is read. Times are in ticks. */
interface Tune {
  meter: Meter
  /** As written. */
  key: Key | null
  /** Sounding minus written. */
  transposition: Interval
  /** The length of a note that says none. */
  unit: number | null
  at: number
  /** The length of the note before, which broken rhythm changes. */
  lastNote: number
  /** What broken rhythm does to the note that follows. */
  broken: number
  tuplet: { left: number; factor: number }
  ending: readonly number[] | null
  section: string | null
  repeatStart: boolean
  chords: ScoreChord[]
  waiting: number
  marks: Set<Mark>
  codas: ('start' | 'end')[]
  from: number
  readonly measures: ScoreMeasure[]
  readonly problems: Problem[]
}

/** Signs of a tune's body (ABC 2.1, section 4): bar lines with their endings, quoted text, fields, notes, rests, tuplets, broken rhythm. */
const sign =
  /(?<bar>:{0,3}\|{1,3}[\]:|]{0,3}|:{2,3}|\[\|)(?:\[?(?<ending>\d[\d,-]{0,16}))?|\[(?<bracketed>\d[\d,-]{0,16})|"(?<quoted>[^"\n]{0,120})"|\[(?<field>[A-Za-z]):(?<value>[^\]\n]{0,60})\]|\{[^}\n]{0,120}\}|!(?<decoration>[^!\n]{0,40})!|(?<short>[SO])|\((?<tuplet>[2-9])(?::(?<into>\d?))?(?::(?<over>\d{0,2}))?|(?<broken>[<>]{1,3})|(?:\[(?<stack>[^\]\n"|]{0,80})\]|[_^=]{0,2}[A-Ga-g][,']{0,6}|[xzyZX])(?<times>\d{0,4})(?<parts>\/{0,4})(?<by>\d{0,4})/g

/** The notes that a tuplet of so many takes the time of. Source: ABC 2.1, section 4.13; in compound meters 5, 7 and 9 take three. */
const tupletTime = (count: number, meter: Meter): number =>
  count === 3 || count === 6
    ? 2
    : count === 2 || count === 4 || count === 8
      ? 3
      : meter.unit === 8 && meter.beats % 3 === 0
        ? 3
        : 2

/** A voice before its first note. */
const newVoice = (from: number): Tune => ({
  meter: commonTime,
  key: null,
  transposition: { steps: 0, semitones: 0 },
  unit: null,
  at: 0,
  lastNote: 0,
  broken: 1,
  tuplet: { left: 0, factor: 1 },
  ending: null,
  section: null,
  repeatStart: false,
  chords: [],
  waiting: 0,
  marks: new Set(),
  codas: [],
  from,
  measures: [],
  problems: [],
})

/**
 * Reads the first tune of an ABC text. The voice with the most chord symbols speaks; where it has none in a measure, another does, and
 * repeats, endings and signs may stand in any.
 */
export function readAbcChanges(text: string): Chart {
  const first = text.search(/^X:\s*\d/m)
  const next = text.slice(first + 2).search(/^X:\s*\d/m)
  const end = next < 0 ? text.length : first + 2 + next
  const head = newVoice(first)
  const words = {
    title: null as string | null,
    composer: null as string | null,
    style: null as string | null,
    tempo: null as number | null,
  }
  const voices = new Map<string, Tune>()
  const moved = new Map<string, Interval>()
  const voiceOf = (name: string): Tune => {
    const { meter, key, unit, transposition } = head
    const voice = voices.get(name) ?? { ...newVoice(head.from), meter, key, unit, transposition }
    voices.set(name, Object.assign(voice, { transposition: moved.get(name) ?? voice.transposition }))
    return voice
  }
  let voice: Tune | null = null
  let at = first
  for (const line of text.slice(first, end).split('\n')) {
    const lineAt = at
    at += line.length + 1
    const field = /^([A-Za-z]):\s*((?:\\%|[^%])*)/.exec(line)
    const value = (field?.[2] ?? '').trim().replaceAll('\\%', '%')
    if (field?.[1] === 'T') words.title ??= value
    else if (field?.[1] === 'C') words.composer ??= value
    else if (field?.[1] === 'R') words.style ??= value
    else if (field?.[1] === 'Q') words.tempo ??= readTempo(value.replace(/^"[^"]*"|\d+\/\d+\s*=/g, ''))
    else if (field?.[1] === 'V') {
      const transposition = transpositionIn(value)
      if (transposition) moved.set(nameOfVoice(value), transposition)
      voice &&= voiceOf(nameOfVoice(value))
    } else if (field) setField(voice ?? head, field[1]!, value)
    else if (voice && !line.startsWith('%')) {
      // A voice may be named at the start of its line.
      const named = /^\s*\[V:([^\]]*)\]/.exec(line)
      if (named) voice = voiceOf(nameOfVoice(named[1]!))
      readMusic(voice, line.replace(/(?<!\\)%.*$/, ''), lineAt)
    }
    if (field?.[1] === 'K' && !voice) voice = voiceOf(firstVoice(text.slice(first, end)))
  }
  const read = [...voices.values()].filter((each) => each.at > 0 || each.measures.length > 0 || each.chords.length > 0)
  for (const each of read) if (each.at > 0 || each.chords.length > 0) closeMeasure(each, { repeatEnd: false }, end)
  if (read.some(({ measures }) => measures.length > limits.barsWritten))
    return { ...emptyChart, problems: [tooManyMeasures] }
  const { measures, problems } = togetherOf(read)
  return chartOfMeasures(countMeasures(measures), words, problems)
}

const nameOfVoice = (value: string): string => value.trim().split(/\s/)[0] ?? ''

/** The voice that music stands in before any is named: the first that the tune names. */
const firstVoice = (tune: string): string => nameOfVoice(/^V:([^\n%]*)/m.exec(tune)?.[1] ?? '')

/** The measures of all voices as one: those of the voice with the most chords, the others' where it is silent, and the signs of each. */
function togetherOf(voices: readonly Tune[]): Pick<Tune, 'measures' | 'problems'> {
  const chordsIn = ({ measures }: Tune) => measures.reduce((sum, { chords }) => sum + chords.length, 0)
  const [first] = voices
  if (!first) return { measures: [], problems: [] }
  const lead = voices.reduce((best, voice) => (chordsIn(voice) > chordsIn(best) ? voice : best), first)
  const measures = lead.measures.map((own, i): ScoreMeasure => {
    const all = [own, ...voices.filter((voice) => voice !== lead).flatMap(({ measures }) => measures[i] ?? [])]
    const speaks = own.chords.length > 0 ? own : (all.find(({ chords }) => chords.length > 0) ?? own)
    return {
      ...own,
      chords: speaks.chords,
      section: all.find(({ section }) => section)?.section ?? null,
      ending: all.find(({ ending }) => ending)?.ending ?? null,
      repeatStart: all.some(({ repeatStart }) => repeatStart),
      repeatEnd: all.some(({ repeatEnd }) => repeatEnd),
      marks: [...new Set(all.flatMap(({ marks }) => marks))],
      codas: [...new Set(all.flatMap(({ codas = [] }) => codas))],
    }
  })
  return { measures, problems: voices.flatMap(({ problems }) => problems) }
}

function setField(tune: Tune, name: string, value: string): void {
  if (name === 'M') {
    const meter = readHeaderMeter(value)
    if (meter && goodMeter(meter)) tune.meter = meter
  } else if (name === 'L') {
    const found = /^(\d+)\/(\d+)/.exec(value)
    if (found) tune.unit = (4 * ticksPerQuarter * Number(found[1])) / Number(found[2])
  } else if (name === 'K') {
    tune.key = readHeaderKey(keyOf(value)) ?? tune.key
    tune.transposition = transpositionIn(value) ?? tune.transposition
  } else if (name === 'P') tune.section = value.replace(/\.$/, '') || tune.section
}

/** What `transpose=` adds to what is written, in semitones (ABC 2.1, section 4.6); null where a field does not say it. */
function transpositionIn(value: string): Interval | null {
  const semitones = /\btranspose=\s*([+-]?\d{1,3})\b/.exec(value)?.[1]
  return semitones === undefined ? null : statedTransposition(lettersOf(Number(semitones)), Number(semitones))
}

/** A voice's key as it sounds. */
const soundingKey = ({ key, transposition }: Tune): Key | null => key && keyUp(key, transposition)

/** A key field's tonic and mode as a header says them: `Dmix`, `Em`, `F# dor`. */
function keyOf(value: string): string {
  const [, tonic = '', mode = ''] = /^([A-G][#b]?)\s*([A-Za-z]{0,12})/.exec(value) ?? []
  const short = mode.slice(0, 3).toLowerCase()
  const names = ['mixolydian', 'dorian', 'phrygian', 'lydian', 'locrian', 'minor', 'major']
  const full =
    short === 'm'
      ? 'minor'
      : short === 'aeo'
        ? 'minor'
        : short === 'ion'
          ? 'major'
          : names.find((each) => short !== '' && each.startsWith(short))
  return full ? `${tonic} ${full}` : tonic
}

/** Without a note length, an eighth, or a sixteenth in meters under three quarters (ABC 2.1, section 3.1.7). */
const unitOf = ({ unit, meter }: Tune): number =>
  unit ?? (meter.beats / meter.unit < 0.75 ? ticksPerQuarter / 4 : ticksPerQuarter / 2)

function readMusic(tune: Tune, line: string, lineAt: number): void {
  for (const found of line.matchAll(sign)) {
    const { bar, ending, bracketed, quoted, field, value, tuplet, into, over, broken } = found.groups!
    const { decoration, short } = found.groups!
    const span = { start: lineAt + found.index, end: lineAt + found.index + found[0].length }
    if (bar) {
      readBar(tune, bar, span.end)
      if (ending) tune.ending = passesOf(ending)
    } else if (bracketed) tune.ending = passesOf(bracketed)
    else if (quoted !== undefined) readQuoted(tune, quoted, span)
    else if (field) setField(tune, field, value ?? '')
    else if (decoration !== undefined || short) decorate(tune, decoration ?? (short === 'S' ? 'segno' : 'coda'))
    else if (tuplet) {
      const count = Number(tuplet)
      tune.tuplet = { left: Number(over) || count, factor: (Number(into) || tupletTime(count, tune.meter)) / count }
    } else if (broken) breakRhythm(tune, broken)
    else if (found.groups!.times !== undefined) readNote(tune, found)
  }
}

/** Decorations that steer (ABC 2.1, section 4.14), by their letters alone. */
const steering: ReadonlyMap<string, Mark> = new Map([
  ['segno', 'Segno'],
  ['fine', 'Fine'],
  ['dacoda', 'To Coda'],
  ['dc', 'D.C.'],
  ['ds', 'D.S.'],
  ['dacapo', 'D.C.'],
  ['dcalfine', 'D.C. al Fine'],
  ['dcalcoda', 'D.C. al Coda'],
  ['dsalfine', 'D.S. al Fine'],
  ['dsalcoda', 'D.S. al Coda'],
])

function decorate(tune: Tune, name: string): void {
  const letters = name.toLowerCase().replace(/[^a-z]/g, '')
  if (letters === 'coda') tune.codas.push(tune.at > 0 ? 'end' : 'start')
  const mark = steering.get(letters)
  if (mark) tune.marks.add(mark)
}

function readNote(tune: Tune, found: RegExpMatchArray): void {
  const { times, parts = '', by, stack } = found.groups!
  if (found[0][0] === 'y') return
  const rests = /^[ZX]/.test(found[0])
  const inside = stack === undefined ? 1 : Number(/[A-Ga-g][,']*(\d+)/.exec(stack)?.[1] ?? 1)
  const length = ((Number(times || 1) * inside) / (by ? Number(by) || 1 : 2 ** parts.length)) * unitOf(tune)
  let ticks = rests ? Number(times || 1) * ticksPerBar(tune.meter) : length * tune.broken
  tune.broken = 1
  if (tune.tuplet.left > 0 && !rests) {
    ticks *= tune.tuplet.factor
    tune.tuplet = { ...tune.tuplet, left: tune.tuplet.left - 1 }
  }
  for (; tune.waiting < tune.chords.length; tune.waiting++)
    tune.chords[tune.waiting] = { ...tune.chords[tune.waiting]!, room: Math.round(ticks) }
  tune.at += ticks
  tune.lastNote = ticks
}

/** `>` gives half of the second note to the first, `<` the other way round. */
function breakRhythm(tune: Tune, signs: string): void {
  const small = 0.5 ** signs.length
  const [first, second] = signs[0] === '>' ? [2 - small, small] : [small, 2 - small]
  tune.at += tune.lastNote * (first - 1)
  tune.broken = second
}

/** A chord symbol in quotes; text that is set over or under the notes only where it steers. */
function readQuoted(tune: Tune, quoted: string, span: Span): void {
  const text = quoted.trim()
  if (/^[\^_<>@]/.test(text)) {
    for (const mark of marksIn(text.slice(1))) {
      if (mark === 'Coda') tune.codas.push(tune.at > 0 ? 'end' : 'start')
      else tune.marks.add(mark)
    }
    return
  }
  const reading = readSymbol(text)
  const [problem] = reading.problems
  if (!reading.symbol && problem) {
    const found = placedIn(text, { number: `${tune.measures.length + 1}` })
    tune.problems.push({ ...problem, severity: 'warning', span, found, expected: `${problem.expected}; read as N.C.` })
  }
  const written = reading.symbol ?? noChord
  const { semitones } = tune.transposition
  const symbol = semitones === 0 ? written : transposeSymbol(written, tune.transposition, soundingKey(tune))
  tune.chords.push({ at: Math.max(0, Math.round(tune.at)), symbol, span })
}

function readBar(tune: Tune, bar: string, end: number): void {
  const repeatEnd = bar[0] === ':'
  const opens = /[|:]:+$/.test(bar) || /^::+$/.test(bar)
  const last = tune.measures[tune.measures.length - 1]
  if (tune.at > 0 || tune.chords.length > 0) closeMeasure(tune, { repeatEnd }, end)
  else if (repeatEnd && last) tune.measures[tune.measures.length - 1] = { ...last, repeatEnd: true }
  if (repeatEnd || opens || /\|\||\]$/.test(bar)) tune.ending = null
  if (opens) tune.repeatStart = true
}

function closeMeasure(tune: Tune, { repeatEnd }: { repeatEnd: boolean }, end: number): void {
  const { meter, section, ending, repeatStart, chords, marks, codas, from, measures } = tune
  const key = soundingKey(tune)
  const size = ticksPerBar(meter)
  const length = Math.round(tune.at)
  const measure: ScoreMeasure = {
    ...{ number: `${measures.length + 1}`, meter, key, section, ending, repeatStart, repeatEnd, chords },
    endingOpen: true,
    times: null,
    marks: [...marks],
    codas,
    length: length > size && length % size === 0 ? size : length,
    partial: length > 0 && length < size,
    repeats: 0,
    span: { start: from, end },
  }
  measures.push(measure)
  // A rest for several bars stands for them all.
  for (let n = 2; n <= length / size && length % size === 0 && n <= 256 && measures.length <= limits.barsWritten; n++)
    measures.push({ ...measure, chords: [], marks: [], codas: [], repeatStart: false, repeatEnd: false, length: size })
  Object.assign(tune, {
    at: 0,
    lastNote: 0,
    chords: [],
    waiting: 0,
    marks: new Set(),
    codas: [],
    repeatStart: false,
    from: end,
    section: null,
  })
}
