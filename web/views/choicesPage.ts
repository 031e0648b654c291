/** What can be chosen about one note: other targets, other figures, what to keep, another line; each a link to where it leads. */
import type { Brief } from '../../lib/brief.ts'
import { inWords } from '../../lib/choices/choices.ts'
import type { Alternative } from '../../lib/line/alternatives.ts'
import { isAwkward } from '../../lib/line/askedLetters.ts'
import { fingerLine } from '../../lib/line/fingerLine.ts'
import type { Line, LineNote } from '../../lib/line/line.ts'
import { alternatives, homeOf } from '../../lib/lines/write.ts'
import { writtenHarmony } from '../../lib/score/harmonyMarks.ts'
import type { Score } from '../../lib/score/score.ts'
import { familyOf } from '../../lib/theory/chord.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { keyName } from '../../lib/theory/key.ts'
import { ticksPerQuarter } from '../../lib/theory/meter.ts'
import { invert, midiOf, nameOf, naturalAt, type Pitch, transposePitch } from '../../lib/theory/pitch.ts'
import { type ScaleName, scaleChromas, scaleDegrees } from '../../lib/theory/scale.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import { addressOf, type Given, plainGiven } from '../server/address.ts'
import { type Answer, bytesAnswer, pageAnswer } from '../server/answer.ts'
import { placed } from '../server/assets.ts'
import { another, pinned, pinsOf, readBars, unpinned, withoutPin } from '../server/choosing.ts'
import type { ChoicesQuestion, KeepQuestion } from '../server/workerRequest.ts'
import { problemPage, readState } from './pages.ts'
import { partOf } from './sheets.ts'
import { smallNotes } from './smallNotes.ts'
import { fill } from './templates.ts'
import { placeName, shownNotes } from './words.ts'

interface Option {
  readonly what: string
  /** A figure as small notes, in place of its words; empty for what is no figure. */
  readonly picture: string
  readonly detail: string
  readonly href: string
  /** It is what stands there now. */
  readonly chosen: boolean
}

interface Group {
  readonly heading: string
  readonly kind: string
  /** A reason, where there is one to give. */
  readonly note: string
  readonly options: readonly Option[]
  /** The less likely ones, shown on request. */
  readonly more: readonly Option[]
}

/** Alternatives of a kind shown at once; the rest on request. */
const shownAtOnce = 6

/** Answers with the choices at a place: a page of its own, or bare for the page's script. */
export function answerChoices({ given: asked, badLink, at, chosen, bare }: ChoicesQuestion): Answer {
  const state = readState(asked, badLink)
  const { given, brief, view, shown: written } = state
  const [line] = written.lines
  if (state.problems.length > 0 || !line) return problemPage(state)
  const score = partOf(line, brief, '4')
  const shown = shownNotes(score, line, given.pins).find((each) => each.at === at)
  if (!shown) return problemPage(state, 'There is no note at that place any more.')
  const to = (next: Given) => addressOf(plainGiven(next)) ?? './'
  const option = (what: string, next: Given, detail = '', isChosen = false): Option => ({
    what,
    picture: '',
    detail,
    href: to(next),
    chosen: isChosen,
  })
  const bars = readBars(chosen) ?? ([shown.bar, shown.bar] as const)
  const home = keyName(homeOf(written.chart, brief).harmony.key)
  const choices = {
    at,
    heading: shown.label,
    groups: [
      ...(keyName(line.key) === home
        ? [
            ...alternativeGroups(line, score, brief, given, shown.note, option),
            ...keepGroups(line, given, bars, shown.note, option),
          ]
        : [
            group('Other notes', 'deeds', [
              option(`Choose in ${withSigns(home)}, the tune’s own key`, { ...given, keys: '' }),
            ]),
          ]),
      ...scaleGroups(line, brief, given, shown.note, option),
      ...fingeringGroups(line, brief, given, shown.note, option),
      group('New notes', 'deeds', [
        option(inBars(bars), another(given, rangeName(bars))),
        option('Everywhere', another(given, 'all')),
        option(`Show only ${barsName(bars)}`, { ...given, bars: `${bars[0]}-${bars[1]}` }),
      ]),
    ],
  }
  if (bare) return pageAnswer(200, fill('choices', choices))
  const title = `${shown.label} – Throughline`
  return pageAnswer(200, fill('choicesPage', { title, ...placed(), view, choices, back: to(given) }))
}

type MakeOption = (what: string, next: Given, detail?: string, isChosen?: boolean) => Option
type Bars = readonly [number, number]

