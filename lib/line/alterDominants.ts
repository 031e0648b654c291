/** Dominants on their way to a major chord, altered by the line: which of them and how, and how a line that does so is heard. */
import type { PlacedScale } from '../choices/harmony.ts'
import { spellScale } from '../harmony/chooseScale.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { namedScales } from '../harmony/readHarmony.ts'
import { drawIndex } from '../lattice/lattice.ts'
import { familyOf } from '../theory/chord.ts'
import { degreeChroma } from '../theory/degree.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { type ScaleName, scaleChromas } from '../theory/scale.ts'
import { masksOf } from './approachFits.ts'
import type { Draft } from './draftLine.ts'
import { randomAt, seedOf } from './planPhrases.ts'

/**
 * The scales that alter a dominant, fewest foreign notes first, each with how often it is taken. The scales are those of the books
 * (Levine, *The Jazz Theory Book*, 1995); how often is from memory: ♭9 with ♭13 first, as in harmonic minor.
 */
const alterations: readonly (readonly [ScaleName, number])[] = [
  ['phrygian dominant', 0.4],
  ['half-whole diminished', 0.25],
  ['altered', 0.35],
]

/** The scales of a dominant that says no more than its seventh. */
const plain: readonly ScaleName[] = ['mixolydian', 'bebop dominant']

/** The chord that another leads to, whose root is another; the top follows the last. */
function nextOf({ chords }: Harmony, index: number): HarmonyChord | null {
  const root = chromaOf(chords[index]!.root!)
  for (let step = 1; step < chords.length; step++) {
    const next = chords[(index + step) % chords.length]!
    if (!next.root || !next.chord) return null
    if (chromaOf(next.root) !== root) return next
  }
  return null
}

/** Where a dominant that is altered leads: to a major chord, or to any that is no minor one. */
export type Towards = 'major' | 'any'

/** The scales by which a line may alter a chord: none unless it is a plain dominant that falls a fifth. */
function alterationsOf(harmony: Harmony, index: number, towards: Towards): readonly (readonly [ScaleName, number])[] {
  const { chord, root, scale } = harmony.chords[index]!
  if (!chord || !root || !scale || !plain.includes(scale.name) || familyOf(chord) !== 'dominant') return []
  const next = nextOf(harmony, index)
  if (!next || modulo(chromaOf(next.root!) - chromaOf(root), 12) !== 5) return []
  const to = familyOf(next.chord!)
  if (to !== 'major' && (towards === 'major' || to !== 'dominant')) return []
  // What the symbol says stays; the fifth it only implies.
  const holds = ([name]: readonly [ScaleName, number]) =>
    chord.degrees.every((degree) => degree === '5' || scaleChromas(name).includes(degreeChroma(degree)))
  return alterations.filter(holds)
}

const withScale = (chord: HarmonyChord, name: ScaleName): HarmonyChord => ({
  ...chord,
  scale: spellScale(chord.root!, name),
  reason: `${chord.reason} The line alters it here: ${name}.`,
})

const withScales = (harmony: Harmony, names: ReadonlyMap<number, ScaleName>): Harmony =>
  names.size === 0
    ? harmony
    : {
        ...harmony,
        chords: harmony.chords.map((chord, i) => (names.has(i) ? withScale(chord, names.get(i)!) : chord)),
      }

/**
 * The harmony that a line is drawn over: so large a share of the dominants that lead to a major chord altered, each by a draw of its
 * own place, whatever the key. Scales that a person chose stay.
 */
export function alterDominants(
  harmony: Harmony,
  share: number,
  towards: Towards,
  seed: number,
  scales: readonly PlacedScale[] = [],
): Harmony {
  if (share === 0) return harmony
  const named = namedScales(harmony, scales)
  const own = seedOf(harmony, seed)
  const names = new Map<number, ScaleName>()
  harmony.chords.forEach(({ start }, i) => {
    const open = named.has(i) ? [] : alterationsOf(harmony, i, towards)
    if (open.length === 0 || randomAt(own, start, 40) >= share) return
    const drawn = drawIndex(
      open.map(([, weight]) => weight),
      () => randomAt(own, start, 41),
    )
    names.set(i, open[drawn]![0])
  })
  return withScales(harmony, names)
}

/**
 * The harmony as a line makes it heard: a dominant is altered where the line's notes on foot would else be outside its scale
 * without passing by a half step. The plainest alteration that holds them is the one heard.
 */
export function hearAltered(harmony: Harmony, draft: Draft, scales: readonly PlacedScale[] = []): Harmony {
  const named = namedScales(harmony, scales)
  const { moments, notes, figures } = draft
  const on = new Map<number, number[]>()
  notes.forEach(({ moment, figure }, n) => {
    if (figure !== null && figures[figure]!.kind === 'approach') return
    const { chord } = moments[moment]!
    if (on.has(chord)) on.get(chord)!.push(n)
    else on.set(chord, [n])
  })
  const passes = (n: number) => {
    const before = notes[n - 1]
    const after = notes[n + 1]
    const { midi, moment } = notes[n]!
    if (before?.moment !== moment - 1 || after?.moment !== moment + 1 || moments[moment]!.weight === 'strong')
      return false
    const [from, to] = [midi - before.midi, after.midi - midi]
    return Math.abs(to) === 1 && from * to > 0 && Math.abs(from) <= 2
  }
  const names = new Map<number, ScaleName>()
  for (const [index, own] of on) {
    const open = named.has(index) || !harmony.chords[index] ? [] : alterationsOf(harmony, index, 'any')
    if (open.length === 0) continue
    const root = chromaOf(harmony.chords[index]!.root!)
    const outside = (held: (chroma: number) => boolean) => own.filter((n) => !held(notes[n]!.midi % 12))
    const mask = masksOf(harmony.chords[index]!).scale
    if (outside((chroma) => ((mask >> chroma) & 1) === 1).every(passes)) continue
    const heard = open.find(([name]) => {
      const chromas = [...scaleChromas(name), ...harmony.chords[index]!.chord!.degrees.map(degreeChroma)]
      return outside((chroma) => chromas.includes(modulo(chroma - root, 12))).every(passes)
    })
    if (heard) names.set(index, heard[0])
  }
  return withScales(harmony, names)
}
