/** Which approaches may lead into each target: those that fit its chord, its rhythm, its range and the brief, with their costs. */
import type { ApproachKind, Brief } from '../brief.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { familyOf } from '../theory/chord.ts'
import { degreeChroma, numberOf } from '../theory/degree.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { addedNote, walkedNotes } from '../theory/scale.ts'
import type { Target } from './chooseTargets.ts'
import { type FigureStep, readFigure } from './figureSteps.ts'
import {
  type Approach,
  approaches,
  type Cell,
  type CountedQuality,
  cells,
  countedQuality,
  hardlyPlayed,
  leaningTo,
} from './figures.ts'
import { type Mixture, mixtureOf } from './figureWeights.ts'
import { ownCatalogue } from './ownFigures.ts'
import type { Moment } from './planRhythm.ts'

export interface LineChoices {
  readonly kinds: readonly ApproachKind[]
  /** At most so many approach notes. */
  readonly notes: number
  /** Whether enclosures that recordings hardly hold may occur. */
  readonly textbook: boolean
  readonly mixture: Mixture
  /** Whether no approach is to come twice until all have been used. */
  readonly different?: boolean
  /** No approach counted fewer times. */
  readonly heard?: number
  /** Exactly these approaches, as typed; they stand even where they leave the scale. */
  readonly figures?: readonly (readonly FigureStep[])[]
  /** Approaches of a person's own, by their number of notes, and whether the counted ones stand beside them; null for none. */
  readonly own?: { readonly approaches: readonly (readonly Approach[])[]; readonly mixed: boolean } | null
  /** Cells to carry on with from a target, where there is room. */
  readonly cells: readonly Pick<Cell, 'steps' | 'count'>[]
  /** Cells that must leave a target, as scale steps, by its index. */
  readonly pinnedCells: ReadonlyMap<number, readonly number[]>
  /** Approaches that must lead into a target, by its index. */
  readonly pinnedApproaches: ReadonlyMap<number, readonly number[]>
  /** Sounding pitches that must stand at a moment, by its index. */
  readonly pinnedNotes: ReadonlyMap<number, number>
}

/** No leap is wider than an octave. */
export const widest = 12
/** Nats for an approach outside what the brief allows, where nothing else fits. */
const forcedCost = 14
/** Nats more where it falls on a strong beat outside what sounds and what is landed on. */
const jarringCost = 20
/** Approaches rarer than this among their kind and length are left out. */
const rarest = 0.0005

/** The pitch classes of a chord and of its scale, as bit masks. */
export interface Masks {
  readonly tones: number
  readonly scale: number
  /**
   * Scale notes a semitone above a chord tone, which rub against it (common practice: the avoid notes); of a dominant only the fourth:
   * its altered ninths and thirteenth are tensions.
   */
  readonly avoid: number
  /** What a bebop scale adds, which passes by a half step off the beat and is no note of the scale beside. */
  readonly passing: number
  /** What contradicts a bass other than the root on a strong beat: a half step from it and no chord tone. */
  readonly against: number
}

const maskOf = (chromas: readonly number[]) => chromas.reduce((mask, chroma) => mask | (1 << chroma), 0)
const knownMasks = new WeakMap<HarmonyChord, Masks>()

/** The masks of a chord that has a root; worked out once for each chord. */
export function masksOf(chord: HarmonyChord): Masks {
  const known = knownMasks.get(chord)
  if (known) return known
  const root = chromaOf(chord.root!)
  const tones = maskOf(chord.chord!.degrees.map((degree) => (root + degreeChroma(degree)) % 12))
  const scale = maskOf(chord.scale ? walkedNotes(chord.scale).map(chromaOf) : []) | tones
  const rubbed = familyOf(chord.chord!) === 'dominant' ? 1 << ((root + 4) % 12) : tones
  const rubs = (chroma: number) => ((scale & ~tones) >> chroma) & (rubbed >> modulo(chroma - 1, 12)) & 1
  const avoid = maskOf([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].filter(rubs))
  const added = chord.scale && addedNote(chord.scale)
  const passing = added ? maskOf([chromaOf(added)]) & ~scale : 0
  const bass = chord.bass ? chromaOf(chord.bass) : root
  const beside = bass === root ? 0 : maskOf([modulo(bass - 1, 12), modulo(bass + 1, 12)])
  const masks = { tones, scale, avoid, passing, against: beside & ~tones }
  knownMasks.set(chord, masks)
  return masks
}

