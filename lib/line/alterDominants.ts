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
import { masksOf } from './chordMasks.ts'
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

/** Whether a note of a line passes: off strong beats, come to by a step, and on by a half step the same way. */
function passes({ moments, notes }: Draft, n: number): boolean {
  const [before, after] = [notes[n - 1], notes[n + 1]]
  const { midi, moment } = notes[n]!
  if (before?.moment !== moment - 1 || after?.moment !== moment + 1 || moments[moment]!.weight === 'strong')
    return false
  const [from, to] = [midi - before.midi, after.midi - midi]
  return Math.abs(to) === 1 && from * to > 0 && Math.abs(from) <= 2
}

/**
 * The notes by which each chord is heard, as indexes: those on foot, and approach notes on strong beats that neither the chord that
 * sounds nor the one landed on holds by itself.
 */
function tellingNotes(
  harmony: Harmony,
  { moments, notes, figures, targets }: Draft,
): ReadonlyMap<number, readonly number[]> {
  const found = new Map<number, number[]>()
  const tell = (chord: number, n: number) => {
    if (found.has(chord)) found.get(chord)!.push(n)
    else found.set(chord, [n])
  }
  const holds = (chord: number, midi: number) => {
    const heard = harmony.chords[chord]
    return !heard?.chord || ((masksOf(heard).scale >> (midi % 12)) & 1) === 1
  }
  notes.forEach(({ moment, midi, figure }, n) => {
    const { chord, weight } = moments[moment]!
    const approach = figure !== null && figures[figure]!.kind === 'approach' ? figures[figure]! : null
    const landed = approach ? (targets[approach.target]?.chord ?? chord) : chord
    if (approach && (weight !== 'strong' || holds(chord, midi) || holds(landed, midi))) return
    tell(chord, n)
    if (landed !== chord) tell(landed, n)
  })
  return found
}

/**
 * The harmony as a line makes it heard: a dominant is altered where fewer of the line's notes are then outside its scale, on strong
 * beats first, than by the scale it has; notes that pass by a half step do not count. Of scales that hold as many, the plainest is heard.
 */
export function hearAltered(harmony: Harmony, draft: Draft, scales: readonly PlacedScale[] = []): Harmony {
  const named = namedScales(harmony, scales)
  const names = new Map<number, ScaleName>()
  for (const [index, own] of tellingNotes(harmony, draft)) {
    const heard = harmony.chords[index]
    const open = named.has(index) || !heard ? [] : alterationsOf(harmony, index, 'any')
    if (open.length === 0) continue
    const root = chromaOf(heard!.root!)
    const mask = masksOf(heard!).scale
    const price = (held: (chroma: number) => boolean) =>
      own
        .filter((n) => !held(draft.notes[n]!.midi % 12) && !passes(draft, n))
        .reduce((sum, n) => sum + (draft.moments[draft.notes[n]!.moment]!.weight === 'strong' ? 100 : 1), 0)
    let least = price((chroma) => ((mask >> chroma) & 1) === 1)
    for (const [name] of least === 0 ? [] : open) {
      const chromas = [...scaleChromas(name), ...heard!.chord!.degrees.map(degreeChroma)]
      const priced = price((chroma) => chromas.includes(modulo(chroma - root, 12)))
      if (priced < least) {
        least = priced
        names.set(index, name)
      }
    }
  }
  return withScales(harmony, names)
}
