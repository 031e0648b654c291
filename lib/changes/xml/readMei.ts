/** An MEI score to a chart: its chord symbols, meters, keys, repeats, endings, rehearsal marks and jumps. */
import { limits } from '../../brief.ts'
import type { Problem, Span } from '../../problem.ts'
import { type Key, keyAt, signatureOf } from '../../theory/key.ts'
import {
  commonTime,
  goodMeter,
  type Meter,
  readMeter,
  ticksPerBar,
  ticksPerBeat,
  ticksPerQuarter,
} from '../../theory/meter.ts'
import {
  chromaOf,
  type Interval,
  type Letter,
  letters,
  noteAtFifths,
  statedTransposition,
  transposeClass,
} from '../../theory/pitch.ts'
import { type Chart, type Mark, noChord } from '../chart.ts'
import { plainHabits, readSymbol } from '../symbol/readSymbol.ts'
import { emptyChart, transposeSymbol } from '../transposeChart.ts'
import { saysStyle } from '../typed/chartHeader.ts'
import { bareLabel } from '../typed/sectionLabel.ts'
import { expandMeasures } from './meiExpansion.ts'
import { chartOfMeasures } from './scoreBars.ts'
import { type BarCount, countMeasures } from './scoreForm.ts'
import {
  marksIn,
  passesOf,
  placedIn,
  plainSigns,
  type ScoreChord,
  type ScoreMeasure,
  tooManyMeasures,
} from './scoreMeasure.ts'
import { allOf, child, childrenOf, type XmlNode } from './xmlTree.ts'

const spanOf = (node: XmlNode): Span => ({ start: node.at, end: node.end })

interface Running {
  meter: Meter
  /** The meters that measures take in turn from here on, where several alternate, and whose turn it is. */
  turns: readonly Meter[]
  turn: number
  key: Key | null
  /** The key as written, before transposition. */
  written: Key | null
  transpose: Interval
  section: string | null
}

/** A score while it is read. */
interface MeiReading {
  readonly running: Running
  readonly measures: ScoreMeasure[]
  readonly problems: Problem[]
  /** Whether chords stand only under the staff, where analysis is otherwise. */
  readonly below: boolean
  /** A repeat that opens at the right of the measure before. */
  pendingStart: boolean
}

/** Reads an MEI score from its root element; of several parts, the one with the most chord symbols. */
export function readMei(root: XmlNode, count: BarCount = 'written'): Chart {
  const scores = [...allOf(root, 'score'), ...allOf(root, 'part')]
  const counted = scores.map((node) => ({ node, harms: allOf(node, 'harm').length }))
  const most = counted.reduce(
    (best, each) => (each.harms > best.harms ? each : best),
    counted[0] ?? { node: root, harms: 0 },
  )
  const score = most.node
  const reading: MeiReading = {
    running: {
      meter: commonTime,
      turns: [],
      turn: 0,
      key: null,
      written: null,
      transpose: { steps: 0, semitones: 0 },
      section: null,
    },
    measures: [],
    problems: [],
    below: allOf(score, 'harm').every((harm) => harm.attributes.place === 'below'),
    pendingStart: false,
  }
  visit(reading, score, null)
  const { measures, problems } = reading
  if (measures.length > limits.barsWritten) return { ...emptyChart, problems: [tooManyMeasures] }
  const [title] = allOf(child(root, 'meiHead') ?? root, 'title')
  const composer =
    allOf(child(root, 'meiHead') ?? root, 'composer')[0] ??
    allOf(root, 'persName').find((node) => node.attributes.role === 'composer')
  const words = {
    title: title?.text().trim() || null,
    composer: composer?.text().trim() || null,
    style: [...allOf(score, 'tempo'), ...allOf(score, 'dir')].map((node) => node.text().trim()).find(saysStyle) ?? null,
    tempo: tempoOf(score),
  }
  // Lines are read measure for measure; only changes are written out.
  if (count === 'written') return chartOfMeasures(measures, words, problems)
  return chartOfMeasures(countMeasures(expandMeasures(score, measures, problems)), words, problems)
}

