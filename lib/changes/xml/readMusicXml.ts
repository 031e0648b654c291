/** A MusicXML score to a chart: its harmony, meters, keys, repeats, endings, rehearsal marks and jumps. */
import type { Problem, Span } from '../../problem.ts'
import { type Key, keyAt, signatureOf } from '../../theory/key.ts'
import { commonTime, type Meter, ticksPerBar, ticksPerQuarter } from '../../theory/meter.ts'
import { chromaOf, type Interval, type Letter, letters, noteAtFifths, type PitchClass } from '../../theory/pitch.ts'
import type { Chart, ChordSymbol, Mark } from '../chart.ts'
import { readSymbol } from '../symbol/readSymbol.ts'
import { transposeSymbol } from '../transposeChart.ts'
import { goodMeter } from '../typed/chartHeader.ts'
import { bareLabel } from '../typed/sectionLabel.ts'
import { alterKind, type DegreeChange, kindDegrees } from './musicXmlKinds.ts'
import { chartOfMeasures, type ScoreMeasure, symbolOf } from './scoreBars.ts'
import { allOf, child, childrenOf, numberIn, wordsOf, type XmlNode } from './xmlTree.ts'

const silence: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }
const spanOf = (node: XmlNode): Span => ({ start: node.at, end: node.end })

/** Reads a MusicXML score, partwise or timewise, from its root element. The part with the most chord symbols speaks. */
export function readMusicXml(root: XmlNode, source: string): Chart {
  const problems: Problem[] = []
  const measures = measuresOf(root)
  const words = {
    title: wordsOf(root, 'movement-title') || wordsOf(child(root, 'work') ?? root, 'work-title') || null,
    composer:
      allOf(child(root, 'identification') ?? root, 'creator')
        .find((node) => node.attributes.type === 'composer')
        ?.text()
        .trim() || null,
    style: null,
    tempo: tempoOf(measures),
  }
  return chartOfMeasures(readMeasures(measures, problems, source), words, problems)
}

