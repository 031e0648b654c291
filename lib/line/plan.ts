/** A target plan: the landings that a person typed, one degree a target. */
import type { BriefProblem } from '../brief.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { type Degree, degreeChroma, numberOf } from '../theory/degree.ts'
import { chromaOf } from '../theory/pitch.ts'
import { typedSigns } from '../theory/signs.ts'
import type { TargetSlot } from './chooseTargets.ts'

/** The most targets that a plan may name. */
const longest = 2_048

/**
 * Reads a plan such as `3 7 3 5 | 1 2 3 4`: one degree a target, in the order in which targets come; bar lines are for the eye;
 * a dot leaves the choice open. A bare number is what the chord has there, else its scale.
 */
export function readPlan(text: string): {
  readonly degrees: readonly (Degree | null)[]
  readonly problems: readonly BriefProblem[]
} {
  const degrees: (Degree | null)[] = []
  const problems: BriefProblem[] = []
  for (const { 0: word, index } of text.matchAll(/[^\s|,]+/g)) {
    const plain = typedSigns(word)
    const right = /^(bb?|##?)?([1-9]|1[0-3])$/.test(plain)
    if (right) degrees.push(plain)
    else if (word === '.' || word === '-') degrees.push(null)
    else
      problems.push({
        severity: 'error',
        code: 'bad-plan',
        choice: 'plan',
        span: { start: index, end: index + word.length },
        found: word,
        expected: 'a degree such as 3, b7 or #11, or a dot to leave it open',
        hint: 'try 3 7 3 5 | 1 2 3 4',
      })
  }
  return { degrees: degrees.slice(0, longest), problems }
}

/** Puts a plan on slots: each target's choices come down to its degree; a plan shorter than the tune starts again. */
export function planSlots(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  text: string,
): { readonly slots: readonly TargetSlot[]; readonly problems: readonly BriefProblem[] } {
  const { degrees, problems } = readPlan(text)
  if (degrees.length === 0 || problems.length > 0) return { slots, problems }
  const missing: BriefProblem[] = []
  const planned = slots.map((slot, i): TargetSlot => {
    const wanted = degrees[i % degrees.length]!
    const chord = harmony.chords[slot.chord]!
    const degree = wanted && degreeOn(chord, wanted)
    if (wanted === null) return slot
    if (degree === null) {
      missing.push({
        severity: 'error',
        code: 'no-such-degree',
        choice: 'plan',
        span: { start: 0, end: text.length },
        found: `${wanted} for bar ${slot.bar}`,
        expected: `a degree of ${chord.symbol}: ${(chord.scale?.degrees ?? chord.chord?.degrees ?? []).join(' ')}`,
        hint: `put ${chord.chord?.degrees[1] ?? '1'} or a dot in its place`,
      })
      return slot
    }
    return { ...slot, choices: [{ degree, chroma: (chromaOf(chord.root!) + degreeChroma(degree)) % 12 }] }
  })
  return { slots: planned, problems: missing.slice(0, 1) }
}

/** The chord's degree under a number, else its scale's; an altered degree only where chord or scale holds it. */
function degreeOn(chord: HarmonyChord, wanted: Degree): Degree | null {
  const own = chord.chord?.degrees ?? []
  const scale = chord.scale?.degrees ?? []
  if (/^[b#]/.test(wanted)) {
    const holds = [...own, ...scale].some((degree) => degreeChroma(degree) === degreeChroma(wanted))
    return holds ? wanted : null
  }
  const number = numberOf(wanted)
  const simple = ((number - 1) % 7) + 1
  return (
    own.find((degree) => numberOf(degree) === number) ??
    own.find((degree) => numberOf(degree) === simple) ??
    scale.find((degree) => numberOf(degree) === simple) ??
    null
  )
}
