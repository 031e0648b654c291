/** What the form of a tune says for its key: where it opens, where its sections come to rest, and what leads back to the top. */
import type { Key } from '../theory/key.ts'
import { naturals } from '../theory/pitch.ts'
import { type Event, upTo } from './events.ts'
import { isDominant, type Kind } from './functions.ts'

/** A key by pitch class, before it has a name. */
export interface Place {
  readonly tonic: number
  readonly mode: Key['mode']
}

/** A place with how loudly something speaks for it, in nats. */
interface Voice extends Place {
  readonly loud: number
}

const samePlace = (a: Place, b: Place) => a.tonic === b.tonic && a.mode === b.mode
const isMinor = (kind: Kind) => kind === 'm' || kind === 'm6' || kind === 'm7'

/** Whether a chord sets out as a ii, to the dominant a fourth above it or to the substitute below. */
const setsOut = (event: Event, next: Event | undefined) =>
  next !== undefined && isDominant(next.kind) && (upTo(event, next) === 5 || upTo(event, next) === 11)

/**
 * The key that a chord claims as its tonic, and how loudly, by its kind alone. A m7 that sets out as a ii claims nothing, nor
 * does a dominant, but on the tonic of a blues or in a vamp that never comes to rest.
 */
function claimOf(event: Event, next: Event | undefined, blues: number | null, vamp: boolean): Voice {
  const { kind, root } = event
  if (kind === 'maj7' || kind === 'triad') return { tonic: root, mode: 'major', loud: 2 }
  if (kind === 'm' || kind === 'm6') return { tonic: root, mode: 'minor', loud: 2 }
  if (kind === 'm7') return { tonic: root, mode: 'minor', loud: setsOut(event, next) && !vamp ? 0 : 1.2 }
  const sounds = kind === 'power' || (kind === 'dominant' && (vamp || root === blues)) || (kind === 'sus' && vamp)
  return { tonic: root, mode: 'major', loud: sounds ? 1.2 : 0 }
}

/**
 * How strongly a chord is led to by the one before it: by its V, the substitute of that, the backdoor, or its iv or IV; in a loop
 * of I, IV and flat VII by the two others, each a fourth above the next.
 */
function arrival({ events, loop }: Pick<Form, 'events' | 'loop'>, i: number): number {
  const event = events[i]!
  const previous = events[i - 1]
  if (!previous) return 0
  if (loop && i > 1 && upTo(previous, event) === 7 && upTo(events[i - 2]!, previous) === 7) return 2
  const up = upTo(previous, event)
  if (isDominant(previous.kind)) return up === 5 ? 2 : up === 11 ? 1.5 : up === 2 ? 1 : 0
  if (up !== 7 || previous.kind === 'half-dim') return 0
  return isMinor(previous.kind) ? 0.5 : 0.3
}

/** A tune as far as the form counts. */
interface Form {
  readonly events: readonly Event[]
  /** What each event claims. */
  readonly claims: readonly Voice[]
  /** Whether it goes round two chords, or round suspended ones, and never comes to rest. */
  readonly vamp: boolean
  /** How far the vamp has moved at each event, in semitones; null where it keeps its place. */
  readonly moved: readonly number[] | null
  /** Whether it goes round three plain chords, each a fourth above the next: I, its IV and the IV of that. */
  readonly loop: boolean
  /** Whether it goes round the same few chords, of no one major key or from a minor chord, and no dominant leads home. */
  readonly round: boolean
  /** The pitch class that lies under three chords or more and most of the tune; null where none does. */
  readonly pedal: number | null
  /** The bars after which sections end: before each label, or where there are none every eight bars; then the end. */
  readonly ends: readonly number[]
}

/**
 * How far a vamp on a minor seventh and the dominant above it has moved at each event, in semitones, where it goes round at least
 * twice before it moves; null where the tune is no such vamp.
 */
function movedVamp(events: readonly Event[]): readonly number[] | null {
  const shifts: number[] = []
  for (let i = 0; i < events.length; ) {
    const [two, five] = [events[i]!, events[i + 1]]
    if (!five || two.kind !== 'm7' || five.kind !== 'dominant' || upTo(two, five) !== 5) return null
    const shift = upTo(events[0]!, two)
    let end = i
    while (end < events.length && events[end]!.root === ((end - i) % 2 ? five : two).root) end++
    if (end - i < 4 || (end - i) % 2) return null
    for (; i < end; i++) shifts.push(shift)
  }
  return shifts
}