const rangeName = ([from, to]: Bars): string => (from === to ? String(from) : `${from}-${to}`)
const barsName = ([from, to]: Bars): string => (from === to ? `bar ${from}` : `bars ${from} to ${to}`)
const inBars = (bars: Bars): string => `In ${barsName(bars)}`

const group = (heading: string, kind: string, options: readonly Option[]): Group => ({
  heading,
  kind,
  note: '',
  options: options.slice(0, kind === 'deeds' ? options.length : shownAtOnce),
  more: kind === 'deeds' ? [] : options.slice(shownAtOnce),
})

/** How the note is fingered in its place, why so, and what else would do; nothing where no table tells. */
function fingeringGroups(line: Line, brief: Brief, given: Given, index: number, option: MakeOption): readonly Group[] {
  const chosen = fingerLine(line, brief)[index]
  if (!chosen) return []
  const others = chosen.others.map(({ label, name }) => `${label} (${name})`)
  const also = others.length === 0 ? '' : ` Others: ${others.slice(0, shownAtOnce).join('; ')}.`
  const marks = (['none', 'choices', 'all'] as const).map((value) =>
    option(inWords('fingering', value), { ...given, fingering: value }, '', brief.fingering === value),
  )
  return [{ ...group('How to finger it', 'deeds', marks), note: `${capital(chosen.why)}.${also}` }]
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** The target that a note is, leads to or leaves; null for a note between figures. */
function targetOf(line: Line, note: LineNote): { readonly bar: number; readonly start: number } | null {
  if (note.role === 'target') return note
  const figure = note.figure === null ? null : line.figures[note.figure]
  return figure ? (line.targets[figure.target] ?? null) : null
}

const kindsFor: Readonly<Record<LineNote['role'], readonly Alternative['kind'][]>> = {
  target: ['landing', 'approach', 'cell'],
  approach: ['approach'],
  cell: ['cell'],
  connect: [],
  rest: [],
}
const headings: Readonly<Record<Alternative['kind'], string>> = {
  landing: 'Target',
  approach: 'Approached by',
  cell: 'Then',
}

function alternativeGroups(
  line: Line,
  score: Score,
  brief: Brief,
  given: Given,
  index: number,
  option: MakeOption,
): readonly Group[] {
  const note = line.notes[index]!
  const target = targetOf(line, note)
  if (!target) return []
  const beat = 1 + (target.start - line.harmony.bars[target.bar - 1]!.start) / ticksPerQuarter
  const found = alternatives(brief, target.bar, beat)
  const up = invert(score.transposition)
  const read = (pitch: Pitch) => withSigns(nameOf(plainly(transposePitch(pitch, up))))
  const drawn = (pitches: readonly Pitch[], target: number): string =>
    smallNotes(
      pitches.map((pitch) => plainly(transposePitch(pitch, up))),
      score.clef,
      target,
    )
  const landing = line.notes.find(({ role, start }) => role === 'target' && start === target.start)?.pitch
  return kindsFor[note.role]
    .map((kind) => {
      const list = found.filter((each) => each.kind === kind)
      const options = list.map((each) => {
        const heard =
          each.count > 0
            ? `heard ${each.count} ${each.count === 1 ? 'time' : 'times'} in recorded solos`
            : 'not counted in recorded solos'
        const next = pinned(given, each.pin)
        if (kind === 'landing')
          return option(`${withSigns(each.degree ?? '')}`, next, `${read(each.notes[0]!)}, ${heard}`, each.now)
        const notes = kind === 'approach' && landing ? [...each.notes, landing] : each.notes
        const picture = drawn(notes, kind === 'approach' ? each.notes.length : 0)
        // On which sides the notes of an enclosure lie, the picture shows.
        const [name = ''] = each.name.split(', ')
        return { ...option('', next, `${name}, ${heard}`, each.now), picture }
      })
      // What stands there now comes first.
      return group(headings[kind], kind, [...options.filter((o) => o.chosen), ...options.filter((o) => !o.chosen)])
    })
    .filter(({ options }) => options.length > 0)
}

/** A pitch under the name that is read without a second thought. */
function plainly(pitch: Pitch): Pitch {
  const hard = Math.abs(pitch.alter) > 1 || isAwkward(pitch)
  return hard ? naturalAt(midiOf(pitch), pitch.alter > 0 ? 'sharp' : 'flat') : pitch
}

/** What to keep while the rest changes, and what to let go again. */
function keepGroups(line: Line, given: Given, bars: Bars, index: number, option: MakeOption): readonly Group[] {
  const note = line.notes[index]!
  const { harmony } = line
  const place = placeName(note.bar, note.start - harmony.bars[note.bar - 1]!.start)
  const keep: Option[] = []
  const now = pinsOf(given)
  const notePin = `${place}=${nameOf(note.pitch!)}`
  if (!now.includes(notePin)) keep.push(option('This note', pinned(given, notePin)))
  const target = targetOf(line, note)
  if (target) {
    const figure = line.figures.find(
      ({ kind, target: t }) => kind === 'approach' && line.targets[t]?.start === target.start,
    )
    const there = placeName(target.bar, target.start - harmony.bars[target.bar - 1]!.start)
    if (figure && note.role !== 'cell') {
      const pin = `${there}=${figure.offsets.map((o) => (o > 0 ? `+${o}` : o)).join(' ')}`
      if (!now.includes(pin)) keep.push(option('Its approach', pinned(given, pin)))
    }
  }
  const whole = keptBars(given, line, bars)
  if (whole.pins !== given.pins) keep.push(option(barsName(bars).replace('bar', 'Bar'), whole))
  const groups: Group[] = []
  if (keep.length > 0) groups.push(group('Keep', 'deeds', keep))
  const kept = now.filter((pin) => pin.startsWith(`${place}=`) || pin.startsWith(`${note.bar}=`))
  if (now.length > 0) {
    const letGo = kept.map((pin) => option(withSigns(pin.replace(/^[^=]*=/, '')), withoutPin(given, pin)))
    const within = unpinned(given, bars)
    if (within.pins !== given.pins) letGo.push(option(inBars(bars), within))
    letGo.push(option('Everywhere', unpinned(given, 'all')))
    groups.push(group('Unpin', 'deeds', letGo))
  }
  return groups
}

/** Why the chord under a note takes its scale, and the others that hold its notes; over a dominant the fifth may be altered. */
function scaleGroups(line: Line, brief: Brief, given: Given, index: number, option: MakeOption): readonly Group[] {
  const note = line.notes[index]!
  const at = line.harmony.chords.findLastIndex(({ start }) => start <= note.start)
  const sounding = line.harmony.chords[at]
  if (!sounding?.chord || !sounding.scale) return []
  const place = placeName(sounding.bar, sounding.start - line.harmony.bars[sounding.bar - 1]!.start)
  const dominant = familyOf(sounding.chord) === 'dominant'
  const tones = sounding.chord.degrees.filter((degree) => !(dominant && degree === '5')).map(degreeChroma)
  const fitting = scaleNames.filter((name) => tones.every((tone) => scaleChromas(name).includes(tone)))
  const rest = (given.scales ?? '')
    .split(',')
    .filter((each) => each.trim() !== '' && !each.trim().startsWith(`${place}=`))
  const options = fitting.map((name) =>
    option(name, { ...given, scales: [...rest, `${place}=${name}`].join(',') }, '', name === sounding.scale!.name),
  )
  const { symbol, reason } = writtenHarmony(line, brief).chords[at]!
  const made = group(`Scale over ${withSigns(symbol)}`, 'scale', [
    ...options.filter(({ chosen }) => chosen),
    ...options.filter(({ chosen }) => !chosen),
  ])
  return [{ ...made, note: withSigns(reason) }]
}

const scaleNames = Object.keys(scaleDegrees) as ScaleName[]

/** With the notes of bars pinned as they stand; a bar into which a note is held has no pin of its own. */
function keptBars(given: Given, line: Line, [from, to]: readonly [number, number]): Given {
  let whole = given
  for (let bar = from; bar <= Math.min(to, line.harmony.bars.length); bar++) {
    const pin = barPin(line, bar)
    if (pin) whole = pinned(whole, pin)
  }
  return whole
}

/** The pins of a state with some bars kept as they stand, as plain text. */
export function answerKeep({ given, bars }: KeepQuestion): Answer {
  const [line] = readState(given, false).shown.lines
  const pins = line ? keptBars(given, line, bars).pins : given.pins
  return bytesAnswer(200, 'text/plain; charset=utf-8', Buffer.from(pins ?? '', 'utf8'), true)
}

/** A whole bar as a pin: its notes with their ticks where they are no eighths. Null where a note is held into it. */
function barPin(line: Line, bar: number): string | null {
  const { start, ticks } = line.harmony.bars[bar - 1] ?? { start: 0, ticks: 0 }
  const notes = line.notes.filter((note) => note.start >= start && note.start < start + ticks)
  if (notes.length === 0 || notes[0]!.start !== start) return null
  const words = notes.map(({ pitch, ticks: own }) => {
    const name = pitch ? nameOf(pitch) : '-'
    return own === ticksPerQuarter / 2 ? name : `${name}/${own}`
  })
  return `${bar}=${words.join(' ')}`
}
