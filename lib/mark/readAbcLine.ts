/** The line in a tune of ABC notation: one voice, as it sounds. The tune is parsed by abcjs. */
import Parse from 'abcjs/src/parse/abc_parse.js'
import type { Mark } from '../changes/chart.ts'
import { readSymbol } from '../changes/symbol/readSymbol.ts'
import { transposeSymbol } from '../changes/transposeChart.ts'
import { chartOfMeasures, type ScoreMeasure } from '../changes/xml/scoreBars.ts'
import type { Problem } from '../problem.ts'
import { carriedName } from '../score/carriedRoles.ts'
import { type Key, keyAt, signatureOf, signOfLetter, transposeKey } from '../theory/key.ts'
import { commonTime, type Meter, ticksPerBar } from '../theory/meter.ts'
import { chromaOf, type Interval, letters, noteAtFifths, type Pitch } from '../theory/pitch.ts'
import { choosePart } from './choosePart.ts'
import {
  lettersOf,
  playMeasures,
  problem,
  type Reading,
  sounding,
  type WrittenMeasure,
  type WrittenNote,
  withoutPickup,
} from './played.ts'

/** Whether a text is ABC notation: it has the two fields that every tune has. */
export const isAbc = (text: string): boolean => /^X:\s*\d/m.test(text) && /^K:/m.test(text)

/** The longest tune that is read, in characters. */
const longestAbc = 400_000

/** Reads the line of the first tune of a text; `part` by number, else the first voice with notes. */
export function readAbcLine(text: string, part: string | null): Reading {
  if (text.length > longestAbc)
    return {
      played: null,
      problems: [problem('too-large', `${text.length} characters of ABC`, `at most ${longestAbc}`, 'give one tune')],
    }
  const parser = new Parse()
  try {
    parser.parse(text)
  } catch {
    return {
      played: null,
      problems: [
        problem('unreadable-file', 'ABC that its reader stops at', 'a tune', 'check its fields, X: first and K: last'),
      ],
    }
  }
  const tune = parser.getTune()
  const voices = new Map<string, { name: string; elements: Parsed[]; head: Head }>()
  for (const { staff = [] } of tune.lines ?? [])
    for (const [s, each] of staff.entries())
      for (const [v, elements] of each.voices.entries()) {
        const id = `${s}.${v}`
        const voice = voices.get(id) ?? { name: `Voice ${voices.size + 1}`, elements: [], head: headOf(each) }
        voices.set(id, voice)
        voice.elements.push(...elements)
      }
  const chosen = choosePart(
    [...voices.values()].filter(({ elements }) => elements.some(({ pitches }) => pitches)),
    part,
  )
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const { elements, head } = chosen.part
  const { measures, written, problems, lengths } = readElements(elements, head)
  if (problems.length > 0) return { played: null, problems }
  const { title, composer, tempo } = tune.metaText ?? {}
  const bpm = tempo?.bpm && tempo.bpm > 0 ? tempo.bpm * 4 * (tempo.duration?.[0] ?? 0.25) : null
  const words = { title: title || null, composer: composer || null, style: null, tempo: bpm && Math.round(bpm) }
  const whole = chartOfMeasures(measures, words, [])
  const isPickup = measures.length > 1 && lengths[0]! < ticksPerBar(whole.meter)
  const chart = isPickup ? withoutPickup(whole) : whole
  const pickup = isPickup ? { measure: written[0]!, ticks: lengths[0]! } : null
  return {
    played: {
      chart,
      notes: playMeasures(isPickup ? written.slice(1) : written, chart, pickup),
      name: null,
      program: programIn(text),
      transposition: head.transposition,
      parts: [...voices.values()].map(({ name }) => name),
      spelled: true,
      carried: new RegExp(`^%\\s*${carriedName} (\\S+)`, 'm').exec(text)?.[1] ?? null,
    },
    problems: [],
  }
}

/** The General MIDI program that a tune asks for; null where it asks for none. */
function programIn(text: string): number | null {
  const program = Number(/^%%MIDI program (?:\d+ )?(\d+)/m.exec(text)?.[1] ?? Number.NaN)
  return program >= 0 && program <= 127 ? program : null
}

interface Head {
  readonly meter: Meter
  readonly key: Key
  readonly transposition: Interval
  /** An octave clef moves what is written. */
  readonly octave: number
}

