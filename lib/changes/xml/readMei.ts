/** An MEI score to a chart: its chord symbols, meters, keys, repeats, endings, rehearsal marks and jumps. */
import type { Problem, Span } from '../../problem.ts'
import { type Key, keyAt, signatureOf } from '../../theory/key.ts'
import { commonTime, type Meter, ticksPerBeat } from '../../theory/meter.ts'
import { chromaOf, type Interval, type Letter, letters, noteAtFifths, transposeClass } from '../../theory/pitch.ts'
import type { Chart, ChordSymbol, Mark } from '../chart.ts'
import { readSymbol } from '../symbol/readSymbol.ts'
import { transposeSymbol } from '../transposeChart.ts'
import { goodMeter } from '../typed/chartHeader.ts'
import { bareLabel } from '../typed/sectionLabel.ts'
import { marksIn } from './readMusicXml.ts'
import { chartOfMeasures, type ScoreMeasure } from './scoreBars.ts'
import { allOf, child, type XmlNode } from './xmlTree.ts'

const spanOf = (node: XmlNode): Span => ({ start: node.at, end: node.end })

interface Running {
  meter: Meter
  key: Key | null
  /** The key as the part is written. */
  written: Key | null
  transpose: Interval
  section: string | null
}

/** Reads an MEI score from its root element. */
export function readMei(root: XmlNode): Chart {
  const problems: Problem[] = []
  const [score] = allOf(root, 'score')
  const measures: ScoreMeasure[] = []
  const running: Running = {
    meter: commonTime,
    key: null,
    written: null,
    transpose: { steps: 0, semitones: 0 },
    section: null,
  }
  let tempo: number | null = null
  /** A repeat that opens at the right of the measure before. */
  let pendingStart = false
  if (score) {
    tempo = tempoOf(score)
    visit(score, null)
  }
  const [title] = allOf(child(root, 'meiHead') ?? root, 'title')
  const composer =
    allOf(child(root, 'meiHead') ?? root, 'composer')[0] ??
    allOf(root, 'persName').find((node) => node.attributes.role === 'composer')
  const words = { title: title?.text().trim() || null, composer: composer?.text().trim() || null, style: null, tempo }
  return chartOfMeasures(measures, words, problems)

  function visit(node: XmlNode, ending: readonly number[] | null): void {
    for (const item of node.children) {
      switch (item.name) {
        case 'scoreDef':
        case 'staffDef':
        case 'staffGrp':
          readDefinition(item, running)
          break
        case 'section':
          if (item.attributes.label) running.section = bareLabel(item.attributes.label) || running.section
          visit(item, ending)
          break
        case 'ending':
          visit(item, passesOf(item.attributes.n ?? '1'))
          break
        case 'measure':
          measures.push(readMeasure(item, ending))
          break
        default:
          visit(item, ending)
      }
    }
  }

  function readMeasure(node: XmlNode, ending: readonly number[] | null): ScoreMeasure {
    const { left = '', right = '' } = node.attributes
    const marks = new Set<Mark>()
    const chords: { at: number; symbol: ChordSymbol; span: Span }[] = []
    const beat = ticksPerBeat(running.meter)
    for (const item of node.children) {
      if (item.name === 'reh') running.section = bareLabel(item.text()) || running.section
      else if (item.name === 'repeatMark') for (const mark of repeatMarks(item)) marks.add(mark)
      else if (item.name === 'dir') for (const mark of marksIn(item.text())) marks.add(mark)
      // Under the staff stands analysis, over it the chords.
      else if (item.name === 'harm' && item.attributes.place !== 'below') {
        const stamp = Number(item.attributes.tstamp ?? '1')
        const text = item.text().replace(/\s+/g, ' ').trim()
        if (text === '' || /^[\d.\s]+$/.test(text)) continue
        const reading = readSymbol(text)
        const [problem] = reading.problems
        if (!reading.symbol) {
          if (problem) problems.push({ ...problem, span: spanOf(item), found: text })
          continue
        }
        const at = Math.max(0, Math.round((Number.isFinite(stamp) ? stamp - 1 : 0) * beat))
        chords.push({ at, symbol: transposeSymbol(reading.symbol, running.transpose, running.key), span: spanOf(item) })
      }
    }
    const repeats = allOf(node, 'mRpt').length > 0 ? 1 : allOf(node, 'mRpt2').length > 0 ? 2 : 0
    const last = measures[measures.length - 1]
    const measure: ScoreMeasure = {
      meter: running.meter,
      key: running.key,
      section: running.section,
      ending,
      repeatStart: left === 'rptstart' || left === 'rptboth' || pendingStart,
      repeatEnd: right === 'rptend' || right === 'rptboth',
      times: null,
      marks: [...marks],
      chords,
      repeats,
      span: spanOf(node),
    }
    if (last && (left === 'rptend' || left === 'rptboth')) measures[measures.length - 1] = { ...last, repeatEnd: true }
    pendingStart = right === 'rptstart' || right === 'rptboth'
    return measure
  }
}

function passesOf(text: string): readonly number[] {
  const passes = [...text.matchAll(/\d+/g)].map(Number).filter((n) => n >= 1 && n <= 64)
  return passes.length > 0 ? passes : [1]
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
    running.transpose = { steps: Number(attributes['trans.diat'] ?? 0) || 0, semitones }
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
    const meter = { beats: count.split('+').reduce((sum, part) => sum + Number(part), 0), unit: Number(unit) }
    if (goodMeter(meter)) running.meter = meter
  } else if (sign === 'common') running.meter = commonTime
  else if (sign === 'cut') running.meter = { beats: 2, unit: 2 }
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
    key = { tonic: { letter: pname.toUpperCase() as Letter, alter }, mode: minor ? 'minor' : 'major' }
  } else if (found) {
    const fifths = Number(found[1] ?? 0) * (found[2] === 'f' ? -1 : 1)
    key = { tonic: noteAtFifths(fifths + (minor ? 3 : 0)), mode: minor ? 'minor' : 'major' }
  }
  if (key) running.written = key
  // The transposition of a staff stands inside the definition that has the key.
  if (!running.written) return
  const tonic = transposeClass(running.written.tonic, running.transpose)
  const sounding: Key = { tonic, mode: running.written.mode }
  running.key = Math.abs(signatureOf(sounding)) > 7 ? keyAt(chromaOf(tonic), sounding.mode) : sounding
}
