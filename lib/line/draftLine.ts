/** From harmony and brief to a line in numbers: targets, rhythm and notes as MIDI, ready to be carried to any key and spelled. */
import type { Brief, BriefProblem } from '../brief.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import type { Degree } from '../theory/degree.ts'
import { type Instrument, soundingPitch } from '../theory/instrument.ts'
import { nameOf, type Pitch, midiOf as pitchMidi } from '../theory/pitch.ts'
import { alterDominants } from './alterDominants.ts'
import { choicesOf } from './approachFits.ts'
import { askedOnsets, lostPin, openPitches } from './checkPins.ts'
import { chooseTargets, placeTargets, type Target, type TargetSlot } from './chooseTargets.ts'
import { type DrawnLine, type DrawnNote, drawWhole } from './drawLine.ts'
import { type DrawnPhrases, drawPhrases, type PhraseShape } from './drawPhrases.ts'
import { mixtureOf } from './figureWeights.ts'
import { type Kept, keepNotes, keptTargets, motifsOf } from './keptDraft.ts'
import type { Motif } from './motifs.ts'
import { noPins, type Pins, pinnedPitches, plainPitch, type ReadPin, readPins } from './pins.ts'
import { pinWindows, standsIn, type Window } from './pinWindows.ts'
import { placePhrased } from './placePhrased.ts'
import { planSlots } from './plan.ts'
import { seedOf, usualTempo } from './planPhrases.ts'
import { eighth, type Moment, planRhythm } from './planRhythm.ts'
import { travelTargets } from './travelTargets.ts'
import { backAndForth, comeAgain, relaxedOf } from './whatGaveWay.ts'

/** A rule that could not be kept, and where. */
export interface Relaxed {
  readonly rule: string
  readonly bar: number
  readonly why: string
}

/** A line in numbers, at sounding pitch. */
export interface Draft {
  readonly targets: readonly Target[]
  /** Of a phrased line: the slots that its targets fill, before pins. */
  readonly slots?: readonly TargetSlot[]
  /** Of a phrased line: the eighths before bar 1 that it begins with, which `goRound` puts there; 0 or none where it begins in a bar. */
  readonly pickup?: number
  /** Of a phrased line: what comes back, by its moments. */
  readonly motifs?: readonly Motif[]
  readonly moments: readonly Moment[]
  readonly notes: readonly DrawnNote[]
  /** The figures drawn as wholes: approaches, and cells that were asked for. */
  readonly figures: DrawnLine['figures']
  readonly relaxed: readonly Relaxed[]
  /** Nats of the notes between the targets: the less, the likelier. */
  readonly cost: number
  /** Where the last notes lead: the first target of what comes next; none where the line ends. */
  readonly leadsTo?: Goal
  /** Cells counted fewer times are not named. */
  readonly heard?: number
}

/** Where an approach leads: a sounding pitch, its degree, and the chord it belongs to, which may be that of another key. */
export interface Goal {
  readonly midi: number
  readonly degree: Degree
  readonly chord: HarmonyChord
}

/** The narrowest range that a line is asked to move in, in semitones: every chord has a guide tone in it. */
export const narrowest = 11

/** So often are targets drawn before the range or the pins are said to leave no line. */
const targetTries = 12

/** A small compass: a tenth about the middle of the comfortable range. */
const smallCompass = 16

/** The sounding range of a brief: what it says, else the compass of the instrument. MIDI, both ends included. */
export function soundingRange(
  instrument: Instrument,
  brief: Pick<Brief, 'low' | 'high' | 'compass'>,
): readonly [number, number] {
  const sounding = (written: Pitch) => pitchMidi(soundingPitch(instrument, written))
  const [low, high] = (brief.compass === 'full' ? instrument.range : instrument.comfortable).map(sounding) as [
    number,
    number,
  ]
  const spare = brief.compass === 'small' ? Math.max(0, high - low - smallCompass) : 0
  return [
    brief.low ? sounding(brief.low) : low + Math.floor(spare / 2),
    brief.high ? sounding(brief.high) : high - Math.ceil(spare / 2),
  ]
}

/** What of a brief a draft needs. */
export type DraftBrief = Pick<
  Brief,
  | 'every'
  | 'on'
  | 'land'
  | 'approach'
  | 'compass'
  | 'notes'
  | 'textbook'
  | 'cells'
  | 'own'
  | 'mixOwn'
  | 'different'
  | 'heard'
  | 'figures'
  | 'rhythm'
  | 'tempo'
  | 'targets'
  | 'motif'
  | 'plan'
  | 'pins'
  | 'again'
  | 'around'
  | 'scales'
  | 'leaps'
  | 'alter'
  | 'pickup'
>

