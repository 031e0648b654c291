/** The line in a MusicXML score: the notes of one part, its top voice, as they sound. */
import type { Chart } from '../changes/chart.ts'
import { readMusicXml } from '../changes/xml/readMusicXml.ts'
import { partsOf } from '../changes/xml/scoreParts.ts'
import { allOf, child, childrenOf, numberIn, wordsOf, type XmlNode } from '../changes/xml/xmlTree.ts'
import type { Problem } from '../problem.ts'
import { carriedName } from '../score/carriedRoles.ts'
import { ticksPerBar, ticksPerQuarter } from '../theory/meter.ts'
import { type Interval, type Letter, letters, lettersOf, type Pitch, statedTransposition } from '../theory/pitch.ts'
import { choosePart } from './choosePart.ts'
import {
  type PartHead,
  playMeasures,
  problem,
  type Reading,
  sounding,
  type WrittenMeasure,
  type WrittenNote,
  withoutPickup,
} from './played.ts'

interface Part {
  readonly name: string
  readonly program: number | null
  readonly measures: readonly XmlNode[]
}

/** Reads the line of a MusicXML score from its root; `part` by number or name, else the first with notes. */
export function readMusicXmlLine(root: XmlNode, part: string | null): Reading {
  const parts = namedParts(root).filter(({ measures }) => measures.some((each) => allOf(each, 'pitch').length > 0))
  const chosen = choosePart(parts, part)
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const { name, program, measures } = chosen.part
  const read = readNotes(measures)
  if (read.problems.length > 0) return { played: null, problems: read.problems }
  const whole = readMusicXml(root)
  const first = measures[0]
  const isPickup =
    first !== undefined && measures.length > 1 && implicitFirst(first, read.lengths[0]!, whole, measures.length)
  // The changes leave out a pickup without chords of their own accord.
  const chart = isPickup && whole.bars.length === measures.length ? withoutPickup(whole) : whole
  const pickup = isPickup ? { measure: read.measures[0]!, ticks: read.lengths[0]! } : null
  const notes = playMeasures(isPickup ? read.measures.slice(1) : read.measures, chart, pickup)
  const field = allOf(child(root, 'identification') ?? root, 'miscellaneous-field').find(
    ({ attributes }) => attributes.name === carriedName,
  )
  return {
    played: {
      chart,
      notes,
      name,
      program,
      transposition: read.transposition,
      parts: parts.map((each) => each.name),
      spelled: true,
      carried: field?.text().trim() ?? null,
    },
    problems: [],
  }
}

function namedParts(root: XmlNode): readonly Part[] {
  const heads = new Map(
    allOf(child(root, 'part-list') ?? root, 'score-part').map((node) => [node.attributes.id ?? '', node]),
  )
  const measures = new Map(partsOf(root).map(({ id, measures }) => [id, measures]))
  return [...measures].map(([id, list]) => {
    const head = heads.get(id)
    const program = head ? Number(allOf(head, 'midi-program')[0]?.text() ?? '') : 0
    return {
      name: (head && wordsOf(head, 'part-name')) || 'Part',
      program: program >= 1 && program <= 128 ? program - 1 : null,
      measures: list,
    }
  })
}

/** Whether the first measure is a pickup, be it as long as a bar: it says so and the changes left it out, or it is short and numbered 0. */
function implicitFirst(node: XmlNode, ticks: number, chart: Chart, measures: number): boolean {
  const { implicit, number } = node.attributes
  if (implicit === 'yes' && chart.bars.length === measures - 1) return true
  const short = ticks > 0 && ticks < ticksPerBar(chart.meter)
  return short && (implicit === 'yes' || number === '0')
}

interface Running {
  divisions: number
  transposition: Interval
}

interface Notes extends Pick<PartHead, 'transposition'> {
  readonly measures: readonly WrittenMeasure[]
  /** How long each measure's music lasts, in ticks. */
  readonly lengths: readonly number[]
  readonly problems: readonly Problem[]
}

