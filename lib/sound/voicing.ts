/** Voicings: how a chord is laid out under the hand, and a chain of them that moves as little as it can. */
import type { HarmonyChord } from '../harmony/harmony.ts'
import { bestPath } from '../lattice/lattice.ts'
import { familyOf, guideDegrees, tensions } from '../theory/chord.ts'
import { alterOf, type Degree, degreeChroma, numberOf } from '../theory/degree.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'

/** C3 to B4: below it chords growl, above it they cover the line. */
export const chordRange = { low: 48, high: 71 } as const

/** The most notes that two hands hold here; a chord that names more keeps those that say most. */
export const mostVoices = 5

export interface Voicing {
  /** Ascending MIDI numbers. */
  readonly notes: readonly number[]
  readonly cost: number
}

/**
 * The degrees of a chord that must sound: both guide tones, every tension that the symbol names, and an altered fifth. `left` are
 * those that found no room, the plainest first.
 *
 * @example
 * owedDegrees({ degrees: ['1', '3', '5', 'b7', '9', '13'], alt: false, named: '13' }) // => { owed: ['3', 'b7', '9', '13'], left: [] }
 */
export function owedDegrees(chord: NonNullable<HarmonyChord['chord']>): {
  readonly owed: readonly Degree[]
  readonly left: readonly Degree[]
} {
  const guides = guideDegrees(chord)
  const altered = chord.degrees.filter((degree) => numberOf(degree) === 5 && alterOf(degree) !== 0)
  const wanted = [...tensions(chord), ...altered].filter(
    (degree, i, all) =>
      !guides.some((guide) => degreeChroma(guide) === degreeChroma(degree)) &&
      all.findIndex((other) => degreeChroma(other) === degreeChroma(degree)) === i,
  )
  // What is altered says more than what is not, and what is higher more than what is lower.
  const ranked = [...wanted].sort(
    (a, b) => Number(alterOf(b) !== 0) - Number(alterOf(a) !== 0) || numberOf(b) - numberOf(a),
  )
  const room = mostVoices - new Set(guides).size
  const kept = ranked.slice(0, room)
  return {
    owed: [...new Set([...guides, ...wanted.filter((d) => kept.includes(d))])],
    left: ranked.slice(room).reverse(),
  }
}

/**
 * What the band leaves out of chords that are too full for two hands, in words, each chord once; empty for nearly every tune. A chord whose
 * symbol leaves the choice to the player, as alt does, is played as chosen.
 */
export function leftOutOf(chords: readonly Pick<HarmonyChord, 'chord' | 'root' | 'symbol'>[]): readonly string[] {
  const said = chords.flatMap(({ chord, root, symbol }) => {
    const left = chord && root && !chord.alt ? owedDegrees(chord).left : []
    return left.length > 0
      ? [`${symbol} has more notes than two hands hold: the band leaves out ${left.join(' ')}`]
      : []
  })
  return [...new Set(said)]
}

