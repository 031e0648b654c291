/** The letters of a line: every note spelled from its chord, its role and where it goes, then settled over each bar. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { transposeHarmony } from '../harmony/transposeHarmony.ts'
import { bestPath, type Edge } from '../lattice/lattice.ts'
import { signatureOf, signOfLetter } from '../theory/key.ts'
import {
  chromaOf,
  fifthsOf,
  type Interval,
  letters,
  midiOf,
  modulo,
  nameOf,
  type Pitch,
  type PitchClass,
  pitchAt,
  sameNote,
  stepOf,
} from '../theory/pitch.ts'
import { type Asked, askedBy, inSignature, isAwkward } from './askedLetters.ts'
import type { Line, Role } from './line.ts'

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
  letters.flatMap((letter) =>
    [0, -1, 1].map((alter): PitchClass => ({ letter, alter })).filter((note) => chromaOf(note) === chroma),
  ),
)

/** A note with all that its spelling hangs on. */
interface Sung {
  readonly index: number
  readonly midi: number
  readonly bar: number
  readonly signature: number
  readonly options: readonly { readonly pitch: Pitch; readonly cost: number; readonly chromatic: boolean }[]
  /** Where it leads by step: to its target if it approaches one, else to the next note. Up is 1, down -1. */
  readonly leads: number
  /** Whether the next note is higher, 1, or lower, -1. */
  readonly onward: number
  /** Whether it is the sounding chord's own note, and no approach to another's. */
  readonly own: boolean
}

/** Up or down by a step, or neither. */
const stepFrom = (from: number, to: number | null | undefined): number =>
  to === null || to === undefined || Math.abs(to - from) > 2 ? 0 : Math.sign(to - from)

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
    const goalLetter = goal && there.letters.get(modulo(goal.midi!, 12))
    const own = here.tones.get(chroma)
    const allowed = namesOf[chroma]!.filter(
      (name) =>
        !isAwkward(name) || inSignature(name, signature) || (strict && own?.some((tone) => sameNote(tone, name))),
    )
    const options = allowed.map((name) => {
      let sum = 0
      if (own && role !== 'approach') {
        if (!own.some((tone) => sameNote(tone, name))) sum += role === 'target' ? cost.target : cost.chordTone
      } else if (inScale && !sameNote(inScale, name)) sum += role === 'target' ? cost.chordTone : cost.scaleTone
      if (chromatic) sum += cost.far * Math.abs(fifthsOf(name) - here.middle)
      if (goal && goalLetter && Math.abs(goal.midi! - midi) === 1) {
        const steps = modulo(stepOf(goalLetter) - stepOf(name.letter), 7)
        if (steps !== (goal.midi! > midi ? 1 : 6)) sum += cost.neighbour
      }
      return { pitch: pitchAt(name, midi), cost: sum, chromatic }
    })
    const leads = (goal && stepFrom(midi, goal.midi)) || stepFrom(midi, notes[index + 1]?.midi)
    const onward = Math.sign((notes[index + 1]?.midi ?? midi) - midi)
    sung.push({ index, midi, bar, signature, options, leads, onward, own: own !== undefined && role !== 'approach' })
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
  /** A digit in base 4 for each place of the bar: 0 for the signature's own, else one more than the alteration plus one. */
  readonly inForce: number
}

/** The lines and spaces that a bar's notes may stand on, each with the weight of its digit; digits stay exact to 2 to the 52. */
function placesOf(sung: readonly Sung[]): readonly ReadonlyMap<number, number>[] {
  let bar = -1
  let places = new Map<number, number>()
  return sung.map((note) => {
    if (note.bar !== bar) places = new Map()
    bar = note.bar
    for (const { pitch } of note.options) {
      const place = placeOf(pitch)
      if (!places.has(place) && places.size < 26) places.set(place, 4 ** places.size)
    }
    return places
  })
}

const placeOf = (pitch: Pitch) => 7 * pitch.octave + stepOf(pitch.letter)

