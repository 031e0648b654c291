/** The line in an MEI score: the notes of one staff, its top layer, as they sound. */
import { readMei } from '../changes/xml/readMei.ts'
import { allOf, childrenOf, type XmlNode } from '../changes/xml/xmlTree.ts'
import type { Problem } from '../problem.ts'
import { carriedName } from '../score/carriedRoles.ts'
import { signOfLetter } from '../theory/key.ts'
import { ticksPerBar } from '../theory/meter.ts'
import {
  type Interval,
  type Letter,
  letters,
  lettersOf,
  nameOf,
  type Pitch,
  statedTransposition,
} from '../theory/pitch.ts'
import { choosePart } from './choosePart.ts'
import {
  playMeasures,
  problem,
  type Reading,
  sounding,
  type WrittenMeasure,
  type WrittenNote,
  withoutPickup,
} from './played.ts'

/** A staff of the score, by its number. */
interface Staff {
  readonly n: string
  readonly name: string
  readonly program: number | null
  readonly transposition: Interval
}

/** Reads the line of an MEI score from its root; `part` by number or name, else the first staff with notes. */
export function readMeiLine(root: XmlNode, part: string | null): Reading {
  const [score] = allOf(root, 'score')
  const measures = score ? allOf(score, 'measure') : []
  const sounding = new Set(
    measures.flatMap((measure) =>
      childrenOf(measure, 'staff')
        .filter((staff) => allOf(staff, 'note').length > 0)
        .map(({ attributes }) => attributes.n ?? '1'),
    ),
  )
  const staves = (score ? stavesOf(score) : []).filter(({ n }) => sounding.has(n))
  const chosen = choosePart(staves, part)
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const staff = chosen.part
  const read = readNotes(score!, staff)
  if (read.problems.length > 0) return { played: null, problems: read.problems }
  const whole = readMei(root)
  const [first] = measures
  const ticks = read.lengths[0] ?? 0
  const { metcon, n } = first?.attributes ?? {}
  // One as long as a bar is no bar where it is numbered 0 and has no chord of its own.
  const full = n === '0' && ticks === ticksPerBar(whole.meter) && allOf(first!, 'harm').length === 0
  const short = ticks > 0 && ticks < ticksPerBar(whole.meter) && (metcon === 'false' || n === '0')
  const isPickup = measures.length > 1 && (short || full)
  const chart = isPickup ? withoutPickup(whole) : whole
  const pickup = isPickup ? { measure: read.measures[0]!, ticks: read.lengths[0]! } : null
  const carried = allOf(root, 'annot').find(({ attributes }) => attributes.label === carriedName)
  return {
    played: {
      chart,
      notes: playMeasures(isPickup ? read.measures.slice(1) : read.measures, chart, pickup),
      name: staff.name,
      program: staff.program,
      transposition: staff.transposition,
      parts: staves.map(({ name }) => name),
      spelled: true,
      carried: carried?.text().trim() ?? null,
    },
    problems: [],
  }
}

function stavesOf(score: XmlNode): readonly Staff[] {
  const seen = new Map<string, Staff>()
  const general = allOf(score, 'scoreDef')[0]?.attributes['trans.semi']
  for (const node of allOf(score, 'staffDef')) {
    const n = node.attributes.n ?? '1'
    if (seen.has(n)) continue
    const [instrument] = allOf(node, 'instrDef')
    const semitones = Number(node.attributes['trans.semi'] ?? general ?? 0) || 0
    const steps = Number(node.attributes['trans.diat'] ?? lettersOf(semitones)) || 0
    const program = Number(instrument?.attributes['midi.instrnum'] ?? Number.NaN)
    const label = node.attributes.label ?? allOf(node, 'label')[0]?.text().trim()
    seen.set(n, {
      n,
      name: label || instrument?.attributes.label || 'Part',
      program: program >= 0 && program <= 127 ? program : null,
      transposition: statedTransposition(steps, semitones),
    })
  }
  return [...seen.values()]
}

interface Notes {
  readonly measures: readonly WrittenMeasure[]
  readonly lengths: readonly number[]
  readonly problems: readonly Problem[]
}

/** Signs by their names in MEI. */
const alters: ReadonlyMap<string, number> = new Map([
  ['f', -1],
  ['ff', -2],
  ['n', 0],
  ['s', 1],
  ['x', 2],
  ['ss', 2],
])

