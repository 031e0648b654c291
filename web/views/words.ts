/** A line told in words, bar by bar, as a sighted friend would read it out. */

import type { Brief } from '../../lib/brief.ts'
import { noChord } from '../../lib/changes/chart.ts'
import type { Line, LineNote } from '../../lib/line/line.ts'
import type { Score, ScoreEvent } from '../../lib/score/score.ts'
import { ticksPerQuarter } from '../../lib/theory/meter.ts'
import type { Pitch } from '../../lib/theory/pitch.ts'
import { alterOfSigns, sayAlter } from '../../lib/theory/signs.ts'
import { pinKind, pinsOf } from '../server/choosing.ts'
import type { ShownNote } from '../shared/agreed.ts'

const ordinals = [
  '',
  'root',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'octave',
  'ninth',
  'tenth',
  'eleventh',
  'twelfth',
  'thirteenth',
]

/** A degree as it is said: `b3` is the flat third. */
function sayDegree(degree: string): string {
  const signs = degree.replace(/\d+$/, '')
  const number = ordinals[Number(degree.slice(signs.length))] ?? degree
  const sign = sayAlter(alterOfSigns(signs)).replace(' ', '-')
  return sign === '' ? number : `${sign} ${number}`
}

/** A note as it is said: F sharp, B flat. */
export function sayNote(pitch: Pick<Pitch, 'letter' | 'alter'>): string {
  const sign = sayAlter(pitch.alter)
  return sign === '' ? pitch.letter : `${pitch.letter} ${sign}`
}

/** A chord symbol as a screen reader says it well. */
export const sayChord = (symbol: string): string =>
  symbol === noChord.symbol
    ? 'no chord'
    : symbol
        .replace(/([A-G])(b+|#+)/g, (_, letter: string, signs: string) => `${letter} ${sayAlter(alterOfSigns(signs))} `)
        .replace(/m7b5/, ' half-diminished')
        .replace(/maj/, ' major ')
        .replace(/dim(?!inished)/, ' diminished ')
        .replace(/aug(?!mented)/, ' augmented ')
        .replace(/m(?=[\d(/]|$)/, ' minor ')
        .replace(/b(\d)/g, ' flat $1')
        .replace(/#(\d)/g, ' sharp $1')
        .replace('/', ' over ')
        .replace(/[()]/g, ' ')
        .replace(/\s+/g, ' ')
        .trim()

/** A place as pins and addresses write it: bar, and quarter notes from 1, such as `3.1` or `3.2.5`. */
export const placeName = (bar: number, ticks: number): string =>
  `${bar}.${Number((1 + ticks / ticksPerQuarter).toFixed(4))}`

/** The notes of a score that begin to sound, in order. */
export function shownNotes(score: Score, line: Line, pins = ''): readonly ShownNote[] {
  const kinds = new Set(pinsOf({ pins }).map(pinKind))
  const placeOf = ({ bar, start }: { readonly bar: number; readonly start: number }) =>
    placeName(bar, start - line.harmony.bars[bar - 1]!.start)
  const kept = (note: LineNote): boolean => {
    if (kinds.has(`${note.bar} bar`) || kinds.has(`${placeOf(note)} note`)) return true
    const figure = note.figure === null || note.role === 'target' ? null : line.figures[note.figure]
    const target = figure && line.targets[figure.target]
    return target ? kinds.has(`${placeOf(target)} ${figure.kind}`) : false
  }
  return score.bars.flatMap((bar) =>
    bar.events
      .filter((event) => event.pitch !== null && event.tie !== 'middle' && event.tie !== 'end')
      .map((event) => {
        const note = line.notes[event.note]!
        const beat = Number((1 + event.at / ticksPerQuarter).toFixed(2))
        const chord = [...bar.harmony].reverse().find(({ at }) => at <= event.at)
        return {
          id: event.id,
          at: placeName(bar.number, event.at),
          bar: bar.number,
          role: note.role,
          note: event.note,
          label: `Bar ${bar.number}, beat ${beat}: ${sayEvent(event)}${note.degree ? `, ${sayDegree(note.degree)}` : ''}${chord ? ` of ${sayChord(chord.symbol)}` : ''}, ${roleWords[note.role]}${kept(note) ? ', kept' : ''}`,
          kept: kept(note),
          figure: event.figure,
        }
      }),
  )
}

const roleWords: Readonly<Record<LineNote['role'], string>> = {
  target: 'target',
  cell: 'cell',
  approach: 'approach',
  connect: 'passing',
  rest: 'rest',
}

const sayEvent = (event: ScoreEvent): string => (event.pitch ? sayNote(event.pitch) : 'rest')

export interface BarInWords {
  readonly bar: number
  /** The bar's number, section and chords. */
  readonly opening: string
  readonly parts: readonly { readonly words: string; readonly href: string }[]
  /** What is heard of its harmony, where that is asked for. */
  readonly heard: readonly string[]
}

/**
 * The bars of a score in words: where it lands and on what, what leads there, what carries on.
 *
 * @param choose - the address of the choices at a place
 * @param heard - what is said of the harmony, by bar
 */
export function barsInWords(
  score: Score,
  line: Line,
  choose: (at: string) => string,
  heard: ReadonlyMap<number, readonly string[]> = new Map(),
): readonly BarInWords[] {
  return score.bars.map((bar) => {
    const parts: { words: string; href: string }[] = []
    let role = ''
    for (const event of bar.events) {
      if (event.tie === 'middle' || event.tie === 'end') continue
      const note = line.notes[event.note]!
      if (event.pitch === null) {
        if (role !== 'rest') parts.push({ words: parts.length === 0 ? 'Rest' : '; rest', href: '' })
      } else if (note.role === 'target') {
        const words = `${sayEvent(event)}${note.degree ? `, the ${sayDegree(note.degree)}` : ''}`
        parts.push({ words: parts.length === 0 ? 'Target ' : '; target ', href: '' })
        parts.push({ words, href: choose(placeName(bar.number, event.at)) })
      } else {
        const figure = note.figure === null ? null : line.figures[note.figure]
        const key = `${note.role} ${note.figure}`
        if (role === key) parts.push({ words: `, ${sayEvent(event)}`, href: '' })
        else {
          const lead = note.role === 'approach' ? 'approached by ' : note.role === 'cell' ? 'then ' : 'passing '
          parts.push({
            words: parts.length === 0 ? lead.charAt(0).toUpperCase() + lead.slice(1) : `; ${lead}`,
            href: '',
          })
          parts.push(
            figure
              ? { words: sayEvent(event), href: choose(placeName(bar.number, event.at)) }
              : { words: sayEvent(event), href: '' },
          )
        }
        role = key
        continue
      }
      role = note.role === 'rest' || event.pitch === null ? 'rest' : 'target'
    }
    parts.push({ words: '.', href: '' })
    const chords = bar.harmony.map(({ symbol }) => sayChord(symbol)).join(', ')
    const section = bar.section === null ? '' : `Section ${bar.section}. `
    return {
      bar: bar.number,
      opening: `${section}Bar ${bar.number}${chords ? `, ${chords}` : ''}:`,
      parts,
      heard: heard.get(bar.number) ?? [],
    }
  })
}

/** What the picture is of, in one line. */
export const sayPicture = (score: Score, brief: Pick<Brief, 'pitch'>): string =>
  `${score.instrument.name}, ${brief.pitch === 'concert' ? 'at concert pitch' : `reading in ${sayNote(score.key.tonic)} ${score.key.mode}`}, bars ${score.bars[0]?.number ?? 1} to ${score.bars.at(-1)?.number ?? 1}`
