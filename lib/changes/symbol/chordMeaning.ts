/** What the items of a chord symbol come to: its degrees, or the contradiction that stops them. */
import { orderDegrees } from '../../theory/chord.ts'
import { chordItems, type Item, type Quality, type Remark } from './chordItems.ts'

export interface Contradiction {
  readonly at: number
  readonly end: number
  readonly why: string
}

export interface Meaning {
  readonly degrees: readonly string[]
  readonly alt: boolean
  readonly remarks: readonly Remark[]
  readonly contradiction: Contradiction | null
}

const altDegrees = ['1', '3', 'b5', 'b7', 'b9', '#9', 'b13']

/** What the items of a suffix say, each kept with its item so that a contradiction can point at it. */
interface Said {
  readonly items: readonly Item[]
  triad: Quality | null
  minor: boolean
  majorMark: Item | null
  triangle: boolean
  dominant: boolean
  alt: Item | null
  lydian: Item | null
  suspended: '' | '2' | '4' | '24'
  /** A major seventh beside the diminished one. */
  bothSevenths: boolean
  readonly figures: Map<number, Item>
  readonly altered: Map<string, Item>
  readonly added: Map<string, Item>
  readonly omitted: Map<number, Item>
  readonly remarks: Remark[]
}

/** A chord in the making. */
interface Making {
  readonly degrees: Set<string>
  readonly minorThird: boolean
  third: '3' | 'b3' | null
  seventh: '' | 'b7' | '7' | 'bb7'
  /** The highest figure of the stack of thirds; 0 for none. */
  readonly stack: 0 | 7 | 9 | 11 | 13
}

/** A step of reading: the contradiction that stops it, or null. */
type Step<T> = (said: Said, thing: T) => Contradiction | null

const contradicts = (item: { at: number; end: number }, why: string): Contradiction => ({
  at: item.at,
  end: item.end,
  why,
})
const later = (a: Item, b: Item | null | undefined): Item => (b && b.at > a.at ? b : a)
const remark = (said: Said, from: Item, to: Item = from): void => {
  said.remarks.push({ code: 'ambiguous-symbol', at: from.at, end: to.end })
}

/**
 * Reads the items together, their order being free. Where practice differs: a figure 11 on a dominant keeps the third, 13 brings the
 * eleventh only over a minor third, a lone triangle is a major seventh, `alt` holds every alteration, a second is a ninth.
 * `lowerCase` is a small Roman numeral: minor unless the suffix says another triad.
 */
export function chordMeaning(items: readonly Item[], lowerCase = false): Meaning {
  const said: Said = {
    items,
    triad: null,
    minor: false,
    majorMark: null,
    triangle: false,
    dominant: false,
    alt: null,
    lydian: null,
    suspended: '',
    bothSevenths: false,
    figures: new Map(),
    altered: new Map(),
    added: new Map(),
    omitted: new Map(),
    remarks: [],
  }
  const { remarks } = said
  const fail = (contradiction: Contradiction): Meaning => ({ degrees: [], alt: false, remarks, contradiction })
  for (let i = 0; i < items.length; i++) {
    const wrong = gather(said, items[i]!, items[i - 1])
    if (wrong) return fail(wrong)
  }
  if (lowerCase && !said.triad) said.minor = true
  if (said.alt) {
    const wrong = againstAlt(said, said.alt)
    if (wrong) return fail(wrong)
    const degrees = said.omitted.has(3) ? altDegrees.filter((degree) => degree !== '3') : altDegrees
    return { degrees, alt: true, remarks, contradiction: null }
  }
  hearSmallFigures(said)
  const making = startMaking(said)
  for (const step of [fifthOf, seventhOf, tensionsOf]) {
    const wrong = step(said, making)
    if (wrong) return fail(wrong)
  }
  remarkAmbiguous(said, making)
  return { degrees: orderDegrees([...making.degrees]), alt: false, remarks, contradiction: null }
}

