/** A MusicXML score to a chart: its harmony, meters, keys, repeats, endings, rehearsal marks and jumps, from whichever part says them. */
import type { Problem, Span } from '../../problem.ts'
import { type Key, keyAt, signatureOf } from '../../theory/key.ts'
import { commonTime, goodMeter, ticksPerBar, ticksPerQuarter } from '../../theory/meter.ts'
import { chromaOf, type Interval, noteAtFifths, statedTransposition } from '../../theory/pitch.ts'
import type { Chart, Mark } from '../chart.ts'
import { transposeSymbol } from '../transposeChart.ts'
import { saysStyle } from '../typed/chartHeader.ts'
import { bareLabel, namesSection } from '../typed/sectionLabel.ts'
import { chordsIn, mergeMeasures, type PartMeasure } from './mergeParts.ts'
import { readHarmonyElement } from './musicXmlHarmony.ts'
import { meterOf, meterWithin, type Signature } from './musicXmlMeter.ts'
import { chartOfMeasures } from './scoreBars.ts'
import { type BarCount, countMeasures } from './scoreForm.ts'
import { marksIn, passesOf, placedIn, type ScoreChord, type ScoreMeasure } from './scoreMeasure.ts'
import { partsOf } from './scoreParts.ts'
import { allOf, child, childrenOf, numberIn, wordsOf, type XmlNode } from './xmlTree.ts'

const spanOf = (node: XmlNode): Span => ({ start: node.at, end: node.end })

/**
 * Reads a MusicXML score, partwise or timewise, from its root element. The part with the most chord symbols speaks; where it has none
 * in a measure, another does. Repeats, endings, words and signs may stand in any part.
 */
export function readMusicXml(root: XmlNode, count: BarCount = 'written'): Chart {
  const nodes = partsOf(root).map(({ measures }) => measures)
  const parts = nodes.map((part) => readPart(part, count))
  const lead = parts.reduce((best, part) => (chordsIn(part) > chordsIn(best) ? part : best), parts[0] ?? [])
  const problems: Problem[] = []
  const measures = lead.map((own, i) => mergeMeasures(own, parts, i, problems))
  const words = {
    title: wordsOf(root, 'movement-title') || wordsOf(child(root, 'work') ?? root, 'work-title') || null,
    composer:
      allOf(child(root, 'identification') ?? root, 'creator')
        .find((node) => node.attributes.type === 'composer')
        ?.text()
        .trim() || null,
    style: nodes.map((part) => styleOf(part)).find((style) => style !== null) ?? null,
    tempo: nodes.map((part) => tempoOf(part)).find((tempo) => tempo !== null) ?? null,
  }
  return chartOfMeasures(count === 'counted' ? countMeasures(measures) : measures, words, problems)
}

function tempoOf(measures: readonly XmlNode[]): number | null {
  for (const measure of measures.slice(0, 4)) {
    for (const sound of allOf(measure, 'sound')) {
      const tempo = Number(sound.attributes.tempo)
      if (tempo > 0) return Math.round(tempo)
    }
    for (const mark of allOf(measure, 'metronome')) {
      const perMinute = Number.parseFloat(wordsOf(mark, 'per-minute'))
      const unit = { half: 2, quarter: 1, eighth: 0.5, whole: 4 }[wordsOf(mark, 'beat-unit')]
      if (perMinute > 0 && unit) return Math.round(perMinute * unit * (child(mark, 'beat-unit-dot') ? 1.5 : 1))
    }
  }
  return null
}

/** How a tune is to be played, by its first words or by what it says of swing (MusicXML 4.0, swing). */
function styleOf(measures: readonly XmlNode[]): string | null {
  for (const measure of measures.slice(0, 4)) {
    for (const words of allOf(measure, 'words')) if (saysStyle(words.text().trim())) return words.text().trim()
    for (const swing of allOf(measure, 'swing')) {
      const said = wordsOf(swing, 'swing-style')
      if (said) return said
      return child(swing, 'straight') || numberIn(swing, 'first', 1) === numberIn(swing, 'second', 1)
        ? 'Straight'
        : 'Swing'
    }
  }
  return null
}

/** What goes on from one measure to the next. */
interface Running extends Signature {
  divisions: number
  key: Key | null
  transpose: Interval
  ending: readonly number[] | null
  /** The bars that a repeat sign covers, while it lasts. */
  repeats: number
}

function readPart(nodes: readonly XmlNode[], count: BarCount): readonly PartMeasure[] {
  const running: Running = {
    meter: commonTime,
    others: [],
    free: false,
    divisions: 1,
    key: null,
    transpose: { steps: 0, semitones: 0 },
    ending: null,
    repeats: 0,
  }
  const read = nodes.map((node) => readMeasure(node, running))
  const [first] = nodes
  const [pickup, ...rest] = read
  // A pickup without chords of its own is no bar of the changes.
  const dropped = first?.attributes.implicit === 'yes' && pickup!.measure.chords.length === 0 && read.length > 1
  if (count === 'counted' || !dropped) return read
  const [next, ...others] = rest
  return [
    {
      ...next!,
      measure: {
        ...next!.measure,
        key: next!.measure.key ?? pickup!.measure.key,
      },
    },
    ...others,
  ]
}

