/** A score as MEI 5.1 (Music Encoding Initiative), CMN: for the engraver, and for any program that reads it. */
import { edition } from '../edition.ts'
import { type Meter, upperNumber } from '../theory/meter.ts'
import type { Pitch } from '../theory/pitch.ts'
import { carriedName, rolesOfScore } from './carriedRoles.ts'
import { approachBrackets, type Brackets, spacesOf, twoFiveBrackets } from './meiBrackets.ts'
import { chordMarks, id, labels, type MeiOptions, meiDefaults, playedSigns, ref, slurs, ties } from './meiMarks.ts'
import { tablatureBar, tablatureMeter, tablatureStaff } from './meiTablature.ts'
import { pageHead } from './pageHead.ts'
import type { Score, ScoreBar, ScoreEvent } from './score.ts'
import { xml } from './xml.ts'

/**
 * Writes a part as an MEI 5.1 document: written pitch with its transposition declared; chord symbols as `harm`; a ring under
 * every target with its degree in it, the notehead in the accent; a bracket over each approach; the analysis that the score has.
 * Notes carry their role as `@type`, and ids of bar and tick: `n-3-48` starts at tick 48 of bar 3.
 *
 * @returns the text of the file, the same bytes for the same score and options
 */
export function writeMei(score: Score, options: Partial<MeiOptions> = {}): string {
  const given: MeiOptions = { ...meiDefaults, ...options }
  const named = (name: string) => ref(given, name)
  const over = [
    ...(given.show.includes('brackets') ? [approachBrackets(score, named)] : []),
    twoFiveBrackets(score, named),
  ]
  let line = 0
  const breakAt = (bar: ScoreBar, index: number): string[] => {
    if (!bar.systemStart || index === 0) return []
    line += 1
    return [given.pages.includes(line) ? '<pb/><sb/>' : '<sb/>']
  }
  const bars = score.bars.map((bar, index) => [
    ...breakAt(bar, index),
    ...(index > 0 ? changes(score, bar, score.bars[index - 1]!) : []),
    ...measure(score, index, over, given),
  ])
  const crowded = over.some(({ size }) => size > 0) || labelled(score)
  return `${[
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1">',
    ...header(score),
    '<music><body><mdiv><score>',
    ...opening(score, given, crowded),
    '<section>',
    ...bars.flat(),
    '</section>',
    '</score></mdiv></body></music>',
    '</mei>',
  ].join('\n')}\n`
}

function header(score: Score): string[] {
  const composer = score.composer === null ? '' : `<composer>${xml(score.composer)}</composer>`
  return [
    '<meiHead><fileDesc>',
    `<titleStmt><title>${xml(score.title)}</title>${composer}</titleStmt>`,
    '<pubStmt/>',
    `<notesStmt><annot label="${carriedName}">${rolesOfScore(score)}</annot></notesStmt>`,
    `</fileDesc><encodingDesc><appInfo><application version="${edition}"><name>Throughline</name></application></appInfo></encodingDesc></meiHead>`,
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
const meterOf = (meter: Meter) => `meter.count="${upperNumber(meter)}" meter.unit="${meter.unit}"`

function opening(score: Score, options: MeiOptions, crowded: boolean): string[] {
  const [first] = score.bars
  const { steps, semitones } = score.transposition
  const transposes = steps === 0 && semitones === 0 ? '' : ` trans.diat="${steps}" trans.semi="${semitones}"`
  const signs = signature(first?.signature ?? 0)
  const mode = score.key.mode === 'minor' && !score.key.open ? ' key.mode="minor"' : ''
  // A cut of a part that goes on in the same meter does not say it again.
  const unsaid = first && !first.meterShown ? ' meter.visible="false"' : ''
  const time = meterOf(first?.meter ?? { beats: 4, unit: 4 }) + unsaid
  return [
    `<scoreDef keysig="${signs}"${mode} ${time} midi.bpm="${score.tempo}"${crowded ? ` harm.dist="${clear}"` : ''}>`,
    ...(options.head ? pageHead(score) : []),
    score.tablature ? '<staffGrp symbol="bracket" bar.thru="true">' : '<staffGrp>',
    `<staffDef n="1" lines="5" ${clefs[score.clef]}${transposes}>`,
    // No label: it would stand before the first system, and the page's head has it.
    `<instrDef label="${xml(score.instrument.name)}" midi.instrnum="${score.instrument.program}"/>`,
    '</staffDef>',
    ...tablatureStaff(score),
    '</staffGrp>',
    '</scoreDef>',
  ]
}

/**
 * How far from the staff chords, and what is said under them, stand at least where there is more over or under it. The engraver sets
 * each as near as a bracket, a ring or a note leaves it room, and then levels the row, which may put it on one after all: from so far
 * off it never finds room nearer by.
 */
const clear = '8vu'

const labelled = ({ bars }: Score): boolean =>
  bars.some(({ harmony }) => harmony.some(({ numeral, scaleName }) => numeral !== null || scaleName !== null))

/** A new signature or meter within the piece. */
function changes(score: Score, bar: ScoreBar, before: ScoreBar): string[] {
  const key = bar.signature === before.signature ? '' : ` keysig="${signature(bar.signature)}"`
  const time = bar.meterShown ? ` ${meterOf(bar.meter)}` : ''
  return key === '' && time === '' ? [] : [`<scoreDef${key}${time}/>`, ...tablatureMeter(score, bar.meter)]
}

function measure(score: Score, index: number, over: readonly Brackets[], options: MeiOptions): readonly string[] {
  const bar = score.bars[index]!
  const right = { single: '', double: ' right="dbl"', final: ' right="end"' }[bar.barline]
  return [
    // A pickup's measure is not full, and does not claim to be.
    `<measure${id(options, `measure-${bar.number}`)} n="${bar.number}"${bar.number === 0 ? ' metcon="false"' : ''}${right}>`,
    `<staff n="1"><layer n="1">${layer(bar, options)}</layer></staff>`,
    ...tablatureBar(score, bar),
    ...(bar.section === null ? [] : [`<reh tstamp="1"><rend rend="box">${xml(bar.section)}</rend></reh>`]),
    ...bar.harmony.map((harmony) => chordMarks(score, bar, harmony, options)),
    ...over.flatMap((brackets) => brackets.get(index) ?? []),
    ...bar.events.map((event) => labels(event, options)),
    ...ties(bar, score.bars[index + 1], options),
    ...slurs(score, index, options),
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
  if (bar.events.length === 0)
    for (const space of spacesOf(bar)) parts.push(`<space${id(options, space.id)} dur="${bar.meter.unit}"/>`)
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
  const ghost = event.articulation?.ghost ? ' head.mod="paren"' : ''
  const note = `<note${id(options, event.id)} type="${event.role}" ${length} ${place}${colour}${ghost}`
  const sign = accidental(pitch, event.accidental) + playedSigns(event)
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
