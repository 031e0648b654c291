/** What a teacher might say of a marked line: bar by bar, plainly and kindly, with what could stand instead. */
import type { HarmonyChord } from '../harmony/harmony.ts'
import { chordIndexAt } from '../line/chooseTargets.ts'
import {
  approachCount,
  approaches,
  approachName,
  countedQuality,
  figureKind,
  hardlyPlayed,
  leaningTo,
  type Verdict,
  verdictOf,
} from '../line/figures.ts'
import { isChordTone, isInScale, offsetsInto, strongPlaces } from '../line/recognise.ts'
import { guideDegrees } from '../theory/chord.ts'
import { degreeChroma, numberOf } from '../theory/degree.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo, nameOf } from '../theory/pitch.ts'
import type { MarkedLine } from './markLine.ts'

/** A remark on one place. Beats count quarters from 1. */
export interface Remark {
  readonly about: 'guide-tone' | 'chord-tone' | 'no-chord-tone' | 'approach' | 'unresolved' | 'outside'
  readonly bar: number
  readonly beat: number
  readonly text: string
  /** How often recordings hold an approach; null for what is none. */
  readonly heard: Verdict | null
  /** Approaches that lead to the same note more often, as offsets; what a pin at this place takes. */
  readonly instead: readonly (readonly number[])[]
}

const wholeOfLength = approaches.map((list) => list.reduce((sum, { count }) => sum + count, 0))

/**
 * How much recordings use an approach, in a thousand approaches of its length: common from 10, used from 2, rare below. An enclosure
 * has the verdict of the counts, which call some dead.
 *
 * @example
 * usageOf([2, -1]) // => 'common'
 * usageOf([-2, -1, 2, 1]) // => 'dead'
 */
export function usageOf(offsets: readonly number[]): Verdict {
  const share = (1000 * approachCount(offsets)) / (wholeOfLength[offsets.length] || 1)
  return verdictOf(offsets) ?? (share >= 10 ? 'common' : share >= 2 ? 'used' : 'rare')
}

/** Every remark on a line, in the order of its bars; downbeats first in each. */
export function remarksOn(marked: MarkedLine): readonly Remark[] {
  return [...onDownbeats(marked), ...onApproaches(marked), ...onChromatics(marked), ...onStrongBeats(marked)].sort(
    (a, b) => a.bar - b.bar || a.beat - b.beat,
  )
}

const remark = (about: Remark['about'], bar: number, beat: number, text: string): Remark => ({
  about,
  bar,
  beat,
  text,
  heard: null,
  instead: [],
})

const beatIn = ({ line }: MarkedLine, bar: number, start: number): number =>
  1 + (start - (line.harmony.bars[bar - 1]?.start ?? -ticksIn(line))) / ticksPerQuarter

const ticksIn = ({ harmony }: MarkedLine['line']): number => harmony.bars[0]?.ticks ?? 0

/** Whether a pitch is a guide tone of a chord. */
function isGuideTone({ root, chord }: HarmonyChord, midi: number): boolean {
  if (!root || !chord) return false
  return guideDegrees(chord).some((degree) => modulo(chromaOf(root) + degreeChroma(degree) - midi, 12) === 0)
}

function onDownbeats({ line, tones }: MarkedLine): readonly Remark[] {
  const at = new Map(tones.map((tone, i) => [tone.start, i]))
  return line.harmony.bars.flatMap(({ bar, start }): Remark[] => {
    const i = at.get(start)
    const midi = i === undefined ? null : tones[i]!.midi
    const heard = line.harmony.chords[chordIndexAt(line.harmony, start)]
    if (i === undefined || midi === null || !heard?.root) return []
    const note = line.notes[i]!
    const what = `${nameOf(note.pitch!).replace(/-?\d+$/, '')}, the ${note.degree} of ${heard.symbol}`
    if (isGuideTone(heard, midi)) return [remark('guide-tone', bar, 1, `${what}, waits on the downbeat: a guide tone.`)]
    if (isChordTone(heard, midi)) return [remark('chord-tone', bar, 1, `${what}, stands on the downbeat.`)]
    return isInScale(heard, midi)
      ? [remark('no-chord-tone', bar, 1, `${what}, is on the downbeat: a colour, not yet a target.`)]
      : []
  })
}

/** The approaches of so many notes that are played most into a degree of a quality. */
function oftenInto(chord: HarmonyChord, degree: number, notes: number): readonly (readonly number[])[] {
  const quality = chord.chord && countedQuality(chord.chord)
  return [...(approaches[notes] ?? [])]
    .filter(({ offsets, kind, count }) => kind !== 'mixed' && count >= 4 && !hardlyPlayed(offsets))
    .map((each) => ({ offsets: each.offsets, weight: each.count * leaningTo(quality, degree, each) }))
    .sort((a, b) => b.weight - a.weight)
    .slice(0, 3)
    .map(({ offsets }) => offsets)
}

const said = {
  dead: 'recordings hardly hold it',
  rare: 'recordings seldom hold it',
  used: 'recordings hold it now and then',
  common: 'a common one',
}

function onApproaches(marked: MarkedLine): readonly Remark[] {
  const { line, tones, targets, figures } = marked
  return figures.flatMap(({ kind, target, notes }): Remark[] => {
    if (kind !== 'approach') return []
    const { tone, chord } = targets[target]!
    const { bar, start } = tones[tone]!
    const offsets = offsetsInto(tones, tone, notes)
    const heard = usageOf(offsets)
    const degree = ((numberOf(line.targets[target]!.degree) - 1) % 7) + 1
    const instead = heard === 'dead' || heard === 'rare' ? oftenInto(line.harmony.chords[chord]!, degree, notes) : []
    const name = approachName(offsets)
    const counted = `${approachCount(offsets)} times in the counts`
    const more =
      instead.length > 0
        ? ` To the same note, ${instead.map((each) => each.join(' ')).join(' or ')} is heard more.`
        : ''
    const text = `${name[0]!.toUpperCase()}${name.slice(1)} (${offsets.join(' ')}) into the ${line.targets[target]!.degree} of ${line.harmony.chords[chord]!.symbol}: ${said[heard]}, ${counted}.${more}`
    return [{ about: 'approach', bar, beat: beatIn(marked, bar, start), text, heard, instead }]
  })
}

