/** What stands over and under a staff in MEI: chord symbols, what is heard of the harmony, labels of notes, ties. */
import type { Mark } from '../brief.ts'
import { engravedStyle, type SymbolStyle, symbolParts } from '../changes/symbol/printSymbol.ts'
import type { PitchClass } from '../theory/pitch.ts'
import { printSigns, signsOf } from '../theory/signs.ts'
import { labelsOf } from './harmonyLabels.ts'
import { beatAt } from './meiBrackets.ts'
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
  /** The lines of music that begin a page, the first being 0; where pages break is for the engraver to find where there are none. */
  readonly pages: readonly number[]
}

export const meiDefaults: MeiOptions = {
  show: ['targets', 'degrees', 'brackets'],
  accent: '#1f4e8c',
  head: true,
  prefix: '',
  pages: [],
}

/**
 * What the ids of a part begin with where several stand on a page: those of the first stand as they are.
 *
 * @example
 * prefixOfPart(1) // => ''
 * prefixOfPart(3) // => 'k3-'
 */
export const prefixOfPart = (part: number): string => (part === 1 ? '' : `k${part}-`)

export const id = ({ prefix }: MeiOptions, name: string) => ` xml:id="${xml(prefix)}${name}"`
export const ref = ({ prefix }: MeiOptions, name: string) => `#${xml(prefix)}${name}`

const noteOnPaper = (note: PitchClass): string => note.letter + printSigns(signsOf(note.alter))

/** What keeps note names, and all below them, clear of rings: these reach further down than the text that the engraver looks at. */
const clearOfRings = ({ show }: MeiOptions): string =>
  show.includes('targets') && show.includes('names') ? ' vo="-0.9"' : ''

/** A chord's symbol over the staff, unless it goes on, and under it what an analysis says of it. */
export function chordMarks(
  score: Pick<Score, 'symbols' | 'tablature'>,
  bar: ScoreBar,
  harmony: ScoreHarmony,
  options: MeiOptions,
): string {
  const { symbols = engravedStyle, tablature } = score
  // Of several staves it has to name its own.
  const at = `${tablature ? 'staff="1" ' : ''}tstamp="${beatAt(bar, harmony.at)}"`
  return (harmony.again ? '' : chordSymbol(at, harmony, symbols)) + analysis(`${at}${clearOfRings(options)}`, harmony)
}

function chordSymbol(at: string, harmony: ScoreHarmony, style: SymbolStyle): string {
  const { root, accidental, main, superscript, alterations, bare, bass } = symbolParts(harmony, style)
  const listed = alterations.length === 0 ? '' : bare ? alterations.join('') : `(${alterations.join(',')})`
  const raised = superscript + listed
  const above = raised === '' ? '' : `<rend rend="sup" fontsize="130%">${xml(raised)}</rend>`
  const under = bass === null ? '' : `/${bass}`
  const text = `<rend fontsize="112%">${xml(root + accidental + main)}${above}${under}</rend>`
  return `<harm ${at} place="above">${text}</harm>`
}

/**
 * The key where it is a new one, the numeral and the scale, each line in a row of its own. These are `harm`, which keep off each
 * other as chord symbols do, and stand in one row all along a line by their `@n`.
 */
function analysis(at: string, harmony: ScoreHarmony): string {
  const { key, numeral, scale } = labelsOf(harmony)
  const row = (type: string, n: number, content: string) =>
    `<harm n="${n}" type="${type}" ${at} place="below"><rend fontsize="75%">${content}</rend></harm>`
  const turn = key === null ? [] : [`<rend fontweight="bold">${xml(key)}</rend>`]
  const said = [...turn, ...(numeral === null ? [] : [xml(numeral)])]
  return [
    ...(said.length === 0 ? [] : [row('function', 2, said.join(' '))]),
    ...scale.map((line, i) => row('scale', 3 + i, xml(line))),
  ].join('')
}

/** What stands under a note: its degree, ringed on a target, and its name. */
export function labels(event: ScoreEvent, options: MeiOptions): string {
  if (event.pitch === null || event.tie === 'middle' || event.tie === 'end') return ''
  const fingering = event.fingering
    ? `<fing startid="${ref(options, event.id)}" place="above">${xml(event.fingering.text)}</fing>`
    : ''
  const showing = (mark: Mark) => options.show.includes(mark)
  const at = `startid="${ref(options, event.id)}" place="below"`
  const text = (rend: string, content: string) =>
    `<rend${rend} halign="center" fontstyle="normal" fontsize="75%">${content}</rend>`
  const degree = showing('degrees') && event.degree !== null ? printSigns(event.degree) : null
  const parts: string[] = []
  if (event.role === 'target' && showing('targets')) {
    const ink = ` color="${options.accent}"`
    parts.push(`<dir type="target" ${at} vgrp="1"${ink}>${text(` rend="circle"${ink}`, degree ?? '•')}</dir>`)
  } else if (degree !== null) parts.push(`<dir type="degree" ${at} vgrp="1">${text('', degree)}</dir>`)
  if (showing('names')) {
    const name = text('', noteOnPaper(event.pitch))
    parts.push(`<dir type="name" ${at} vgrp="2"${clearOfRings(options)}>${name}</dir>`)
  }
  return fingering + parts.join('')
}

/** Slurs that begin in this bar, to the note where each ends. */
export function slurs(score: Score, index: number, options: MeiOptions): string[] {
  const events = score.bars[index]!.events
  return events.flatMap((event, at) => {
    if (event.articulation?.slur !== 'start' && event.articulation?.slur !== 'both') return []
    const later = [...events.slice(at + 1), ...(score.bars[index + 1]?.events ?? [])]
    const end = later.find(({ articulation }) => articulation?.slur === 'stop' || articulation?.slur === 'both')
    return end ? [`<slur startid="${ref(options, event.id)}" endid="${ref(options, end.id)}"/>`] : []
  })
}

/** Signs of how a note is played, within it. */
export function playedSigns(event: ScoreEvent): string {
  const { accent = false, short = false } = event.articulation ?? {}
  const signs = [...(accent ? ['acc'] : []), ...(short ? ['stacc'] : [])]
  return signs.length === 0 ? '' : `<artic artic="${signs.join(' ')}"/>`
}

/** Ties from notes of this bar to those they are held into. */
export function ties(bar: ScoreBar, after: ScoreBar | undefined, options: MeiOptions): string[] {
  return bar.events.flatMap((event, at) => {
    if (event.tie !== 'start' && event.tie !== 'middle') return []
    const next = bar.events[at + 1] ?? after?.events[0]
    return next ? [`<tie startid="${ref(options, event.id)}" endid="${ref(options, next.id)}"/>`] : []
  })
}