/** Degrees that may join where the symbol names no tension, best first: what the scale offers, then the fifth. */
function colours(chord: HarmonyChord): readonly Degree[] {
  const quality = chord.chord!
  const [, seventh] = guideDegrees(quality)
  const scale = new Set(chord.scale?.degrees ?? [])
  const offered: Degree[] = []
  if (seventh !== '1' && scale.has('2')) offered.push('9')
  if (familyOf(quality) === 'dominant' && scale.has('6')) offered.push('13')
  const fifth = quality.degrees.find((degree) => /^[b#]?5$/.test(degree))
  if (fifth) offered.push(fifth)
  if (offered.length === 0 && seventh !== '1') offered.push('1')
  const bass = chromaOf(chord.bass ?? chord.root!)
  // Nothing that nobody wrote rubs against the bass note.
  return offered.filter((degree) => {
    const gap = modulo(chromaOf(chord.root!) + degreeChroma(degree) - bass, 12)
    return gap !== 1 && gap !== 11
  })
}

/** Sets of degrees to lay out, with what each costs: what is owed, and up to two colours where there is room. */
function degreeSets(chord: HarmonyChord): readonly { readonly degrees: readonly Degree[]; readonly cost: number }[] {
  const { owed } = owedDegrees(chord.chord!)
  const more = colours(chord).filter((degree) => !owed.some((other) => degreeChroma(other) === degreeChroma(degree)))
  const sets = [{ degrees: owed, cost: owed.length < 3 ? 6 : owed.length < 4 ? 0.5 : 0 }]
  if (owed.length < 4) sets.push(...more.map((degree, i) => ({ degrees: [...owed, degree], cost: i })))
  if (owed.length < 3 && more.length > 1) sets.push({ degrees: [...owed, more[0]!, more[1]!], cost: 0.3 })
  if (owed.length < 3 && more.length > 2) sets.push({ degrees: [...owed, more[0]!, more[2]!], cost: 0.3 })
  return sets
}

/** Every way to lay a chord out in the range: what it owes, rootless, and a colour or two where it leaves room. */
export function voicingsOf(chord: HarmonyChord): readonly Voicing[] {
  const root = chromaOf(chord.root!)
  const placesOf = (degree: Degree): readonly number[] => {
    const chroma = (root + degreeChroma(degree)) % 12
    const lowest = chordRange.low + modulo(chroma - chordRange.low, 12)
    return [lowest, lowest + 12].filter((midi) => midi <= chordRange.high)
  }
  const laid = (degrees: readonly Degree[]): readonly (readonly number[])[] =>
    degrees.reduce<readonly (readonly number[])[]>(
      (ways, degree) => ways.flatMap((way) => placesOf(degree).map((place) => [...way, place])),
      [[]],
    )
  for (const narrowest of [2, 1]) {
    const found = degreeSets(chord).flatMap(({ degrees, cost }) =>
      laid(degrees).flatMap((way): readonly Voicing[] => {
        const notes = [...way].sort((a, b) => a - b)
        const gaps = notes.slice(1).map((note, i) => note - notes[i]!)
        const span = notes.at(-1)! - notes[0]!
        // No clash of a semitone where it can be had without, and none at all on top, where it would be heard as the tune.
        if (gaps.some((gap) => gap < narrowest) || (gaps.length > 1 && gaps.at(-1)! < 2)) return []
        const wide = Math.max(0, span - 15)
        // Seconds low down are thick.
        const thick = gaps.filter((gap, i) => gap < 3 && notes[i]! < 53).length
        return [{ notes, cost: cost + 0.5 * wide + 1.5 * thick }]
      }),
    )
    if (found.length > 0) return found
  }
  // A chord of one note, or two a semitone apart, is played as its root.
  return [{ notes: [placesOf('1')[0]!], cost: 0 }]
}

/** How far two voicings are apart: each voice of the smaller one to the nearest of the other, in semitones, summed. */
export function motionBetween(from: readonly number[], to: readonly number[]): number {
  const [few, many] = from.length <= to.length ? [from, to] : [to, from]
  return few.reduce((sum, note) => sum + Math.min(...many.map((other) => Math.abs(other - note))), 0)
}

/**
 * A voicing for every chord of a stretch, null for a no-chord, the whole chain moving as little as it can. `floors` says, for each chord,
 * how high the bass goes under it: voicings keep above that.
 */
export function chooseVoicings(
  chords: readonly HarmonyChord[],
  floors: readonly number[] = [],
): readonly (readonly number[] | null)[] {
  const played = chords.map((chord, i) => ({ chord, floor: floors[i] ?? 0 })).filter(({ chord }) => isPlayed(chord))
  const options = played.map(({ chord }) => voicingsOf(chord))
  if (options.length === 0) return chords.map(() => null)
  const path = bestPath({
    sizes: options.map((each) => each.length),
    nodeCost: (layer, node) => {
      const { notes, cost } = options[layer]![node]!
      const middle = (notes[0]! + notes.at(-1)!) / 2
      const under = notes.filter((note) => note <= played[layer]!.floor).length
      return 0.5 * cost + 0.15 * Math.abs(middle - 59) + 4 * under
    },
    edges: (layer, node) =>
      (options[layer + 1] ?? []).map((to, i) => ({
        layer: layer + 1,
        node: i,
        cost: motionBetween(options[layer]![node]!.notes, to.notes),
      })),
  })
  if (!path) throw new Error('no voicing was found for a chord')
  let next = 0
  return chords.map((chord) => (isPlayed(chord) ? options[next]![path.steps[next++]!.node]!.notes : null))
}

const isPlayed = (chord: HarmonyChord): boolean => chord.root !== null && chord.chord !== null

/**
 * A voicing lifted clear of the bass: what would lie at or below it goes up by octaves.
 *
 * @example
 * clearOf([52, 58, 62], 53) // => [58, 62, 64]
 */
export const clearOf = (notes: readonly number[], bass: number): readonly number[] =>
  [...new Set(notes.map((note) => (note > bass ? note : note + 12 * Math.ceil((bass + 1 - note) / 12))))].sort(
    (a, b) => a - b,
  )
