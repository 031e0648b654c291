/** Why a chord is heard as it is, in a sentence that a teacher might say. */
import { degreeNote } from '../theory/degree.ts'
import { type Key, keyName } from '../theory/key.ts'
import { chromaOf, nameOf } from '../theory/pitch.ts'
import { spellScale } from './chooseScale.ts'
import { upTo } from './events.ts'
import { isDominant } from './functions.ts'
import type { HeardEvent } from './hearKeys.ts'

/** An event with its Roman numeral and the event it leads to: the next, or where something comes between, a later one. */
export interface AnalysedEvent extends HeardEvent {
  readonly numeral: string
  readonly led: HeardEvent | null
}

type Neighbour = AnalysedEvent | null

const samePlace = (a: Key, b: Key) => a === b || (a.mode === b.mode && chromaOf(a.tonic) === chromaOf(b.tonic))
const isTonicOf = (event: HeardEvent, key: Key) => event.reading.above === 0 && samePlace(event.key, key)
/** What a neighbour is where it stands: `ii of Eb major`. */
const place = (event: AnalysedEvent) => `${event.numeral} of ${keyName(event.key)}`

/**
 * One or two short sentences: what the chord is in its key, what it does there, and whether the key is new. Symbols are those of
 * the chart, and numerals those of `numeralOf`.
 */
export function reasonFor(event: AnalysedEvent, previous: Neighbour, next: Neighbour, home: Key): string {
  const said = describe(event, previous, next)
  if (!previous || samePlace(previous.key, event.key))
    return /^(where|passing)/.test(said) ? said.charAt(0).toUpperCase() + said.slice(1) : said
  return `${samePlace(event.key, home) ? 'Back in' : 'Now in'} ${keyName(event.key)}: ${said}`
}

function describe(event: AnalysedEvent, previous: Neighbour, next: Neighbour): string {
  const { numeral } = event
  const key = keyName(event.key)
  const parallel = `${nameOf(event.key.tonic)} minor`
  if (event.kind === 'dim') return describeDiminished(event, previous, next)
  if (
    event.kind === 'aug' &&
    next &&
    (numeral.endsWith('+') || (numeral === 'V' && ![0, 2, 5].includes(upTo(event, next))))
  )
    return describeAugmented(event, previous, next)
  if (isDominant(event.kind)) return describeDominant(event, next)
  const arrives = previous && isDominant(previous.kind) && upTo(previous, event) === 5
  if (numeral.startsWith('subii') && next)
    return `${numeral} of ${key}: the ii that belongs to ${next.symbol}, a tritone from the ii–V they stand in for.`
  if (numeral === 'ii' && next && isDominant(next.kind) && samePlace(next.key, event.key)) {
    if (next.reading.above === 7) return describeTwo(event, previous, next)
    if (next.reading.above === 1) return `ii of ${key}; ${next.symbol} stands for the V that would follow.`
  }
  if (isTonicOf(event, event.key)) return describeTonic(event, previous, next)
  if (event.key.mode === 'major') {
    if (numeral === 'iv') {
      const backdoor = next && isDominant(next.kind) && next.reading.above === 10 && samePlace(next.key, event.key)
      return `iv of ${key}, borrowed from ${parallel}${backdoor ? `, opening the backdoor with ${next.symbol}` : ''}.`
    }
    if (/^b(II|III|VI|VII)$/.test(numeral)) return `${numeral} of ${key}, a major chord borrowed from ${parallel}.`
    if (numeral === 'iii' && !arrives) return `iii of ${key}, which shares its notes with I.`
    if (numeral === 'biii' && next && upTo(event, next) === 11)
      return `passing down a half step to ${next.symbol}; the key stays ${key}.`
  }
  return `${numeral} of ${key}${arrives ? `, where ${previous.symbol} leads` : ''}.`
}

function describeTwo(event: AnalysedEvent, previous: Neighbour, next: AnalysedEvent): string {
  const key = keyName(event.key)
  const minor = event.key.mode === 'minor'
  const pair = minor && event.kind === 'half-dim' ? 'a minor ii–V' : 'a ii–V'
  const turn = minor && event.kind !== 'half-dim' ? ', which will come to rest on minor' : ''
  const arrives =
    previous && isDominant(previous.kind) && upTo(previous, event) === 5 && previous.reading.above === 7
      ? `where ${previous.symbol} arrives, and at once `
      : ''
  return `${arrives}ii of ${key}, making ${pair} with ${next.symbol}${turn}.`
}

function describeTonic(event: AnalysedEvent, previous: Neighbour, next: Neighbour): string {
  const here = place(event)
  const from = previous && isDominant(previous.kind) ? previous : null
  if (from && samePlace(from.key, event.key)) {
    if (from.reading.above === 7) return `${here}: ${from.symbol} comes home.`
    if (from.reading.above === 10) return `${here}, reached by the backdoor from ${from.symbol}.`
    if (from.reading.above === 1) return `${here}, reached from a half step above.`
  }
  if (from && upTo(from, event) === 5 && from.key.mode === 'minor' && event.key.mode === 'major')
    return `${here}: ${from.symbol} comes home, to major after all.`
  const alone = [previous, next].every((each) => !each || !samePlace(each.key, event.key))
  if (event.bars >= 4 && alone) return `${here}, held so long that it is a place of its own.`
  return `${here}, at rest.`
}