/** Whether a tune goes round three plain chords of which two lie a fourth apart each: C, G and D. */
function goesRoundFourths(events: readonly Event[]): boolean {
  const roots = [...new Set(events.map(({ root }) => root))]
  const plain = events.every(
    ({ kind }) => kind === 'triad' || kind === 'dominant' || kind === 'sus' || kind === 'power',
  )
  return plain && roots.length === 3 && roots.some((root) => [2, 7].every((up) => roots.includes((root + up) % 12)))
}

const likeEach = (a: Event, b: Event) => a.root === b.root && a.kind === b.kind

/** Whether a tune is the same two to eight chords over and over, but for its last, where its first chord is its centre. */
function goesRound(events: readonly Event[]): boolean {
  const lengths = [2, 3, 4, 5, 6, 7, 8].filter((length) => 2 * length <= events.length)
  const cycle = lengths.find((length) => events.slice(length, -1).every((event, i) => likeEach(event, events[i]!)))
  if (cycle === undefined) return false
  const leads = events.some((event, i) => {
    const next = events[(i + 1) % events.length]!
    return isDominant(event.kind) && (upTo(event, next) === 5 || upTo(event, next) === 11)
  })
  if (leads || events.every(({ kind }) => kind === 'triad' || kind === 'm')) return false
  const minor = isMinor(events[0]!.kind)
  const heard = new Set(events.flatMap(({ sounds }) => sounds))
  const diatonic = Array.from({ length: 12 }, (_, tonic) => tonic).some((tonic) =>
    [...heard].every((sound) => naturals.includes((sound - tonic + 12) % 12)),
  )
  return minor || cycle === 2 || !diatonic
}

/** The pitch class under three different chords or more and at least six tenths of the tune. */
function pedalOf(events: readonly Event[]): number | null {
  const bars = events.reduce((sum, event) => sum + event.bars, 0)
  const held = [...new Set(events.map(({ bass }) => bass))].find((pitch) => {
    const over = events.filter(({ bass }) => bass === pitch)
    return (
      new Set(over.map(({ symbol }) => symbol)).size >= 3 &&
      over.reduce((sum, event) => sum + event.bars, 0) >= 0.6 * bars
    )
  })
  return held ?? null
}

function formOf(events: readonly Event[]): Form {
  const first = events[0]!
  const last = events.at(-1)!
  const bars = last.at + last.bars
  const likeFirst = ({ root, kind }: Event) => root === first.root && kind === 'dominant'
  const sevenths = first.kind === 'dominant' && (likeFirst(last) || events.slice(1, 4).some(likeFirst))
  const claims = events.map((event, i) => claimOf(event, events[i + 1], sevenths ? first.root : null, false))
  const restless = claims.every(({ loud }) => loud === 0)
  const two = events.length >= 4 && new Set(events.map(({ root, kind }) => `${root} ${kind}`)).size <= 2
  const mixolydian = two && first.kind === 'dominant' && events[1]!.kind === 'triad' && upTo(first, events[1]!) === 10
  const moved = restless ? movedVamp(events) : null
  const sus = events.every(({ kind }) => kind === 'sus')
  const vamp = mixolydian || (restless && (two || sus || moved !== null))
  const labels = events.filter(({ opens, at }) => opens && at > 0).map(({ at }) => at)
  const eights = Array.from({ length: Math.max(Math.ceil(bars / 8) - 1, 0) }, (_, i) => 8 * (i + 1))
  return {
    events,
    claims: vamp
      ? events.map((event, i) =>
          mixolydian && i % 2 ? { ...claims[i]!, loud: 0 } : claimOf(event, undefined, null, true),
        )
      : claims,
    vamp,
    moved,
    loop: goesRoundFourths(events),
    round: goesRound(events),
    pedal: pedalOf(events),
    ends: [...(labels.length > 0 ? labels : eights), bars],
  }
}

/** What comes to rest before each section's end, the later the louder; in the last four bars, or the last quarter of a short tune. */
function restsOf(form: Form): readonly (readonly Voice[])[] {
  const { events, claims, ends } = form
  const bars = ends.at(-1)!
  const window = bars >= 12 ? 4 : Math.max(bars / 4, 2)
  let i = 0
  return ends.map((end) => {
    const rests: Voice[] = []
    while (i < events.length && events[i]!.at + events[i]!.bars <= end - window) i++
    for (let j = i; j < events.length && events[j]!.at < end; j++) {
      const claim = claims[j]!
      const over = events[j]!.at + events[j]!.bars >= end - 1e-6
      const near = over ? 1.2 : events[j]!.at >= end - 2 ? 1 : 0.7
      if (claim.loud === 0) continue
      // A plain triad a fifth above the chord at the top is its V, however it is led to.
      const open = events[j]!.kind === 'triad' && claims[0]!.loud > 0 && upTo(events[0]!, events[j]!) === 7 ? 0.5 : 1
      rests.push({ ...claim, loud: (claim.loud + arrival(form, j)) * near * open })
    }
    return rests
  })
}