/** Takes one item in; `before` is the one it follows. */
function gather(said: Said, item: Item, before: Item | undefined): Contradiction | null {
  const { altered, added, omitted, suspended } = said
  switch (item.kind) {
    case 'quality':
      return gatherQuality(said, item)
    case 'figure':
      return gatherFigure(said, item, before)
    case 'altered':
    case 'added': {
      const those = item.kind === 'altered' ? altered : added
      if (those.has(item.degree)) return contradicts(item, `${item.degree} is said twice`)
      those.set(item.degree, item)
      return null
    }
    case 'omitted':
      if (omitted.has(item.number)) return contradicts(item, `no${item.number} is said twice`)
      omitted.set(item.number, item)
      return null
    case 'suspended':
      if (suspended.includes(item.by)) return contradicts(item, `sus${item.by} is said twice`)
      said.suspended = suspended && suspended !== item.by ? '24' : item.by
      return null
    case 'alt':
      if (said.alt) return contradicts(item, 'alt is said twice')
      said.alt = item
      return null
    case 'lydian':
      said.lydian = item
      return null
  }
}

const gatherQuality: Step<Extract<Item, { kind: 'quality' }>> = (said, item) => {
  const { triad, minor, majorMark } = said
  const { quality } = item
  if (quality === 'major' || quality === 'triangle') {
    if (majorMark) return contradicts(item, 'major is said twice')
    if (triad === 'half-diminished') return contradicts(item, 'two sevenths')
    said.majorMark = item
    said.triangle = quality === 'triangle'
    // A triangle behind a diminished seventh adds the major one, as (maj7) does.
    if (said.triangle && triad === 'diminished' && said.figures.has(7)) said.bothSevenths = true
  } else if (quality === 'dominant') said.dominant = true
  else if (quality === 'minor') {
    if (triad || minor) return contradicts(item, 'two triads')
    if (majorMark) return contradicts(item, 'major and minor')
    said.minor = true
  } else {
    if (triad || (minor && quality !== 'augmented')) return contradicts(item, 'two triads')
    if (majorMark && quality === 'half-diminished') return contradicts(item, 'two sevenths')
    said.triad = quality
  }
  return null
}

function gatherFigure(
  said: Said,
  item: Extract<Item, { kind: 'figure' }>,
  before: Item | undefined,
): Contradiction | null {
  const { figures, triad, minor, majorMark } = said
  const { figure } = item
  const marked = before !== undefined && before === majorMark
  if (figure === 5 && before?.kind === 'quality' && before.quality === 'augmented') return null
  if (figures.has(figure)) {
    if (figure !== 7 || !marked || triad !== 'diminished')
      return contradicts(item, figure === 7 && majorMark ? 'two sevenths' : `${figure} is said twice`)
    said.bothSevenths = true
    return null
  }
  const stacked = figures.has(9) || figures.has(11) || figures.has(13)
  if (figure === 7 && stacked && marked && triad === 'diminished') said.bothSevenths = true
  else if (figure === 7 && stacked && !marked) return contradicts(item, '7 is already in the chord')
  const another = figure === 5 && (figures.size > 0 || minor || triad || majorMark)
  if (another || figures.has(5)) return contradicts(item, 'a bare fifth and another chord')
  figures.set(figure, item)
  return null
}

/** What cannot stand beside alt, which is a dominant with every alteration. */
const againstAlt: Step<Item> = (said, alt) => {
  const { figures, altered, added, omitted } = said
  if (said.minor || said.triad || said.majorMark || said.suspended || said.lydian)
    return contradicts(alt, 'alt is a dominant chord')
  for (const [figure, item] of figures) if (figure !== 7) return contradicts(later(alt, item), `alt and ${figure}`)
  for (const [degree, item] of [...altered, ...added])
    if (!altDegrees.includes(degree) && degree !== '#5' && degree !== '#11')
      return contradicts(later(alt, item), `alt and ${degree}`)
  const seven = figures.get(7)
  if (seven) remark(said, seven, alt)
  const noFifth = omitted.get(5)
  return noFifth ? contradicts(noFifth, 'alt without its fifth') : null
}

