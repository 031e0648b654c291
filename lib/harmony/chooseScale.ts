/** The chord scale of a chord by its function: the table of the books, the person's choices, and the degrees the symbol holds. */
import { type Chord, has, isAugmented } from '../theory/chord.ts'
import { alterOf, type Degree, degreeChroma, degreeNote, numberOf } from '../theory/degree.ts'
import type { Key } from '../theory/key.ts'
import { type PitchClass, withoutDouble } from '../theory/pitch.ts'
import { type ChordScale, type ScaleName, scaleChromas, scaleDegrees } from '../theory/scale.ts'
import type { Kind } from './functions.ts'

/** Where authors differ, the person's choice. */
export interface ScaleChoices {
  readonly minorDominant: ScaleName
  readonly halfDiminished: ScaleName
  readonly sharpNine: ScaleName
  readonly bebop: boolean
}

/** How a chord is heard, as far as its scale hangs on it. */
export interface Heard {
  readonly kind: Kind
  readonly mode: Key['mode']
  /** Semitones of the root above the tonic of the local key. */
  readonly above: number
  /** How a dominant goes on: down a fifth to a minor or another chord, down a semitone, up a step home, or none of these. */
  readonly leads: 'minor' | 'major' | 'semitone' | 'backdoor' | 'elsewhere'
  /** Of a diminished chord that leads to minor: semitones up to that chord's root. */
  readonly goal?: number
  /** Of an augmented chord: what it stands between. */
  readonly between?: Between
  /** In a minor key: whether its sixth is heard raised. */
  readonly dorian: boolean
}

/** Where an augmented chord goes and where it comes from. */
export interface Between {
  /** Semitones up to the root of the chord it leads to, and whether that is minor. */
  readonly up: number
  readonly minor: boolean
  /** Semitones up to the root of the chord before, where that is minor. */
  readonly fromMinor: number | null
}

/**
 * The scales for a chord heard so, first choice first, before its own alterations are looked at. Sources: Hutchinson, *Music
 * Theory for the 21st-Century Classroom*; Levine, *The Jazz Theory Book* (1995); Sabatella, *A Jazz Improvisation Primer*.
 */
function firstChoices(chord: Chord, heard: Heard, choices: ScaleChoices): readonly ScaleName[] {
  const { kind, mode, above, leads, dorian, goal } = heard
  switch (kind) {
    case 'maj7':
    case 'triad':
      // A plain triad that is V of a minor chord is its V7, all but said.
      if (kind === 'triad' && (mode === 'minor' ? above === 7 : leads === 'minor' && above !== 0))
        return [choices.minorDominant, 'phrygian dominant']
      if (above === 7 || (mode === 'minor' && above === 10 && kind === 'triad')) return ['mixolydian']
      return above === 0 || (mode === 'minor' && above === 3) ? ['major', 'lydian'] : ['lydian', 'major']
    case 'power':
      return [diatonic[mode][above] ?? 'mixolydian']
    case 'aug':
      return augmentedChoices(heard)
    case 'm7':
    case 'm':
      if (mode === 'minor') return above === 0 && !dorian ? ['aeolian'] : above === 7 ? ['phrygian'] : ['dorian']
      return above === 9 ? ['aeolian'] : above === 4 ? ['phrygian'] : ['dorian']
    case 'm6':
      // A minor iv keeps the third of its tonic minor.
      return above === (mode === 'major' ? 2 : 5) ? ['dorian'] : ['melodic minor']
    case 'half-dim':
      return [choices.halfDiminished, 'locrian', 'locrian natural 2']
    case 'dim':
      // On the way to minor the whole-half scale would hold that chord's major third; its harmonic minor does not.
      return leads === 'minor' ? [onTheWay[goal ?? 1] ?? 'ultralocrian'] : ['whole-half diminished']
    case 'sus':
      return leads === 'minor' ? ['phrygian', 'aeolian', 'mixolydian'] : ['mixolydian', 'phrygian']
    case 'dominant':
      return dominantChoices(chord, leads, choices)
  }
}