/** The pitch classes that may be walked on where a moment has some weight. */
export const heldOn = ({ scale, against }: Masks, weight: Moment['weight']): number =>
  weight === 'strong' ? scale & ~against : scale

/** A scale as semitones above its first note, and the step that each of the twelve is, -1 for none. */
interface Ladder {
  readonly first: number
  readonly above: readonly number[]
  readonly steps: readonly number[]
}

const knownLadders = new WeakMap<HarmonyChord, Ladder>()

function ladderOf(chord: HarmonyChord): Ladder {
  const known = knownLadders.get(chord)
  if (known) return known
  const chromas = chord.scale ? walkedNotes(chord.scale).map(chromaOf) : []
  const first = chromas[0] ?? 0
  const above = chromas.map((chroma) => modulo(chroma - first, 12))
  const ladder = { first, above, steps: Array.from({ length: 12 }, (_, up) => above.indexOf(up)) }
  knownLadders.set(chord, ladder)
  return ladder
}

/** So many scale steps from a note as semitones, in the chord's scale; null where the note is outside it. */
export function scaleOffset(chord: HarmonyChord, midi: number, steps: number): number | null {
  const ladder = ladderOf(chord)
  const { first, above } = ladder
  const place = ladder.steps[modulo(midi - first, 12)]!
  if (place < 0) return null
  const to = place + steps
  return above[modulo(to, above.length)]! + 12 * Math.floor(to / above.length) - above[place]!
}

/** An approach that may begin somewhere, the target it leads to, and its cost in nats. */
export interface Entry {
  readonly offsets: readonly number[]
  readonly target: number
  readonly cost: number
  /** The same as a weight, exp(-cost). */
  readonly weight: number
  /** Outside what the brief allows: taken only where nothing else fits. */
  readonly forced: boolean
  /** Semitones from its first note to the next, or to the target. */
  readonly first: number
}

/** Where a target stands: everything on which the fit of an approach depends, counted from the target's own pitch. */
export interface Setting {
  readonly quality: CountedQuality | null
  /** 1 to 7. */
  readonly degree: number
  /**
   * Masks turned so that the target is bit 0: the scale landed on, and the scales that sound one, two, three… notes before, those on a
   * strong beat with what contradicts their bass twelve bits higher.
   */
  readonly landed: number
  readonly sounding: readonly number[]
  readonly weights: readonly Moment['weight'][]
}

const turn = (mask: number, midi: number) => {
  const by = midi % 12
  return ((mask >> by) | (mask << (12 - by))) & 4095
}

/**
 * For each layer of notes, the approaches that begin there, by their first pitch counted from the low end of the range.
 * `at` gives the moment of a layer, `pinnedAt` the pitch pinned there.
 */
export function approachesAt(
  harmony: Harmony,
  at: (layer: number) => Moment,
  layers: number,
  afterRest: readonly boolean[],
  targets: readonly Target[],
  [low, high]: readonly [number, number],
  choices: LineChoices,
  pinnedAt: (layer: number) => number | undefined,
): readonly (readonly (readonly Entry[] | undefined)[])[] {
  const entries: (Entry[] | undefined)[][] = Array.from({ length: layers }, () => [])
  const fitting = fitter(choices)
  for (let layer = 0; layer < layers; layer++) {
    const target = at(layer).target
    if (target === null) continue
    const { midi } = targets[target]!
    const add = ({ offsets, cost, weight }: Fitting, forced: boolean) => {
      const begins = layer - offsets.length
      for (let i = 0; i < offsets.length; i++) {
        const pitch = midi + offsets[i]!
        if (pitch < low || pitch > high || (pinnedAt(begins + i) ?? pitch) !== pitch) return
      }
      const first = midi + offsets[0]! - low
      const list = entries[begins]![first] ?? []
      entries[begins]![first] = list
      list.push({ offsets, target, cost, weight, forced, first: firstMove(offsets) })
    }
    let room = 0
    while (layer > room && at(layer - room - 1).target === null && !afterRest[layer - room]!) room += 1
    const pinned = choices.pinnedApproaches.get(target)
    if (pinned && pinned.length <= room) {
      add({ offsets: pinned, cost: 0, weight: 1 }, false)
      continue
    }
    const before = Array.from({ length: Math.min(room, choices.notes) }, (_, i) => at(layer - 1 - i))
    const setting = settingOn(harmony, targets[target]!, before)
    for (const each of fitting(setting)) add(each, false)
    // Where nothing that the brief allows fits, any single note leads in, and the line says so.
    const first = setting.sounding[0] ?? 0
    const held = (setting.landed | first) & ~(first >> 12)
    for (let offset = -widest; offset <= widest && room > 0; offset++) {
      if (offset === 0 && pinnedAt(layer - 1) !== midi) continue
      const jars = setting.weights[0] === 'strong' && ((held >> modulo(offset, 12)) & 1) === 0
      add(fittingAt([offset], forcedCost + Math.abs(offset) / 4 + (jars ? jarringCost : 0)), true)
    }
  }
  return entries
}

