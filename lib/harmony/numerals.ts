/** The names of functions: Roman numerals counted from the major scale of the tonic, in minor keys too. */
import type { Key } from '../theory/key.ts'
import { isDominant, type Kind, type Reading } from './functions.ts'

const upper = ['I', 'bII', 'II', 'bIII', 'III', 'IV', '#IV', 'V', 'bVI', 'VI', 'bVII', 'VII'] as const
const sharpened = ['I', '#I', 'II', '#II', 'III', 'IV', '#IV', 'V', '#V', 'VI', '#VI', 'VII'] as const

const minorKinds: readonly Kind[] = ['m7', 'm', 'm6', 'half-dim', 'dim']
const lower = (numeral: string) => numeral.replace(/[IV]+/, (letters) => letters.toLowerCase())

/** The degrees of a key that a dominant may lead to, as their triads are in the key. */
const targets: Readonly<Record<Key['mode'], Readonly<Record<number, string>>>> = {
  major: { 0: 'I', 2: 'ii', 4: 'iii', 5: 'IV', 7: 'V', 9: 'vi' },
  minor: { 0: 'i', 2: 'ii', 3: 'bIII', 5: 'iv', 7: 'V', 8: 'bVI', 10: 'bVII' },
}

/** What a substitute's own ii leads to, four semitones above it: `subii` for I, `subii/V` for V. */
function substituteTwo(mode: Key['mode'], above: number): string {
  const goal = (above + 4) % 12
  return goal === 0 || !targets[mode][goal] ? 'subii' : `subii/${targets[mode][goal]}`
}

/** What follows a chord, as far as its function hangs on it. */
export interface Following {
  /** Semitones up to its root. */
  readonly up: number
  readonly kind: Kind
  /** Whether it is itself a link in a chain of dominants that goes on down the fifths. */
  readonly chain?: boolean
}

/**
 * The Roman numeral of a chord's function. The numeral alone where the chord is what the degree has: `ii`, `V`, `I`, `iv`,
 * `bVII`; `V/ii` for a dominant of another degree; `subV`, `subV/ii` for one a semitone above where it leads; a 7 where a
 * dominant seventh leads nowhere, as in a blues: `I7`, `IV7`, `bVI7`, and in the backdoor cadence: `bVII7`; `°` for a
 * diminished chord: `#iv°`, `vii°`; `+` for an augmented triad that leads down no fifth: `I+`. `subii` is the ii of a substitute, a half step above the ii it stands in for.
 *
 * @example
 * numeralOf('m7', { mode: 'major', above: 2, cost: 0 }, null) // => 'ii'
 * numeralOf('dominant', { mode: 'major', above: 9, cost: 0 }, { up: 5, kind: 'm7' }) // => 'V/ii'
 * numeralOf('dominant', { mode: 'major', above: 1, cost: 0 }, { up: 11, kind: 'maj7' }) // => 'subV'
 * numeralOf('aug', { mode: 'major', above: 0, cost: 0 }, { up: 9, kind: 'm' }) // => 'I+'
 * numeralOf('m7', { mode: 'major', above: 8, cost: 0, substitute: true }, { up: 5, kind: 'dominant' }) // => 'subii'
 */
export function numeralOf(kind: Kind, reading: Reading, following: Following | null): string {
  const { mode, above, substitute } = reading
  if (substitute && !isDominant(kind)) return substituteTwo(mode, above)
  if (kind === 'dim') {
    // The common-tone chord of I is #ii°, however it goes on from there.
    const rising = following?.up === 1 || above === 6 || above === 1 || (above === 3 && following?.up === 9)
    return `${lower((rising ? sharpened : upper)[above]!)}°`
  }
  if (isDominant(kind)) return dominantNumeral(kind, mode, above, following)
  if ((kind === 'm7' || kind === 'half-dim') && following && isDominant(following.kind)) {
    const target = targets[mode][(above + 10) % 12]
    if (following.up === 5 && target && above !== 2 && !(mode === 'minor' && above === 0)) return `ii/${target}`
  }
  return minorKinds.includes(kind) ? lower(upper[above]!) : upper[above]!
}

function dominantNumeral(kind: Kind, mode: Key['mode'], above: number, following: Following | null): string {
  const up = following?.up
  const plain = upper[above]!
  if (above === 7) return 'V'
  if (kind === 'aug')
    return up === 5 && targets[mode][(above + 5) % 12] ? `V/${targets[mode][(above + 5) % 12]}` : `${plain}+`
  if (kind === 'sus' && above === 0 && up !== 5) return 'I'
  const down = targets[mode][(above + 11) % 12]
  const fifth = targets[mode][(above + 5) % 12]
  const blues = following !== null && isDominant(following.kind) && !following.chain
  if (up === 11 && above === 1) return 'subV'
  if (above === 0 && (up !== 5 || blues)) return `${plain}7`
  if (above === 5 && up !== 5 && up !== 11) return `${plain}7`
  if (up === 5 && fifth) return `V/${fifth}`
  if (up === 11 && down) return `subV/${down}`
  if (above === 1) return 'subV'
  if (fifth && mode === 'major') return `V/${fifth}`
  if (mode === 'minor' && above === 2) return 'V/V'
  return `${plain}7`
}