/**
 * How large a share of the plain dominants on the way to a major chord a line alters: so many that as many of its notes there are
 * altered as in solos (17.5 %); the approaches of a drill alone bring nearly as many.
 */
const alteredShares = { solo: 0.35, quick: 0.47, drill: 0.1, much: 0.9 } as const

/** The harmony that a line is drawn over: that of the changes, some of its dominants altered. */
export function harmonyFor(harmony: Harmony, brief: DraftBrief, seed: number): Harmony {
  const phrased = brief.rhythm === 'phrased'
  const quick = phrased && (brief.tempo ?? harmony.tempo ?? usualTempo) >= 100
  const solo = mixtureOf(brief).recorded
  if (brief.alter === 'none' || (brief.alter === null && !phrased && !solo)) return harmony
  const much = brief.alter === 'much'
  const own = solo || brief.alter === 'some'
  const share = alteredShares[much ? 'much' : !own ? 'drill' : quick ? 'quick' : 'solo']
  return alterDominants(harmony, share, much ? 'any' : 'major', seed, brief.scales)
}

/**
 * Drafts a line over a harmony: slots, targets, rhythm and notes, all drawn by the seed inside a sounding range, pins kept.
 * What is pinned, or drawn anew in some bars, changes no more of the line than the joins beside it, unless the rest is to change
 * too. Problems where the range, the plan or the pins leave no such line.
 *
 * @param base - a line that is there already, in place of one that is drawn
 */
export function draftLine(
  plain: Harmony,
  brief: DraftBrief,
  range: readonly [number, number],
  seed: number,
  base: Draft | null = null,
): Draft | Refused {
  const harmony = harmonyFor(plain, brief, seed)
  const { pins, each: typedPins, problems: pinProblems } = readPins(brief.pins, harmony)
  const placed = placeTargets(harmony, brief)
  const planned = planSlots(harmony, placed, brief.plan)
  const outside = typedPins.filter((each) =>
    pinnedPitches(each.pins).some((midi) => midi < range[0] || midi > range[1]),
  )
  const [low, high] = range.map(plainPitch) as [Pitch, Pitch]
  const outsideProblems = outside.map(({ text }) =>
    pinProblem(brief, text, `sounding notes from ${rangeName(low, high)}`),
  )
  const problems = [...pinProblems, ...planned.problems, ...outsideProblems.slice(0, 1)]
  if (problems.length > 0) return { problems }

  const fixed = planned.slots.filter((slot, i) => slot !== placed[i])
  const asked: Drawing = { harmony, slots: planned.slots, fixed, brief, pins, typedPins, range, seed, kept: null }
  if (brief.pins.length > 0 && brief.around === 'anew' && !base) return drawAndRedraw(asked)
  const free = { ...asked, brief: { ...brief, pins: [] }, pins: noPins, typedPins: [] }
  const drawn = base ? redraw(free, base) : drawAndRedraw(free)
  if ('problems' in drawn || brief.pins.length === 0) return drawn
  return pinInPlace(asked, drawn) ?? widely(drawAndRedraw(asked), harmony, pins)
}

/** What a draft is drawn from: the slots of its targets and those that a plan fixes, what is kept, and by which seed. */
interface Drawing {
  readonly harmony: Harmony
  readonly slots: readonly TargetSlot[]
  readonly fixed: readonly TargetSlot[]
  readonly brief: DraftBrief
  readonly pins: Pins
  /** The same, one by one. */
  readonly typedPins: readonly ReadPin[]
  readonly range: readonly [number, number]
  readonly seed: number
  /** What stays of an earlier draft; null where all is drawn. */
  readonly kept: Kept | null
}

function drawAndRedraw(asked: Drawing): Draft | Refused {
  const first = drawTrying(asked)
  return 'problems' in first ? first : redraw(asked, first)
}

/** The line with its pins, as much of the rest kept as can be; null where they leave no way but another line. */
function pinInPlace(asked: Drawing, draft: Draft): Draft | null {
  const { harmony, pins } = asked
  if (!standsIn(pins, draft)) return null
  for (const [step, windows] of pinWindows(draft, pins, harmony).entries()) {
    const keeps = (tick: number) => !windows.some(([from, to]) => tick >= from && tick < to)
    const pinned = drawTrying({ ...asked, fixed: [], kept: { draft, keeps } })
    if (!('problems' in pinned)) return step === 0 ? pinned : further(pinned, harmony, windows)
  }
  return null
}

