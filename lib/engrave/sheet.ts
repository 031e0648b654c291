/** What music is engraved on: a page of paper or a screen, how large, and how much of a line it holds. */
import type { Extent, SystemExtent } from '../score/extent.ts'
import { squeeze } from '../score/lineWidth.ts'

export interface Sheet {
  /** A page of paper, or one strip as wide as the window. */
  readonly paper: 'A4' | 'Letter' | 'screen'
  /**
   * Width of a screen in CSS pixels, at which staves are 32 pixels high; 960 unless given. A phone of 360 holds two bars a line
   * where the picture is laid out for 460 and shown smaller.
   */
  readonly width?: number
  /** Large print: staves half as large again. */
  readonly large?: boolean
  /** Paper only: half a staff space, in tenths of a millimetre, at most: so that the pages of a book have staves of one size. */
  readonly unit?: number
  /** Paper only: room kept free above and below the music for what else stands on the page, in tenths of a millimetre. */
  readonly head?: number
  readonly foot?: number
  /** Paper only: the page is cut off where its music ends, so that several pieces may stand on one sheet. */
  readonly short?: boolean
  /** Paper only: pages break where the score says so (`<pb/>`), rather than where one is full. */
  readonly marked?: boolean
}

/** In Verovio's units, tenths of a millimetre; `unit` is half a staff space. */
export interface SheetSize {
  readonly pageWidth: number
  readonly pageHeight: number
  readonly margin: number
  readonly unit: number
}

const papers = { A4: [2100, 2970], Letter: [2159, 2794] } as const
const margins = { paper: 150, screen: 50, right: 10 }

/** Half a staff space: staves of 7.6 mm, a part's usual size, down to 6.4. */
const units = [9.5, 9, 8.5, 8] as const
export const smallestUnit = 8
const largeUnit = 12

/** Two units a pixel give staves of 32 pixels; a window wider than a page shows the page larger. */
const screenWidth = (width: number): number => 2 * Math.round(Math.max(240, Math.min(width, 1000)))

/**
 * What a line holds in staff spaces, for `layScore` to break lines by.
 *
 * @example
 * roomOn({ paper: 'A4' }) // => 112.5
 * roomOn({ paper: 'screen', width: 360 }) < roomOn({ paper: 'screen', width: 900 }) // => true
 */
export function roomOn({ paper, width = 960, large = false }: Sheet): number {
  const unit = large ? largeUnit : smallestUnit
  if (paper === 'screen') return (screenWidth(width) - margins.screen - margins.right) / (2 * unit)
  return (papers[paper][0] - 2 * margins.paper) / (2 * unit)
}

/**
 * The sizes of sheet and staves to try for a score, the best first: on paper as large as its lines allow in width, on no
 * more pages than the smallest would take, and then smaller, should its systems be taller than most.
 */
export function sizesFor(extent: Extent, sheet: Sheet): readonly SheetSize[] {
  const { paper, width = 960, large = false, unit: asked = units[0] } = sheet
  if (paper === 'screen') {
    const unit = large ? largeUnit : smallestUnit
    return [{ pageWidth: screenWidth(width), pageHeight: 60_000, margin: margins.screen, unit }]
  }
  const [pageWidth, pageHeight] = papers[paper]
  const inside = { pageWidth, pageHeight, margin: margins.paper }
  if (large) return [{ ...inside, unit: largeUnit }]
  const { systems } = extent
  // What an analysis says under chords cannot be set closer, as notes can.
  const room = (systems.some(({ rows }) => rows > 0) ? 1 : squeeze) * (pageWidth - 2 * margins.paper)
  const widest = systems.reduce((most, { width: own }) => Math.max(most, own), 0)
  const pages = pagesWith(extent, sheet, smallestUnit)
  const fitting = units.filter(
    (unit) => unit <= asked && pagesWith(extent, sheet, unit) <= pages && 2 * unit * widest <= room,
  )
  return [...fitting.filter((unit) => unit > smallestUnit), smallestUnit].map((unit) => ({ ...inside, unit }))
}

/** The pages that a score surely takes at the least, a strip for the screen being one; more means that its systems are tall. */
export const fewestPages = (extent: Extent, sheet: Sheet): number =>
  sheet.paper === 'screen' ? 1 : pagesWith(extent, sheet, sheet.large ? largeUnit : smallestUnit)

/**
 * How high a system is, in units, with brackets and chords above it, each row of words below, and brackets over its ii–Vs: so high
 * that over 24 charts for alto sax, trombone and guitar one page in 48 did not hold what it should; with an analysis shown, three
 * scores of 360 took a page more and five one less.
 */
const systemHeight = { staff: 28.5, row: 3.7, twoFive: 2.7, tablature: 8, string: 3 }

/** The height of a system; rows under notes go all through a score, those of an analysis stand only where there is something to say. */
function heightOf({ rows, twoFive }: SystemExtent, { noteRows, strings }: Extent): number {
  const { staff, row, twoFive: bracket, tablature, string } = systemHeight
  const under = strings === 0 ? 0 : tablature + strings * string
  return staff + (noteRows + rows) * row + (twoFive ? bracket : 0) + under
}

/** The head that the score itself brings: title, instrument, style. */
const ownHead = 200

/** The pages of paper that a score takes with staves of a size. */
function pagesWith(extent: Extent, { paper, head = 0, foot = 0 }: Sheet, unit: number): number {
  const [, pageHeight] = papers[paper === 'Letter' ? 'Letter' : 'A4']
  const high = pageHeight - 2 * margins.paper - head - foot
  let pages = 1
  let left = high - (extent.head ? ownHead : 0)
  for (const system of extent.systems) {
    const height = unit * heightOf(system, extent)
    if (height > left) {
      pages += 1
      left = high
    }
    left -= height
  }
  return pages
}