/** Where a target stands on the chord landed on, with the moments one, two, three… notes before it. */
export function settingOf(
  harmony: Harmony,
  landed: HarmonyChord,
  { midi, degree }: Pick<Target, 'midi' | 'degree'>,
  before: readonly Pick<Moment, 'chord' | 'weight'>[],
): Setting {
  const scale = masksOf(landed).scale
  return {
    quality: landed.chord ? countedQuality(landed.chord) : null,
    degree: degree === '' ? 0 : ((numberOf(degree) - 1) % 7) + 1,
    landed: turn(scale, midi),
    sounding: before.map(({ chord: there, weight }) => {
      const heard = harmony.chords[there]
      if (!heard?.chord) return turn(scale, midi)
      const masks = masksOf(heard)
      const against = weight === 'strong' ? turn(masks.against, midi) : 0
      return turn(heldOn(masks, weight), midi) | (against << 12)
    }),
    weights: before.map(({ weight }) => weight),
  }
}

const settingOn = (harmony: Harmony, target: Target, before: readonly Moment[]): Setting =>
  settingOf(harmony, harmony.chords[target.chord]!, target, before)

/** The choices of a brief for its lines, nothing pinned. */
export const choicesOf = (
  brief: Pick<Brief, 'approach' | 'notes' | 'textbook' | 'cells' | 'compass'> &
    Partial<Pick<Brief, 'leaps' | 'own' | 'mixOwn' | 'different' | 'heard' | 'figures'>>,
  own = ownCatalogue(brief.own ?? null),
): LineChoices => ({
  own: own?.approaches.some(({ length }) => length > 0)
    ? { approaches: own.approaches, mixed: brief.mixOwn === true }
    : null,
  different: brief.different === true,
  heard: brief.heard ?? 0,
  figures: (brief.figures ?? []).map(readFigure).filter((steps) => steps !== null),
  kinds: brief.approach,
  notes: Math.max(
    ...((brief.figures ?? []).length > 0 ? brief.figures! : []).map((text) => text.split(' ').length),
    (brief.figures ?? []).length > 0 ? 1 : brief.notes,
  ),
  textbook: brief.textbook,
  cells:
    brief.cells.length > 0 || !own || brief.mixOwn
      ? cells.filter(({ name, count }) => brief.cells.includes(name) && count >= (brief.heard ?? 0))
      : own.cells,
  mixture: mixtureOf(brief),
  pinnedApproaches: new Map(),
  pinnedCells: new Map(),
  pinnedNotes: new Map(),
})

/** The approaches that fit one target of a planned line, each with its cost in nats. */
export function approachesInto(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  [low, high]: readonly [number, number],
  choices: LineChoices,
  target: number,
): readonly { readonly offsets: readonly number[]; readonly cost: number }[] {
  const place = moments.findIndex((moment) => moment.target === target)
  const before: Moment[] = []
  for (let i = place - 1; i >= 0 && before.length < choices.notes; i--) {
    if (moments[i]!.rest || moments[i]!.target !== null) break
    before.push(moments[i]!)
  }
  const { midi } = targets[target]!
  return fitter(choices)(settingOn(harmony, targets[target]!, before)).filter(({ offsets }) =>
    offsets.every((offset) => midi + offset >= low && midi + offset <= high),
  )
}

const firstMove = (offsets: readonly number[]): number => (offsets[1] ?? 0) - offsets[0]!

/** An approach that fits a setting, with its cost in nats and the same as a weight. */
type Fitting = Pick<Entry, 'offsets' | 'cost' | 'weight'>

const fittingAt = (offsets: readonly number[], cost: number): Fitting => ({ offsets, cost, weight: Math.exp(-cost) })