/** The fourth and second as figures: a suspension, and an added ninth. */
function hearSmallFigures(said: Said): void {
  const four = said.figures.get(4)
  const two = said.figures.get(2)
  if (four) {
    said.suspended = said.suspended === '2' ? '24' : '4'
    remark(said, four)
  }
  if (two) remark(said, two)
}

/** The root and what makes the third, or stands for it. */
function startMaking({ figures, triad, minor, suspended, omitted }: Said): Making {
  const minorThird = minor || triad === 'diminished' || triad === 'half-diminished'
  const third = suspended || figures.has(5) ? null : minorThird ? 'b3' : '3'
  const degrees = new Set(['1'])
  if (third && !omitted.has(3)) degrees.add(third)
  for (const number of suspended) degrees.add(number)
  const stack = ([13, 11, 9, 7] as const).find((figure) => figures.has(figure)) ?? 0
  return { degrees, minorThird, third, seventh: '', stack }
}

const fifthOf: Step<Making> = (said, { degrees }) => {
  const { triad, figures, altered, omitted } = said
  const flatFive = altered.get('b5')
  const sharpFive = altered.get('#5')
  const bareFifth = figures.get(5)
  const noFifth = omitted.get(5)
  const flat = triad === 'diminished' || triad === 'half-diminished'
  if (bareFifth && said.suspended) return contradicts(bareFifth, 'a suspended chord and a bare fifth')
  const item = flatFive ?? sharpFive
  if (item) {
    if (bareFifth) return contradicts(later(item, bareFifth), 'natural and altered fifth')
    if (noFifth) return contradicts(later(item, noFifth), 'no fifth and an altered fifth')
    if (flatFive && flat) return contradicts(flatFive, 'the fifth is already flat')
    if (sharpFive && triad === 'augmented') return contradicts(sharpFive, 'the fifth is already sharp')
    if (triad) return contradicts(item, 'two fifths')
    if (flatFive) degrees.add('b5')
    if (sharpFive) degrees.add('#5')
  } else if (noFifth) {
    if (triad || bareFifth) return contradicts(noFifth, 'no fifth in a chord named for its fifth')
  } else degrees.add(flat ? 'b5' : triad === 'augmented' ? '#5' : '5')
  return null
}

/** Whether a sixth stands in the chord without a seventh: the figures above it stack on nothing. */
const sixAlone = ({ figures }: Said): boolean => figures.has(6) && !figures.has(7)

const seventhOf: Step<Making> = (said, making) => {
  const { triad, figures, majorMark, lydian } = said
  const { stack, minorThird } = making
  const half = triad === 'half-diminished'
  const bareFifth = figures.get(5)
  if (half || said.dominant) making.seventh = 'b7'
  if (stack && !sixAlone(said))
    making.seventh = majorMark && !said.bothSevenths ? '7' : triad === 'diminished' ? 'bb7' : 'b7'
  if (half) making.seventh = 'b7'
  if (majorMark && said.triangle && !stack && !figures.has(6) && !bareFifth) {
    making.seventh = '7'
    remark(said, majorMark)
  }
  if (lydian && !stack && !figures.has(6)) {
    if (minorThird || said.suspended) return contradicts(lydian, 'lydian is a major chord')
    making.seventh = '7'
  }
  if (bareFifth && majorMark) return contradicts(later(bareFifth, majorMark), 'a bare fifth and another chord')
  const wrong = namedSeventh(said, making)
  if (wrong) return wrong
  if (making.seventh) making.degrees.add(making.seventh)
  if (said.bothSevenths) making.degrees.add('7')
  return null
}

