/** A score as MEI 5.1 (Music Encoding Initiative), CMN: for the engraver, and for any program that reads it. */
import type { Mark } from '../brief.ts'
import { engravedStyle, symbolParts } from '../changes/printSymbol.ts'
import { type Key, nameOfKey } from '../theory/key.ts'
import type { Meter } from '../theory/meter.ts'
import { ticksPerBeat } from '../theory/meter.ts'
import { nameOf, type Pitch, type PitchClass } from '../theory/pitch.ts'
import { pageHead } from './pageHead.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'
import { xml } from './xml.ts'

export interface MeiOptions {
  /** What to put on the staff besides notes and chord symbols. */
  readonly show: readonly Mark[]
  /** The ink of targets, six-digit hex. It is dark enough to print black, and every target has its ring besides. */
  readonly accent: string
  /** Title, instrument, composer and style line above the first system; a page that has them elsewhere leaves them out. */
  readonly head: boolean
  /** Put before every id, where several scores stand in one page: `n-1-0` becomes `k2-n-1-0` with `k2-`. */
  readonly prefix: string
}

export const meiDefaults: MeiOptions = {
  show: ['targets', 'degrees', 'brackets'],
  accent: '#1f4e8c',
  head: true,
  prefix: '',
}

/**
 * Writes a part as an MEI 5.1 document: written pitch with its transposition declared; chord symbols as `harm`; a ring under
 * every target with its degree in it, the notehead in the accent; a bracket over each approach. Notes carry their role, and
 * `approach` notes theirs, as `@type`, and ids of bar and tick: `n-3-48` starts at tick 48 of bar 3.
 *
 * @returns the text of the file, the same bytes for the same score and options
 */
export function writeMei(score: Score, options: Partial<MeiOptions> = {}): string {
  const given: MeiOptions = { ...meiDefaults, ...options }
  const across: Across = { spans: bracketSpans(score), keys: keysBefore(score) }
  const bars = score.bars.map((bar, index) => [
    ...(bar.systemStart && index > 0 ? ['<sb/>'] : []),
    ...(index > 0 ? changes(bar, score.bars[index - 1]!) : []),
    ...measure(score, index, across, given),
  ])
  const [first] = score.bars
  return `${[
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1">',
    ...header(score),
    '<music><body><mdiv><score>',
    ...opening(score, first, given),
    `<section${id(given, 'music')}>`,
    ...bars.flat(),
    '</section>',
    '</score></mdiv></body></music>',
    '</mei>',
  ].join('\n')}\n`
}

const id = ({ prefix }: MeiOptions, name: string) => ` xml:id="${xml(prefix)}${name}"`
const ref = ({ prefix }: MeiOptions, name: string) => `#${xml(prefix)}${name}`

function header(score: Score): string[] {
  const composer = score.composer === null ? '' : `<composer>${xml(score.composer)}</composer>`
  return [
    '<meiHead><fileDesc>',
    `<titleStmt><title>${xml(score.title)}</title>${composer}</titleStmt>`,
    '<pubStmt/>',
    '</fileDesc><encodingDesc><appInfo><application><name>Throughline</name></application></appInfo></encodingDesc></meiHead>',
  ]
}

const clefs = {
  treble: 'clef.shape="G" clef.line="2"',
  'treble-8': 'clef.shape="G" clef.line="2" clef.dis="8" clef.dis.place="below"',
  alto: 'clef.shape="C" clef.line="3"',
  tenor: 'clef.shape="C" clef.line="4"',
  bass: 'clef.shape="F" clef.line="4"',
} as const

const signature = (sharps: number) => (sharps === 0 ? '0' : `${Math.abs(sharps)}${sharps > 0 ? 's' : 'f'}`)
const meterOf = ({ beats, unit }: Meter) => `meter.count="${beats}" meter.unit="${unit}"`

function opening(score: Score, first: ScoreBar | undefined, options: MeiOptions): string[] {
  const { steps, semitones } = score.transposition
  const transposes = steps === 0 && semitones === 0 ? '' : ` trans.diat="${steps}" trans.semi="${semitones}"`
  const signs = signature(first?.signature ?? 0)
  // A cut of a part that goes on in the same meter does not say it again.
  const unsaid = first && !first.meterShown ? ' meter.visible="false"' : ''
  const time = meterOf(first?.meter ?? { beats: 4, unit: 4 }) + unsaid
  return [
    `<scoreDef keysig="${signs}" ${time} midi.bpm="${score.tempo}">`,
    ...(options.head ? pageHead(score) : []),
    '<staffGrp>',
    `<staffDef n="1" lines="5" ${clefs[score.clef]}${transposes}>`,
    // No label: it would stand before the first system, and the page's head has it.
    `<instrDef label="${xml(score.instrument.name)}" midi.instrnum="${score.instrument.program}"/>`,
    '</staffDef>',
    '</staffGrp>',
    '</scoreDef>',
  ]
}