/** The measures of the part that holds the most chord symbols. */
function measuresOf(root: XmlNode): readonly XmlNode[] {
  const parts = new Map<string, XmlNode[]>()
  if (root.name === 'score-timewise')
    for (const measure of childrenOf(root, 'measure'))
      for (const part of childrenOf(measure, 'part')) {
        const whole: XmlNode = { ...part, name: 'measure', attributes: measure.attributes }
        parts.set(part.attributes.id ?? '', [...(parts.get(part.attributes.id ?? '') ?? []), whole])
      }
  else for (const part of childrenOf(root, 'part')) parts.set(`${parts.size}`, [...childrenOf(part, 'measure')])
  let best: readonly XmlNode[] = []
  let most = -1
  for (const measures of parts.values()) {
    const count = measures.reduce((sum, measure) => sum + childrenOf(measure, 'harmony').length, 0)
    if (count > most) {
      best = measures
      most = count
    }
  }
  return best
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

/** What goes on from one measure to the next. */
interface Running {
  meter: Meter
  divisions: number
  key: Key | null
  transpose: Interval
  ending: readonly number[] | null
  /** The bars that a repeat sign covers, while it lasts. */
  repeats: number
}

function readMeasures(nodes: readonly XmlNode[], problems: Problem[], source: string): readonly ScoreMeasure[] {
  const running: Running = {
    meter: commonTime,
    divisions: 1,
    key: null,
    transpose: { steps: 0, semitones: 0 },
    ending: null,
    repeats: 0,
  }
  const measures: ScoreMeasure[] = []
  for (const [i, node] of nodes.entries()) {
    const measure = readMeasure(node, running, problems, source)
    // A pickup without chords of its own is no bar of the changes.
    if (i === 0 && node.attributes.implicit === 'yes' && measure.chords.length === 0 && nodes.length > 1) continue
    measures.push(measures.length === 0 ? { ...measure, key: running.key } : measure)
  }
  return measures
}

function readMeasure(node: XmlNode, running: Running, problems: Problem[], source: string): ScoreMeasure {
  let at = 0
  let longest = 0
  let key: Key | null = null
  let section: string | null = null
  let repeatStart = false
  let repeatEnd = false
  let times: number | null = null
  let endingStops = false
  let repeatStops = false
  const marks = new Set<Mark>()
  const chords: { at: number; symbol: ChordSymbol; span: Span }[] = []
  const ticks = (divisions: number): number => Math.round((divisions / running.divisions) * ticksPerQuarter)

  for (const item of node.children) {
    switch (item.name) {
      case 'attributes':
        key = readAttributes(item, running) ?? key
        for (const repeat of allOf(item, 'measure-repeat')) {
          if (repeat.attributes.type === 'start') running.repeats = Math.max(1, Number(repeat.text()) || 1)
          else repeatStops = true
        }
        break
      case 'note':
        if (!child(item, 'chord') && !child(item, 'grace')) at += numberIn(item, 'duration', 0)
        break
      case 'forward':
        at += numberIn(item, 'duration', 0)
        break
      case 'backup':
        at = Math.max(0, at - numberIn(item, 'duration', 0))
        break
      case 'harmony': {
        const symbol = readHarmony(item, running.key, problems, source)
        const place = ticks(at + numberIn(item, 'offset', 0))
        if (symbol)
          chords.push({
            at: Math.max(0, place),
            symbol: transposeSymbol(symbol, running.transpose, running.key),
            span: spanOf(item),
          })
        break
      }
      case 'direction':
      case 'sound': {
        section = readDirection(item, marks) ?? section
        break
      }
      case 'barline': {
        const repeat = child(item, 'repeat')
        if (repeat?.attributes.direction === 'forward') repeatStart = true
        if (repeat?.attributes.direction === 'backward') {
          repeatEnd = true
          const count = Number(repeat.attributes.times)
          if (count >= 1 && count <= 64) times = count
        }
        const ending = child(item, 'ending')
        if (ending?.attributes.type === 'start') running.ending = passesOf(ending.attributes.number ?? '1')
        else if (ending) endingStops = true
        if (child(item, 'segno')) marks.add('Segno')
        if (child(item, 'coda')) marks.add(item.attributes.location === 'right' ? 'To Coda' : 'Coda')
      }
    }
    longest = Math.max(longest, at)
  }
  // A short first bar is a pickup: its chords stand at the end of a whole bar.
  const length = ticks(longest)
  const size = ticksPerBar(running.meter)
  const short = node.attributes.implicit === 'yes' && length > 0 && length < size ? size - length : 0
  const measure: ScoreMeasure = {
    meter: running.meter,
    key,
    section,
    ending: running.ending,
    repeatStart,
    repeatEnd,
    times,
    marks: [...marks],
    chords: chords.map((chord) => ({ ...chord, at: chord.at + short })),
    repeats: running.repeats,
    span: spanOf(node),
  }
  if (endingStops) running.ending = null
  if (repeatStops) running.repeats = 0
  return repeatStops ? { ...measure, repeats: 0 } : measure
}

function passesOf(text: string): readonly number[] {
  const passes = [...text.matchAll(/\d+/g)].map(Number).filter((n) => n >= 1 && n <= 64)
  return passes.length > 0 ? passes : [1]
}

/** Reads divisions, key, time and transposition into what goes on; answers the key where one is said. */
function readAttributes(node: XmlNode, running: Running): Key | null {
  running.divisions = Math.max(1, numberIn(node, 'divisions', running.divisions))
  const transpose = child(node, 'transpose')
  if (transpose) {
    const octaves = numberIn(transpose, 'octave-change', 0)
    running.transpose = {
      steps: numberIn(transpose, 'diatonic', 0) + 7 * octaves,
      semitones: numberIn(transpose, 'chromatic', 0) + 12 * octaves,
    }
  }
  const time = child(node, 'time')
  if (time) {
    const beats = wordsOf(time, 'beats')
      .split('+')
      .reduce((sum, part) => sum + Number(part), 0)
    const meter = { beats, unit: numberIn(time, 'beat-type', 4) }
    if (goodMeter(meter)) running.meter = meter
  }
  const node2 = child(node, 'key')
  if (!node2 || !child(node2, 'fifths')) return null
  const minor = wordsOf(node2, 'mode') === 'minor'
  const fifths = Math.max(-7, Math.min(7, numberIn(node2, 'fifths', 0)))
  const written: Key = { tonic: noteAtFifths(fifths + (minor ? 3 : 0)), mode: minor ? 'minor' : 'major' }
  const { semitones, steps } = running.transpose
  if (semitones === 0 && steps === 0) running.key = written
  else {
    const sounding = transposeSymbol(
      { symbol: '', root: written.tonic, chord: { degrees: ['1'], alt: false, named: '' }, bass: null },
      running.transpose,
      null,
    )
    const key: Key = { tonic: sounding.root!, mode: written.mode }
    running.key = Math.abs(signatureOf(key)) > 7 ? keyAt(chromaOf(key.tonic), key.mode) : key
  }
  return running.key
}

/** Rehearsal marks and words that steer; answers a section's name where one is given. */
function readDirection(node: XmlNode, marks: Set<Mark>): string | null {
  let section: string | null = null
  for (const type of childrenOf(node, 'direction-type')) {
    for (const rehearsal of childrenOf(type, 'rehearsal')) section = bareLabel(rehearsal.text()) || section
    if (child(type, 'segno')) marks.add('Segno')
    if (child(type, 'coda')) marks.add('Coda')
    for (const words of childrenOf(type, 'words')) for (const mark of marksIn(words.text())) marks.add(mark)
  }
  const sound = node.name === 'sound' ? node : child(node, 'sound')
  if (sound) {
    const { dacapo, dalsegno, tocoda, fine, segno, coda } = sound.attributes
    const said = [...marks].some((mark) => mark.startsWith('D.'))
    if (dacapo === 'yes' && !said) marks.add('D.C.')
    if (dalsegno && !said) marks.add('D.S.')
    if (tocoda) {
      marks.add('To Coda')
      marks.delete('Coda')
    }
    if (fine) marks.add('Fine')
    if (segno) marks.add('Segno')
    if (coda) marks.add('Coda')
  }
  return section
}

/** The jumps and stops that words on a score name. */
export function marksIn(text: string): readonly Mark[] {
  const words = text.trim().toLowerCase().replace(/\s+/g, ' ')
  const jump = /^(?:d\. ?c\.?|da capo|d\. ?s\.?|dal segno)(?: al (fine|coda))?/.exec(words)
  if (jump) {
    const from = /^d(?:\. ?c|a c)/.test(words) ? 'D.C.' : 'D.S.'
    return [jump[1] === 'fine' ? `${from} al Fine` : jump[1] === 'coda' ? `${from} al Coda` : from]
  }
  if (/^to coda\b/.test(words)) return ['To Coda']
  if (words === 'fine') return ['Fine']
  if (words === 'coda') return ['Coda']
  return words === 'segno' ? ['Segno'] : []
}

function noteIn(node: XmlNode | undefined, part: string): PitchClass | null {
  if (!node) return null
  const letter = wordsOf(node, `${part}-step`)
  const alter = Math.round(numberIn(node, `${part}-alter`, 0))
  return letters.includes(letter as Letter) && Math.abs(alter) <= 2 ? { letter: letter as Letter, alter } : null
}

/** One harmony element as a chord symbol; null, with a word about it, where it names none. */
function readHarmony(node: XmlNode, key: Key | null, problems: Problem[], source: string): ChordSymbol | null {
  const kindNode = child(node, 'kind')
  const kind = kindNode?.text().trim() ?? 'major'
  if (kind === 'none') return silence
  const fail = (expected: string): null => {
    const span = spanOf(node)
    const found = source.slice(span.start, span.end).replace(/\s+/g, ' ').slice(0, 60)
    problems.push({ severity: 'error', code: 'unknown-quality', span, found, expected, hint: 'C7' })
    return null
  }
  const root = noteIn(child(node, 'root'), 'root') ?? numeralRoot(node, key)
  if (!root) return fail('a root')
  const bass = noteIn(child(node, 'bass'), 'bass')
  const changes = childrenOf(node, 'degree').map((degree): DegreeChange => {
    const type = wordsOf(degree, 'degree-type')
    return {
      value: Math.round(numberIn(degree, 'degree-value', 5)),
      alter: Math.max(-2, Math.min(2, Math.round(numberIn(degree, 'degree-alter', 0)))),
      type: type === 'alter' || type === 'subtract' ? type : 'add',
    }
  })
  if (changes.some(({ value }) => value < 1 || value > 13)) return fail('a degree from 1 to 13')
  const degrees = Object.hasOwn(kindDegrees, kind) ? kindDegrees[kind] : undefined
  const spelled = kindNode?.attributes.text
  if (kind === 'other' || !degrees) {
    // A kind of no name says what it is in words, or in its degrees alone.
    const reading = spelled ? readSymbol(`${root.letter}${signOf(root)}${spelled}`) : null
    if (reading?.symbol?.chord) return symbolOf(root, reading.symbol.chord.degrees, reading.symbol.chord.alt, bass)
    return changes.length > 0 ? symbolOf(root, alterKind(['1'], changes), false, bass) : fail('a kind of MusicXML 4.0')
  }
  const altered = spelled && /^7?alt/i.test(spelled) ? readSymbol(`C${spelled}`).symbol?.chord : null
  if (altered?.alt) return symbolOf(root, altered.degrees, true, bass)
  return symbolOf(root, alterKind(degrees, changes), false, bass)
}

const signOf = (note: PitchClass): string => (note.alter < 0 ? 'b'.repeat(-note.alter) : '#'.repeat(note.alter))

/** The root that a numeral names in the key. */
function numeralRoot(node: XmlNode, key: Key | null): PitchClass | null {
  const numeral = child(node, 'numeral')
  if (!numeral || !key) return null
  const number = numberIn(numeral, 'numeral-root', 0)
  const alter = Math.round(numberIn(numeral, 'numeral-alter', 0))
  if (number < 1 || number > 7 || Math.abs(alter) > 1) return null
  const name = (alter < 0 ? 'b' : alter > 0 ? '#' : '') + ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'][number - 1]!
  return readSymbol(name, { key, german: false, dialect: false, smallRoots: false }).symbol?.root ?? null
}
