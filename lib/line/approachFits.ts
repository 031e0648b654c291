/** Which approaches may lead into each target: those that fit its chord, its rhythm, its range and the brief, with their costs. */
import type { ApproachKind, Brief } from '../brief.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { numberOf } from '../theory/degree.ts'
import { modulo } from '../theory/pitch.ts'
import type { Target } from './chooseTargets.ts'
import { heldOn, masksOf } from './chordMasks.ts'
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
  /** The counted approaches that may occur, by their number of notes. */
  readonly allowed: readonly (readonly Usable[])[]
  /** At most so many approach notes. */
  readonly notes: number
  readonly mixture: Mixture
  /** Whether no approach is to come twice until all have been used. */
  readonly different?: boolean
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

/** An approach that fits where it stands, with its cost in nats. */
export interface Entry {
  readonly offsets: readonly number[]
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
    const add = (entry: Entry) => {
      const { offsets } = entry
      const begins = layer - offsets.length
      for (let i = 0; i < offsets.length; i++) {
        const pitch = midi + offsets[i]!
        if (pitch < low || pitch > high || (pinnedAt(begins + i) ?? pitch) !== pitch) return
      }
      const first = midi + offsets[0]! - low
      const list = entries[begins]![first] ?? []
      entries[begins]![first] = list
      list.push(entry)
    }
    let room = 0
    while (layer > room && at(layer - room - 1).target === null && !afterRest[layer - room]!) room += 1
    const pinned = choices.pinnedApproaches.get(target)
    if (pinned && pinned.length <= room) {
      add(entryOf(pinned, 0))
      continue
    }
    const before = Array.from({ length: Math.min(room, choices.notes) }, (_, i) => at(layer - 1 - i))
    const setting = settingOn(harmony, targets[target]!, before)
    for (const each of fitting(setting)) add(each)
    // Where nothing that the brief allows fits, any single note leads in, and the line says so.
    const first = setting.sounding[0] ?? 0
    const held = (setting.landed | first) & ~(first >> 12)
    for (let offset = -widest; offset <= widest && room > 0; offset++) {
      if (offset === 0 && pinnedAt(layer - 1) !== midi) continue
      const jars = setting.weights[0] === 'strong' && ((held >> modulo(offset, 12)) & 1) === 0
      add((jars ? jarringSteps : forcedSteps)[offset + widest]!)
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
    Partial<Pick<Brief, 'leaps' | 'rhythm' | 'own' | 'mixOwn' | 'different' | 'heard' | 'figures'>>,
  own = ownCatalogue(brief.own ?? null),
): LineChoices => ({
  own: own?.approaches.some(({ length }) => length > 0)
    ? { approaches: own.approaches, mixed: brief.mixOwn === true }
    : null,
  different: brief.different === true,
  allowed: usable.map((list) =>
    list.filter(
      ({ kind, hard, count }) =>
        count >= (brief.heard ?? 0) && brief.approach.includes(kind) && (brief.textbook || !hard),
    ),
  ),
  figures: (brief.figures ?? []).map(readFigure).filter((steps) => steps !== null),
  notes: Math.max(
    ...((brief.figures ?? []).length > 0 ? brief.figures! : []).map((text) => text.split(' ').length),
    (brief.figures ?? []).length > 0 ? 1 : brief.notes,
  ),
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

const entryOf = (offsets: readonly number[], cost: number, forced = false): Entry => {
  const first = (offsets[1] ?? 0) - offsets[0]!
  return { offsets, cost, weight: Math.exp(-cost), forced, first }
}

/** Single notes outside what a brief allows, by their offset from an octave down: where they fall well, and where they jar. */
const [forcedSteps, jarringSteps] = [0, jarringCost].map((more) =>
  Array.from({ length: 2 * widest + 1 }, (_, i) => {
    const offset = i - widest
    return entryOf([offset], forcedCost + Math.abs(offset) / 4 + more, true)
  }),
) as unknown as readonly [readonly Entry[], readonly Entry[]]

/** The approaches of the catalogue that are of a kind and not too rare, by their number of notes. */
const usable = approaches.map((list) =>
  list
    .filter(({ kind, share }) => kind !== 'mixed' && share >= rarest)
    .map((each, place) => ({ ...each, place, kind: each.kind as ApproachKind, hard: hardlyPlayed(each.offsets) })),
)
type Usable = (typeof usable)[number][number]

/** How much likelier each of them is on a degree of a quality than anywhere, by its number of notes and its place. */
const leanings = new Map<string, readonly Float64Array[]>()

function leaningsOn({ quality, degree }: Setting): readonly Float64Array[] {
  const key = `${quality} ${degree}`
  const known = leanings.get(key)
  if (known) return known
  const found = usable.map((list) => Float64Array.from(list, (each) => leaningTo(quality, degree, each)))
  leanings.set(key, found)
  return found
}

/** By what the choices of a line allow, since phrases that take something up pin notes of their own. */
const fitters = new WeakMap<LineChoices['allowed'], (setting: Setting) => readonly Entry[]>()

/** A memo of the approaches that fit a setting: tunes come back to the same few. */
function fitter(choices: LineChoices): (setting: Setting) => readonly Entry[] {
  const before = fitters.get(choices.allowed)
  if (before) return before
  const theirs = choices.own?.approaches ?? []
  const asked = choices.figures ?? []
  const known = new Map<string, readonly Entry[]>()
  const fits = (setting: Setting): readonly Entry[] => {
    const key = `${setting.quality} ${setting.degree} ${setting.landed} ${setting.sounding} ${setting.weights}`
    const found =
      known.get(key) ??
      setting.sounding.flatMap((_, i) =>
        asked.length > 0
          ? asked.filter(({ length }) => length === i + 1).flatMap(askedPriced(setting))
          : [
              ...(choices.own && !choices.own.mixed ? [] : countedPriced(setting, choices, i + 1)),
              ...(theirs[i + 1] ?? []).flatMap(ownPriced(setting)),
            ],
      )
    known.set(key, found)
    return found
  }
  fitters.set(choices.allowed, fits)
  return fits
}

/** The counted approaches of so many notes that fit a setting. */
function countedPriced(setting: Setting, { allowed, mixture }: LineChoices, notes: number): readonly Entry[] {
  const leans = leaningsOn(setting)[notes]!
  const found: Entry[] = []
  for (const { offsets, kind, share, place } of allowed[notes]!) {
    const own = mixture.approach[kind][notes]!
    const fit = own === Number.POSITIVE_INFINITY ? 0 : fitOf(offsets, setting)
    if (fit > 0) found.push(entryOf(offsets, own - Math.log(share * leans[place]! * fit)))
  }
  return found
}

/** Nats for a figure that was asked for, where it leaves the scale. */
const foreignCost = 6

/** Figures that were asked for weigh alike, and stand even where a note of them leaves the scale. */
const askedPriced = (setting: Setting) => (steps: readonly FigureStep[]) => {
  const offsets = stepsOnScale(steps, setting.landed)
  if (!offsets) return []
  const fit = fitOf(offsets, setting)
  return [entryOf(offsets, fit === 0 ? foreignCost : -Math.log(fit))]
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
    return fit === 0 ? [] : [entryOf(offsets, -Math.log(share * fit))]
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