function visit(reading: MeiReading, node: XmlNode, ending: readonly number[] | null): void {
  const { running, measures } = reading
  for (const item of node.children) {
    switch (item.name) {
      case 'scoreDef':
      case 'staffDef':
      case 'staffGrp':
        readDefinition(item, running)
        break
      case 'section':
        if (item.attributes.label) running.section = bareLabel(item.attributes.label) || running.section
        visit(reading, item, ending)
        break
      case 'ending':
        visit(reading, item, passesOf(item.attributes.n ?? '1'))
        break
      case 'measure': {
        const measure = readMeasure(reading, item, ending)
        measures.push(measure)
        // A rest for several bars stands for them all.
        const rests = allOf(item, 'multiRest').reduce(
          (most, rest) => Math.max(most, Number(rest.attributes.num) || 0),
          0,
        )
        for (let n = 1; n < Math.min(rests, mostRests) && measures.length <= limits.barsWritten; n++)
          measures.push({
            ...measure,
            chords: [],
            marks: [],
            codas: [],
            repeatStart: false,
            key: null,
          })
        break
      }
      default:
        visit(reading, item, ending)
    }
  }
}

/** The most bars that one rest stands for. */
const mostRests = 256

function readMeasure(reading: MeiReading, node: XmlNode, ending: readonly number[] | null): ScoreMeasure {
  const { running, measures } = reading
  const { left = '', right = '' } = node.attributes
  const marks = new Set<Mark>()
  const codas: ('start' | 'end')[] = []
  const chords: ScoreChord[] = []
  const events = takeTurn(node, running)
  const mark = (item: XmlNode, found: readonly Mark[]): void => {
    for (const each of found) {
      if (each === 'Coda') codas.push(placeOf(item, events, running.meter).at > 0 ? 'end' : 'start')
      else marks.add(each)
    }
  }
  for (const item of node.children) {
    if (item.name === 'reh') running.section = bareLabel(item.text()) || running.section
    else if (item.name === 'repeatMark') mark(item, repeatMarks(item))
    else if (item.name === 'dir') mark(item, marksIn(item.text()))
    // Under the staff stands analysis, over it the chords.
    else if (item.name === 'harm' && (reading.below || item.attributes.place !== 'below')) {
      const chord = readHarm(reading, item, events, node.attributes.n)
      if (chord) chords.push(chord)
    }
  }
  const last = measures[measures.length - 1]
  if (last && (left === 'rptend' || left === 'rptboth')) measures[measures.length - 1] = { ...last, repeatEnd: true }
  const repeatStart = left === 'rptstart' || left === 'rptboth' || reading.pendingStart
  reading.pendingStart = right === 'rptstart' || right === 'rptboth'
  return {
    number: node.attributes.n,
    meter: running.meter,
    key: running.key,
    section: running.section,
    ending,
    repeatStart,
    repeatEnd: right === 'rptend' || right === 'rptboth',
    times: null,
    marks: [...marks],
    codas,
    chords,
    length: events.length,
    partial: node.attributes.metcon === 'false',
    repeats: allOf(node, 'mRpt').length > 0 ? 1 : allOf(node, 'mRpt2').length > 0 ? 2 : 0,
    span: spanOf(node),
  }
}

/** What happens in a measure, once it has its meter: of several that alternate the next, or the one that is as long as its music. */
function takeTurn(node: XmlNode, running: Running): Events {
  const due = running.turns[running.turn % running.turns.length]
  if (!due) return eventsOf(node, running.meter)
  running.turn++
  const events = eventsOf(node, due)
  running.meter = running.turns.find((meter) => events.length === ticksPerBar(meter)) ?? due
  if (events.length === ticksPerBar(due)) running.meter = due
  return events
}