/** A line that pins changed further than beside them, with the bars it changed in. */
function further(draft: Draft, { bars }: Harmony, windows: readonly Window[]): Draft {
  const barAt = (tick: number) => bars.findLast(({ start }) => start <= tick)?.bar ?? 1
  const said = windows.map(([from, to]): Relaxed => {
    const [first, last] = [barAt(from), barAt(Math.min(to, Number.MAX_SAFE_INTEGER) - 1)]
    const where = first === last ? `in bar ${first}` : `in bars ${first} to ${last}`
    return { rule: 'local', bar: first, why: `what is kept here needs more room: the line changes ${where} around it` }
  })
  return { ...draft, relaxed: [...draft.relaxed, ...said] }
}

/** A line that pins changed as a whole, and says so. */
function widely(draft: Draft | Refused, harmony: Harmony, pins: Pins): Draft | Refused {
  if ('problems' in draft) return draft
  const [first = 0] = [...pins.notes.keys(), ...pins.approaches.keys(), ...pins.cells.keys()]
  const bar = harmony.bars.findLast(({ start }) => start <= first)?.bar ?? [...pins.bars.keys()][0] ?? 1
  const why = 'what is kept here leaves no way to join the line as it was; the rest is written anew'
  return { ...draft, relaxed: [...draft.relaxed, { rule: 'rest-anew', bar, why }] }
}

/** Draws a line; where the targets drawn leave no way to join what is pinned or kept, others are drawn, and that never moved. */
function drawTrying(asked: Drawing): Draft | Refused {
  let drawn = drawOnce(asked)
  for (let i = 1; 'problems' in drawn && i < targetTries; i++)
    drawn = drawOnce({ ...asked, seed: (asked.seed + i * 7919) >>> 0 })
  return drawn
}

/** Draws anew the stretches that the brief asks for, everything outside them kept. */
function redraw(asked: Drawing, draft: Draft): Draft | Refused {
  const { harmony, brief } = asked
  let current = draft
  for (const { from, to, seed } of brief.again) {
    const stretch = [harmony.bars[from - 1]!.start, endOf(harmony, to)] as const
    const keeps = (tick: number) => tick < stretch[0] || tick >= stretch[1]
    const again = drawTrying({ ...asked, fixed: [], seed, kept: { draft: current, keeps } })
    if ('problems' in again) return again
    current = again
  }
  return current
}

/** The tick at which a bar ends. */
function endOf(harmony: Harmony, bar: number): number {
  const { start, ticks } = harmony.bars[bar - 1]!
  return start + ticks
}

type Refused = { readonly problems: readonly BriefProblem[] }

function drawOnce(asked: Drawing): Draft | Refused {
  const { harmony, slots, fixed, brief, pins, typedPins, range, seed, kept } = asked
  const { rhythm } = brief
  const phrased = rhythm === 'phrased' && !kept ? placePhrased(harmony, slots, fixed, pins, brief, seed) : null
  const open = kept?.draft.slots ?? phrased?.slots ?? slots
  const pinned = pinSlots(open, asked)
  const closed = pinned.find(({ open }) => open?.length === 0)
  if (closed) {
    const found = `a figure pinned in bar ${closed.bar} that no target there can have`
    return { problems: [pinProblem(brief, found, 'a figure of the chord, inside the range')] }
  }
  const byPins = pinned.some((slot) => slot.pinned !== null || slot.open !== null)
  const noWay = { problems: [byPins && brief.pins.length > 0 ? unjoined(brief) : rangeProblem(range)] }
  const whole = rhythm === 'phrased' ? null : evenTargets(harmony, pinned, range, brief, seed)
  if (rhythm !== 'phrased' && !whole) return noWay
  const asEven = rhythm === 'phrased' ? 'eighths' : rhythm
  const moments =
    kept?.draft.moments ??
    phrased?.moments ??
    planRhythm(harmony, whole!, { rhythm: asEven, keptBars: pins.bars, onsets: askedOnsets(pins) })

  const choices = { ...choicesOf(brief), ...pinnedChoices(pinned, moments, asked) }
  const drawn = whole
    ? drawWhole(harmony, moments, whole, range, choices, seed)
    : drawPhrases(harmony, moments, pinned, range, choices, shapeOf(brief, kept, harmony), seedOf(harmony, seed))
  if (!drawn) return brief.pins.length > 0 ? { problems: [unjoined(brief)] } : noWay
  const targets = whole ?? (drawn as DrawnPhrases).targets
  const lost = lostPin(typedPins, harmony, { ...drawn, targets, moments })
  if (lost) {
    const expected = 'a pin that has room in this rhythm and that no other pin bars'
    return { problems: [{ ...pinProblem(brief, lost.text, expected), span: lost.span, hint: 'take this pin out' }] }
  }
  const { notes, figures, cost } = drawn
  return {
    targets,
    ...(rhythm === 'phrased'
      ? {
          slots: open,
          pickup: phrased?.pickup ?? kept?.draft.pickup ?? 0,
          motifs: motifsOf(drawn as DrawnPhrases, kept),
        }
      : {}),
    moments,
    notes,
    figures,
    relaxed: [
      ...(kept?.draft.relaxed.filter(({ rule }) => rule === 'phrases') ?? phrased?.relaxed ?? []),
      ...relaxedOf(harmony, figures, targets, brief, choices.pinnedApproaches),
      ...(brief.different ? comeAgain(harmony, figures, targets) : []),
      ...(choices.mixture.trills ? [] : backAndForth(harmony, moments, notes)),
    ],
    heard: brief.heard,
    cost,
  }
}

