/** Harmony as marks over a staff: numerals with their qualities, keys where they change, scales, brackets and arrows. */
import { type Chord, familyOf, has } from '../theory/chord.ts'
import { type Key, keyName } from '../theory/key.ts'
import { chromaOf, nameOf } from '../theory/pitch.ts'
import { withSigns } from '../theory/signs.ts'
import type { Harmony, HarmonyChord } from './harmony.ts'
import { nameScale, soundOver } from './overBass.ts'

/** What may be written over or under a chord; every text has its accidentals as ♭ and ♯. */
export interface ChordAnalysis {
  /** Index into the harmony's chords. */
  readonly chord: number
  /** The numeral with its quality, `iiø7`, `V7/ii`, `♭VII7`; null where the chord before says the same, or there is no chord. */
  readonly numeral: string | null
  /** The local key, `E♭ major`, where it is another than the chord's before; else null. */
  readonly key: string | null
  /** The chord scale, `F♯ altered`; null for no-chord. */
  readonly scale: string | null
}

/** A ii and its V, or the substitute of its V: from the first chord of the ii to the last of the V, as indexes. */
export interface Bracket {
  readonly from: number
  readonly to: number
  /** A minor ii–V, with a half-diminished ii. */
  readonly minor: boolean
}

/** A dominant and the chord it leads to: down a fifth, or down a half step as a substitute. Indexes; from the last to the first. */
export interface Arrow {
  readonly from: number
  readonly to: number
  readonly motion: 'fifth' | 'half step'
}

export interface Analysis {
  readonly chords: readonly ChordAnalysis[]
  readonly brackets: readonly Bracket[]
  readonly arrows: readonly Arrow[]
}

/** The quality after a numeral, shorter than a symbol's: `7`, `maj7`, `ø7`, `°7`, `6`. */
function qualityOf(chord: Chord): string {
  const family = familyOf(chord)
  if (family === 'diminished') return has(chord, 'bb7') ? '°7' : '°'
  if (family === 'half-diminished') return 'ø7'
  if (family === 'sus') return has(chord, 'b7') ? '7sus' : 'sus'
  if (family === 'augmented') return '+'
  if (has(chord, '7')) return 'maj7'
  if (has(chord, 'b7')) return '7'
  return has(chord, '6') ? '6' : ''
}

/**
 * A function with the quality of its chord.
 *
 * @example
 * numeralText('ii', { degrees: ['1', 'b3', 'b5', 'b7'], alt: false, named: 'm7b5' }) // => 'iiø7'
 * numeralText('I+', { degrees: ['1', '3', '#5'], alt: false, named: 'aug' }) // => 'I+'
 * numeralText('V/ii', { degrees: ['1', '3', '5', 'b7'], alt: false, named: '7' }) // => 'V7/ii'
 * numeralText('bVII7', { degrees: ['1', '3', '5', 'b7', '9'], alt: false, named: '9' }) // => '♭VII7'
 */
export function numeralText(numeral: string, chord: Chord): string {
  const [head = '', ...of] = numeral.split('/')
  return withSigns([head.replace(/[7°+]$/, '') + qualityOf(chord), ...of].join('/'))
}

const sameKey = (a: Key | null, b: Key | null) =>
  a === b || (a !== null && b !== null && a.mode === b.mode && chromaOf(a.tonic) === chromaOf(b.tonic))

const same = (a: HarmonyChord, b: HarmonyChord) =>
  a.function === b.function && sameKey(a.localKey, b.localKey) && a.chord?.named === b.chord?.named

/** Everything that an analysis shows, as plain data for the page and the score. */
export function analyseHarmony(harmony: Pick<Harmony, 'chords'>): Analysis {
  const { chords } = harmony
  let key: Key | null = null
  const marks = chords.map((each, chord): ChordAnalysis => {
    const { root, chord: quality, bass, function: numeral, localKey, scale } = each
    const named = root && quality && scale && nameScale(root, quality, bass, scale)
    const before = chords[chord - 1]
    const shown =
      numeral && each.chord && !(before && same(before, each))
        ? numeralText(numeral, soundOver(root!, each.chord, bass).chord)
        : null
    const turned = localKey !== null && !sameKey(localKey, key)
    if (localKey) key = localKey
    return {
      chord,
      numeral: shown,
      key: turned ? withSigns(keyName(localKey)) : null,
      scale: named ? `${withSigns(nameOf(named.root))} ${named.name}` : null,
    }
  })
  return { chords: marks, ...linksOf(chords) }
}

/** The pitch class of the root that a chord with one sounds over. */
const rootOf = ({ root, chord, bass }: HarmonyChord) => chromaOf(soundOver(root!, chord!, bass).root)

/** Chords on one root with one function, next to each other, no-chords passed over: a run of indexes. */
function runsOf(chords: readonly HarmonyChord[]): readonly { readonly first: number; readonly last: number }[] {
  const runs: { first: number; last: number }[] = []
  chords.forEach((each, i) => {
    if (!each.root) return
    const run = runs.at(-1)
    const before = run && chords[run.last]!
    const goesOn =
      before?.root &&
      rootOf(before) === rootOf(each) &&
      before.function === each.function &&
      sameKey(before.localKey, each.localKey)
    if (run && goesOn) run.last = i
    else runs.push({ first: i, last: i })
  })
  return runs
}

function linksOf(chords: readonly HarmonyChord[]): Pick<Analysis, 'brackets' | 'arrows'> {
  const brackets: Bracket[] = []
  const arrows: Arrow[] = []
  const runs = runsOf(chords)
  runs.forEach((run, i) => {
    const next = runs[i + 1]
    if (!next) return
    const from = chords[run.last]!
    const to = chords[next.first]!
    const up = (rootOf(to) - rootOf(from) + 12) % 12
    const two = /^(sub)?ii(?!i)/.exec(from.function ?? '') && sameKey(from.localKey, to.localKey)
    const five = /^(V|subV)($|\/)/.test(to.function ?? '')
    const backdoor = from.function === 'iv' && to.function === 'bVII7' && up === 5
    if ((two && five && (up === 5 || up === 11)) || backdoor)
      brackets.push({ from: run.first, to: next.last, minor: has(from.chord!, 'b5') })
    if (/^(V|subV)($|\/)/.test(from.function ?? '') && (up === 5 || up === 11))
      arrows.push({ from: run.last, to: next.first, motion: up === 5 ? 'fifth' : 'half step' })
  })
  return { brackets, arrows }
}