/** A chord symbol over the staff; N.C., which is said, where it does not read; null where there is none. */
function readHarm(
  { running, problems }: MeiReading,
  item: XmlNode,
  events: Events,
  n: string | undefined,
): ScoreChord | null {
  const text = plainSigns(item.text()).replace(/\s+/g, ' ').trim()
  if (text === '' || /^[\d.\s]+$/.test(text)) return null
  const place = placeOf(item, events, running.meter)
  const reading = readSymbol(text, running.key ? { ...plainHabits, key: running.key } : plainHabits)
  const [problem] = reading.problems
  if (!reading.symbol && problem) {
    const found = placedIn(text, { number: n })
    problems.push({
      ...problem,
      severity: 'warning',
      span: spanOf(item),
      found,
      expected: `${problem.expected}; read as N.C.`,
    })
  }
  const symbol = reading.symbol ? transposeSymbol(reading.symbol, running.transpose, running.key) : noChord
  return { ...place, symbol, span: spanOf(item) }
}

/** Where a measure's notes, rests and chords start and how long they last, in ticks, by their ids; and how long it all lasts. */
interface Events {
  readonly places: ReadonlyMap<string, { readonly at: number; readonly room: number }>
  readonly length: number
}

function eventsOf(measure: XmlNode, meter: Meter): Events {
  const places = new Map<string, { at: number; room: number }>()
  let length = 0
  for (const layer of allOf(measure, 'layer')) {
    let at = 0
    const visit = (node: XmlNode, factor: number): void => {
      const { attributes, name } = node
      const from = at
      if (attributes.grace !== undefined || name === 'graceGrp') return
      if (name === 'tuplet') {
        const inner = Number(attributes.numbase ?? 2) / Number(attributes.num ?? 3)
        for (const each of node.children) visit(each, Number.isFinite(inner) ? factor * inner : factor)
      } else if (whole.has(name)) at += ticksPerBar(meter)
      else if (lasting.has(name)) {
        const dur = attributes.dur ?? allOf(node, 'note')[0]?.attributes.dur ?? '4'
        const dots = Number(attributes.dots ?? 0) || 0
        at += (dur === 'breve' ? 192 : (4 * ticksPerQuarter) / (Number(dur) || 4)) * (2 - 0.5 ** dots) * factor
      } else for (const each of node.children) visit(each, factor)
      const place = { at: Math.round(from), room: Math.round(at - from) }
      for (const each of [node, ...(name === 'chord' ? node.children : [])]) {
        const id = each.attributes['xml:id']
        if (id) places.set(id, place)
      }
    }
    for (const node of layer.children) visit(node, 1)
    length = Math.max(length, Math.round(at))
  }
  return { places, length }
}

const lasting = new Set(['note', 'rest', 'chord', 'space'])
const whole = new Set(['mRest', 'mSpace', 'mRpt', 'mRpt2', 'multiRest'])