function readNotes(nodes: readonly XmlNode[]): Notes {
  const running: Running = { divisions: 1, transposition: { steps: 0, semitones: 0 } }
  const problems: Problem[] = []
  const lengths: number[] = []
  const measures = nodes.map((node, i): WrittenMeasure => {
    const { voices, length } = voicesOf(node, running)
    lengths.push(length)
    const top = [...voices].sort(([a], [b]) => (a < b ? -1 : 1)).find(([, notes]) => notes.length > 0)?.[1] ?? []
    const stacked = top.find((note, n) => n > 0 && note.at === top[n - 1]!.at)
    if (stacked && problems.length === 0)
      problems.push(
        problem(
          'polyphony',
          `notes that sound together in bar ${node.attributes.number ?? i + 1}`,
          'one note at a time',
          'give the line a voice or a part of its own',
          stacked.from.at,
          stacked.from.end,
        ),
      )
    return { notes: top.map(({ from: _, ...note }) => note) }
  })
  return { measures, lengths, problems, transposition: running.transposition }
}

interface PlacedNote extends WrittenNote {
  readonly from: XmlNode
}

/** The notes of a measure by staff and voice, and how long the measure lasts. */
function voicesOf(node: XmlNode, running: Running): { voices: Map<string, PlacedNote[]>; length: number } {
  const voices = new Map<string, PlacedNote[]>()
  const ticks = (divisions: number): number => Math.round((divisions / running.divisions) * ticksPerQuarter)
  let [at, before, longest] = [0, 0, 0]
  for (const item of node.children) {
    const duration = numberIn(item, 'duration', 0)
    if (item.name === 'attributes') readAttributes(item, running)
    else if (item.name === 'backup') at = Math.max(0, at - duration)
    else if (item.name === 'forward') at += duration
    if (item.name !== 'note' || child(item, 'grace') || child(item, 'cue')) continue
    const start = child(item, 'chord') ? before : at
    before = start
    at = Math.max(at, start + duration)
    longest = Math.max(longest, at)
    const pitch = pitchOf(item)
    if (!pitch || duration <= 0) continue
    const ties = childrenOf(item, 'tie').map(({ attributes }) => attributes.type)
    const name = `${numberIn(item, 'staff', 1)} ${wordsOf(item, 'voice').padStart(3, '0')}`
    const list = voices.get(name) ?? []
    voices.set(name, list)
    list.push({
      at: ticks(start),
      ticks: ticks(start + duration) - ticks(start),
      pitch: sounding(pitch, running.transposition),
      tiedBack: ties.includes('stop'),
      tiedOn: ties.includes('start'),
      from: item,
    })
  }
  for (const list of voices.values()) list.sort((a, b) => a.at - b.at)
  return { voices, length: ticks(longest) }
}

function readAttributes(node: XmlNode, running: Running): void {
  running.divisions = Math.max(1, numberIn(node, 'divisions', running.divisions))
  const transpose = child(node, 'transpose')
  if (!transpose) return
  const octaves = Math.round(numberIn(transpose, 'octave-change', 0))
  const chromatic = Math.round(numberIn(transpose, 'chromatic', 0))
  const steps = child(transpose, 'diatonic') ? Math.round(numberIn(transpose, 'diatonic', 0)) : lettersOf(chromatic)
  running.transposition = statedTransposition(steps + 7 * octaves, chromatic + 12 * octaves)
}

function pitchOf(node: XmlNode): Pitch | null {
  const pitch = child(node, 'pitch')
  if (!pitch) return null
  const letter = wordsOf(pitch, 'step') as Letter
  const alter = Math.round(numberIn(pitch, 'alter', 0))
  const octave = Math.round(numberIn(pitch, 'octave', 4))
  return letters.includes(letter) && Math.abs(alter) <= 2 && octave >= 0 && octave <= 9
    ? { letter, alter, octave }
    : null
}
