/** A phrased line's targets and notes, drawn phrase by phrase, each by a seed of its own place. */
import type { Harmony } from '../harmony/harmony.ts'
import type { LineChoices } from './approachFits.ts'
import { chooseTargets, type Target, type TargetSlot } from './chooseTargets.ts'
import { heldOn, masksOf } from './chordMasks.ts'
import { type DrawnLine, type DrawnNote, drawStretches, type Memory } from './drawLine.ts'
import { addSounded, leansAt, newTrail, remember, type Sounded } from './leanBack.ts'
import { drawAnswers, type Motif, motifRoom, passesOn } from './motifs.ts'
import type { WayFigure } from './pathWeights.ts'
import { randomAt } from './planPhrases.ts'
import type { Moment } from './planRhythm.ts'
import { type PhraseTargetSlot, travelTargets } from './travelTargets.ts'

/** Notes from rest to rest, by their moments, both ends counted; and the targets among them, as indexes, the end not counted. */
export interface Breath {
  readonly from: number
  readonly to: number
  readonly targets: readonly [number, number]
}

/** The stretches of a line from rest to rest. */
function breathsOf(moments: readonly Moment[]): readonly Breath[] {
  const breaths: Breath[] = []
  let target = 0
  for (let m = 0; m < moments.length; m++) {
    if (moments[m]!.rest) continue
    const [from, first] = [m, target]
    for (; m < moments.length && !moments[m]!.rest; m++) if (moments[m]!.target !== null) target += 1
    breaths.push({ from, to: m - 1, targets: [first, target] })
  }
  return breaths
}

/** So often are a phrase's targets drawn before it is said to have no way through. */
const tries = 12

/** A phrased line in numbers. */
export interface DrawnPhrases extends DrawnLine {
  readonly targets: readonly Target[]
  /** What comes back, in order of time. */
  readonly motifs: readonly Motif[]
}

/** What of a brief shapes the phrases. */
export interface PhraseShape {
  /** Targets by the smallest steps, instead of as solos travel. */
  readonly smooth: boolean
  readonly motif: 'none' | 'some' | 'much'
  /** Quarter notes a minute. */
  readonly tempo: number
}

/** How often a phrase takes up what was played. */
const takesUp = { none: 0, some: 0.6, much: 0.95 } as const

/** A breath of more notes than this takes up nothing: it is no phrase, but a line that pins leave no room to breathe. */
const longest = 320

/** A line while it is drawn. */
interface Sheet {
  readonly harmony: Harmony
  readonly moments: readonly Moment[]
  readonly slots: readonly TargetSlot[]
  readonly range: readonly [number, number]
  readonly choices: LineChoices
  readonly smooth: boolean
  readonly seed: number
  readonly targets: Target[]
  readonly midis: (number | undefined)[]
  readonly figures: WayFigure[]
  readonly memory: Memory | null
}

/**
 * Draws a line over its plan, phrase by phrase: the targets of a phrase, then its notes exactly under them. What is drawn for one
 * phrase hangs on the seed, its place and where the phrase before it ended, so that a change stays where it is made. A phrase that
 * takes something up is drawn again around it. Null where no line keeps the range and the pins.
 *
 * @param slots - one a target of the moments, pins in them
 */
export function drawPhrases(
  harmony: Harmony,
  moments: readonly Moment[],
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  choices: LineChoices,
  { smooth, motif, tempo }: PhraseShape,
  seed: number,
): DrawnPhrases | null {
  const whole = smooth ? chooseTargets(harmony, slots, range, seed) : []
  if (!whole) return null
  // Drills share out their approaches: solos alone lean back.
  const leans = choices.mixture.recorded ? leansAt(motif, tempo) : null
  const sheet: Sheet = {
    harmony,
    moments,
    slots,
    range,
    choices,
    smooth,
    seed,
    targets: [...whole],
    midis: [],
    figures: [],
    memory: leans && { leans, trail: newTrail(), shapes: new Map(), soundedAt: soundedIn(harmony, moments) },
  }
  const notes: DrawnNote[] = []
  const motifs: Motif[] = []
  let cost = 0
  for (const breath of breathsOf(moments)) {
    let drawn = drawBreath(sheet, breath, choices)
    if (!drawn) return null
    for (const { moment, midi } of drawn.notes) sheet.midis[moment] = midi
    const taken = motif === 'none' ? null : takeUp(sheet, breath, takesUp[motif])
    if (taken) {
      drawn = taken.drawn
      motifs.push(...taken.motifs)
      for (const { moment, midi } of drawn.notes) sheet.midis[moment] = midi
    }
    if (sheet.memory) rememberPhrase(sheet.memory, drawn.notes)
    const known = sheet.figures.length
    for (const note of drawn.notes) notes.push({ ...note, figure: note.figure === null ? null : note.figure + known })
    sheet.figures.push(...drawn.figures)
    cost += drawn.cost
  }
  return { notes, figures: sheet.figures, cost, targets: sheet.targets, motifs }
}

