/** Which key every chord of a tune is heard in, and as what: the cheapest path through all keys and functions. */
import type { Changes } from '../changes/unrollChart.ts'
import { bestPath } from '../lattice/lattice.ts'
import { type Key, keyAt, signatureOf } from '../theory/key.ts'
import { chromaOf, fifthsOf, noteAtFifths } from '../theory/pitch.ts'
import { type Event, eventsOf, tonicOf } from './events.ts'
import { motionCosts, type Reading, readingsOf, restingCost } from './functions.ts'
import { withPassing } from './passingReadings.ts'
import { type Member, withSubstitutes } from './substituteReadings.ts'
import { type Place, whatFormSays } from './whatFormSays.ts'

/** An event with the way it is heard; neighbours in one key share the key object. */
export interface HeardEvent extends Event {
  readonly reading: Reading
  readonly key: Key
}

const placeOf = (key: Key): Place => ({ tonic: chromaOf(key.tonic), mode: key.mode })

/** The tune's own key is expected; its relative and parallel hardly less than it. A dominant at rest is a blues at home. */
function strangeness(event: Event, reading: Reading, home: Place): number {
  const up = (tonicOf(event, reading) - home.tonic + 12) % 12
  if (up === 0) return reading.mode === home.mode ? 0 : 0.3
  const relative = home.mode === 'major' ? up === 9 && reading.mode === 'minor' : up === 3 && reading.mode === 'major'
  return (relative ? 0.3 : 0.45) + (reading.above === 0 && event.kind === 'dominant' ? 1.1 : 0)
}

/** The ways on through the events; the first event follows the last again, since a tune goes round. */
function layOut(events: readonly Event[]) {
  const layers = [...events, ...events.slice(0, 1)]
  const readings = layers.map((event) => readingsOf(event.kind))
  const layerStart = new Int32Array(layers.length + 1)
  readings.forEach((each, layer) => {
    layerStart[layer + 1] = layerStart[layer]! + each.length
  })
  const edges = readings.reduce((sum, each, layer) => sum + each.length * (readings[layer + 1]?.length ?? 0), 0)
  const nodes = layerStart[layers.length]!
  const edgeStart = new Int32Array(nodes + 1)
  const edgeTo = new Int32Array(edges)
  const edgeCost = new Float64Array(edges)
  const edgeLabel = new Int32Array(edges).fill(-1)
  let e = 0
  for (let layer = 0; layer < layers.length; layer++) {
    const next = readings[layer + 1]?.length ?? 0
    const costs = next > 0 ? motionCosts(layers[layer]!, layers[layer + 1]!) : null
    for (let node = 0; node < readings[layer]!.length; node++) {
      for (let to = 0; to < next; to++, e++) {
        edgeTo[e] = layerStart[layer + 1]! + to
        edgeCost[e] = costs![node * next + to]!
      }
      edgeStart[layerStart[layer]! + node + 1] = e
    }
  }
  return { layers, readings, layerStart, edgeStart, edgeTo, edgeCost, edgeLabel }
}

type Layout = ReturnType<typeof layOut>

/**
 * The cheapest way to hear the events, one reading each, where a key is expected: that of the place, or none. It is expected so
 * many times more of the first chord than of the others; in a vamp so much that no other is heard, wherever it has moved to.
 */
function hear(laid: Layout, home: Place | null, atTheStart: number, vamp = false, moved: readonly number[] = []) {
  const { layers, readings, layerStart } = laid
  const nodeCost = new Float64Array(layerStart.at(-1)!)
  layers.forEach((event, layer) => {
    const centre = home && { ...home, tonic: (home.tonic + (moved[layer] ?? 0)) % 12 }
    const place = event.stated ? placeOf(event.stated) : centre
    readings[layer]!.forEach((reading, node) => {
      const strange = place ? strangeness(event, reading, place) * (vamp ? 60 : layer === 0 ? atTheStart : 1) : 0
      nodeCost[layerStart[layer]! + node] = restingCost(event, reading) + strange
    })
  })
  const path = bestPath({ ...laid, nodeCost })
  if (!path) throw new Error('a chord that no key holds')
  const heard = path.steps.slice(0, -1).map((step, layer) => readings[layer]![step.node]!)
  return { cost: path.cost, readings: heard }
}