/** Where a sign stands: at its time stamp, else over the note that it starts at. */
function placeOf(item: XmlNode, { places }: Events, meter: Meter): { at: number; room?: number } {
  const { tstamp, startid } = item.attributes
  const stamp = Number(tstamp)
  if (tstamp !== undefined && Number.isFinite(stamp))
    return { at: Math.max(0, Math.round((stamp - 1) * ticksPerBeat(meter))) }
  return places.get((startid ?? '').replace(/^#/, '')) ?? { at: 0 }
}

/** MEI's `repeatMark/@func`. */
const marksByFunction: ReadonlyMap<string, Mark> = new Map([
  ['coda', 'Coda'],
  ['segno', 'Segno'],
  ['dalSegno', 'D.S.'],
  ['daCapo', 'D.C.'],
  ['fine', 'Fine'],
])

function repeatMarks(node: XmlNode): readonly Mark[] {
  const { func = '' } = node.attributes
  const said = marksIn(node.text())
  if (said.length > 0) return said
  const mark = marksByFunction.get(func)
  return mark ? [mark] : []
}

function tempoOf(score: XmlNode): number | null {
  for (const node of [...allOf(score, 'tempo'), ...allOf(score, 'scoreDef')]) {
    const bpm = Number(node.attributes['midi.bpm'] ?? node.attributes.mm)
    if (bpm > 0) return Math.round(bpm)
  }
  return null
}

/** Reads a score or staff definition, with those inside it. */
function readDefinition(node: XmlNode, running: Running): void {
  const { attributes } = node
  const semitones = Number(attributes['trans.semi'])
  if (attributes['trans.semi'] !== undefined && Number.isInteger(semitones))
    running.transpose = statedTransposition(Number(attributes['trans.diat'] ?? 0) || 0, semitones)
  setMeter(running, attributes['meter.count'], attributes['meter.unit'], attributes['meter.sym'])
  setKey(
    running,
    attributes['key.sig'] ?? attributes.keysig,
    attributes['key.pname'],
    attributes['key.accid'],
    attributes['key.mode'],
  )
  for (const item of node.children) {
    if (item.name === 'meterSig') setMeter(running, item.attributes.count, item.attributes.unit, item.attributes.sym)
    else if (item.name === 'meterSigGrp') setMeters(running, item)
    else if (item.name === 'keySig')
      setKey(running, item.attributes.sig, item.attributes.pname, item.attributes.accid, item.attributes.mode)
    else if (item.name === 'staffGrp' || item.name === 'staffDef') readDefinition(item, running)
  }
}

function setMeter(
  running: Running,
  count: string | undefined,
  unit: string | undefined,
  sign: string | undefined,
): void {
  if (count !== undefined && unit !== undefined) {
    const meter = readMeter(`${count}/${unit}`)
    if (meter && goodMeter(meter)) changeMeter(running, meter)
  } else if (sign === 'common') changeMeter(running, commonTime)
  else if (sign === 'cut') changeMeter(running, { beats: 2, unit: 2 })
}

function changeMeter(running: Running, meter: Meter, turns: readonly Meter[] = []): void {
  running.meter = meter
  running.turns = turns
  running.turn = 0
}

/** Signatures side by side: of mixed ones each is a group of beats, counted in the finest unit; alternating ones take turns; of others the first stands. */
function setMeters(running: Running, group: XmlNode): void {
  const signs = childrenOf(group, 'meterSig').map(({ attributes: { count, unit } }) => readMeter(`${count}/${unit}`))
  const meters = signs.filter((meter) => meter !== null)
  const unit = meters.reduce((finest, meter) => Math.max(finest, meter.unit), 1)
  const groups = meters.flatMap((meter) => (meter.groups ?? [meter.beats]).map((size) => (size * unit) / meter.unit))
  const beats = groups.reduce((sum, size) => sum + size, 0)
  const [first] = meters
  const meter = group.attributes.func === 'mixed' && meters.length > 1 ? { beats, unit, groups } : first
  const turns = group.attributes.func === 'alternating' && meters.every(goodMeter) ? meters : []
  if (meter && goodMeter(meter)) changeMeter(running, meter, turns)
}

function setKey(
  running: Running,
  sig: string | undefined,
  pname: string | undefined,
  accid: string | undefined,
  mode: string | undefined,
): void {
  const found = sig === undefined ? null : /^(?:0|([1-7])([fs]))$/.exec(sig)
  const minor = mode === 'minor'
  let key: Key | null = null
  if (pname && letters.includes(pname.toUpperCase() as Letter)) {
    const alter = accid === 'f' ? -1 : accid === 's' ? 1 : 0
    key = {
      tonic: { letter: pname.toUpperCase() as Letter, alter },
      mode: minor ? 'minor' : 'major',
    }
  } else if (found) {
    const fifths = Number(found[1] ?? 0) * (found[2] === 'f' ? -1 : 1)
    key = {
      tonic: noteAtFifths(fifths + (minor ? 3 : 0)),
      mode: minor ? 'minor' : 'major',
    }
  }
  if (key) running.written = key
  // The transposition of a staff stands inside the definition that has the key.
  if (!running.written) return
  const tonic = transposeClass(running.written.tonic, running.transpose)
  const sounding: Key = { tonic, mode: running.written.mode }
  running.key = Math.abs(signatureOf(sounding)) > 7 ? keyAt(chromaOf(tonic), sounding.mode) : sounding
}