/** Chromatic notes that lead nowhere: neither a half step on, nor by way of a note on the other side, nor into a target. */
function onChromatics(marked: MarkedLine): readonly Remark[] {
  const { line, tones } = marked
  const strong = strongPlaces(line.harmony)
  const sounding = tones.map(({ midi }) => midi)
  // Notes of an enclosure or of a chromatic approach resolve together, into their target.
  const closing = (figure: number | null) =>
    figure !== null &&
    line.figures[figure]!.kind === 'approach' &&
    /^(enclosure|chromatic)$/.test(figureKind(line.figures[figure]!.offsets))
  return tones.flatMap(({ midi, start, bar }, i): Remark[] => {
    if (midi === null || closing(line.notes[i]!.figure) || strong.has(start)) return []
    const heard = line.harmony.chords[chordIndexAt(line.harmony, start)]
    if (!heard?.root || isInScale(heard, midi)) return []
    const [next, after] = [sounding[i + 1] ?? null, sounding[i + 2] ?? null]
    const steps = next !== null && Math.abs(next - midi) === 1
    const turns =
      next !== null && after !== null && Math.abs(after - midi) === 1 && after - midi > 0 !== after - next > 0
    if (steps || turns) return []
    const pitch = line.notes[i]!.pitch!
    const where = next === null ? 'stops there' : `goes on to ${nameOf(line.notes[i + 1]!.pitch!)}`
    const text = `${nameOf(pitch)} is outside the ${heard.scale?.name ?? 'scale'} of ${heard.symbol} and ${where}; a half step on, up or down, would let it resolve.`
    return [remark('unresolved', bar, beatIn(marked, bar, start), text)]
  })
}

/** Notes that begin on a strong beat outside the chord and its scale. */
function onStrongBeats(marked: MarkedLine): readonly Remark[] {
  const { line, tones } = marked
  const strong = strongPlaces(line.harmony)
  return tones.flatMap(({ midi, start, bar }, i): Remark[] => {
    if (midi === null || !strong.has(start)) return []
    const heard = line.harmony.chords[chordIndexAt(line.harmony, start)]
    if (!heard?.root || !heard.chord || isInScale(heard, midi)) return []
    const [third] = guideDegrees(heard.chord)
    const text = `${nameOf(line.notes[i]!.pitch!)} leaves the ${heard.scale?.name ?? 'scale'} of ${heard.symbol} on a strong beat. If that was meant, lean on it; the ${third} lies ${distance(heard, third, midi)}.`
    return [remark('outside', bar, beatIn(marked, bar, start), text)]
  })
}

function distance({ root }: HarmonyChord, degree: string, midi: number): string {
  const up = modulo(chromaOf(root!) + degreeChroma(degree) - midi, 12)
  const [size, side] = up <= 6 ? [up, 'above'] : [12 - up, 'below']
  return `${size === 1 ? 'a half step' : size === 2 ? 'a whole step' : `${size} half steps`} ${side}`
}

const list = (bars: readonly number[]): string => {
  const each = [...new Set(bars)].map(String)
  return each.length < 2 ? each.join('') : `${each.slice(0, -1).join(', ')} and ${each.at(-1)}`
}
const inBars = (remarks: readonly Remark[]): string => {
  const bars = [...new Set(remarks.map(({ bar }) => bar))]
  return `${bars.length === 1 ? 'bar' : 'bars'} ${list(bars)}`
}

/** The report as a student reads it: what the line does first, then what could be looked at, each with its bar. */
export function reportText(marked: MarkedLine): string {
  const remarks = remarksOn(marked)
  const of = (...about: readonly Remark['about'][]) => remarks.filter((each) => about.includes(each.about))
  const bars = marked.line.harmony.bars.length
  const lines: string[] = []
  const [guides, tones, colours] = [of('guide-tone'), of('chord-tone'), of('no-chord-tone')]
  lines.push(
    guides.length > 0
      ? `A guide tone waits on ${guides.length} of ${bars} downbeats: ${inBars(guides)}.`
      : 'No downbeat holds a guide tone yet: the third or the seventh of each chord is there to aim at.',
  )
  if (tones.length > 0) lines.push(`Another chord tone stands on the downbeat of ${inBars(tones)}.`)
  if (colours.length > 0) lines.push(`A colour of the scale stands on the downbeat of ${inBars(colours)}.`)
  const approached = of('approach')
  for (const [verdict, words] of [
    ['common', 'Approaches that are often heard'],
    ['used', 'Approaches that are heard now and then'],
    ['rare', 'Approaches that are seldom heard'],
    ['dead', 'Approaches that recordings hardly hold'],
  ] as const) {
    const here = approached.filter(({ heard }) => heard === verdict)
    if (here.length > 0) lines.push(`${words}: ${inBars(here)}.`)
  }
  const open = [...approached.filter(({ instead }) => instead.length > 0), ...of('unresolved', 'outside')]
  open.sort((a, b) => a.bar - b.bar || a.beat - b.beat)
  if (open.length > 0) lines.push('', 'Worth a look:')
  for (const { bar, beat, text } of open) lines.push(`  Bar ${bar}, beat ${Number(beat.toFixed(2))}: ${text}`)
  return `${lines.join('\n')}\n`
}
