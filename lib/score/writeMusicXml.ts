/** A score as MusicXML 4.0, plain or compressed: what other notation programs open. */

import { engravedStyle, printSymbol, type SymbolStyle } from '../changes/symbol/printSymbol.ts'
import { kindOfChord } from '../changes/xml/musicXmlKinds.ts'
import { edition } from '../edition.ts'
import { ticksPerBar, ticksPerQuarter, upperNumber } from '../theory/meter.ts'
import { type Interval, nameOf, type Pitch, type PitchClass } from '../theory/pitch.ts'
import { withSigns } from '../theory/signs.ts'
import { carriedName, rolesOfScore } from './carriedRoles.ts'
import { staffOfNote, stavesOf, tablatureDetails, tablatureNotes } from './musicXmlTablature.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'
import { xml } from './xml.ts'
import { zipFiles } from './zip.ts'

export interface MusicXmlOptions {
  readonly brackets?: boolean
}

/**
 * Writes a part as a MusicXML 4.0 document: written pitch with its transposition declared, every chord a real harmony element
 * in the part's key, its kind and degrees exactly the chord's. Degrees of notes go in as lyrics, not fingerings: every program
 * keeps a lyric whatever its letters and sets it below the staff, while fingerings are held to digits by some and set above.
 *
 * @param options - whether brackets stand over approaches; they do unless it says otherwise
 * @returns the text of the file, the same bytes for the same score
 */
export function writeMusicXml(score: Score, options: MusicXmlOptions = {}): string {
  const lines: string[] = []
  const put = (depth: number, text: string) => lines.push('  '.repeat(depth) + text)
  put(0, '<?xml version="1.0" encoding="UTF-8"?>')
  put(
    0,
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">',
  )
  put(0, '<score-partwise version="4.0">')
  if (score.title !== '') put(1, `<work><work-title>${xml(score.title)}</work-title></work>`)
  put(1, '<identification>')
  if (score.composer !== null) put(2, `<creator type="composer">${xml(score.composer)}</creator>`)
  put(2, '<encoding>')
  put(3, `<software>Throughline, edition ${edition}</software>`)
  put(3, '<supports element="accidental" type="yes"/>')
  put(3, '<supports element="beam" type="yes"/>')
  put(3, '<supports element="print" attribute="new-system" type="yes" value="yes"/>')
  put(2, '</encoding>')
  put(
    2,
    `<miscellaneous><miscellaneous-field name="${carriedName}">${rolesOfScore(score)}</miscellaneous-field></miscellaneous>`,
  )
  put(1, '</identification>')
  put(1, '<part-list>')
  put(2, '<score-part id="P1">')
  put(3, `<part-name>${xml(score.instrument.name)}</part-name>`)
  put(
    3,
    `<score-instrument id="P1-I1"><instrument-name>${xml(score.instrument.name)}</instrument-name></score-instrument>`,
  )
  put(3, '<midi-instrument id="P1-I1">')
  put(4, '<midi-channel>1</midi-channel>')
  put(4, `<midi-program>${score.instrument.program + 1}</midi-program>`)
  put(3, '</midi-instrument>')
  put(2, '</score-part>')
  put(1, '</part-list>')
  const brackets = options.brackets === false ? noBrackets : bracketsOf(score)
  put(1, '<part id="P1">')
  score.bars.forEach((bar, index) => {
    put(2, `<measure ${bar.number === 0 ? 'implicit="yes" ' : ''}number="${bar.number}">`)
    for (const line of measure(score, bar, index, brackets)) put(3, line)
    put(2, '</measure>')
  })
  put(1, '</part>')
  put(0, '</score-partwise>')
  return `${lines.join('\n')}\n`
}

/**
 * The same as a compressed file (`.mxl`): a zip with the container that names the score inside it.
 *
 * @returns the bytes of the file, the same for the same score
 */
export function writeMxl(score: Score, options: MusicXmlOptions = {}): Uint8Array {
  const container =
    '<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles><rootfile full-path="score.musicxml" ' +
    'media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>\n'
  return zipFiles([
    { name: 'mimetype', content: 'application/vnd.recordare.musicxml', stored: true },
    { name: 'META-INF/container.xml', content: container },
    { name: 'score.musicxml', content: writeMusicXml(score, options) },
  ])
}

