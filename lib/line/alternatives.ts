/** What else could stand at a place of a line: other landings, approaches and cells, ranked, with their cost and their count. */
import type { Harmony } from '../harmony/harmony.ts'
import { guideDegrees } from '../theory/chord.ts'
import { type Degree, degreeNote, numberOf } from '../theory/degree.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, midiOf, nameOf, naturalAt, type Pitch, type PitchClass, pitchAt } from '../theory/pitch.ts'
import { approachesInto, choicesOf } from './approachFits.ts'
import { choicesOn, motionCost } from './chooseTargets.ts'
import { scaleOffset } from './chordMasks.ts'
import type { Draft, DraftBrief } from './draftLine.ts'
import { approachCount, approachName, cells, countedQuality, landingCount, type Verdict, verdictOf } from './figures.ts'

/** One thing that could stand there instead. */
export interface Alternative {
  readonly kind: 'landing' | 'approach' | 'cell'
  /** What a player calls it. */
  readonly name: string
  /** The notes it plays, at sounding pitch in the key of the harmony. */
  readonly notes: readonly Pitch[]
  readonly degree: Degree | null
  /** Nats dearer than the cheapest of its kind here. */
  readonly cost: number
  /** How often it was counted in real solos. */
  readonly count: number
  readonly verdict: Verdict | null
  /** Whether it is what stands there now. */
  readonly now: boolean
  /** The pin that keeps it: what to put among a brief's pins. */
  readonly pin: string
}

/** All landings, whatever the brief allows: choosing by hand is free. */
const everyLanding = ['1', '3', '5', '7', '9', '#11', '13'] as const
/** So many of a kind at most. */
const most = 24

/**
 * What could stand at the target that waits at a tick: landings within an octave of the last target, the approaches that fit,
 * and the cells there is room for; each kind cheapest first. Empty where no target waits.
 */
export function alternativesAt(
  harmony: Harmony,
  brief: DraftBrief,
  range: readonly [number, number],
  draft: Draft,
  tick: number,
): readonly Alternative[] {
  const index = draft.targets.findIndex(({ start }) => start === tick)
  const target = draft.targets[index]
  if (!target) return []
  const bar = harmony.bars.findLast(({ start }) => start <= tick)!
  const at = `${bar.bar}.${1 + (tick - bar.start) / ticksPerQuarter}`
  return [
    ...landings(harmony, range, draft, index, at),
    ...leadIns(harmony, brief, range, draft, index, at),
    ...cellsAfter(harmony, range, draft, index, at),
  ]
}

function ranked(
  list: readonly Omit<Alternative, 'pin'>[],
  pin: (a: Omit<Alternative, 'pin'>) => string,
): readonly Alternative[] {
  const sorted = [...list].sort((a, b) => a.cost - b.cost || b.count - a.count).slice(0, most)
  const least = sorted[0]?.cost ?? 0
  return sorted.map((each) => ({ ...each, cost: each.cost - least, pin: pin(each) }))
}

function landings(harmony: Harmony, [low, high]: readonly [number, number], draft: Draft, index: number, at: string) {
  const { targets } = draft
  const now = targets[index]!
  const chord = harmony.chords[now.chord]!
  const near = (targets[index - 1] ?? now).midi
  const list: Omit<Alternative, 'pin'>[] = []
  for (const { degree, chroma } of choicesOn(chord, everyLanding))
    for (
      let midi = Math.max(low, Math.min(near, now.midi) - 12);
      midi <= Math.min(high, Math.max(near, now.midi) + 12);
      midi++
    ) {
      if (midi % 12 !== chroma || (Math.abs(midi - near) > 12 && midi !== now.midi)) continue
      const motion = (other: number) => (targets[other] ? motionCost(midi - targets[other].midi) : 0)
      const guide = guideDegrees(chord.chord!).includes(degree) ? 0 : 1
      const pitch = pitchAt(degreeNote(chord.root!, degree), midi)
      list.push({
        kind: 'landing',
        name: `${degree} of ${chord.symbol}`,
        notes: [pitch],
        degree,
        cost: motion(index - 1) + motion(index + 1) + guide,
        count: landingCount(countedQuality(chord.chord!), numberOf(degree)),
        verdict: null,
        now: midi === now.midi,
      })
    }
  return ranked(list, ({ notes }) => `${at}=${nameOf(notes[0]!)}`)
}

function leadIns(
  harmony: Harmony,
  brief: DraftBrief,
  range: readonly [number, number],
  draft: Draft,
  index: number,
  at: string,
) {
  const target = draft.targets[index]!
  const current = draft.figures.find((figure) => figure.kind === 'approach' && figure.target === index)
  const list = approachesInto(harmony, draft.moments, draft.targets, range, choicesOf(brief), index).map(
    ({ offsets, cost }): Omit<Alternative, 'pin'> => ({
      kind: 'approach',
      name: approachName(offsets),
      notes: offsets.map((offset) => plainPitch(target.midi + offset, offset)),
      degree: null,
      cost,
      count: approachCount(offsets),
      verdict: verdictOf(offsets),
      now: current !== undefined && current.offsets.join(' ') === offsets.join(' '),
    }),
  )
  const offsetsOf = (notes: readonly Pitch[]) =>
    notes.map((pitch) => {
      const offset = midiOf(pitch) - target.midi
      return offset > 0 ? `+${offset}` : String(offset)
    })
  return ranked(list, ({ notes }) => `${at}=${offsetsOf(notes).join(' ')}`)
}

function cellsAfter(harmony: Harmony, [low, high]: readonly [number, number], draft: Draft, index: number, at: string) {
  const target = draft.targets[index]!
  const chord = harmony.chords[target.chord]!
  const next = draft.targets[index + 1]
  const first = draft.moments.findIndex(({ start }) => start === target.start)
  const room = draft.moments.slice(first + 1).findIndex(({ target: t, rest }) => t !== null || rest)
  if (first < 0 || (next && room >= 0 && room < 4)) return []
  const played = draft.notes
    .filter(({ moment }) => moment >= first && moment < first + 4)
    .map((note) => note.midi - target.midi)
  const all = cells.reduce((sum, { count }) => sum + count, 0)
  const list = cells.flatMap((cell): Omit<Alternative, 'pin'>[] => {
    const offsets = cell.steps.map((step) => scaleOffset(chord, target.midi, step))
    if (offsets.some((o) => o === null || target.midi + o < low || target.midi + o > high)) return []
    return [
      {
        kind: 'cell',
        name: cell.name,
        notes: offsets.map((offset) => plainPitch(target.midi + offset!, 1, chord.scale?.notes)),
        degree: null,
        cost: -Math.log(cell.count / all),
        count: cell.count,
        verdict: null,
        now: offsets.join(' ') === played.join(' '),
      },
    ]
  })
  return ranked(list, ({ name }) => `${at}=${name}`)
}

/** A pitch under a letter of the scale where it has one, else as it leads: from above lowered, from below raised. */
function plainPitch(sounding: number, offset: number, scale: readonly PitchClass[] = []): Pitch {
  const named = scale.find((note) => chromaOf(note) === sounding % 12)
  return named ? pitchAt(named, sounding) : naturalAt(sounding, offset > 0 ? 'flat' : 'sharp')
}