/** A new signature or meter within the piece. */
function changes(bar: ScoreBar, before: ScoreBar): string[] {
  const key = bar.signature === before.signature ? '' : ` keysig="${signature(bar.signature)}"`
  const time = bar.meterShown ? ` ${meterOf(bar.meter)}` : ''
  return key === '' && time === '' ? [] : [`<scoreDef${key}${time}/>`]
}

/** The first and last notes of an approach, and the bars they stand in. */
interface Span {
  readonly first: ScoreEvent
  readonly firstBar: number
  readonly last: ScoreEvent
  readonly lastBar: number
}

function bracketSpans(score: Score): ReadonlyMap<string, Span> {
  const spans = new Map<number, Span>()
  score.bars.forEach((bar, index) => {
    for (const event of bar.events) {
      if (event.figure === null || event.role !== 'approach') continue
      const before = spans.get(event.figure)
      if (before) spans.set(event.figure, { ...before, last: event, lastBar: index })
      else spans.set(event.figure, { first: event, firstBar: index, last: event, lastBar: index })
    }
  })
  return new Map([...spans.values()].map((span) => [span.first.id, span]))
}

/** What runs across bars. */
interface Across {
  readonly spans: ReadonlyMap<string, Span>
  readonly keys: ReadonlyMap<ScoreHarmony, Key | null>
}

function measure(score: Score, index: number, { spans, keys }: Across, options: MeiOptions): string[] {
  const bar = score.bars[index]!
  const right = { single: '', double: ' right="dbl"', final: ' right="end"' }[bar.barline]
  const showing = (mark: Mark) => options.show.includes(mark)
  return [
    `<measure${id(options, `bar-${bar.number}`)} n="${bar.number}"${right}>`,
    `<staff n="1"><layer n="1">${layer(bar, options)}</layer></staff>`,
    ...(bar.section === null ? [] : [`<reh tstamp="1"><rend rend="box">${xml(bar.section)}</rend></reh>`]),
    ...bar.harmony.map((harmony) => chordSymbol(bar, harmony)),
    ...(showing('brackets') ? bar.events.map((event) => bracket(score, spans.get(event.id), options)) : []),
    ...bar.events.map((event) => labels(event, options)),
    ...bar.harmony.map((harmony) => analysis(bar, harmony, keys.get(harmony) ?? null)),
    ...ties(bar, score.bars[index + 1], options),
    '</measure>',
  ].filter((line) => line !== '')
}

/** Notes and rests of a bar, beams and tuplets around them. */
function layer(bar: ScoreBar, options: MeiOptions): string {
  const parts: string[] = []
  bar.events.forEach((event, index) => {
    const [before, after] = [bar.events[index - 1], bar.events[index + 1]]
    const { tuplet } = event
    const opensTuplet = tuplet !== null && before?.tuplet?.id !== tuplet.id
    const closesTuplet = tuplet !== null && after?.tuplet?.id !== tuplet.id
    if (opensTuplet)
      parts.push(
        `<tuplet${id(options, tuplet.id)} num="${tuplet.actual}" numbase="${tuplet.normal}" num.format="count">`,
      )
    if (event.beam === 'start') parts.push('<beam>')
    parts.push(written(bar, event, options))
    if (event.beam === 'end') parts.push('</beam>')
    if (closesTuplet) parts.push('</tuplet>')
  })
  // A bar left free to write in: room for its beats, so that the chords stand over theirs.
  if (bar.events.length === 0) parts.push(`<space dur="${bar.meter.unit}"/>`.repeat(bar.meter.beats))
  return parts.join('')
}

function written(bar: ScoreBar, event: ScoreEvent, options: MeiOptions): string {
  const { pitch } = event
  const length = `dur="${event.value}"${event.dots === 0 ? '' : ` dots="${event.dots}"`}`
  if (pitch === null)
    return bar.events.length === 1 ? `<mRest${id(options, event.id)}/>` : `<rest${id(options, event.id)} ${length}/>`
  const target = event.role === 'target' && options.show.includes('targets')
  const colour = target ? ` head.color="${options.accent}"` : ''
  const place = `pname="${pitch.letter.toLowerCase()}" oct="${pitch.octave}"`
  const note = `<note${id(options, event.id)} type="${event.role}" ${length} ${place}${colour}`
  const sign = accidental(pitch, event.accidental)
  return sign === '' ? `${note}/>` : `${note}>${sign}</note>`
}

const signs: Readonly<Record<number, string>> = { [-2]: 'ff', [-1]: 'f', 0: 'n', 1: 's', 2: 'x' }

/** A printed accidental is written; one that the signature or the bar gives is only said to sound. */
function accidental({ alter }: Pitch, shown: ScoreEvent['accidental']): string {
  const sign = signs[alter] ?? 'n'
  if (shown === 'shown') return `<accid accid="${sign}"/>`
  if (shown === 'cautionary') return `<accid accid="${sign}" func="caution" enclose="paren"/>`
  return alter === 0 ? '' : `<accid accid.ges="${sign}"/>`
}

/** A tick of a bar as MEI counts beats: from 1, in the meter's own unit. */
const beatAt = ({ meter }: ScoreBar, tick: number): string => {
  const beat = 1 + tick / ticksPerBeat(meter)
  return String(Number(beat.toFixed(4)))
}