type Parsed = NonNullable<
  NonNullable<ReturnType<Parse['getTune']>['lines']>[number]['staff']
>[number]['voices'][number][number]
type Staff = NonNullable<NonNullable<ReturnType<Parse['getTune']>['lines']>[number]['staff']>[number]

function headOf(staff: Staff): Head {
  const semitones = staff.clef?.transpose ?? 0
  const key = keyIn(staff.key ?? {}) ?? { tonic: { letter: 'C', alter: 0 }, mode: 'major' }
  const plain: Interval = { steps: lettersOf(semitones), semitones }
  // A key of more signs than are read sounds under its other name.
  const signs = signatureOf(transposeKey(key, plain))
  const steps = plain.steps + (signs < -6 ? -1 : signs > 6 ? 1 : 0)
  const octave = /-8/.test(staff.clef?.type ?? '') ? -1 : /\+8/.test(staff.clef?.type ?? '') ? 1 : 0
  return { meter: meterIn(staff.meter ?? {}) ?? commonTime, key, transposition: { steps, semitones }, octave }
}

const signs: ReadonlyMap<string, number> = new Map([
  ['dblflat', -2],
  ['flat', -1],
  ['natural', 0],
  ['sharp', 1],
  ['dblsharp', 2],
])

/** The key of a K: field by its signature; modes count as the major or minor key that has their signature. */
function keyIn({ accidentals = [], mode }: Pick<Parsed, 'accidentals' | 'root' | 'acc' | 'mode'>): Key | null {
  const fifths = accidentals.reduce((sum, { acc }) => sum + (acc === 'sharp' ? 1 : acc === 'flat' ? -1 : 0), 0)
  if (Math.abs(fifths) > 7) return null
  const minor = mode === 'm'
  return { tonic: noteAtFifths(fifths + (minor ? 3 : 0)), mode: minor ? 'minor' : 'major' }
}

function meterIn({ type, value }: Pick<Parsed, 'type' | 'value'>): Meter | null {
  if (type === 'common_time') return commonTime
  if (type === 'cut_time') return { beats: 2, unit: 2 }
  const beats = value?.reduce((sum, { num }) => sum + num.split('+').reduce((all, each) => all + Number(each), 0), 0)
  const unit = Number(value?.at(-1)?.den ?? 4)
  return beats && beats > 0 && beats <= 64 && [1, 2, 4, 8, 16, 32].includes(unit) ? { beats, unit } : null
}

const marksByDecoration: ReadonlyMap<string, Mark> = new Map([
  ['segno', 'Segno'],
  ['coda', 'Coda'],
  ['fine', 'Fine'],
  ['D.C.', 'D.C.'],
  ['D.S.', 'D.S.'],
  ['D.C.alfine', 'D.C. al Fine'],
  ['D.S.alfine', 'D.S. al Fine'],
  ['D.C.alcoda', 'D.C. al Coda'],
  ['D.S.alcoda', 'D.S. al Coda'],
])