const loudest = (voices: readonly Voice[], place: Place) =>
  voices.reduce((most, voice) => (samePlace(voice, place) ? Math.max(most, voice.loud) : most), 0)

/** How loudly the top of a tune claims a key: the louder the longer it is held and the more sections start with it. */
function openingOf({ events, claims, vamp, round, ends }: Form): Voice {
  const first = events[0]!
  const claim = claims[0]!
  const starts = ends.slice(0, -1)
  const again = starts.filter((start) => {
    const i = events.findIndex(({ at, bars }) => at <= start + 1e-6 && at + bars > start + 1e-6)
    return i >= 0 && samePlace(claims[i]!, claim) && claims[i]!.loud > 0
  })
  const share = starts.length > 0 ? again.length / starts.length : 0
  const held = Math.min(Math.max(first.bars - 1, 0), 3) / 3
  const plain = vamp || round ? 2 : first.kind === 'm7' ? 0.5 : 0.75
  return { ...claim, loud: claim.loud * plain * (1 + 0.75 * held + 0.75 * share * held) }
}

/**
 * What the form says: the places that anything speaks for, and how loudly all of it together speaks for one of them, in nats. The
 * loudest is where the last section comes to rest, whatever leads round to the top after it; then where the other sections do,
 * and the chord at the top. The last dominant counts for what it leads to where that is the tonic, or the ii of its own key.
 */
export function whatFormSays(events: readonly Event[]): {
  readonly places: readonly Place[]
  /** Whether the tune is a vamp, which has a centre and leaves it for no other key. */
  readonly vamp: boolean
  /** How far the vamp has moved at each event, in semitones; null where it keeps its place. */
  readonly moved: readonly number[] | null
  readonly voteFor: (place: Place) => number
} {
  const form = formOf(events)
  const { claims } = form
  const first = events[0]!
  const last = events.at(-1)!
  const rests = restsOf(form)
  const final = rests.at(-1)!
  const others = rests.slice(0, -1)
  const opening = openingOf(form)
  const rested = final.some(({ loud }) => loud >= 3)
  const hanging = last.kind === 'dominant' || last.kind === 'sus' ? 1.5 : last.kind === 'triad' ? 1 : 0
  const round = events.length > 1 && first.root === last.root && first.kind === last.kind
  const goal = (last.root + 5) % 12
  const setsOutFirst = setsOut(first, events[1]) && (first.root + 10) % 12 === goal
  const turned = (place: Place) => {
    if (place.tonic !== goal) return 0
    if (setsOutFirst) return hanging
    if (samePlace(opening, place) && opening.loud > 0) return hanging * (rested ? 0.5 : 1)
    return rested ? 0 : hanging * 0.5
  }
  const firstRest = events.findIndex((event, i) => event.at < 8 && claims[i]!.loud > 0 && arrival(form, i) === 2)
  const heard = new Set(claims.flatMap(({ tonic, loud }) => (loud > 0 ? [tonic] : [])))
  const dominants = new Set(events.flatMap(({ root, kind }) => (isDominant(kind) ? [root] : [])))
  const voteFor = (place: Place) => {
    const opens = samePlace(opening, place) ? opening.loud * (round ? 2 : 1) : 0
    const elsewhere = others.reduce((sum, voices) => sum + loudest(voices, place), 0)
    return (
      loudest(final, place) +
      (others.length > 0 ? (0.5 * elsewhere) / others.length : 0) +
      opens +
      (firstRest > 0 && samePlace(claims[firstRest]!, place) ? 0.75 : 0) +
      turned(place) +
      (form.pedal === place.tonic ? 2 : 0) -
      (heard.has(place.tonic) ? 0 : form.vamp ? 8 : dominants.has(place.tonic) ? 1.5 : 4)
    )
  }
  const places = [...final, ...others.flat(), opening].filter(({ loud }) => loud > 0)
  return { places, vamp: form.vamp, moved: form.moved, voteFor }
}