/**
 * The key of a tune that states none: of the keys it visits, and those its first and last chords speak for, the one in which
 * the whole is heard most easily. Of a very long tune its beginning and its end are enough.
 */
function findHome(events: readonly Event[], laid: Layout, says: ReturnType<typeof whatFormSays>): Place {
  const visits = hear(laid, null, 1).readings.map((reading, i) => {
    const bars = Math.min(events[i]!.bars, 8) * (reading.above === 0 ? 3 : 1)
    return { tonic: tonicOf(events[i]!, reading), mode: reading.mode, bars }
  })
  const places: (Place & { bars: number })[] = []
  for (const { tonic, mode, bars } of [...visits, ...says.places.map((place) => ({ ...place, bars: 1000 }))]) {
    const known = places.find((place) => place.tonic === tonic && place.mode === mode)
    if (known) known.bars += bars
    else places.push({ tonic, mode, bars })
  }
  const weight = Math.max(events.length / 12, 1)
  const costOf = (place: Place) => hear(laid, place, 3).cost - says.voteFor(place) * weight
  const likely = places.sort((a, b) => b.bars - a.bars).slice(0, 6)
  return likely.map((place) => ({ place, cost: costOf(place) })).reduce((a, b) => (b.cost < a.cost - 1e-9 ? b : a))
    .place
}

/** How far along the line of fifths a root lies above its tonic, by the usual name of its degree. */
const fifthsAbove = [0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5]

/**
 * The name of a key, as the chords that belong to it are spelled; in doubt, its usual name. A local key takes no more than seven
 * sharps or flats; the tune's own may, as D flat minor, and is written as C sharp minor with every chord.
 */
function nameKey({ tonic, mode }: Place, members: readonly Member[], signs: number): Key {
  const usual = keyAt(tonic, mode)
  const names = [-12, 0, 12]
    .map((shift): Key => ({ tonic: noteAtFifths(fifthsOf(usual.tonic) + shift), mode }))
    .filter((key) => Math.abs(signatureOf(key)) <= signs)
  const votes = (key: Key) =>
    members.reduce((sum, { event, reading }) => {
      const spelled = fifthsOf(event.name) - fifthsAbove[reading.above]! === fifthsOf(key.tonic)
      const weight = reading.above === 0 ? 3 : reading.above === 7 || reading.above === 2 ? 2 : 1
      return sum + (spelled ? weight : 0)
    }, 0)
  return names.reduce((best, key) => (votes(key) > votes(best) ? key : best), usual)
}

/** The same, with the keys named: neighbours in one key together. */
function nameKeys(members: readonly Member[]): readonly HeardEvent[] {
  const heard: HeardEvent[] = []
  let from = 0
  for (let i = 1; i <= members.length; i++) {
    const { event, reading } = members[from]!
    const place = { tonic: tonicOf(event, reading), mode: reading.mode }
    const next = members[i]
    if (next && next.reading.mode === place.mode && tonicOf(next.event, next.reading) === place.tonic) continue
    const key = nameKey(place, members.slice(from, i), 7)
    for (const member of members.slice(from, i)) heard.push({ ...member.event, reading: member.reading, key })
    from = i
  }
  return heard
}

/** The tune's key, stated or heard, and the events of its first so many chords with the keys they are heard in. */
export function hearKeys(
  changes: Changes,
  count: number,
): { readonly home: Key; readonly events: readonly HeardEvent[] } {
  const events = eventsOf(changes, count)
  if (events.length === 0) return { home: changes.key ?? keyAt(0, 'major'), events: [] }
  const laid = layOut(events)
  const ends = events.length > 192 ? [...events.slice(0, 128), ...events.slice(-64)] : events
  const says = whatFormSays(ends)
  const place = changes.key ? placeOf(changes.key) : findHome(ends, ends === events ? laid : layOut(ends), says)
  const { readings } = hear(laid, place, 8, says.vamp && !changes.key, says.moved ?? [])
  const asHeard = events.map((event, i): Member => ({ event, reading: readings[i]! }))
  const members = withPassing(withSubstitutes(asHeard, place))
  const athome = members.filter(
    ({ event, reading }) => tonicOf(event, reading) === place.tonic && reading.mode === place.mode,
  )
  return { home: changes.key ?? nameKey(place, athome, 10), events: nameKeys(members) }
}
