/** The letters of a line: every note spelled from its chord, its role and where it goes, then settled over each bar. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { degreeChroma, degreeNote } from '../theory/degree.ts'
import { signatureOf, signOfLetter } from '../theory/key.ts'
import { bestPath, type Edge } from '../theory/lattice.ts'
import {
  fifthsOf,
  modulo,
  nameOf,
  noteAtFifths,
  type Pitch,
  type PitchClass,
  pitchAt,
  stepOf,
} from '../theory/pitch.ts'
import type { Role } from './line.ts'

/** A note or rest before it is spelled. */
export interface NoteToSpell {
  /** The played bar, from 1. */
  readonly bar: number
  readonly midi: number | null
  readonly role: Role
  /** Index into the harmony's chords: the one that sounds. */
  readonly chord: number
}

export interface SpellingChoices {
  /** `strict` keeps a chord's own letters, C flat in D flat 7; `easy` reads B there, unless the signature has the C flat. */
  readonly spelling: 'easy' | 'strict'
}

/** What each rule weighs, in nats, judged by reading; the rules are those of the module's tests. */
const cost = {
  /** A target, or another chord tone, under another letter than the chord's. */
  target: 6,
  chordTone: 3.5,
  /** Under another letter than the scale's: that of the chord, or of the chord approached. */
  scaleTone: 1.4,
  /** A B sharp, E sharp, C flat or F flat that nothing asks for. */
  awkward: 5,
  /** An accidental that has to be printed. */
  accidental: 0.5,
  /** A half step out of a chromatic note, or into one, that stays on its letter. */
  unresolved: 2,
  repeated: 0.8,
  /** A half step from its target on any but the neighbouring letter. */
  neighbour: 2,
  /** An interval between neighbours that looks other than it sounds. */
  odd: 0.5,
  /** For each fifth that a chromatic note lies from the middle of its key. */
  far: 0.06,
} as const

/** The names of each pitch class that have at most one accidental. */
const namesOf: readonly (readonly PitchClass[])[] = Array.from({ length: 12 }, (_, chroma) =>
  [...'CDEFGAB'].flatMap((letter) =>
    [0, -1, 1]
      .map((alter) => ({ letter, alter }) as PitchClass)
      .filter((note) => modulo([0, 2, 4, 5, 7, 9, 11][stepOf(note.letter)]! + note.alter, 12) === chroma),
  ),
)

