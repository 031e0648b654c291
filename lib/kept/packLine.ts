/**
 * A line's notes in as few characters as they need, for links and printed codes. What is packed is the notes themselves, so no
 * later change of how lines are drawn can touch them; the changes they belong to are only told apart by a short sum.
 */
import type { Harmony } from '../harmony/harmony.ts'
import type { TargetSlot } from '../line/chooseTargets.ts'
import type { Draft } from '../line/draftLine.ts'
import type { Moment } from '../line/planRhythm.ts'
import { degreeChroma } from '../theory/degree.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { type BitCoder, codeBits, codeCount, codeNumber, readBits, writeBits } from './bitCoder.ts'
import { bytesOf, checksum, textOf } from './linkText.ts'

/** The first byte: how the rest is written. A packing once given out is read for ever. */
const packing = 1

/** Degrees by number; what is not among them is spelled out. Their order is part of the packing. */
const degrees =
  ' 1 b2 2 #2 b3 3 4 #4 b5 5 #5 b6 6 bb7 b7 7 b9 9 #9 b10 10 11 #11 b13 13 #13 b4 #1 b1 #3 #6 b11 #7 8'.split(' ')
const kinds = ['approach', 'cell'] as const
const weights = ['strong', 'beat', 'off'] as const

/** How far before its first bar and past its last a line may go: by the longest bar that is read, in ticks. */
const beyond = 960

/** Why a packed line cannot be had. */
export type Unpackable = 'damaged' | 'unknown' | 'other-changes'

export interface UnpackedLine {
  readonly draft: Draft
  /** By how many semitones, 0 to 11, the tune now stands above the key that the line was packed in. */
  readonly up: number
}

/** A line that cannot be packed as a whole, such as one whose notes overlap. */
class Unfit extends Error {}

const fits = (holds: boolean): void => {
  if (!holds) throw new Unfit()
}

/** What of the changes a line's places hang on: the length of each bar, and where each chord begins on which root. */
function shapeOf({ bars, chords, key }: Harmony): number {
  const home = chromaOf(key.tonic)
  const roots = chords.map(({ start, root }) => `${start} ${root ? modulo(chromaOf(root) - home, 12) : '-'}`)
  const text = `${bars.map(({ ticks }) => ticks).join(',')};${roots.join(',')}`
  return checksum([...text].map((sign) => sign.charCodeAt(0)))
}

/** The chord that sounds at a tick; -1 before the first. */
function soundingAt(harmony: Harmony): (tick: number) => number {
  const { chords } = harmony
  let at = -1
  let last = Number.NEGATIVE_INFINITY
  return (tick) => {
    if (tick < last) at = -1
    last = tick
    while (at + 1 < chords.length && chords[at + 1]!.start <= tick) at += 1
    return at
  }
}

/** Whether there is such a bar, 0 for a pickup's, and such a chord, -1 for none yet. */
const isPlace = ({ bars, chords }: Harmony, bar: number, chord: number): boolean =>
  bar >= 0 && bar <= bars.length && chord >= -1 && chord < chords.length

/** The moments of a line, one after another without gap; from the coder where none are given. */
function codeMoments(coder: BitCoder, harmony: Harmony, given: Draft | null): readonly Moment[] {
  const sounding = soundingAt(harmony)
  const count = codeCount(coder, 'moments', given?.moments.length ?? 0)
  const end = harmony.bars.reduce((sum, { ticks }) => sum + ticks, beyond)
  const moments: Moment[] = []
  let start = codeNumber(coder, 'start', given?.moments[0]?.start ?? 0)
  let bar = 0
  let [ticks, target, resting] = [12, 0, 0 as 0 | 1]
  for (let m = 0; m < count; m++) {
    const own = given?.moments[m]
    fits((!own || own.start === start) && start >= -beyond && start < end)
    while (bar + 1 < harmony.bars.length && harmony.bars[bar + 1]!.start <= start) bar += 1
    const inBar = start - (harmony.bars[bar]?.start ?? 0)
    const number =
      codeNumber(coder, 'bar', (own?.bar ?? 0) - (harmony.bars[bar]?.bar ?? 0)) + (harmony.bars[bar]?.bar ?? 0)
    const rest = coder.bit(`rest ${resting} ${inBar}`, own?.rest ? 1 : 0)
    const same = coder.bit(`as long ${ticks} ${rest}`, own?.ticks === ticks ? 1 : 0)
    if (same === 0) ticks = codeCount(coder, 'ticks', own?.ticks ?? 0)
    fits(ticks > 0)
    const chord = codeNumber(coder, 'chord', (own?.chord ?? 0) - sounding(start)) + sounding(start)
    const weight = weights[codeBits(coder, `weight ${inBar}`, weights.indexOf(own?.weight ?? 'off'), 2)]
    fits(weight !== undefined && isPlace(harmony, number, chord))
    const waits = rest === 1 ? 0 : coder.bit(`target ${inBar}`, own && own.target !== null ? 1 : 0)
    fits(!own || own.target === (waits === 1 ? target : null))
    moments.push({
      bar: number,
      start,
      ticks,
      chord,
      rest: rest === 1,
      target: waits === 1 ? target : null,
      weight: weight!,
    })
    if (waits === 1) target += 1
    resting = rest
    start += ticks
  }
  return moments
}

