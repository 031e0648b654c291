/** The nearest spelling of a chord symbol that does not read: what to offer instead. */

/** Suffixes in use, commonest first: of two as near, the commoner is offered. */
const usual = [
  '',
  '7',
  'm7',
  'maj7',
  'm',
  '6',
  'm7b5',
  'dim7',
  'dim',
  '9',
  '7b9',
  'm6',
  '13',
  'maj9',
  'm9',
  '7#9',
  '7#5',
  '7#11',
  'sus4',
  '7sus4',
  'alt',
  '7alt',
  'aug',
  '69',
  'm11',
  '11',
  '13b9',
  '9#11',
  '7b5',
  '7b13',
  'maj7#11',
  'maj7#5',
  'add9',
  'sus2',
  'sus',
  '9sus4',
  '13sus4',
  'mmaj7',
  'm(maj7)',
  'm69',
  'maj13',
  'm13',
  'madd9',
  '5',
  '13#11',
  '7(b9)',
  '7(#9)',
  '7(#11)',
  'min7',
  'min',
  'major7',
  'minor7',
  'aug7',
  'ø7',
  'ø',
  '°7',
  '°',
  'Δ7',
  'M7',
  '-7',
  'mi7',
  'ma7',
  '7(b9,b13)',
  '7(b9,#11)',
  '7(#9,#5)',
  'maj7(#11)',
  'm7(b5)',
  'min7b5',
  'mi7b5',
  '-7b5',
  'min9',
  'min6',
  'mi9',
  'ma9',
  '+7',
  '+',
  'hdim7',
  'no3',
  'add11',
  'maj',
]
/** The furthest that a spelling may stand from what was typed, in single edits. */
const furthest = 2

/** Edits between two words: put in, leave out, replace, or swap two neighbours; more than `limit` counts as limit + 1. */
function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1
  let beforeLast: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1]
      let cost = Math.min(row[j - 1]! + 1, last[j]! + 1, last[j - 1]! + (same ? 0 : 1))
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, beforeLast[j - 2]! + 1)
      row.push(cost)
    }
    beforeLast = last
    last = row
  }
  return Math.min(last[b.length]!, limit + 1)
}

/** What a suffix opens with where it says the quality: each way of saying it, before what may follow. */
const qualities: readonly (readonly [quality: string, sign: RegExp])[] = [
  ['half-diminished', /^(?:ø|%(?=7?$)|h(?:alf)?dim)/],
  ['diminished', /^(?:dim|°|o(?=7|$))/],
  ['augmented', /^(?:aug|\+(?![a-z]))/],
  ['major', /^(?:maj|MAJ|Maj|ma(?=\d|$)|MA|M(?=\d|$)|Δ|j)/],
  ['minor', /^(?:min|MIN|Min|mi(?=\d|$)|m(?=(?:69|1[13]|[679])(?!\d)|[b#]\d|\((?:[b#\dMΔ]|maj|add)|sus|$)|-(?=\d|$))/],
  ['plain', /^(?:(?:13|11|69|[679])(?!\d)|[\db#(),./]+$)/],
]

/** What of a chord's kind a suffix says for sure: its quality, and whether it holds a sixth or a seventh; null where it does not say. */
function kindSaid(suffix: string) {
  const quality = qualities.find(([, sign]) => sign.test(suffix))?.[0] ?? null
  const figure = /^\D{0,5}?(?<![b#])(?:(69|6)|7|9|11|13)(?!\d)/.exec(suffix)
  return {
    quality,
    figure: figure && (figure[1] ? 'sixth' : 'seventh'),
    sus: suffix.includes('sus'),
    alt: suffix.includes('alt'),
  }
}

/** Whether a suffix keeps what another says for sure of the chord's kind. */
function keepsKind(typed: ReturnType<typeof kindSaid>, candidate: string): boolean {
  const said = kindSaid(candidate)
  const { quality, figure, sus, alt } = typed
  return (
    (!quality || (said.quality ?? 'plain') === quality) &&
    (!figure || said.figure === figure) &&
    (!sus || said.sus) &&
    (!alt || said.alt)
  )
}

/** The longest symbol that is worth guessing at. */
const longest = 24

/**
 * The usual spelling nearest to a symbol, its root, its bass and what it says for sure of its kind kept; null where none is
 * within so many edits.
 */
export function nearestSymbol(text: string, reads: (candidate: string) => boolean, within = furthest): string | null {
  if (text.length > longest) return null
  const root =
    /^[A-H](?:##|bb|#|b)?/.exec(text)?.[0] ??
    (/^[a-h][#b]?/.test(text) ? text[0]!.toUpperCase() + (/^[a-h]([#b])/.exec(text)?.[1] ?? '') : null)
  if (root === null) return null
  const bass = /\/[A-G](?:#|b)?$/.exec(text)?.[0] ?? ''
  const suffix = text.slice(root.length, text.length - bass.length)
  const typed = kindSaid(suffix)
  let best: string | null = null
  let least = within + 1
  for (const candidate of usual) {
    const distance = editDistance(suffix, candidate, within)
    if (distance >= least || (candidate === '' && suffix.length > 1) || !keepsKind(typed, candidate)) continue
    const whole = root + candidate + bass
    if (whole === text || !reads(whole)) continue
    best = whole
    least = distance
  }
  return best
}