/** A measure while it is read: where the reading stands, and what has been found. */
interface Found {
  readonly running: Running
  readonly number: string | undefined
  /** Divisions from the start of the measure. */
  at: number
  longest: number
  key: Key | null
  section: string | null
  repeatStart: boolean
  repeatEnd: boolean
  times: number | null
  endingStops: boolean
  repeatStops: boolean
  readonly marks: Set<Mark>
  readonly codas: ('start' | 'end')[]
  readonly chords: ScoreChord[]
  /** Chords that wait for the note they stand over. */
  waiting: number
  readonly problems: Problem[]
}

const ticksIn = (running: Running, divisions: number): number =>
  Math.round((divisions / running.divisions) * ticksPerQuarter)

function readMeasure(node: XmlNode, running: Running): PartMeasure {
  const found: Found = {
    running,
    number: node.attributes.number,
    at: 0,
    longest: 0,
    key: null,
    section: null,
    repeatStart: false,
    repeatEnd: false,
    times: null,
    endingStops: false,
    repeatStops: false,
    marks: new Set(),
    codas: [],
    chords: [],
    waiting: 0,
    problems: [],
  }
  const opening = { ...running }
  let shift = 0
  for (const item of node.children) {
    readers.get(item.name)?.(item, found)
    if (item.name === 'attributes' && child(item, 'time')) {
      if (found.longest === 0) Object.assign(opening, running)
      else shift = ticksIn(running, found.at)
    }
    found.longest = Math.max(found.longest, found.at)
  }
  const { key, section, repeatStart, repeatEnd, times, marks, codas, problems } = found
  const length = ticksIn(running, found.longest)
  const meter = meterWithin(opening, length, shift)
  const size = ticksPerBar(meter)
  const partial = node.attributes.implicit === 'yes'
  const measure: ScoreMeasure = {
    number: found.number,
    meter,
    key,
    section,
    ending: running.ending,
    endingOpen: !found.endingStops,
    repeatStart,
    repeatEnd,
    times,
    marks: [...marks],
    codas,
    chords: found.chords,
    length: length === size ? size : length,
    partial,
    repeats: found.repeatStops ? 0 : running.repeats,
    span: spanOf(node),
  }
  if (found.endingStops) running.ending = null
  if (found.repeatStops) running.repeats = 0
  return { measure, problems }
}

/** How each element of a measure is read. */
const readers: ReadonlyMap<string, (node: XmlNode, found: Found) => void> = new Map([
  ['attributes', readChanges],
  ['note', readNote],
  ['forward', (node, found) => moveOn(found, numberIn(node, 'duration', 0))],
  [
    'backup',
    (node, found) => {
      found.waiting = found.chords.length
      found.at = Math.max(0, found.at - numberIn(node, 'duration', 0))
    },
  ],
  ['harmony', readHarmony],
  ['direction', readDirection],
  ['sound', (node, found) => hearSound(node, found, false)],
  ['barline', readBarline],
])

function readChanges(node: XmlNode, found: Found): void {
  found.key = readAttributes(node, found.running) ?? found.key
  for (const repeat of allOf(node, 'measure-repeat')) {
    if (repeat.attributes.type === 'start') found.running.repeats = Math.max(1, Number(repeat.text()) || 1)
    else found.repeatStops = true
  }
}

function readNote(node: XmlNode, found: Found): void {
  if (child(node, 'chord') || child(node, 'grace')) return
  moveOn(found, numberIn(node, 'duration', 0))
}

/** Goes on by so many divisions; the chords that waited here stand over what lasts so long. */
function moveOn(found: Found, duration: number): void {
  const room = ticksIn(found.running, duration)
  if (room > 0)
    for (; found.waiting < found.chords.length; found.waiting++)
      found.chords[found.waiting] = { ...found.chords[found.waiting]!, room }
  found.at += duration
}

function readHarmony(node: XmlNode, found: Found): void {
  const { running, number } = found
  const { symbol, problem } = readHarmonyElement(node, running.key, placedIn('', { number }))
  if (problem) found.problems.push(problem)
  found.chords.push({
    at: Math.max(0, ticksIn(running, found.at + numberIn(node, 'offset', 0))),
    symbol: transposeSymbol(symbol, running.transpose, running.key),
    hidden: node.attributes['print-object'] === 'no',
    span: spanOf(node),
  })
}