/** The pitches of bars that are kept whole, by their ticks; null is a rest. */
const keptPitches = ({ bars }: Pins): ReadonlyMap<number, number | null> =>
  new Map([...bars.values()].flat().map(({ start, midi }) => [start, midi]))

/** Slots with the pitch that is kept there, if any, and the pitches that what is pinned leaves open; none where a kept bar has no note. */
function pinSlots(slots: readonly TargetSlot[], { harmony, pins, range, kept }: Drawing) {
  const keptBar = keptPitches(pins)
  const keptTarget = new Map(kept ? keptTargets(kept).map(({ start, midi }) => [start, midi]) : [])
  return slots
    .filter(({ start, bar }) => !pins.bars.has(bar) || (keptBar.get(start) ?? null) !== null)
    .map((slot) => ({
      ...slot,
      pinned: pins.notes.get(slot.start) ?? keptBar.get(slot.start) ?? keptTarget.get(slot.start) ?? null,
      open: openPitches(slot, pins, harmony, range),
    }))
}

/** What is kept, by the numbers of targets and moments. */
function pinnedChoices(slots: readonly TargetSlot[], moments: readonly Moment[], { pins, kept }: Drawing) {
  const pinnedApproaches = new Map<number, readonly number[]>()
  const pinnedCells = new Map<number, readonly number[]>()
  slots.forEach(({ start }, i) => {
    const offsets = pins.approaches.get(start)
    const cell = pins.cells.get(start)
    if (offsets) pinnedApproaches.set(i, offsets)
    if (cell) pinnedCells.set(i, cell)
  })
  const pinnedNotes = new Map<number, number>()
  const keptBar = keptPitches(pins)
  moments.forEach(({ start }, m) => {
    const midi = pins.notes.get(start) ?? keptBar.get(start) ?? null
    if (midi !== null) pinnedNotes.set(m, midi)
  })
  if (kept) keepNotes(kept, pinnedNotes, pinnedApproaches)
  return { pinnedApproaches, pinnedCells, pinnedNotes }
}

/** Targets of an even line: by the smallest steps unless they are to travel, all of it one way through the range. */
function evenTargets(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  { targets }: DraftBrief,
  seed: number,
): readonly Target[] | null {
  if (targets !== 'travel') return chooseTargets(harmony, slots, range, seed)
  const spread = slots.map((slot, i) => {
    const since = i === 0 ? 0 : slot.start - slots[i - 1]!.start
    return { ...slot, between: Math.max(0, Math.floor(since / eighth) - 1) }
  })
  const last = slots.at(-1)?.start ?? 0
  return travelTargets(spread, range, null, [slots[0]?.start ?? 0, last], seed)
}

/** In phrases landings travel and some of what was played comes back, unless the brief says otherwise. */
const shapeOf = (
  { targets, motif, tempo }: DraftBrief,
  kept: Kept | null,
  harmony: Pick<Harmony, 'tempo'>,
): PhraseShape => ({
  tempo: tempo ?? harmony.tempo ?? usualTempo,
  smooth: targets === 'smooth',
  // What is drawn anew in a line that stays takes nothing up.
  motif: kept ? 'none' : (motif ?? 'some'),
})

const pinProblem = (brief: DraftBrief, found: string, expected: string): BriefProblem => ({
  severity: 'error',
  code: 'pins-contradict',
  choice: 'pins',
  span: { start: 0, end: brief.pins.join(',').length },
  found,
  expected,
  hint: 'take one of the pins out',
})

const unjoined = (brief: DraftBrief): BriefProblem =>
  pinProblem(brief, 'pins that no line can join', 'pins within an octave of their neighbours')

export const rangeProblem = ([low, high]: readonly [number, number]): BriefProblem => ({
  severity: 'error',
  code: 'range-too-small',
  choice: 'low',
  span: { start: 0, end: 0 },
  found: `a range of ${Math.max(0, high - low)} semitones`,
  expected: `a range of at least ${narrowest} semitones, so that every target has a place`,
  hint: 'lower the low note or raise the high note',
})

/** A range as a player would say it, for messages. */
export const rangeName = (low: Pitch, high: Pitch): string => `${nameOf(low)} to ${nameOf(high)}`