/** By the choices of a line, which is drawn phrase by phrase. */
const fitters = new WeakMap<LineChoices, (setting: Setting) => readonly Fitting[]>()

/** A memo of the approaches that fit a setting: tunes come back to the same few. */
function fitter(choices: LineChoices): (setting: Setting) => readonly Fitting[] {
  const before = fitters.get(choices)
  if (before) return before
  const allowed = approaches.map((list) =>
    list.filter(
      ({ kind, share, offsets, count }) =>
        kind !== 'mixed' &&
        count >= (choices.heard ?? 0) &&
        choices.kinds.includes(kind) &&
        share >= rarest &&
        (choices.textbook || !hardlyPlayed(offsets)),
    ),
  )
  const theirs = choices.own?.approaches ?? []
  const asked = choices.figures ?? []
  const known = new Map<string, readonly Fitting[]>()
  const fits = (setting: Setting): readonly Fitting[] => {
    const key = `${setting.quality} ${setting.degree} ${setting.landed} ${setting.sounding} ${setting.weights}`
    const found =
      known.get(key) ??
      setting.sounding.flatMap((_, i) =>
        asked.length > 0
          ? asked.filter(({ length }) => length === i + 1).flatMap(askedPriced(setting))
          : [
              ...(choices.own && !choices.own.mixed ? [] : allowed[i + 1]!.flatMap(priced(setting, choices))),
              ...(theirs[i + 1] ?? []).flatMap(ownPriced(setting)),
            ],
      )
    known.set(key, found)
    return found
  }
  fitters.set(choices, fits)
  return fits
}

const priced =
  (setting: Setting, { mixture }: LineChoices) =>
  ({ offsets, kind, share, count }: Approach) => {
    const fit = fitOf(offsets, setting)
    if (fit === 0) return []
    const lean = leaningTo(setting.quality, setting.degree, { offsets, count })
    const own = kind === 'mixed' ? Number.POSITIVE_INFINITY : mixture.approach[kind][offsets.length]!
    return own === Number.POSITIVE_INFINITY ? [] : [fittingAt(offsets, own - Math.log(share * lean * fit))]
  }

/** Nats for a figure that was asked for, where it leaves the scale. */
const foreignCost = 6

/** Figures that were asked for weigh alike, and stand even where a note of them leaves the scale. */
const askedPriced = (setting: Setting) => (steps: readonly FigureStep[]) => {
  const offsets = stepsOnScale(steps, setting.landed)
  if (!offsets) return []
  const fit = fitOf(offsets, setting)
  return [fittingAt(offsets, fit === 0 ? foreignCost : -Math.log(fit))]
}

/** Steps in semitones from a target whose scale is a mask turned to it; null where it is outside that scale. */
function stepsOnScale(steps: readonly FigureStep[], landed: number): readonly number[] | null {
  const scale = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].filter((up) => (landed >> up) & 1)
  if (steps.some(({ diatonic }) => diatonic) && scale[0] !== 0) return null
  return steps.map(({ by, diatonic }) =>
    diatonic ? scale[modulo(by, scale.length)]! + 12 * Math.floor(by / scale.length) : by,
  )
}

/** A figure of one's own weighs as much as it was found among those of its length, wherever it fits. */
const ownPriced =
  (setting: Setting) =>
  ({ offsets, share }: Approach) => {
    const fit = fitOf(offsets, setting)
    return fit === 0 ? [] : [fittingAt(offsets, -Math.log(share * fit))]
  }

/**
 * How well an approach sounds where it stands, 0 for not at all: each note in the scale that sounds or in that of the chord
 * landed on, or a semitone from the target or from the next note. Outside notes keep off strong beats.
 */
export function fitOf(offsets: readonly number[], { landed, sounding, weights }: Setting): number {
  let fit = 1
  const k = offsets.length
  for (let i = 0; i < k; i++) {
    const offset = offsets[i]!
    const bit = modulo(offset, 12)
    const weight = weights[k - i - 1]!
    const heard = sounding[k - i - 1]!
    if ((heard >> bit) & 1) continue
    if ((heard >> (bit + 12)) & 1) return 0
    if ((landed >> bit) & 1) fit *= weight === 'strong' ? 0.3 : 0.9
    else {
      const resolves = Math.abs(offset) === 1 || Math.abs((offsets[i + 1] ?? 0) - offset) === 1
      if (!resolves || weight === 'strong') return 0
      fit *= weight === 'beat' ? 0.6 : 0.8
    }
  }
  return fit
}