/** The cheapest names of notes that follow each other, each as one of its options. */
function settle(sung: readonly Sung[]): readonly number[] {
  const places = placesOf(sung)
  const layers: State[][] = []
  const edges: Edge[][][] = []
  sung.forEach((note, layer) => {
    const states: State[] = []
    const known = new Map<number, number>()
    const before = sung[layer - 1]
    const froms: readonly (State | null)[] = before ? layers[layer - 1]! : [null]
    const ways = froms.map((from) => {
      const standing = before && from && before.bar === note.bar ? from.inForce : 0
      return note.options.map((option, o): Edge => {
        const { pitch } = option
        const weight = places[layer]!.get(placeOf(pitch)) ?? 0
        const digit = weight > 0 ? Math.floor(standing / weight) % 4 : 0
        const current = digit === 0 ? signOfLetter(note.signature, pitch.letter) : digit - 2
        const shown = current !== pitch.alter
        const inForce = shown ? standing + (pitch.alter + 2 - digit) * weight : standing
        const name = inForce * 2 + o
        let node = known.get(name)
        if (node === undefined) {
          node = states.push({ option: o, pitch, inForce }) - 1
          known.set(name, node)
        }
        const last = before && from ? before.options[from.option]! : null
        const motion = last
          ? motionCost(last.pitch, last.chromatic, pitch, option.chromatic, note.midi - before!.midi)
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
  return (path?.steps.slice(1) ?? []).map((step, i) => layers[i]![step.node]!.option)
}

const heldTo = (note: Sung, option: number): Sung => ({ ...note, options: [note.options[option]!] })

/**
 * The notes of a bar, those that sound alike held to one name where two are in use: the chord's own, else the cheaper, and so where
 * two chords have it under letters of their own, which strict spelling keeps. A sharp that leads up may stand beside a flat that leads down.
 */
function withOneName(bar: readonly Sung[], chosen: readonly number[], strict: boolean): readonly Sung[] | null {
  const named = ({ letter, alter }: Pitch) => nameOf({ letter, alter })
  const nameAt = (i: number) => named(bar[i]!.options[chosen[i]!]!.pitch)
  const alike = new Map<number, number[]>()
  bar.forEach(({ midi }, i) => {
    alike.set(midi % 12, [...(alike.get(midi % 12) ?? []), i])
  })
  const held = [...bar]
  for (const group of alike.values()) {
    if (group.length < 2) continue
    const names = new Set(group.map(nameAt))
    if (names.size < 2) continue
    // Of two names the one on the lower letter goes up, the other down.
    const sharpest = Math.max(...group.map((i) => fifthsOf(bar[i]!.options[chosen[i]!]!.pitch)))
    const apart = group.every((i) => {
      const way = fifthsOf(bar[i]!.options[chosen[i]!]!.pitch) === sharpest ? 1 : -1
      return bar[i]!.leads === way && bar[i]!.onward !== -way
    })
    const owners = new Set(group.filter((i) => bar[i]!.own).map(nameAt))
    if (apart || (strict && owners.size > 1)) continue
    const priceOf = (name: string) =>
      group.reduce((sum, i) => {
        const option = bar[i]!.options.find(({ pitch }) => named(pitch) === name)
        const printed = option && !inSignature(option.pitch, bar[i]!.signature) ? cost.accidental : 0
        return sum + (option ? option.cost + printed : Number.POSITIVE_INFINITY)
      }, 0)
    const [owner] = owners
    const name = owner && owners.size === 1 ? owner : [...names].reduce((a, b) => (priceOf(b) < priceOf(a) ? b : a))
    if (priceOf(name) === Number.POSITIVE_INFINITY) continue
    for (const i of group)
      held[i] = heldTo(
        bar[i]!,
        bar[i]!.options.findIndex(({ pitch }) => named(pitch) === name),
      )
  }
  return held.some((note, i) => note !== bar[i]) ? held : null
}

/** Notes that stand so near behind a bar line, and before it, are read together. */
const near = 2

/**
 * Names settled once more in the bars that read one sound under two names, between neighbours that stay as they are; then in the two bars
 * about a bar line where the notes beside it do.
 */
function settleAgain(sung: readonly Sung[], settled: readonly number[], strict: boolean): readonly number[] {
  const chosen = [...settled]
  const starts = sung.flatMap(({ bar }, i) => (bar === sung[i - 1]?.bar ? [] : [i]))
  const ends = [...starts.slice(1), sung.length]
  starts.forEach((from, i) => {
    settleStretch(sung, chosen, from, ends[i]!, strict)
  })
  for (let i = 1; i < starts.length && !strict; i++) {
    const line = starts[i]!
    const ahead = [...Array(near).keys()].map((k) => line - near + k).filter((n) => n >= starts[i - 1]!)
    const split = ahead.some((first) =>
      [...Array(near).keys()]
        .map((k) => line + k)
        .filter((second) => second < ends[i]! && second - first <= near)
        .some(
          (second) =>
            sung[first]!.midi % 12 === sung[second]!.midi % 12 &&
            withOneName([sung[first]!, sung[second]!], [chosen[first]!, chosen[second]!], strict) !== null,
        ),
    )
    if (split) settleStretch(sung, chosen, starts[i - 1]!, ends[i]!, strict)
  }
  return chosen
}

/** Settles the notes of a stretch again, each sound held to one name, and writes down what is chosen. */
function settleStretch(sung: readonly Sung[], chosen: number[], from: number, to: number, strict: boolean): void {
  const own = sung.slice(from, to)
  const before = from > 0 ? [heldTo(sung[from - 1]!, chosen[from - 1]!)] : []
  const after = to < sung.length ? [heldTo(sung[to]!, chosen[to]!)] : []
  let notes: readonly Sung[] = own
  let names: readonly number[] = chosen.slice(from, to)
  // What is held to one name may move other notes to two.
  for (let turn = 0; turn < 3; turn++) {
    const held = withOneName(notes, names, strict)
    if (!held) break
    notes = held
    names = settle([...before, ...held, ...after]).slice(before.length, before.length + held.length)
  }
  if (notes === own) return
  notes.forEach((note, i) => {
    chosen[from + i] = own[i]!.options.indexOf(note.options[names[i]!]!)
  })
}

/**
 * Spells a line. Targets and chord tones take their letter from the chord, scale notes from the chord scale (an approach's from
 * the chord it leads to); a chromatic note is raised on its way up and lowered on its way down, and a half step from its target
 * takes the neighbouring letter. Then each bar is settled so that a reader sees the fewest accidentals, exactly, by the cheapest
 * path, and one sound under one name, unless a sharp goes up and a flat goes down. Never a double accidental; B sharp, E sharp,
 * C flat and F flat only where the signature has them, or, spelled strictly, where they are the chord's. Give it a written part's
 * notes over written harmony and it spells the part.
 *
 * @returns a pitch a note, null for rests
 */
export function spellNotes(
  notes: readonly NoteToSpell[],
  harmony: Pick<Harmony, 'key' | 'chords' | 'bars'>,
  choices: SpellingChoices,
): readonly (Pitch | null)[] {
  const strict = choices.spelling === 'strict'
  const sung = sing(notes, harmony, strict)
  const spelled: (Pitch | null)[] = notes.map(() => null)
  if (sung.length === 0) return spelled
  settleAgain(sung, settle(sung), strict).forEach((option, i) => {
    spelled[sung[i]!.index] = sung[i]!.options[option]!.pitch
  })
  return spelled
}

/** A harmony with one chord more, to which a line leads on from its last bar. */
export const leadingOn = (harmony: Harmony, chord: HarmonyChord): Harmony => ({
  ...harmony,
  chords: [...harmony.chords, { ...chord, bar: harmony.bars.length + 1 }],
})

/** The note that a line leads on to, as the last note of a harmony that leads on. */
export const noteOfGoal = (midi: number, led: Harmony): NoteToSpell => ({
  bar: led.bars.length + 1,
  midi,
  role: 'target',
  chord: led.chords.length - 1,
})

/**
 * The notes of a finished line as a player of a transposing instrument reads them: moved by an interval and spelled anew, in
 * the written key, over the written chords.
 *
 * @param up - written minus sounding, in the letters of the written key
 * @returns a written pitch a note, null for rests
 */
export function spellPart(
  line: Pick<Line, 'notes' | 'harmony' | 'leadsTo'>,
  up: Interval,
  choices: SpellingChoices,
): readonly (Pitch | null)[] {
  const { chords } = line.harmony
  const { leadsTo } = line
  let chord = 0
  const notes = line.notes.map(({ bar, start, pitch, role }): NoteToSpell => {
    while (chord + 1 < chords.length && chords[chord + 1]!.start <= start) chord += 1
    return { bar, midi: pitch && midiOf(pitch) + up.semitones, role, chord }
  })
  if (!leadsTo) return spellNotes(notes, transposeHarmony(line.harmony, up), choices)
  const led = leadingOn(line.harmony, leadsTo.chord)
  const goal = noteOfGoal(midiOf(leadsTo.pitch) + up.semitones, led)
  return spellNotes([...notes, goal], transposeHarmony(led, up), choices).slice(0, -1)
}
