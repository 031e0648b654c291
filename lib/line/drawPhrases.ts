/** A phrased line's targets and notes, drawn phrase by phrase, each by a seed of its own place. */
import type { Harmony } from '../harmony/harmony.ts'
import type { LineChoices } from './approachFits.ts'
import { chooseTargets, type Target, type TargetSlot } from './chooseTargets.ts'
import { type DrawnLine, type DrawnNote, drawStretches } from './drawLine.ts'
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
}

/**
 * Draws a line over its plan, phrase by phrase: the targets of a phrase, then its notes exactly under them. What is drawn for one
 * phrase hangs on the seed, its place and where the phrase before it ended, so that a change stays where it is made. Null where no
 * line keeps the range and the pins.
 *
 * @param slots - one a target of the moments, pins in them
 * @param smooth - targets by the smallest steps, instead of as solos travel
 * @param choicesFor - the choices of the whole line, given its targets so far
 */
export function drawPhrases(
  harmony: Harmony,
  moments: readonly Moment[],
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  choices: LineChoices,
  smooth: boolean,
  seed: number,
): DrawnPhrases | null {
  const whole = smooth ? chooseTargets(harmony, slots, range, seed) : []
  if (!whole) return null
  const targets: Target[] = [...whole]
  const notes: DrawnNote[] = []
  const figures: WayFigure[] = []
  let cost = 0
  for (const breath of breathsOf(moments)) {
    const place = moments[breath.from]!.start
    let drawn: DrawnLine | null = null
    for (let i = 0; i < tries && !drawn; i++) {
      const own = Math.floor(randomAt(seed, place, 100 + i) * 4294967296)
      if (!smooth) {
        const [first, end] = breath.targets
        const found = travelTargets(
          betweens(slots, moments, breath),
          range,
          targets[first - 1] ?? null,
          [place, moments[breath.to]!.start],
          own,
        )
        if (!found) return null
        targets.length = first
        targets.push(...found)
        if (targets.length !== end) throw new Error('a target was lost')
      }
      drawn = drawStretches(
        harmony,
        moments,
        targets,
        range,
        choices,
        own ^ 0x2545f491,
        breath,
        choices.different ? figures : figures.slice(-4),
      )
      if (smooth) break
    }
    if (!drawn) return null
    const known = figures.length
    for (const note of drawn.notes) notes.push({ ...note, figure: note.figure === null ? null : note.figure + known })
    figures.push(...drawn.figures)
    cost += drawn.cost
  }
  return { notes, figures, cost, targets }
}

/** The slots of a breath, each with the number of notes between it and the one before. */
function betweens(
  slots: readonly TargetSlot[],
  moments: readonly Moment[],
  breath: Breath,
): readonly PhraseTargetSlot[] {
  const found: PhraseTargetSlot[] = []
  let between = 0
  for (let m = breath.from; m <= breath.to; m++) {
    const { target } = moments[m]!
    if (target === null) between += 1
    else {
      found.push({ ...slots[target]!, between })
      between = 0
    }
  }
  return found
}