function readNotes(score: XmlNode, staff: Staff): Notes {
  const problems: Problem[] = []
  const lengths: number[] = []
  const measures: WrittenMeasure[] = []
  let signature = 0
  /** The alteration of each place that was last held on by a tie. */
  const held = new Map<string, number>()
  const visit = (node: XmlNode): void => {
    if (node.name === 'scoreDef' || node.name === 'staffDef') signature = signatureIn(node, staff.n) ?? signature
    if (node.name !== 'measure') {
      for (const each of node.children) visit(each)
      return
    }
    const ties = new Set(allOf(node, 'tie').map(({ attributes }) => attributes.startid))
    const found = childrenOf(node, 'staff').find(({ attributes }) => (attributes.n ?? '1') === staff.n)
    const layer = found && childrenOf(found, 'layer').find((each) => allOf(each, 'note').length > 0)
    const events = layer ? eventsOf(layer) : []
    const stacked = layer && allOf(layer, 'chord').find((chord) => childrenOf(chord, 'note').length > 1)
    if (stacked && problems.length === 0)
      problems.push(
        problem(
          'polyphony',
          `notes that sound together in bar ${node.attributes.n ?? measures.length + 1}`,
          'one note at a time',
          'give the line a layer or a staff of its own',
          stacked.at,
          stacked.end,
        ),
      )
    const inBar = new Map<string, number>()
    let at = 0
    const notes: WrittenNote[] = []
    for (const { node: event, ticks } of events) {
      const [start, end] = [Math.round(at), Math.round(at + ticks)]
      at += ticks
      if (event.name !== 'note') continue
      const id = event.attributes['xml:id'] ?? event.attributes.id
      const own = event.attributes.tie ?? ''
      const tiedOn = /[im]/.test(own) || ties.has(`#${id}`)
      const letter = (event.attributes.pname ?? '').toUpperCase() as Letter
      const octave = Number(event.attributes.oct ?? 4)
      if (!letters.includes(letter) || !Number.isInteger(octave) || octave < 0 || octave > 9) continue
      const place = nameOf({ letter, alter: 0, octave })
      const tiedBack = /[mt]/.test(own) || held.has(place)
      const alter = alterOf(event, () => held.get(place) ?? inBar.get(place) ?? signOfLetter(signature, letter))
      if (printed(event) !== undefined) inBar.set(place, alter)
      held.clear()
      if (tiedOn) held.set(place, alter)
      const pitch: Pitch = { letter, alter, octave }
      notes.push({ at: start, ticks: end - start, pitch: sounding(pitch, staff.transposition), tiedBack, tiedOn })
    }
    lengths.push(Math.round(at))
    measures.push({ notes })
  }
  visit(score)
  return { measures, lengths, problems }
}

const printed = (note: XmlNode): string | undefined =>
  note.attributes.accid ?? childrenOf(note, 'accid').find(({ attributes }) => attributes.accid)?.attributes.accid

/** How a note is altered: as it says it sounds, as its sign says, else as the bar or the signature has it. */
function alterOf(note: XmlNode, otherwise: () => number): number {
  const sounds =
    note.attributes['accid.ges'] ??
    childrenOf(note, 'accid').find(({ attributes }) => attributes['accid.ges'])?.attributes['accid.ges']
  return alters.get(sounds ?? printed(note) ?? '') ?? otherwise()
}

/** The signature that a definition gives a staff, in sharps; undefined where it gives none. */
function signatureIn(node: XmlNode, staff: string): number | undefined {
  if (node.name === 'staffDef' && (node.attributes.n ?? '1') !== staff) return undefined
  const defines = node.name === 'scoreDef' || node.name === 'staffDef'
  const own = defines ? (node.attributes.keysig ?? node.attributes['key.sig'] ?? keySigIn(node)) : undefined
  const [found, count, kind] = /^(\d)([fs])?$/.exec(own ?? '') ?? []
  const sharps = found === undefined ? undefined : Number(count) * (kind === 'f' ? -1 : 1) || 0
  return node.children.reduce((sum, inner) => signatureIn(inner, staff) ?? sum, sharps)
}

const keySigIn = (node: XmlNode): string | undefined => childrenOf(node, 'keySig')[0]?.attributes.sig

/** The notes, rests and spaces of a layer in order, each with its ticks; grace notes take no time. */
function eventsOf(layer: XmlNode): readonly { readonly node: XmlNode; readonly ticks: number }[] {
  const events: { node: XmlNode; ticks: number }[] = []
  const visit = (node: XmlNode, factor: number, dur: XmlNode | null): void => {
    const { attributes, name } = node
    if (attributes.grace !== undefined || name === 'graceGrp') return
    if (name === 'tuplet') {
      const inner = (factor * Number(attributes.numbase ?? 2)) / Number(attributes.num ?? 3)
      for (const each of node.children) visit(each, Number.isFinite(inner) ? inner : factor, null)
    } else if (name === 'chord') {
      const [top] = [...childrenOf(node, 'note')].reverse()
      if (top) visit(top, factor, node)
    } else if (name === 'note' || name === 'rest' || name === 'space')
      events.push({ node, ticks: ticksOf(dur ?? node) * factor })
    else for (const each of node.children) visit(each, factor, null)
  }
  for (const each of layer.children) visit(each, 1, null)
  return events
}

function ticksOf({ attributes }: XmlNode): number {
  const { dur = '4', dots = '0' } = attributes
  const whole = dur === 'breve' ? 192 : 96 / (Number(dur) || 4)
  return whole * (2 - 0.5 ** (Number(dots) || 0))
}