/** The first and the last note of every approach, by their ids: a bracket stands over them. */
interface Brackets {
  readonly starts: ReadonlySet<string>
  readonly stops: ReadonlySet<string>
}

const noBrackets: Brackets = { starts: new Set(), stops: new Set() }

function bracketsOf({ bars }: Score): Brackets {
  const events = bars.flatMap((bar) => bar.events)
  const approach = (event: ScoreEvent | undefined) => (event?.role === 'approach' ? event.figure : null)
  const edge = (step: number) =>
    events.filter((event, i) => approach(event) !== null && approach(event) !== approach(events[i + step]))
  return { starts: new Set(edge(-1).map(({ id }) => id)), stops: new Set(edge(1).map(({ id }) => id)) }
}

const bracket = (type: 'start' | 'stop'): string =>
  `<direction placement="above"><direction-type><bracket type="${type}" number="1" line-end="down" line-type="solid"/></direction-type></direction>`

function measure(score: Score, bar: ScoreBar, index: number, brackets: Brackets): string[] {
  const lines: string[] = []
  const before = score.bars[index - 1]
  if (bar.systemStart && index > 0) lines.push('<print new-system="yes"/>')
  lines.push(...attributes(score, bar, before))
  if (index === 0) lines.push(...opening(score))
  if (bar.section !== null)
    lines.push(
      `<direction placement="above"><direction-type><rehearsal>${xml(bar.section)}</rehearsal></direction-type></direction>`,
    )
  const symbols = score.symbols ?? engravedStyle
  const waiting = [...bar.harmony].sort((a, b) => a.at - b.at)
  const beams = beamsOf(bar.events)
  bar.events.forEach((event, place) => {
    while (waiting[0] && waiting[0].at < event.at + event.ticks)
      lines.push(...harmony(waiting.shift()!, event.at, symbols))
    if (brackets.starts.has(event.id)) lines.push(bracket('start'))
    lines.push(...note(score, bar, event, beams[place]!, bar.events[place - 1], bar.events[place + 1]))
    if (brackets.stops.has(event.id)) lines.push(bracket('stop'))
  })
  const length = ticksPerBar(bar.meter)
  if (bar.events.length === 0) {
    for (const each of waiting) lines.push(...harmony(each, 0, symbols))
    lines.push(`<note print-object="no"><rest measure="yes"/><duration>${length}</duration></note>`)
  }
  lines.push(...tablatureNotes(score, bar.events, ({ pitch }) => pitchElement(pitch!)))
  if (bar.barline !== 'single') {
    const style = bar.barline === 'double' ? 'light-light' : 'light-heavy'
    lines.push(`<barline location="right"><bar-style>${style}</bar-style></barline>`)
  }
  return lines
}

const clefs = {
  treble: '<sign>G</sign><line>2</line>',
  'treble-8': '<sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change>',
  alto: '<sign>C</sign><line>3</line>',
  tenor: '<sign>C</sign><line>4</line>',
  bass: '<sign>F</sign><line>4</line>',
} as const

function attributes(score: Score, bar: ScoreBar, before: ScoreBar | undefined): string[] {
  const inside: string[] = []
  if (!before) inside.push(`<divisions>${ticksPerQuarter}</divisions>`)
  if (bar.signature !== before?.signature)
    inside.push(`<key><fifths>${bar.signature}</fifths><mode>${score.key.open ? 'none' : score.key.mode}</mode></key>`)
  if (!before || bar.meterShown)
    inside.push(`<time><beats>${upperNumber(bar.meter)}</beats><beat-type>${bar.meter.unit}</beat-type></time>`)
  if (!before) {
    inside.push(...stavesOf(score))
    inside.push(`<clef${score.tablature ? ' number="1"' : ''}>${clefs[score.clef]}</clef>`)
    inside.push(...tablatureDetails(score))
    inside.push(...transpose(score.transposition))
  }
  return inside.length === 0 ? [] : ['<attributes>', ...inside.map((line) => `  ${line}`), '</attributes>']
}