function readElements(elements: readonly Parsed[], head: Head) {
  const measures: ScoreMeasure[] = []
  const written: WrittenMeasure[] = []
  const lengths: number[] = []
  const problems: Problem[] = []
  let { meter, key } = head
  let ending: readonly number[] | null = null
  let repeatStart = false
  let section: string | null = null
  let factor = 1
  let bar = open()

  function open() {
    return {
      at: 0,
      notes: [] as WrittenNote[],
      chords: [] as ScoreMeasure['chords'][number][],
      marks: new Set<Mark>(),
      signs: new Map<number, number>(),
      from: null as Parsed | null,
      /** The note or rest read last. */
      last: null as { at: number; ticks: number } | null,
    }
  }
  const concert = (): Key => {
    const moved = transposeKey(key, head.transposition)
    return Math.abs(signatureOf(moved)) > 7 ? keyAt(chromaOf(moved.tonic), moved.mode) : moved
  }
  const close = (repeatEnd: boolean) => {
    if (bar.at === 0 && bar.chords.length === 0) return
    const size = ticksPerBar(meter)
    // Chords of a pickup stand at the end of a whole bar.
    const short = measures.length === 0 && bar.at < size ? size - bar.at : 0
    const span = { start: bar.from?.startChar ?? 0, end: bar.from?.endChar ?? 0 }
    const chords = bar.chords.map((chord) => ({ ...chord, at: Math.round(chord.at + short) }))
    measures.push({
      meter,
      key: concert(),
      section,
      ending,
      repeatStart,
      repeatEnd,
      times: null,
      marks: [...bar.marks],
      chords,
      repeats: 0,
      span,
    })
    written.push({ notes: bar.notes })
    lengths.push(Math.round(bar.at))
    repeatStart = false
    bar = open()
  }

  for (const element of elements) {
    bar.from ??= element
    const { el_type: kind, type = '' } = element
    if (kind === 'key') key = keyIn(element) ?? key
    else if (kind === 'meter') meter = meterIn(element) ?? meter
    else if (kind === 'part') section = element.title ?? section
    else if (kind === 'bar') {
      for (const word of element.decoration ?? []) {
        const mark = marksByDecoration.get(word)
        if (mark) bar.marks.add(mark)
      }
      close(/right_repeat|dbl_repeat/.test(type))
      if (element.endEnding) ending = null
      if (element.startEnding) ending = [...element.startEnding.matchAll(/\d+/g)].map(Number)
      if (ending?.length === 0) ending = null
      if (/left_repeat|dbl_repeat/.test(type)) repeatStart = true
    } else if (kind === 'note') readNote(element)
  }
  close(false)
  return { measures, written, lengths, problems }

  /** Where a chord enters. One on a spacer entered while the note before it was held: in the middle of the bar, or on a beat. */
  function chordPlace({ rest }: Parsed): number {
    const { last } = bar
    if (rest?.type !== 'spacer' || !last) return bar.at
    const size = ticksPerBar(meter)
    const beats = Array.from({ length: 2 * meter.beats }, (_, i) => (i * size) / (2 * meter.beats))
    const places = [beats[2 * Math.ceil(meter.beats / 2)] ?? 0, ...beats.filter((_, i) => i % 2 === 0), ...beats]
    return places.find((place) => place > last.at && place < last.at + last.ticks) ?? bar.at
  }

  function readNote(element: Parsed): void {
    if (element.startTriplet) factor = element.tripletMultiplier ?? 2 / 3
    for (const { name, position } of element.chord ?? []) {
      if (position !== 'default') continue
      const { symbol } = readSymbol(name.replace(/♭/g, 'b').replace(/♯/g, '#'))
      const span = { start: element.startChar ?? 0, end: element.endChar ?? 0 }
      if (symbol)
        bar.chords.push({
          at: chordPlace(element),
          symbol: transposeSymbol(symbol, head.transposition, concert()),
          span,
        })
    }
    const spacer = element.rest?.type === 'spacer'
    const many = element.rest?.type === 'multimeasure' ? Number(element.rest.text ?? 1) || 1 : 0
    const ticks = spacer ? 0 : many > 0 ? ticksPerBar(meter) : (element.duration ?? 0) * 96 * factor
    if (element.endTriplet) factor = 1
    for (let more = 1; more < Math.min(many, 2_048); more++) {
      bar.at += ticks
      close(false)
    }
    const { pitches = [] } = element
    if (pitches.length > 1 && problems.length === 0)
      problems.push(
        problem(
          'polyphony',
          `notes that sound together in bar ${measures.length + 1}`,
          'one note at a time',
          'give the line a voice of its own',
          element.startChar,
          element.endChar,
        ),
      )
    const [note] = pitches
    if (note) {
      // ABC 2.1: an accidental holds for its letter, in every octave, to the end of the bar.
      const step = ((note.pitch % 7) + 7) % 7
      const letter = letters[step]!
      const sign = signs.get(note.accidental ?? '')
      if (sign !== undefined) bar.signs.set(step, sign)
      const tied = note.endTie !== undefined
      const last = bar.notes.at(-1) ?? written.at(-1)?.notes.at(-1)
      const octave = 4 + Math.floor(note.pitch / 7) + head.octave
      const usual: Pitch = {
        letter,
        alter: sign ?? bar.signs.get(step) ?? signOfLetter(signatureOf(key), letter),
        octave,
      }
      const pitch =
        tied && sign === undefined && last?.tiedOn && bar.at === 0 ? last.pitch : sounding(usual, head.transposition)
      const [start, end] = [Math.round(bar.at), Math.round(bar.at + ticks)]
      bar.notes.push({ at: start, ticks: end - start, pitch, tiedBack: tied, tiedOn: note.startTie !== undefined })
    }
    if (!spacer) bar.last = { at: bar.at, ticks }
    bar.at += ticks
  }
}