/** The scale of a power chord: of its degree in the key. */
const diatonic: Readonly<Record<Key['mode'], Readonly<Record<number, ScaleName>>>> = {
  major: { 0: 'major', 2: 'dorian', 4: 'phrygian', 5: 'lydian', 7: 'mixolydian', 9: 'aeolian' },
  minor: { 0: 'aeolian', 3: 'major', 5: 'dorian', 7: 'phrygian', 8: 'lydian', 10: 'mixolydian' },
}

/** The modes of a minor chord's harmonic minor, by how far that chord lies above a diminished one that leads to it. */
const onTheWay: Readonly<Record<number, ScaleName>> = {
  1: 'ultralocrian',
  4: 'lydian #2',
  7: 'dorian #4',
  10: 'locrian natural 6',
}

/**
 * An augmented triad has three roots; as the V of a minor chord from any of them it takes that chord's melodic minor, as the V of a
 * major chord the whole tones. Common practice: the modes of melodic minor of Levine, *The Jazz Theory Book* (1995).
 */
function augmentedChoices({ leads, above, between }: Heard): readonly ScaleName[] {
  const { up, minor, fromMinor } = between ?? { up: -1, minor: false, fromMinor: null }
  if (minor && up === 9) return ['lydian augmented']
  if (leads === 'minor' || (minor && up === 1)) return ['altered', 'whole tone']
  if (!minor && [1, 5, 9].includes(up)) return ['whole tone']
  if (fromMinor === 1) return ['altered', 'lydian augmented']
  if (above === 0 || up === 0 || fromMinor === 9) return ['lydian augmented', 'harmonic major', 'whole tone']
  return ['whole tone', 'mixolydian b6', 'lydian augmented']
}

function dominantChoices(chord: Chord, leads: Heard['leads'], choices: ScaleChoices): readonly ScaleName[] {
  const raisedOrLoweredFifth = !has(chord, '5') && (has(chord, '#5') || has(chord, 'b5'))
  const alteredNinth = has(chord, 'b9') || has(chord, '#9')
  if (chord.alt || (raisedOrLoweredFifth && alteredNinth)) return ['altered']
  if (isAugmented(chord)) return leads === 'minor' ? ['altered', 'whole tone'] : ['whole tone']
  if (leads === 'minor' && has(chord, '9') && has(chord, '#11')) return ['mixolydian b6', 'lydian dominant']
  if (leads !== 'minor' && has(chord, '#11') && !alteredNinth) return ['lydian dominant']
  if (has(chord, '#9')) {
    const minor = leads === 'minor' && choices.sharpNine === 'half-whole diminished'
    const first = minor ? 'phrygian dominant with sharp 9' : choices.sharpNine
    return [first, 'half-whole diminished', 'altered']
  }
  if (leads === 'minor' && raisedOrLoweredFifth) return ['altered', 'half-whole diminished']
  if (leads === 'minor') return [choices.minorDominant, 'phrygian dominant', 'mixolydian b6', 'half-whole diminished']
  if (has(chord, 'b9')) return ['half-whole diminished', 'phrygian dominant']
  return leads === 'semitone' || leads === 'backdoor'
    ? ['lydian dominant', 'mixolydian']
    : ['mixolydian', 'lydian dominant']
}

/** What is left to try, by family, plainest first. */
const further: Readonly<Partial<Record<Kind, readonly ScaleName[]>>> = {
  maj7: ['major', 'lydian', 'lydian augmented', 'harmonic major'],
  triad: ['major', 'lydian', 'mixolydian', 'lydian augmented', 'harmonic major'],
  m7: ['dorian', 'aeolian', 'phrygian'],
  m: ['dorian', 'aeolian', 'melodic minor', 'harmonic minor', 'phrygian'],
  m6: ['melodic minor', 'dorian', 'harmonic minor'],
  dominant: [
    'mixolydian',
    'lydian dominant',
    'half-whole diminished',
    'mixolydian b6',
    'phrygian dominant',
    'altered',
    'whole tone',
  ],
  aug: ['lydian augmented', 'altered'],
  sus: ['major', 'dorian'],
  dim: ['locrian'],
}