/** Octaves stand apart from the rest of the interval: a tenor sax is a whole step and an octave. */
function transpose({ steps, semitones }: Interval): string[] {
  if (steps === 0 && semitones === 0) return []
  const octaves = Math.trunc(semitones / 12)
  const octave = octaves === 0 ? '' : `<octave-change>${octaves}</octave-change>`
  const diatonic = `<diatonic>${steps - 7 * octaves}</diatonic>`
  return [`<transpose>${diatonic}<chromatic>${semitones - 12 * octaves}</chromatic>${octave}</transpose>`]
}

function opening(score: Score): string[] {
  const words = score.styleLine === '' ? '' : `<words font-weight="bold">${xml(score.styleLine)}</words>`
  const sound = `<sound tempo="${score.tempo}"/>`
  return words === ''
    ? [sound]
    : [`<direction placement="above"><direction-type>${words}</direction-type>${sound}</direction>`]
}

/** What stands before the parenthesis of a symbol's suffix, and how many degrees stand in it: `13(#11)` is 13 and one. */
function headAndList(named: string): readonly [head: string, listed: number] {
  const [, head = named, list = ''] = /^([^()]*)\(([^()]*)\)$/.exec(named) ?? []
  return [head, list.match(/[b#]\d+/g)?.length ?? 0]
}

/** A symbol's suffix in a person's style, in ASCII: `maj7`, `Δ`, `-7`. */
function suffixIn({ symbol, root, chord }: ScoreHarmony, style: SymbolStyle): string {
  if (!root) return ''
  return printSymbol({ symbol, root, chord, bass: null }, { ...style, accidentals: 'ascii' }).slice(nameOf(root).length)
}

function harmony(symbol: ScoreHarmony, now: number, style: SymbolStyle): string[] {
  // What goes on is there for whoever reads the file, and is not shown again.
  const lines = [symbol.again ? '<harmony print-object="no">' : '<harmony>']
  const { root, chord, bass } = symbol
  if (root === null || chord === null) {
    lines.push('  <root><root-step text="">C</root-step></root>', `  <kind text="${xml(symbol.symbol)}">none</kind>`)
  } else {
    const { kind, degrees } = kindOfChord(chord)
    const usual = style.major === engravedStyle.major && style.minor === engravedStyle.minor
    const named = usual ? chord.named : suffixIn(symbol, style)
    const [head, listed] = headAndList(named)
    const shown = degrees.filter(({ type }) => type !== 'subtract')
    // A symbol such as 7(b9) is its kind's text and its degrees; any other, such as 6/9, is text as it stands.
    const apart = shown.length > 0 && shown.length === listed
    const text = withSigns(apart ? head : named)
    lines.push(`  <root>${stepAndAlter('root', root)}</root>`)
    lines.push(`  <kind text="${xml(text)}"${apart ? ' parentheses-degrees="yes"' : ''}>${kind}</kind>`)
    if (bass !== null) lines.push(`  <bass>${stepAndAlter('bass', bass)}</bass>`)
    for (const degree of degrees) {
      const { value, alter, type } = degree
      const hidden = apart && shown.includes(degree) ? '' : ' print-object="no"'
      const inside = `<degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type>`
      lines.push(`  <degree${hidden}>${inside}</degree>`)
    }
  }
  if (symbol.at !== now) lines.push(`  <offset sound="yes">${symbol.at - now}</offset>`)
  lines.push('</harmony>')
  return lines
}

const stepAndAlter = (name: string, note: PitchClass): string =>
  `<${name}-step>${note.letter}</${name}-step>${note.alter === 0 ? '' : `<${name}-alter>${note.alter}</${name}-alter>`}`

const types = { 1: 'whole', 2: 'half', 4: 'quarter', 8: 'eighth', 16: '16th', 32: '32nd' } as const
const signs = { '-2': 'flat-flat', '-1': 'flat', '0': 'natural', '1': 'sharp', '2': 'double-sharp' } as const

function note(
  score: Score,
  bar: ScoreBar,
  event: ScoreEvent,
  beams: readonly string[],
  before: ScoreEvent | undefined,
  after: ScoreEvent | undefined,
): string[] {
  const lines = ['<note>']
  const put = (text: string) => lines.push(`  ${text}`)
  const { pitch, tie, tuplet, accidental, degree } = event
  const wholeBar = pitch === null && event.ticks === ticksPerBar(bar.meter)
  put(pitch ? pitchElement(pitch) : wholeBar ? '<rest measure="yes"/>' : '<rest/>')
  put(`<duration>${event.ticks}</duration>`)
  const ties = tie === null ? [] : tie === 'middle' ? ['stop', 'start'] : tie === 'start' ? ['start'] : ['stop']
  for (const type of ties) put(`<tie type="${type}"/>`)
  put('<voice>1</voice>')
  if (!wholeBar) {
    put(`<type>${types[event.value]}</type>`)
    for (let dot = 0; dot < event.dots; dot++) put('<dot/>')
  }
  if (pitch && accidental) {
    const courtesy = accidental === 'cautionary' ? ' cautionary="yes" parentheses="yes"' : ''
    put(`<accidental${courtesy}>${signs[String(pitch.alter) as keyof typeof signs]}</accidental>`)
  }
  if (tuplet)
    put(
      `<time-modification><actual-notes>${tuplet.actual}</actual-notes><normal-notes>${tuplet.normal}</normal-notes></time-modification>`,
    )
  if (event.articulation?.ghost) put('<notehead parentheses="yes">normal</notehead>')
  for (const staff of staffOfNote(score, 1)) put(staff)
  for (const [level, state] of beams.entries()) put(`<beam number="${level + 1}">${state}</beam>`)
  const notations = ties.map((type) => `<tied type="${type}"/>`)
  if (tuplet && before?.tuplet?.id !== tuplet.id) notations.push('<tuplet type="start"/>')
  if (tuplet && after?.tuplet?.id !== tuplet.id) notations.push('<tuplet type="stop"/>')
  notations.push(...slursOf(event), ...technical(event), ...articulations(event))
  if (notations.length > 0) put(`<notations>${notations.join('')}</notations>`)
  if (degree !== null)
    put(`<lyric number="1" placement="below"><syllabic>single</syllabic><text>${xml(withSigns(degree))}</text></lyric>`)
  lines.push('</note>')
  return lines
}

/** Slurs that end and begin at a note. */
function slursOf({ articulation }: ScoreEvent): readonly string[] {
  const slur = articulation?.slur
  return [
    ...(slur === 'stop' || slur === 'both' ? ['<slur type="stop" number="1"/>'] : []),
    ...(slur === 'start' || slur === 'both' ? ['<slur type="start" number="1"/>'] : []),
  ]
}

/** Accents and staccatos. */
function articulations({ articulation }: ScoreEvent): readonly string[] {
  const { accent = false, short = false } = articulation ?? {}
  const signs = `${accent ? '<accent/>' : ''}${short ? '<staccato/>' : ''}`
  return signs === '' ? [] : [`<articulations>${signs}</articulations>`]
}

/** How a note is fingered: in words or numbers, and on strings where it is stopped. */
function technical({ fingering }: ScoreEvent): readonly string[] {
  if (!fingering) return []
  const { text, string, fret } = fingering
  const stopped = string === null ? '' : `<string>${string}</string><fret>${fret}</fret>`
  return [`<technical><fingering>${xml(text)}</fingering>${stopped}</technical>`]
}

function pitchElement({ letter, alter, octave }: Pitch): string {
  const alteration = alter === 0 ? '' : `<alter>${alter}</alter>`
  return `<pitch><step>${letter}</step>${alteration}<octave>${octave}</octave></pitch>`
}

/** Each event's beams, the eighths' first: a beam of sixteenths runs where neighbours share it, else it is a hook. */
function beamsOf(events: readonly ScoreEvent[]): readonly (readonly string[])[] {
  const levels = (event: ScoreEvent | undefined) => (event?.beam && event.value > 4 ? Math.log2(event.value) - 2 : 0)
  return events.map((event, place) => {
    const back = event.beam === 'start' ? 0 : levels(events[place - 1])
    const on = event.beam === 'end' ? 0 : levels(events[place + 1])
    return Array.from({ length: levels(event) }, (_, level) => {
      if (back > level && on > level) return 'continue'
      if (back > level) return 'end'
      if (on > level) return 'begin'
      return event.beam === 'end' ? 'backward hook' : 'forward hook'
    })
  })
}