const isAwkward = (note: PitchClass) => /^(B#|E#|Cb|Fb)$/.test(nameOf(note))
const inSignature = (note: PitchClass, signature: number) => signOfLetter(signature, note.letter) === note.alter

/** The name a note is read under where its own would be hard: the other name of the same sound with at most one accidental. */
function plainName(note: PitchClass, signature: number, keepAwkward: boolean): PitchClass {
  if (Math.abs(note.alter) < 2 && (!isAwkward(note) || keepAwkward || inSignature(note, signature))) return note
  return noteAtFifths(fifthsOf(note) + (note.alter < 0 ? 12 : -12))
}

/** The letters that a chord and its scale ask for, by pitch class, in one signature. */
interface Asked {
  readonly tones: ReadonlyMap<number, readonly PitchClass[]>
  readonly scale: ReadonlyMap<number, PitchClass>
  /** The middle of the local key on the line of fifths. */
  readonly middle: number
}

function askedBy(chord: HarmonyChord | undefined, signature: number, strict: boolean): Asked {
  const tones = new Map<number, readonly PitchClass[]>()
  const scale = new Map<number, PitchClass>()
  if (chord?.root && chord.chord) {
    const { root } = chord
    for (const degree of chord.chord.degrees) {
      const chroma = modulo(chromaUp(root, degree), 12)
      // A sharp ninth may be read as a flat tenth.
      const names = degree === '#9' ? ['#9', 'b10'] : [degree]
      const plain = names.map((name) => plainName(degreeNote(root, name), signature, strict))
      if (!tones.has(chroma)) tones.set(chroma, plain)
    }
    for (const degree of chord.scale?.degrees ?? [])
      scale.set(chromaUp(root, degree), plainName(degreeNote(root, degree), signature, false))
  }
  const key = chord?.localKey
  return { tones, scale, middle: (key ? signatureOf(key) : signature) + 2 }
}

const chromaUp = (root: PitchClass, degree: string): number =>
  modulo([0, 2, 4, 5, 7, 9, 11][stepOf(root.letter)]! + root.alter + degreeChroma(degree), 12)

/** A note with all that its spelling hangs on. */
interface Sung {
  readonly index: number
  readonly midi: number
  readonly bar: number
  readonly signature: number
  readonly options: readonly { readonly note: PitchClass; readonly cost: number; readonly chromatic: boolean }[]
}

function sing(
  notes: readonly NoteToSpell[],
  harmony: Pick<Harmony, 'key' | 'chords' | 'bars'>,
  strict: boolean,
): readonly Sung[] {
  const signatureAt = (bar: number) => signatureOf(harmony.bars[bar - 1]?.key ?? harmony.key)
  const known = new Map<string, Asked>()
  const asked = (chord: number, signature: number): Asked => {
    const name = `${chord} ${signature}`
    const found = known.get(name) ?? askedBy(harmony.chords[chord], signature, strict)
    known.set(name, found)
    return found
  }
  const sung: Sung[] = []
  let target: NoteToSpell | null = null
  for (let index = notes.length - 1; index >= 0; index--) {
    const note = notes[index]!
    const { midi, bar, role, chord } = note
    if (midi === null) continue
    if (role === 'target') target = note
    const signature = signatureAt(bar)
    const here = asked(chord, signature)
    const goal = role === 'approach' ? target : null
    const there = goal ? asked(goal.chord, signature) : here
    const chroma = modulo(midi, 12)
    const inScale = there.scale.get(chroma) ?? here.scale.get(chroma)
    const chromatic = inScale === undefined && !here.tones.has(chroma)
    const goalName = goal && there.tones.get(modulo(goal.midi!, 12))?.[0]
    const options = namesOf[chroma]!.map((name) => {
      const own = here.tones.get(chroma)
      const same = (other: PitchClass) => other.letter === name.letter && other.alter === name.alter
      let sum = 0
      if (own && role !== 'approach') sum += own.some(same) ? 0 : role === 'target' ? cost.target : cost.chordTone
      else if (inScale && !same(inScale)) sum += cost.scaleTone
      if (chromatic) sum += cost.far * Math.abs(fifthsOf(name) - here.middle)
      if (isAwkward(name) && !inSignature(name, signature) && !(strict && own?.some(same))) sum += cost.awkward
      if (goal && goalName && Math.abs(goal.midi! - midi) === 1) {
        const step = stepOf(goalName.letter) - stepOf(name.letter)
        if (modulo(step, 7) !== (goal.midi! > midi ? 1 : 6)) sum += cost.neighbour
      }
      return { note: name, cost: sum, chromatic }
    })
    sung.push({ index, midi, bar, signature, options })
  }
  return sung.reverse()
}

/** Letters apart, for each number of semitones from 0 to 12: what a reader expects to see. */
const expectedSteps: readonly (readonly number[])[] = [
  [0],
  [1],
  [1],
  [2],
  [2],
  [3],
  [3, 4],
  [4],
  [5],
  [5],
  [6],
  [6],
  [7],
]

/** What it costs to read one note after another. */
function motionCost(from: Pitch, fromChromatic: boolean, to: Pitch, toChromatic: boolean, semitones: number): number {
  const size = Math.abs(semitones)
  if (size > 12) return 0
  const letters = 7 * (to.octave - from.octave) + stepOf(to.letter) - stepOf(from.letter)
  const steps = semitones < 0 ? -letters : letters
  if (size > 0 && steps === 0)
    return fromChromatic && !toChromatic && from.alter !== 0 ? cost.unresolved : cost.repeated
  if (size === 1 && steps !== 1) return cost.unresolved
  const expected = expectedSteps[size]!
  return expected.includes(steps) ? 0 : cost.odd
}

/** A way of having read so far: the last note's name, and the accidentals in force on each line and space of the bar. */
interface State {
  readonly option: number
  readonly pitch: Pitch
  readonly inForce: string
}

const placeOf = (pitch: Pitch) => `${pitch.letter}${pitch.octave}`

/** The accidentals in force after a note, and whether one had to be printed for it. */
function mark(inForce: string, pitch: Pitch, signature: number): { readonly inForce: string; readonly shown: boolean } {
  const place = placeOf(pitch)
  const at = inForce.indexOf(`${place}:`)
  const current =
    at < 0 ? signOfLetter(signature, pitch.letter) : Number(inForce.slice(at + place.length + 1).split(' ')[0])
  if (current === pitch.alter) return { inForce, shown: false }
  const others = inForce.split(' ').filter((each) => each !== '' && !each.startsWith(`${place}:`))
  return { inForce: [...others, `${place}:${pitch.alter}`].sort().join(' '), shown: true }
}

/**
 * Spells a line. Targets and chord tones take their letter from the chord, scale notes from the chord scale (an approach's from
 * the chord it leads to); a chromatic note is raised on its way up and lowered on its way down, and a half step from its target
 * takes the neighbouring letter. Then each bar is settled so that a reader sees the fewest accidentals, exactly, by the cheapest
 * path. Never a double accidental; B sharp, E sharp, C flat and F flat only where the signature has them, or, spelled strictly,
 * where they are the chord's. Give it a written part's notes over written harmony and it spells the part.
 *
 * @returns a pitch a note, null for rests
 */
export function spellNotes(
  notes: readonly NoteToSpell[],
  harmony: Pick<Harmony, 'key' | 'chords' | 'bars'>,
  choices: SpellingChoices,
): readonly (Pitch | null)[] {
  const sung = sing(notes, harmony, choices.spelling === 'strict')
  const spelled: (Pitch | null)[] = notes.map(() => null)
  if (sung.length === 0) return spelled
  const layers: State[][] = []
  const edges: Edge[][][] = []
  sung.forEach((note, layer) => {
    const states: State[] = []
    const known = new Map<string, number>()
    const before = sung[layer - 1]
    const froms: readonly (State | null)[] = before ? layers[layer - 1]! : [null]
    const ways: Edge[][] = froms.map((from) => {
      const standing = before && from && before.bar === note.bar ? from.inForce : ''
      return note.options.map((option, o) => {
        const pitch = pitchAt(option.note, note.midi)
        const { inForce, shown } = mark(standing, pitch, note.signature)
        const name = `${o} ${inForce}`
        let node = known.get(name)
        if (node === undefined) {
          node = states.push({ option: o, pitch, inForce }) - 1
          known.set(name, node)
        }
        const motion =
          before && from
            ? motionCost(
                from.pitch,
                before.options[from.option]!.chromatic,
                pitch,
                option.chromatic,
                note.midi - before.midi,
              )
            : 0
        return { layer: layer + 1, node, cost: option.cost + motion + (shown ? cost.accidental : 0) }
      })
    })
    layers.push(states)
    edges.push(ways)
  })
  const path = bestPath({
    sizes: [1, ...layers.map((states) => states.length)],
    nodeCost: () => 0,
    edges: (layer, node) => edges[layer]?.[node] ?? [],
  })
  path?.steps.slice(1).forEach((step, i) => {
    spelled[sung[i]!.index] = layers[i]![step.node]!.pitch
  })
  return spelled
}