/** Degrees of the chord that a scale lacks, by sound. */
const missing = (name: ScaleName, chord: Chord): readonly Degree[] => {
  const chromas = scaleChromas(name)
  return chord.degrees.filter((degree) => !chromas.includes(degreeChroma(degree)))
}

/**
 * A scale over a root, its notes spelled as the chord spells them but never with a double accidental.
 *
 * @example
 * spellScale({ letter: 'C', alter: 0 }, 'whole-half diminished').notes.map(nameOf)
 * // => ['C', 'D', 'Eb', 'F', 'Gb', 'Ab', 'A', 'B']
 */
export function spellScale(
  root: PitchClass,
  name: ScaleName,
  degrees: readonly Degree[] = scaleDegrees[name],
): ChordScale {
  return { name, degrees, notes: degrees.map((degree) => withoutDouble(degreeNote(root, degree))) }
}

/** The scale's degrees with those of the chord in place: a degree the chord alters gives way to the chord's own. */
function adapt(name: ScaleName, chord: Chord): readonly Degree[] {
  const within = (degree: Degree) => ((numberOf(degree) - 1) % 7) + 1
  const degrees: Degree[] = [...scaleDegrees[name]]
  for (const degree of missing(name, chord)) {
    const number = within(degree)
    const own = degree.replace(/\d+$/, String(number))
    const at = degrees.findIndex(
      (each) => within(each) === number && !chord.degrees.some((d) => degreeChroma(d) === degreeChroma(each)),
    )
    if (at >= 0) degrees[at] = own
    else degrees.push(own)
  }
  return degrees.sort((a, b) => degreeChroma(a) - degreeChroma(b) || alterOf(b) - alterOf(a))
}

const bebop: Readonly<Partial<Record<ScaleName, ScaleName>>> = {
  mixolydian: 'bebop dominant',
  major: 'bebop major',
  dorian: 'bebop dorian with natural 3',
}

/**
 * Whether a scale would hold the major third of the minor chord that a dominant leads down to, or an augmented chord anywhere, where
 * nobody asks for it.
 */
function foretells(name: ScaleName, chord: Chord, { kind, leads, between }: Heard, choices: ScaleChoices): boolean {
  const holds = (third: number) =>
    !chord.degrees.some((degree) => degreeChroma(degree) === third) && scaleChromas(name).includes(third)
  if (between?.minor && isAugmented(chord) && holds((between.up + 4) % 12)) return true
  const down = (kind === 'dominant' || kind === 'sus') && leads === 'minor'
  return down && name !== choices.minorDominant && holds(9)
}

/**
 * The chord scale of a chord heard in a function. Every degree the symbol holds is in it: the first choice that holds them all,
 * else the nearest with the written degrees put in; on the way to minor none that takes that chord's major third. A scale that the person chose may lack the perfect fifth, which the symbol
 * implies and does not say.
 */
export function chooseScale(root: PitchClass, chord: Chord, heard: Heard, choices: ScaleChoices): ChordScale {
  const first = firstChoices(chord, heard, choices)
  const all = [...new Set([...first, ...(further[heard.kind] ?? []), ...(Object.keys(scaleDegrees) as ScaleName[])])]
  const names = all.filter((name) => !foretells(name, chord, heard, choices))
  const chosen: readonly ScaleName[] = [choices.minorDominant, choices.sharpNine]
  const holds = (name: ScaleName) =>
    missing(name, chord).every((degree) => degree === '5' && name === first[0] && chosen.includes(name))
  const name = names.find(holds)
  if (name === undefined) {
    const fewest = Math.min(...names.map((each) => missing(each, chord).length))
    const nearest = names.find((each) => missing(each, chord).length === fewest)!
    return spellScale(root, nearest, adapt(nearest, chord))
  }
  const running = choices.bebop ? (bebop[name] ?? name) : name
  return spellScale(root, running)
}
