/** What the items of a chord symbol come to: its degrees, or the contradiction that stops them. */
import { orderDegrees } from '../../theory/chord.ts'
import type { Item, Quality, Remark } from './chordItems.ts'

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

/**
 * Reads the items together, their order being free. Where practice differs: a figure 11 on a dominant keeps the third, 13 brings the
 * eleventh only over a minor third, a lone triangle is a major seventh, `alt` holds every alteration, a second is a ninth.
 * `lowerCase` is a small Roman numeral: minor unless the suffix says another triad.
 */
export function chordMeaning(items: readonly Item[], lowerCase = false): Meaning {
  const remarks: Remark[] = []
  const fail = (item: { at: number; end: number }, why: string): Meaning => ({
    degrees: [],
    alt: false,
    remarks,
    contradiction: { at: item.at, end: item.end, why },
  })

  let triad: Quality | null = null
  let minor = false
  let majorMark: Item | null = null
  let triangle = false
  let dominant = false
  let alt: Item | null = null
  let lydian: Item | null = null
  let suspended = ''
  const figures = new Map<number, Item>()
  /** A major seventh beside the diminished one. */
  let bothSevenths = false
  const altered = new Map<string, Item>()
  const added = new Map<string, Item>()
  const omitted = new Map<number, Item>()

  for (let i = 0; i < items.length; i++) {
    const item = items[i]!
    switch (item.kind) {
      case 'quality': {
        const { quality } = item
        if (quality === 'major' || quality === 'triangle') {
          if (majorMark) return fail(item, 'major is said twice')
          if (triad === 'half-diminished') return fail(item, 'two sevenths')
          majorMark = item
          triangle = quality === 'triangle'
        } else if (quality === 'dominant') dominant = true
        else if (quality === 'minor') {
          if (triad || minor) return fail(item, 'two triads')
          if (majorMark) return fail(item, 'major and minor')
          minor = true
        } else {
          if (triad || (minor && quality !== 'augmented')) return fail(item, 'two triads')
          if (majorMark && quality === 'half-diminished') return fail(item, 'two sevenths')
          triad = quality
        }
        break
      }
      case 'figure': {
        const { figure } = item
        const before = items[i - 1]
        const marked = before === majorMark && before !== undefined
        if (figure === 5 && before?.kind === 'quality' && before.quality === 'augmented') break
        if (figures.has(figure)) {
          if (figure === 7 && marked && triad === 'diminished' && figures.size > 0) bothSevenths = true
          else return fail(item, figure === 7 && majorMark ? 'two sevenths' : `${figure} is said twice`)
          break
        }
        const stacked = figures.has(9) || figures.has(11) || figures.has(13)
        if (figure === 7 && stacked && marked && triad === 'diminished') bothSevenths = true
        else if (figure === 7 && stacked && !marked) return fail(item, '7 is already in the chord')
        if (figure === 5 && (figures.size > 0 || minor || triad || majorMark))
          return fail(item, 'a bare fifth and another chord')
        if (figures.has(5)) return fail(item, 'a bare fifth and another chord')
        figures.set(figure, item)
        break
      }
      case 'altered':
        if (altered.has(item.degree)) return fail(item, `${item.degree} is said twice`)
        altered.set(item.degree, item)
        break
      case 'added':
        if (added.has(item.degree)) return fail(item, `${item.degree} is said twice`)
        added.set(item.degree, item)
        break
      case 'omitted':
        if (omitted.has(item.number)) return fail(item, `no${item.number} is said twice`)
        omitted.set(item.number, item)
        break
      case 'suspended':
        if (suspended.includes(item.by)) return fail(item, `sus${item.by} is said twice`)
        suspended = suspended && suspended !== item.by ? '24' : item.by
        break
      case 'alt':
        if (alt) return fail(item, 'alt is said twice')
        alt = item
        break
      case 'lydian':
        lydian = item
        break
    }
  }
  if (lowerCase && !triad) minor = true
  const later = (a: Item, b: Item | null | undefined): Item => (b && b.at > a.at ? b : a)

  if (alt) {
    if (minor || triad || majorMark || suspended || lydian) return fail(alt, 'alt is a dominant chord')
    for (const [figure, item] of figures) if (figure !== 7) return fail(later(alt, item), `alt and ${figure}`)
    for (const [degree, item] of [...altered, ...added])
      if (!altDegrees.includes(degree) && degree !== '#5' && degree !== '#11')
        return fail(later(alt, item), `alt and ${degree}`)
    if (figures.has(7)) remarks.push({ code: 'ambiguous-symbol', at: figures.get(7)!.at, end: alt.end })
    let degrees: readonly string[] = altDegrees
    if (omitted.has(3)) degrees = degrees.filter((d) => d !== '3')
    if (omitted.has(5)) return fail(omitted.get(5)!, 'alt without its fifth')
    return { degrees, alt: true, remarks, contradiction: null }
  }

  // The fourth and second as figures.
  if (figures.has(4)) {
    suspended = suspended === '2' ? '24' : '4'
    remarks.push({ code: 'ambiguous-symbol', at: figures.get(4)!.at, end: figures.get(4)!.end })
  }
  if (figures.has(2)) remarks.push({ code: 'ambiguous-symbol', at: figures.get(2)!.at, end: figures.get(2)!.end })

  const degrees = new Set<string>(['1'])
  const diminished = triad === 'diminished'
  const half = triad === 'half-diminished'
  const augmented = triad === 'augmented'
  const minorThird = minor || diminished || half

  // Third.
  const third = suspended || figures.has(5) ? null : minorThird ? 'b3' : '3'
  if (third && !omitted.has(3)) degrees.add(third)
  for (const number of suspended) degrees.add(number)

  // Fifth.
  const flatFive = altered.get('b5')
  const sharpFive = altered.get('#5')
  const bareFifth = figures.get(5)
  if (bareFifth && suspended) return fail(bareFifth, 'a suspended chord and a bare fifth')
  const fifthItem = flatFive ?? sharpFive
  if (fifthItem) {
    if (bareFifth) return fail(later(fifthItem, bareFifth), 'natural and altered fifth')
    if (omitted.has(5)) return fail(later(fifthItem, omitted.get(5)), 'no fifth and an altered fifth')
    if (flatFive && (diminished || half)) return fail(flatFive, 'the fifth is already flat')
    if (sharpFive && augmented) return fail(sharpFive, 'the fifth is already sharp')
    if (triad) return fail(fifthItem, 'two fifths')
    if (flatFive) degrees.add('b5')
    if (sharpFive) degrees.add('#5')
  } else if (omitted.has(5)) {
    if (triad || bareFifth) return fail(omitted.get(5)!, 'no fifth in a chord named for its fifth')
  } else degrees.add(diminished || half ? 'b5' : augmented ? '#5' : '5')

  // Seventh.
  const stack = figures.has(13) ? 13 : figures.has(11) ? 11 : figures.has(9) ? 9 : figures.has(7) ? 7 : 0
  const sixth = figures.has(6)
  const named7 = altered.get('b7') ?? altered.get('#7')
  let seventh = ''
  const sixNine = sixth && stack === 9 && !figures.has(7)
  const sixAlone = sixth && !figures.has(7)
  if (half || dominant) seventh = 'b7'
  if (stack && !sixAlone) seventh = majorMark && !bothSevenths ? '7' : diminished ? 'bb7' : 'b7'
  if (half) seventh = 'b7'
  if (majorMark && triangle && !stack && !sixth && !bareFifth) {
    seventh = '7'
    remarks.push({ code: 'ambiguous-symbol', at: majorMark.at, end: majorMark.end })
  }
  if (lydian && !stack && !sixth) {
    if (minorThird || suspended) return fail(lydian, 'lydian is a major chord')
    seventh = '7'
  }
  if (bareFifth && majorMark) return fail(later(bareFifth, majorMark), 'a bare fifth and another chord')
  if (named7) {
    const seventhItem = figures.get(stack) ?? majorMark
    if (seventh) return fail(later(named7, seventhItem), 'two sevenths')
    if (altered.has('b7') && altered.has('#7'))
      return fail(later(altered.get('b7')!, altered.get('#7')), 'two sevenths')
    if (altered.has('#7') && !minorThird) return fail(named7, 'a major seventh is written maj7')
    seventh = altered.has('#7') ? '7' : 'b7'
  }
  if (seventh) degrees.add(seventh)
  if (bothSevenths) degrees.add('7')

  // What the figures bring, each with the item that said it, or null where it came along.
  const natural = new Map<string, Item | null>()
  const bring = (degree: string, item: Item | null): void => {
    if (!natural.get(degree)) natural.set(degree, item)
  }
  if (sixth) bring(seventh ? '13' : '6', figures.get(6)!)
  if (figures.has(2)) bring('9', figures.get(2)!)
  if (figures.has(9)) bring('9', figures.get(9)!)
  if (figures.has(11)) bring('11', figures.get(11)!)
  if (figures.has(13)) bring('13', figures.get(13)!)
  if (!sixAlone || sixNine) {
    if (stack >= 11) bring('9', null)
    if (stack === 13 && minorThird && !suspended) bring('11', null)
  }
  for (const [degree, item] of added) {
    let name = degree
    if (name === '6' && seventh) name = '13'
    if (name === '3' || name === 'b3') {
      if (degrees.has(name)) return fail(item, `${name} is already in the chord`)
      degrees.add(name)
      continue
    }
    if (/^[b#]/.test(name)) {
      if (altered.has(name)) return fail(later(item, altered.get(name)), `${name} is said twice`)
      altered.set(name, item)
      continue
    }
    const already = natural.get(name)
    if (already) return fail(later(item, already), `${name} is said twice`)
    natural.set(name, item)
  }
  if (lydian) {
    const sharp = altered.get('#11')
    if (sharp) return fail(later(lydian, sharp), '#11 is said twice')
    altered.set('#11', lydian)
  }
  for (const [name, item] of altered) {
    if (/[57]$/.test(name)) continue
    const degree = name === 'b6' && seventh ? 'b13' : name
    const plain = degree.slice(1)
    const said = natural.get(plain) ?? (degree === name ? null : natural.get(name.slice(1)))
    if (said) return fail(later(item, said), `natural and altered ${plain}`)
    natural.delete(plain)
    degrees.add(degree)
  }
  // Over a suspended fourth the eleventh is the fourth again.
  if (degrees.has('4')) natural.delete('11')
  for (const degree of natural.keys()) degrees.add(degree)

  for (const item of items) {
    if (
      item.kind === 'figure' &&
      (item.figure === 11 || item.figure === 13) &&
      third === '3' &&
      altered.size + added.size === 0
    )
      remarks.push({ code: 'ambiguous-symbol', at: item.at, end: item.end })
    if (item.kind === 'quality' && item.quality === 'augmented' && stack)
      remarks.push({ code: 'ambiguous-symbol', at: item.at, end: item.end })
    if (item.kind === 'quality' && item.quality === 'diminished' && !seventh)
      remarks.push({ code: 'ambiguous-symbol', at: item.at, end: item.end })
  }
  return { degrees: orderDegrees([...degrees]), alt: false, remarks, contradiction: null }
}