const withSigns = (text: string): string => text.replace(/b/g, '♭').replace(/#/g, '♯')
/** Degrees and numerals with flats and sharps as signs: `b7`, `bb7`, `V/bVI`; the `b` of `subV` is a letter. */
const onPaper = (text: string): string =>
  text.replace(/(^|[ /])([b#]+)/g, (_, before, signs) => before + withSigns(signs))
const noteOnPaper = (note: PitchClass): string => withSigns(nameOf({ letter: note.letter, alter: note.alter }))

function chordSymbol(bar: ScoreBar, harmony: ScoreHarmony): string {
  const { root, accidental, main, superscript, alterations, bare, bass } = symbolParts(harmony, engravedStyle)
  const listed = alterations.length === 0 ? '' : bare ? alterations.join('') : `(${alterations.join(',')})`
  const raised = superscript + listed
  const above = raised === '' ? '' : `<rend rend="sup" fontsize="130%">${xml(raised)}</rend>`
  const under = bass === null ? '' : `/${bass}`
  const text = `<rend fontsize="112%">${xml(root + accidental + main)}${above}${under}</rend>`
  return `<harm tstamp="${beatAt(bar, harmony.at)}" place="above">${text}</harm>`
}

/**
 * A bracket over an approach. Over several notes it runs from the first to the last; over one it spans that note's time, since
 * a span that starts and ends on one note is not drawn.
 */
function bracket(score: Score, span: Span | undefined, options: MeiOptions): string {
  if (!span) return ''
  const { first, firstBar, last, lastBar } = span
  const open = `<bracketSpan func="ligature" lform="solid" type="approach" startid="${ref(options, first.id)}"`
  if (first !== last) return `${open} endid="${ref(options, last.id)}"/>`
  const bar = score.bars[lastBar]!
  return `${open} tstamp2="${lastBar - firstBar}m+${beatAt(bar, first.at + first.ticks * 0.8)}"/>`
}

/** What stands under a note: its degree, ringed on a target, and its name. */
function labels(event: ScoreEvent, options: MeiOptions): string {
  if (event.pitch === null || event.tie === 'middle' || event.tie === 'end') return ''
  const showing = (mark: Mark) => options.show.includes(mark)
  const at = `startid="${ref(options, event.id)}" place="below"`
  const text = (rend: string, content: string) =>
    `<rend${rend} halign="center" fontstyle="normal" fontsize="75%">${content}</rend>`
  const degree = showing('degrees') && event.degree !== null ? onPaper(event.degree) : null
  const parts: string[] = []
  if (event.role === 'target' && showing('targets')) {
    const ink = ` color="${options.accent}"`
    parts.push(`<dir type="target" ${at} vgrp="1"${ink}>${text(` rend="circle"${ink}`, degree ?? '•')}</dir>`)
  } else if (degree !== null) parts.push(`<dir type="degree" ${at} vgrp="1">${text('', degree)}</dir>`)
  if (showing('names')) parts.push(`<dir type="name" ${at} vgrp="2">${text('', noteOnPaper(event.pitch))}</dir>`)
  return parts.join('')
}

/** Function and scale under a chord, where the score has them, and the local key before the function where it is a new one. */
function analysis(
  bar: ScoreBar,
  { at, function: numeral, localKey, scaleName }: ScoreHarmony,
  keyBefore: Key | null,
): string {
  const place = `tstamp="${beatAt(bar, at)}" place="below"`
  const text = (content: string) => `<rend fontstyle="normal" fontsize="75%">${xml(content)}</rend>`
  const parts: string[] = []
  if (numeral !== null) {
    const moved = localKey !== null && (keyBefore === null || nameOfKey(localKey) !== nameOfKey(keyBefore))
    const key = moved ? `${noteOnPaper(localKey.tonic)}${localKey.mode === 'minor' ? 'm' : ''}: ` : ''
    parts.push(`<dir type="function" ${place} vgrp="3">${text(key + onPaper(numeral))}</dir>`)
  }
  if (scaleName !== null) parts.push(`<dir type="scale" ${place} vgrp="4">${text(scaleName)}</dir>`)
  return parts.join('')
}

/** The local key of the chord before each chord of the score. */
function keysBefore(score: Score): ReadonlyMap<ScoreHarmony, Key | null> {
  let key: Key | null = null
  const before = new Map<ScoreHarmony, Key | null>()
  for (const harmony of score.bars.flatMap((bar) => bar.harmony)) {
    before.set(harmony, key)
    key = harmony.localKey ?? key
  }
  return before
}

/** Ties from notes of this bar to those they are held into. */
function ties(bar: ScoreBar, after: ScoreBar | undefined, options: MeiOptions): string[] {
  return bar.events.flatMap((event, at) => {
    if (event.tie !== 'start' && event.tie !== 'middle') return []
    const next = bar.events[at + 1] ?? after?.events[0]
    return next ? [`<tie startid="${ref(options, event.id)}" endid="${ref(options, next.id)}"/>`] : []
  })
}