const soundedIn =
  (harmony: Harmony, moments: readonly Moment[]) =>
  (moment: number, midi: number): Sounded => {
    const { bar, start } = moments[moment]!
    return { start, midi, half: harmony.bars[bar - 1]!.ticks / 2 }
  }

function rememberPhrase({ trail, shapes, soundedAt }: Memory, notes: readonly DrawnNote[]): void {
  const known = trail.notes.length
  for (const { moment, midi } of notes) addSounded(trail, soundedAt(moment, midi))
  remember(shapes, trail, known)
}

/** Draws the targets and notes of a breath; null where there is no way. The targets so far are its own afterwards. */
function drawBreath(
  { harmony, moments, slots, range, smooth, seed, targets, figures, memory }: Sheet,
  breath: Breath,
  choices: LineChoices,
): DrawnLine | null {
  const place = moments[breath.from]!.start
  const [first] = breath.targets
  for (let i = 0; i < tries; i++) {
    const own = Math.floor(randomAt(seed, place, 100 + i) * 4294967296)
    if (!smooth) {
      const ends = [place, moments[breath.to]!.start] as const
      const found = travelTargets(
        slotsOf(slots, moments, breath, choices.pinnedNotes),
        range,
        targets[first - 1] ?? null,
        ends,
        own,
      )
      if (!found) return null
      targets.splice(first, targets.length - first, ...found)
    }
    const drawn = drawStretches(
      harmony,
      moments,
      targets,
      range,
      choices,
      own ^ 0x2545f491,
      breath,
      choices.different ? figures : figures.slice(-4),
      memory,
    )
    if (drawn) return drawn
  }
  return null
}

/**
 * Whether the notes on foot still stand: none outside the scale on a strong beat, and what a bebop scale adds passes. What led to a
 * target before may lead elsewhere now.
 */
const standsWell = ({ harmony, moments, choices }: Sheet, { notes }: DrawnLine): boolean =>
  notes.every(({ moment, midi, figure }, i) => {
    const { weight, target, chord } = moments[moment]!
    if (figure !== null || target !== null || choices.pinnedNotes.has(moment)) return true
    const heard = harmony.chords[chord]
    if (!heard?.chord || !heard.root) return true
    const masks = masksOf(heard)
    const beside = (other: DrawnNote | undefined) =>
      Math.abs((other?.moment ?? NaN) - moment) === 1 ? other!.midi : undefined
    if ((masks.passing >> (midi % 12)) & 1)
      return weight === 'off' && passesOn(beside(notes[i - 1]), midi, beside(notes[i + 1]))
    return weight !== 'strong' || ((heldOn(masks, weight) >> (midi % 12)) & 1) === 1
  })

/** Draws a breath again around something that it takes up, what comes before that kept; null where it takes up nothing. */
function takeUp(
  sheet: Sheet,
  breath: Breath,
  share: number,
): { readonly drawn: DrawnLine; readonly motifs: readonly Motif[] } | null {
  const { harmony, moments, slots, range, choices, seed, targets, midis, smooth } = sheet
  const place = moments[breath.from]!.start
  if (breath.to - breath.from < motifRoom || breath.to - breath.from > longest || randomAt(seed, place, 20) >= share)
    return null
  const before = targets.slice(breath.targets[0])
  // Smooth targets stand as they are: an idea may only come back on them.
  const slotAt = (t: number) => (smooth ? { ...slots[t]!, pinned: targets[t]!.midi } : slots[t]!)
  for (const answer of drawAnswers(
    { harmony, moments, midis, slotAt, range, fits: choices.mixture.fits },
    breath.from,
    breath.to,
    seed,
  )) {
    const pinnedNotes = new Map(choices.pinnedNotes)
    const clash = answer.midis.some((midi, i) => (pinnedNotes.get(answer.from + i) ?? midi) !== midi)
    if (clash) continue
    // What comes before it stays.
    for (let m = breath.from; m < answer.from; m++) pinnedNotes.set(m, midis[m]!)
    answer.midis.forEach((midi, i) => {
      pinnedNotes.set(answer.from + i, midi)
    })
    const drawn = drawBreath(sheet, breath, { ...choices, pinnedNotes })
    if (drawn && standsWell(sheet, drawn)) {
      const { from, origin, notes } = answer
      return { drawn, motifs: [{ from, origin, notes }] }
    }
    targets.splice(breath.targets[0], targets.length - breath.targets[0], ...before)
  }
  return null
}

/** The slots of a breath, each with the number of notes between it and the one before, and what is pinned there. */
function slotsOf(
  slots: readonly TargetSlot[],
  moments: readonly Moment[],
  { from, to }: Breath,
  pinned: LineChoices['pinnedNotes'],
): readonly PhraseTargetSlot[] {
  const found: PhraseTargetSlot[] = []
  let between = 0
  for (let m = from; m <= to; m++) {
    const { target } = moments[m]!
    if (target === null) between += 1
    else {
      const slot = slots[target]!
      found.push({ ...slot, between, pinned: pinned.get(m) ?? slot.pinned })
      between = 0
    }
  }
  return found
}