/** A seventh that is said as an alteration: Cm(#7), Cm(b7). */
const namedSeventh: Step<Making> = ({ altered, figures, majorMark }, making) => {
  const flat = altered.get('b7')
  const sharp = altered.get('#7')
  const named = flat ?? sharp
  if (!named) return null
  if (making.seventh) return contradicts(later(named, figures.get(making.stack) ?? majorMark), 'two sevenths')
  if (flat && sharp) return contradicts(later(flat, sharp), 'two sevenths')
  if (sharp && !making.minorThird) return contradicts(named, 'a major seventh is written maj7')
  making.seventh = sharp ? '7' : 'b7'
  return null
}

/** What lies above the seventh: brought by figures, added, altered. */
const tensionsOf: Step<Making> = (said, making) => {
  const { altered, lydian } = said
  const { degrees, seventh } = making
  const natural = broughtByFigures(said, making)
  const wrong = addTo(natural, said, making)
  if (wrong) return wrong
  if (lydian) {
    const sharp = altered.get('#11')
    if (sharp) return contradicts(later(lydian, sharp), '#11 is said twice')
    altered.set('#11', lydian)
  }
  for (const [name, item] of altered) {
    if (/[57]$/.test(name)) continue
    const degree = name === 'b6' && seventh ? 'b13' : name
    const plain = degree.slice(1)
    const already = natural.get(plain) ?? (degree === name ? null : natural.get(name.slice(1)))
    if (already) return contradicts(later(item, already), `natural and altered ${plain}`)
    natural.delete(plain)
    degrees.add(degree)
  }
  // Over a suspended fourth the eleventh is the fourth again.
  if (degrees.has('4')) natural.delete('11')
  for (const degree of natural.keys()) degrees.add(degree)
  return null
}

/** What the figures bring, each with the item that said it, or null where it came along. */
function broughtByFigures(said: Said, { stack, seventh, minorThird }: Making): Map<string, Item | null> {
  const { figures } = said
  const natural = new Map<string, Item | null>()
  const bring = (degree: string, item: Item | null): void => {
    if (!natural.get(degree)) natural.set(degree, item)
  }
  if (figures.has(6)) bring(seventh ? '13' : '6', figures.get(6)!)
  if (figures.has(2)) bring('9', figures.get(2)!)
  for (const figure of [9, 11, 13]) if (figures.has(figure)) bring(String(figure), figures.get(figure)!)
  if (!sixAlone(said)) {
    if (stack >= 11) bring('9', null)
    if (stack === 13 && minorThird && !said.suspended) bring('11', null)
  }
  return natural
}

function addTo(natural: Map<string, Item | null>, said: Said, { degrees, seventh }: Making): Contradiction | null {
  const { altered } = said
  for (const [degree, item] of said.added) {
    const name = degree === '6' && seventh ? '13' : degree
    if (name === '3' || name === 'b3') {
      if (degrees.has(name)) return contradicts(item, `${name} is already in the chord`)
      degrees.add(name)
    } else if (/^[b#]/.test(name)) {
      if (altered.has(name)) return contradicts(later(item, altered.get(name)), `${name} is said twice`)
      altered.set(name, item)
    } else {
      const already = natural.get(name)
      if (already) return contradicts(later(item, already), `${name} is said twice`)
      natural.set(name, item)
    }
  }
  return null
}

/** Remarks on what other players could take another way. */
function remarkAmbiguous(said: Said, { third, seventh, stack }: Making): void {
  const alone = said.altered.size + said.added.size === 0
  for (const item of said.items) {
    if (item.kind === 'figure' && (item.figure === 11 || item.figure === 13) && third === '3' && alone)
      remark(said, item)
    if (item.kind === 'quality' && item.quality === 'augmented' && stack) remark(said, item)
    if (item.kind === 'quality' && item.quality === 'diminished' && !seventh) remark(said, item)
  }
}

/**
 * The degrees of a quality by its name: whoever has names of their own for qualities says them in these.
 *
 * @example
 * degreesNamed('m7b5') // => ['1', 'b3', 'b5', 'b7']
 */
export const degreesNamed = (suffix: string): readonly string[] => chordMeaning(chordItems(suffix).items).degrees