function codeDegree(coder: BitCoder, own: string | undefined): string {
  const known = codeCount(coder, 'degree', own === undefined ? 0 : degrees.indexOf(own) + 1)
  if (known > 0) {
    fits(known <= degrees.length)
    return degrees[known - 1]!
  }
  const length = codeCount(coder, 'letters', own?.length ?? 0)
  fits(length <= 8)
  return Array.from({ length }, (_, i) =>
    String.fromCharCode(codeBits(coder, 'letter', own?.charCodeAt(i) ?? 0, 7)),
  ).join('')
}

/** The notes that sound, each by its step from the one before; a long step is spelled out. */
function codeNotes(coder: BitCoder, moments: readonly Moment[], given: Draft | null): readonly number[] {
  const byMoment = new Map(given?.notes.map((note) => [note.moment, note.midi]))
  fits(!given || byMoment.size === moments.filter(({ rest }) => !rest).length)
  const pitches: number[] = []
  let [last, way, size] = [60, 0, 0]
  moments.forEach(({ rest, target }, m) => {
    if (rest) return
    const own = byMoment.get(m)
    fits(!given || own !== undefined)
    const step = (own ?? last) - last
    const waits = target === null ? 'free' : 'target'
    const length = Math.min(Math.abs(step), 15)
    const coded = codeBits(coder, `size ${Math.min(size, 3)} ${waits}`, length, 4)
    const far = coded === 15 ? 15 + codeCount(coder, 'far', Math.abs(step) - 15) : coded
    const down = far === 0 ? 0 : coder.bit(`down ${way} ${Math.min(far, 5)}`, step < 0 ? 1 : 0)
    const midi = last + (down === 1 ? -far : far)
    fits(midi >= 0 && midi <= 127)
    pitches.push(midi)
    if (far > 0) way = down === 1 ? -1 : 1
    ;[last, size] = [midi, far]
  })
  return pitches
}

/** The targets at their moments: as a rule at the moment's own tick, bar, chord and pitch. */
function codeTargets(
  coder: BitCoder,
  harmony: Harmony,
  moments: readonly Moment[],
  pitches: readonly number[],
  given: Draft | null,
): Draft['targets'] {
  const targets: Draft['targets'][number][] = []
  let note = 0
  moments.forEach((moment) => {
    if (moment.rest) return
    const midi = pitches[note++]!
    if (moment.target === null) return
    const own = given?.targets[moment.target]
    fits(!given || own !== undefined)
    const code = (name: string, value: number | undefined, usual: number) =>
      codeNumber(coder, `target ${name}`, (value ?? usual) - usual) + usual
    const target = {
      bar: code('bar', own?.bar, moment.bar),
      start: code('start', own?.start, moment.start),
      chord: code('chord', own?.chord, moment.chord),
      degree: codeDegree(coder, own?.degree),
      midi: code('midi', own?.midi, midi),
    }
    fits(isPlace(harmony, target.bar, target.chord))
    targets.push(target)
  })
  fits(!given || given.targets.length === targets.length)
  return targets
}