function describeDominant(event: AnalysedEvent, next: Neighbour): string {
  const { numeral, led } = event
  const key = keyName(event.key)
  const up = led ? upTo(event, led) : -1
  const between = led && next && led.chords !== next.chords ? `, with ${next.symbol} in between` : ''
  const slips = next && upTo(event, next) === 11 ? `slipping down a half step to ${next.symbol}` : null
  if (numeral === 'V') return describeFive(event, next)
  if (numeral.startsWith('subV') && led && up === 11) {
    const replaced = `${nameOf(degreeNote(led.name, '5'))}7`
    const stead = `in place of ${replaced}, whose third and seventh it shares`
    return `${numeral} of ${key}, a half step above ${led.symbol}${between}, ${stead}.`
  }
  if (numeral === 'bVII7' && next && isTonicOf(next, event.key))
    return `bVII7 of ${key}: the backdoor, up a whole step home to ${next.symbol}.`
  const applied = /^V\/(.+)$/.exec(numeral)?.[1]
  if (applied && led && up === 5) {
    const chain = isDominant(led.kind) ? ', one more link in a chain of dominants' : ''
    return `V of ${applied} in ${key}: it leads to ${led.symbol}${between}${chain}.`
  }
  if (applied && slips) return `V of ${applied} in ${key} by its place, ${slips}.`
  if (applied) return `V of ${applied} in ${key} by its place, though ${next?.symbol ?? 'nothing'} follows.`
  if (slips) return `${numeral} of ${key}, ${slips}.`
  if (numeral === 'I7') return `I7 of ${key}: a dominant seventh at rest, as in the blues.`
  if (numeral === 'IV7') return `IV7 of ${key}: it colours, as in the blues, and need not resolve.`
  if (numeral === 'bVII7') return `bVII7 of ${key}, borrowed from ${nameOf(event.key.tonic)} minor.`
  if (numeral === 'subV') return `subV of ${key}, a half step above its tonic.`
  return `${numeral} of ${key}, a colour that resolves nowhere by a fifth.`
}

function describeFive(event: AnalysedEvent, next: Neighbour): string {
  const key = keyName(event.key)
  if (!next) return `V of ${key}.`
  const up = upTo(event, next)
  if (isTonicOf(next, event.key)) return `V of ${key}, going home to ${next.symbol}.`
  if (up === 5 && next.reading.above === 0 && next.key.mode === 'major' && event.key.mode === 'minor')
    return `V of ${key}, though ${next.symbol} turns out major.`
  if (up === 5) return `V of ${key}; it reaches ${next.symbol}, which is already ${place(next)}.`
  if (next.reading.above === 2 && samePlace(next.key, event.key)) return `V of ${key}; the ii–V comes round again.`
  if (next.reading.above === 9 && samePlace(next.key, event.key))
    return `V of ${key}, going to ${next.symbol} instead of home.`
  if (up === 11) return `V of ${key}, slipping down a half step to ${next.symbol} instead of going home.`
  return `V of ${key}, left open: ${next.symbol} follows.`
}

/** What carries an augmented triad that leads down no fifth: its raised fifth, or the bass that falls through it. */
function describeAugmented(event: AnalysedEvent, previous: Neighbour, next: AnalysedEvent): string {
  const here = place(event)
  const up = upTo(event, next)
  const fallsTo = (a: HeardEvent, b: HeardEvent) => (a.bass - b.bass + 12) % 12 === 1
  const [, , , , raised, sixth] = spellScale(event.name, 'lydian augmented').notes
  const holds = (above: number) => next.sounds.includes((event.root + above) % 12)
  const other = spellScale(next.name, 'major').notes[4]!
  const five = up === 9 || up === 1 ? `, whose V it is as ${nameOf(other)}aug` : ''
  if (previous && fallsTo(previous, event) && fallsTo(event, next))
    return `${here}: the bass falls by half steps through it, from ${previous.symbol} to ${next.symbol}.`
  if (holds(9))
    return `${here}: its fifth, raised to ${nameOf(raised!)}, rises to the ${nameOf(sixth!)} of ${next.symbol}${five}.`
  if (five) return `${here}, passing to ${next.symbol}${five}.`
  if (holds(7)) return `${here}: its fifth, raised to ${nameOf(raised!)}, falls back in ${next.symbol}.`
  return `${here}, passing to ${next.symbol}.`
}

function describeDiminished(event: AnalysedEvent, previous: Neighbour, next: Neighbour): string {
  const here = place(event)
  const dominant = `${nameOf(degreeNote(event.name, 'b6'))}7(b9)`
  const up = next ? upTo(event, next) : -1
  if (next && up === 1) return `${here}: it leads up a half step to ${next.symbol}, as ${dominant} without its root.`
  if (next && up === 11) return `${here}, passing down a half step to ${next.symbol}.`
  if (next && up === 0) return `${here}: the same root, on its way back to ${next.symbol}.`
  if (event.numeral === '#iv°') return `${here}, pulling the bass from IV up to V or I.`
  const leading = next && spellScale(next.name, 'major').notes[6]!
  if (next && leading && event.numeral !== 'vii°' && event.sounds.includes(chromaOf(leading)))
    return `${here}, with the notes of ${nameOf(leading)}dim7, which leads up to ${next.symbol}.`
  if (next && event.sounds.includes(next.root))
    return `${here}, keeping the ${nameOf(next.name)} of ${next.symbol}: a common-tone diminished chord.`
  if (event.numeral === 'vii°') return `${here}, as ${dominant} without its root.`
  if (previous && upTo(previous, event) === 1) return `${here}, a half step above ${previous.symbol}.`
  return `${here}, passing.`
}