function readBarline(node: XmlNode, found: Found): void {
  const { running } = found
  const repeat = child(node, 'repeat')
  if (repeat?.attributes.direction === 'forward') found.repeatStart = true
  if (repeat?.attributes.direction === 'backward') {
    found.repeatEnd = true
    const count = Number(repeat.attributes.times)
    if (count >= 1 && count <= 64) found.times = count
  }
  const ending = child(node, 'ending')
  if (ending?.attributes.type === 'start') running.ending = passesOf(ending.attributes.number ?? '1')
  else if (ending) found.endingStops = true
  if (child(node, 'segno')) found.marks.add('Segno')
  if (child(node, 'coda')) found.codas.push(node.attributes.location === 'left' ? 'start' : 'end')
}

/** How far along the line of fifths the tonic of a mode lies from its signature's major tonic, and whether its third is major. */
const modes: ReadonlyMap<string, readonly [number, Key['mode']]> = new Map([
  ['mixolydian', [1, 'major']],
  ['dorian', [2, 'minor']],
  ['minor', [3, 'minor']],
  ['aeolian', [3, 'minor']],
  ['phrygian', [4, 'minor']],
  ['locrian', [5, 'minor']],
  ['lydian', [-1, 'major']],
])

/** Reads divisions, key, time and transposition into what goes on; answers the key where one is said. */
function readAttributes(node: XmlNode, running: Running): Key | null {
  running.divisions = Math.max(1, numberIn(node, 'divisions', running.divisions))
  const transpose = child(node, 'transpose')
  if (transpose) {
    const octaves = numberIn(transpose, 'octave-change', 0)
    running.transpose = statedTransposition(
      numberIn(transpose, 'diatonic', 0) + 7 * octaves,
      numberIn(transpose, 'chromatic', 0) + 12 * octaves,
    )
  }
  const times = childrenOf(node, 'time')
  if (times.length > 0) {
    running.free = times.some((time) => child(time, 'senza-misura'))
    const [meter, ...others] = times.map(meterOf).filter(goodMeter)
    running.meter = meter ?? running.meter
    running.others = others
  }
  const node2 = child(node, 'key')
  if (!node2 || !child(node2, 'fifths')) return null
  const fifths = Math.max(-7, Math.min(7, numberIn(node2, 'fifths', 0)))
  const [above, mode] = modes.get(wordsOf(node2, 'mode').toLowerCase()) ?? [0, 'major']
  const written: Key = { tonic: noteAtFifths(fifths + above), mode }
  const { semitones, steps } = running.transpose
  if (semitones === 0 && steps === 0) running.key = written
  else {
    const sounding = transposeSymbol(
      {
        symbol: '',
        root: written.tonic,
        chord: { degrees: ['1'], alt: false, named: '' },
        bass: null,
      },
      running.transpose,
      null,
    )
    const key: Key = { tonic: sounding.root!, mode: written.mode }
    running.key = Math.abs(signatureOf(key)) > 7 ? keyAt(chromaOf(key.tonic), key.mode) : key
  }
  return running.key
}

/** Rehearsal marks, signs and words that steer. */
function readDirection(node: XmlNode, found: Found): void {
  const types = childrenOf(node, 'direction-type')
  const words = types.flatMap((type) => childrenOf(type, 'words'))
  const together = words.map((each) => each.text()).join(' ')
  for (const type of types)
    for (const rehearsal of childrenOf(type, 'rehearsal')) found.section = bareLabel(rehearsal.text()) || found.section
  if (types.some((type) => child(type, 'segno'))) found.marks.add('Segno')
  const coda = types.some((type) => child(type, 'coda'))
  const steering = new Set([...words.map((each) => each.text()), together].flatMap((text) => marksIn(text)))
  if (coda && /^\s*to\s*$/i.test(together)) steering.add('To Coda')
  if (steering.size > 1 && [...steering].some((mark) => /al /.test(mark))) {
    steering.delete('D.C.')
    steering.delete('D.S.')
  }
  const half = found.at + numberIn(node, 'offset', 0) > 0 ? 'end' : 'start'
  if (steering.delete('Coda') || (coda && !steering.has('To Coda'))) found.codas.push(half)
  for (const mark of steering) found.marks.add(mark)
  if (steering.size === 0)
    for (const each of words) {
      const name = bareLabel(each.text())
      const framed = (each.attributes.enclosure ?? 'none') !== 'none'
      if (namesSection(name) && (framed || name.length > 2)) found.section ??= name
    }
  const sound = child(node, 'sound')
  if (sound) hearSound(sound, found, coda)
}

/** What a player program is told of the form, where the words have not said it. */
function hearSound({ attributes }: XmlNode, found: Found, sign: boolean): void {
  const { dacapo, dalsegno, tocoda, fine, segno, coda } = attributes
  const { marks, codas } = found
  const said = [...marks].some((mark) => mark.startsWith('D.'))
  if (dacapo === 'yes' && !said) marks.add('D.C.')
  if (dalsegno && !said) marks.add('D.S.')
  if (tocoda) {
    marks.add('To Coda')
    if (sign) codas.pop()
  }
  if (fine) marks.add('Fine')
  if (segno) marks.add('Segno')
  if (coda && codas.length === 0) codas.push('start')
}