/** To which figure each note belongs, and each figure's kind and target; its offsets as a rule are those of its notes. */
function codeFigures(
  coder: BitCoder,
  moments: readonly Moment[],
  pitches: readonly number[],
  targets: Draft['targets'],
  given: Draft | null,
): Pick<Draft, 'notes' | 'figures'> {
  const owners = new Map(given?.notes.map((note) => [note.moment, note.figure]))
  const notes: Draft['notes'][number][] = []
  const figures: Draft['figures'][number][] = []
  let last: number | null = null
  let target = 0
  let at = 0
  moments.forEach((moment, m) => {
    if (moment.rest) return
    if (moment.target !== null) target = moment.target + 1
    const own = owners.get(m) ?? null
    const state = own === null ? 0 : own === last ? 1 : 2
    const coded = codeBits(coder, `figure ${last === null ? 'none' : 'on'} ${moment.weight}`, state, 2)
    fits(coded < 3 && !(coded === 1 && last === null))
    if (coded === 2) {
      fits(!given || own === figures.length)
      const figure = given?.figures[figures.length]
      fits(!figure || kinds.includes(figure.kind))
      const kind = kinds[codeCount(coder, 'kind', figure ? kinds.indexOf(figure.kind) : 0)]
      fits(kind !== undefined)
      const to = codeNumber(coder, 'to', (figure?.target ?? 0) - target) + target
      const forced = coder.bit('forced', figure?.forced ? 1 : 0) === 1
      figures.push({ kind: kind!, target: to, offsets: figure?.offsets ?? [], forced })
    }
    last = coded === 0 ? null : coded === 1 ? last : figures.length - 1
    notes.push({ moment: m, midi: pitches[at++]!, figure: last })
  })
  fits(!given || given.figures.length === figures.length)
  const members: number[][] = figures.map(() => [])
  for (const { figure, midi } of notes) if (figure !== null) members[figure]!.push(midi)
  return {
    notes,
    figures: figures.map((figure, f) => {
      const goal = targets[figure.target]?.midi ?? 0
      const played = members[f]!.map((midi) => midi - goal)
      const plain = coder.bit('as played', given && played.join() === figure.offsets.join() ? 1 : 0)
      if (plain === 1) return { ...figure, offsets: played }
      const length = codeCount(coder, 'offsets', figure.offsets.length)
      fits(length <= 32)
      const offsets = Array.from({ length }, (_, i) => codeNumber(coder, 'offset', figure.offsets[i] ?? 0))
      return { ...figure, offsets }
    }),
  }
}

/** Walks over a draft with a coder: writes the one given, or reads the one that stands there. */
function codeDraft(coder: BitCoder, harmony: Harmony, given: Draft | null): Draft {
  const moments = codeMoments(coder, harmony, given)
  const pitches = codeNotes(coder, moments, given)
  const targets = codeTargets(coder, harmony, moments, pitches, given)
  const { notes, figures } = codeFigures(coder, moments, pitches, targets, given)
  fits(codeBits(coder, 'end', 0b10110, 5) === 0b10110)
  return { targets, slots: slotsOf(harmony, targets), moments, notes, figures, relaxed: [], cost: 0 }
}

/** The places of targets, so that a part of the line can be drawn anew. */
const slotsOf = ({ chords }: Harmony, targets: Draft['targets']): readonly TargetSlot[] =>
  targets.map(({ bar, start, chord, degree, midi }) => {
    const root = chords[chord]?.root
    const chroma = root && degree !== '' ? modulo(chromaOf(root) + degreeChroma(degree), 12) : modulo(midi, 12)
    return { bar, start, chord, choices: [{ degree, chroma }], pinned: null }
  })

/**
 * Packs the notes of a line; null where it is of a shape that cannot be.
 *
 * @param harmony - of the key in which the draft stands
 */
export function packLine(draft: Draft, harmony: Harmony): string | null {
  const coder = writeBits()
  try {
    codeDraft(coder, harmony, draft)
  } catch (error) {
    if (error instanceof Unfit) return null
    throw error
  }
  const body = [chromaOf(harmony.key.tonic), shapeOf(harmony) >> 8, shapeOf(harmony) & 0xff, ...coder.bytes()]
  const sum = checksum(body)
  return textOf(Uint8Array.from([packing, sum >> 8, sum & 0xff, ...body]))
}

/** Unpacks a line for the changes that it was packed with, in whatever key they stand now; else why it cannot be had. */
export function unpackLine(text: string, harmony: Harmony): UnpackedLine | Unpackable {
  const bytes = bytesOf(text)
  if (!bytes || bytes.length < 7) return 'damaged'
  const [version, sumHigh = 0, sumLow = 0, tonic = 0, shapeHigh = 0, shapeLow = 0] = bytes
  if (checksum(bytes.subarray(3)) !== sumHigh * 256 + sumLow) return 'damaged'
  if (version !== packing) return 'unknown'
  if (shapeOf(harmony) !== shapeHigh * 256 + shapeLow) return 'other-changes'
  try {
    const draft = codeDraft(readBits(bytes.subarray(6)), harmony, null)
    return { draft, up: modulo(chromaOf(harmony.key.tonic) - tonic, 12) }
  } catch (error) {
    if (error instanceof Unfit) return 'damaged'
    throw error
  }
}
