/** What the form of a tune says for its key: where it opens, where its sections come to rest, and what leads back to the top. */
import type { Key } from '../theory/key.ts'
import type { Event } from './events.ts'
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
const upTo = (from: Event, to: Event) => (to.root - from.root + 12) % 12

/** Whether a chord sets out as a ii, to the dominant a fourth above it or to the substitute below. */
const setsOut = (event: Event, next: Event | undefined) =>
  next !== undefined && isDominant(next.kind) && (upTo(event, next) === 5 || upTo(event, next) === 11)

/**
 * The key that a chord claims as its tonic, and how loudly, by its kind alone. A m7 that sets out as a ii claims nothing, nor
 * does a dominant, but in a tune that keeps to them: a blues, or a vamp that never comes to rest.
 */
function claimOf(event: Event, next: Event | undefined, sevenths: boolean, vamp: boolean): Voice {
  const { kind, root } = event
  if (kind === 'maj7' || kind === 'triad') return { tonic: root, mode: 'major', loud: 2 }
  if (kind === 'm' || kind === 'm6') return { tonic: root, mode: 'minor', loud: 2 }
  if (kind === 'm7') return { tonic: root, mode: 'minor', loud: setsOut(event, next) && !vamp ? 0 : 1.2 }
  const sounds = kind === 'power' || (kind === 'dominant' && sevenths) || (kind === 'sus' && vamp)
  return { tonic: root, mode: 'major', loud: sounds ? 1.2 : 0 }
}

/** How strongly a chord is led to by the one before it: by its V, the substitute of that, the backdoor, or its iv or IV. */
function arrival(previous: Event | undefined, event: Event): number {
  if (!previous) return 0
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
  /** The bars after which sections end: before each label, or where there are none every eight bars; then the end. */
  readonly ends: readonly number[]
}

function formOf(events: readonly Event[]): Form {
  const first = events[0]!
  const last = events.at(-1)!
  const bars = last.at + last.bars
  const likeFirst = ({ root, kind }: Event) => root === first.root && kind === 'dominant'
  const blues = first.kind === 'dominant' && (likeFirst(last) || events.slice(1, 4).some(likeFirst))
  const claims = events.map((event, i) => claimOf(event, events[i + 1], blues, false))
  const restless = claims.every(({ loud }) => loud === 0)
  const sounds = new Set(events.map(({ root, kind }) => `${root} ${kind}`))
  const vamp = restless && ((events.length >= 4 && sounds.size <= 2) || events.every(({ kind }) => kind === 'sus'))
  const labels = events.filter(({ opens, at }) => opens && at > 0).map(({ at }) => at)
  const eights = Array.from({ length: Math.max(Math.ceil(bars / 8) - 1, 0) }, (_, i) => 8 * (i + 1))
  return {
    events,
    claims: vamp ? events.map((event) => claimOf(event, undefined, true, true)) : claims,
    vamp,
    ends: [...(labels.length > 0 ? labels : eights), bars],
  }
}

/** What comes to rest before each section's end, the later the louder; in the last four bars, or the last quarter of a short tune. */
function restsOf({ events, claims, ends }: Form): readonly (readonly Voice[])[] {
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
      rests.push({ ...claim, loud: (claim.loud + arrival(events[j - 1], events[j]!)) * near * open })
    }
    return rests
  })
}

const loudest = (voices: readonly Voice[], place: Place) =>
  voices.reduce((most, voice) => (samePlace(voice, place) ? Math.max(most, voice.loud) : most), 0)

/** How loudly the top of a tune claims a key: the louder the longer it is held and the more sections start with it. */
function openingOf({ events, claims, vamp, ends }: Form): Voice {
  const first = events[0]!
  const claim = claims[0]!
  const starts = ends.slice(0, -1)
  const again = starts.filter((start) => {
    const i = events.findIndex(({ at, bars }) => at <= start + 1e-6 && at + bars > start + 1e-6)
    return i >= 0 && samePlace(claims[i]!, claim) && claims[i]!.loud > 0
  })
  const share = starts.length > 0 ? again.length / starts.length : 0
  const held = Math.min(Math.max(first.bars - 1, 0), 3) / 3
  const plain = vamp ? 2 : first.kind === 'm7' ? 0.5 : 0.75
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
  const firstRest = events.findIndex(
    (event, i) => event.at < 8 && claims[i]!.loud > 0 && arrival(events[i - 1], event) === 2,
  )
  const heard = new Set(claims.flatMap(({ tonic, loud }) => (loud > 0 ? [tonic] : [])))
  for (const { root, kind } of events) if (isDominant(kind)) heard.add(root)
  const voteFor = (place: Place) => {
    const opens = samePlace(opening, place) ? opening.loud * (round ? 2 : 1) : 0
    const elsewhere = others.reduce((sum, voices) => sum + loudest(voices, place), 0)
    return (
      loudest(final, place) +
      (others.length > 0 ? (0.5 * elsewhere) / others.length : 0) +
      opens +
      (firstRest > 0 && samePlace(claims[firstRest]!, place) ? 0.75 : 0) +
      turned(place) -
      (heard.has(place.tonic) ? 0 : form.vamp ? 8 : 3)
    )
  }
  const places = [...final, ...others.flat(), opening].filter(({ loud }) => loud > 0)
  return { places, vamp: form.vamp, voteFor }
}
