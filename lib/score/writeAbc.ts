/** A score as ABC notation 2.1, an open text standard: chords in quotes, degrees as words under the notes. */
import { edition } from '../edition.ts'
import { type Key, signOfLetter } from '../theory/key.ts'
import { type Meter, ticksPerBar, upperNumber } from '../theory/meter.ts'
import { nameOf, noteAtFifths, type Pitch } from '../theory/pitch.ts'
import { printSigns } from '../theory/signs.ts'
import { carriedName, rolesOfScore } from './carriedRoles.ts'
import type { Score, ScoreBar, ScoreEvent } from './score.ts'

/** L:1/8: a written eighth is 12 ticks. */
const unit = 12

/** A meter, its groups in parentheses (ABC 2.1, section 3.1.6). */
const meterOf = (meter: Meter) => `${meter.groups ? `(${upperNumber(meter)})` : meter.beats}/${meter.unit}`

/**
 * Writes a part in ABC notation 2.1, as the player reads it; how it sounds stands in the K: field, as `transpose=`.
 * An accidental is written wherever a reader could take the note for another, whichever of the standard's two rules it keeps
 * (an accidental holds in its own octave, or in all).
 *
 * @returns the text of the file, the same bytes for the same score
 */
export function writeAbc(score: Score): string {
  const { key, title, composer } = score
  // ABC's octave clef moves what is written: a tenor voice writes its notes as in the treble clef.
  const octave = score.clef === 'treble-8' ? 1 : 0
  const semitones = score.transposition.semitones
  const transpose = semitones === 0 ? '' : ` transpose=${semitones}`
  const head = [
    '%abc-2.1',
    `%%abc-creator Throughline, edition ${edition}`,
    'X:1',
    `T:${plain(title)}`,
    ...(composer === null ? [] : [`C:${plain(composer)}`]),
    `% ${carriedName} ${rolesOfScore(score)}`,
    `%%MIDI program ${score.instrument.program}`,
    'L:1/8',
    `Q:"${quoted(score.styleLine.replace(/[,;]?\s*♩.*$/, ''))}" 1/4=${score.tempo}`,
    ...(score.bars[0] ? [`M:${meterOf(score.bars[0].meter)}`] : []),
    `K:${keyOf(score.bars[0]?.signature ?? 0, key.mode)} clef=${score.clef}${transpose}`,
  ]
  const body: string[] = []
  let line: string[] = []
  let words: string[] = []
  const turn = () => {
    if (line.length > 0) body.push(line.join(' '))
    while (words.at(-1) === '*') words.pop()
    if (words.length > 0) body.push(`w: ${words.join(' ')}`)
    line = []
    words = []
  }
  score.bars.forEach((bar, index) => {
    if (bar.systemStart) turn()
    const before = score.bars[index - 1]
    if (bar.section !== null) line.push(`[P:${plain(bar.section).replace(/[[\]]/g, '')}]`)
    if (before && bar.meterShown) line.push(`[M:${meterOf(bar.meter)}]`)
    if (before && bar.signature !== before.signature) line.push(`[K:${keyOf(bar.signature, key.mode)}]`)
    line.push(music(bar, octave), bar.barline === 'double' ? '||' : bar.barline === 'final' ? '|]' : '|')
    for (const { pitch, degree } of bar.events) if (pitch) words.push(degree === null ? '*' : printSigns(degree))
  })
  turn()
  return `${[...head, ...body].join('\n')}\n`
}

/** The events of a bar; those under one beam stand together, and a chord that enters while a note is held stands on a space. */
function music(bar: ScoreBar, octave: number): string {
  const waiting = [...bar.harmony].sort((a, b) => a.at - b.at)
  const known = { pitch: new Map<string, number>(), letter: new Map<string, number>() }
  let text = ''
  const chordsUntil = (tick: number) => {
    let chords = ''
    while (waiting[0] && waiting[0].at < tick) chords += `"${quoted(waiting.shift()!.symbol)}"`
    return chords
  }
  bar.events.forEach((event, place) => {
    const starts = chordsUntil(event.at + 1)
    if (place > 0 && (starts !== '' || !(event.beam === 'middle' || event.beam === 'end'))) text += ' '
    text += starts + tuplet(bar.events, place) + note(bar, event, octave, known)
    const held = chordsUntil(event.at + event.ticks)
    if (held !== '') text += ` ${held}y`
  })
  if (bar.events.length === 0) text = `${chordsUntil(Number.POSITIVE_INFINITY)}x${length(ticksPerBar(bar.meter))}`
  return text
}

function tuplet(events: readonly ScoreEvent[], place: number): string {
  const mine = events[place]!.tuplet
  if (mine === null || events[place - 1]?.tuplet?.id === mine.id) return ''
  return `(${mine.actual}:${mine.normal}:${events.filter((event) => event.tuplet?.id === mine.id).length}`
}

const written = ['__', '_', '=', '^', '^^']

function note(
  bar: ScoreBar,
  { pitch, value, dots, ticks, tie, accidental }: ScoreEvent,
  octave: number,
  known: { readonly pitch: Map<string, number>; readonly letter: Map<string, number> },
): string {
  if (pitch === null) return `z${length(ticks === ticksPerBar(bar.meter) ? ticks : nominal(value, dots))}`
  const name = noteName(pitch, octave)
  const usual = signOfLetter(bar.signature, pitch.letter)
  const clear = [known.pitch.get(name) ?? usual, known.letter.get(pitch.letter) ?? usual].every(
    (a) => a === pitch.alter,
  )
  known.pitch.set(name, pitch.alter)
  known.letter.set(pitch.letter, pitch.alter)
  const sign = clear && accidental === null ? '' : written[pitch.alter + 2]!
  return `${sign}${name}${length(nominal(value, dots))}${tie === 'start' || tie === 'middle' ? '-' : ''}`
}

const nominal = (value: number, dots: number): number => (96 / value) * (2 - 0.5 ** dots)

/** A length as ABC counts it: `2`, `3/2`, `/2`, nothing for one. */
function length(ticks: number): string {
  const divisor = [1, 2, 4, 8].find((each) => (ticks * each) % unit === 0) ?? unit
  const count = (ticks * divisor) / unit
  return divisor === 1 ? (count === 1 ? '' : String(count)) : `${count === 1 ? '' : count}/${divisor}`
}

/** Middle C is `C`, the octave above `c`; commas go down from there, apostrophes up. */
function noteName({ letter, octave }: Pitch, up: number): string {
  const height = octave + up
  return height >= 5 ? letter.toLowerCase() + "'".repeat(height - 5) : letter + ','.repeat(4 - height)
}

/** The key of a signature; a chord symbol's own spelling of a tonic, in the mode the part is in. */
const keyOf = (signature: number, mode: Key['mode']): string =>
  nameOf(noteAtFifths(signature + (mode === 'minor' ? 3 : 0))) + (mode === 'minor' ? 'm' : '')

/** One line of text: a line end would start a field of its own, and a percent sign a comment. */
const plain = (text: string): string => text.replace(/\s+/g, ' ').replace(/%/g, '\\%')

/** The same inside double quotes, which cannot hold one. */
const quoted = (text: string): string => plain(text).replace(/"/g, "'")
