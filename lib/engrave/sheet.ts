/** What music is engraved on: a page of paper or a screen, how large, and how much of a line it holds. */
import { noteWidth, startWidth } from '../score/lineWidth.ts'

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

/** Staves of 6.4 mm, of 7.2 and of 7.6 (a part's usual size), and the systems that surely fit on a page of each. */
const units = [
  { unit: 9.5, systems: 6 },
  { unit: 9, systems: 7 },
  { unit: 8, systems: 8 },
] as const
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
 * The size of sheet and staves for a score in MEI. On paper the staves are as large as its lines allow, without one page more
 * than the smallest would take.
 */
export function sizeFor(mei: string, { paper, width = 960, large = false }: Sheet): SheetSize {
  if (paper === 'screen') {
    const unit = large ? largeUnit : smallestUnit
    return { pageWidth: screenWidth(width), pageHeight: 60_000, margin: margins.screen, unit }
  }
  const [pageWidth, pageHeight] = papers[paper]
  const inside = { pageWidth, pageHeight, margin: margins.paper }
  if (large) return { ...inside, unit: largeUnit }
  const systems = mei.split('<sb/>')
  const widest = Math.max(...systems.map(systemWidth))
  const pages = pagesAtLeast(mei)
  const room = pageWidth - 2 * margins.paper
  const { unit } =
    units.find((size) => Math.ceil(systems.length / size.systems) <= pages && 2 * size.unit * widest <= room) ??
    units[2]
  return { ...inside, unit }
}

/** The pages that a score takes with the smallest staves. */
export const pagesAtLeast = (mei: string): number => Math.ceil(mei.split('<sb/>').length / units[2].systems)

/** The width of one system, in staff spaces, from its MEI. */
function systemWidth(mei: string): number {
  let width = startWidth
  for (const [, value] of mei.matchAll(/<(?:note|rest) [^>]*\bdur="(\d+)"/g)) width += noteWidth(Number(value), null)
  for (const [, caution] of mei.matchAll(/<accid accid="[^"]*"( func="caution")?/g))
    width += noteWidth(8, caution ? 'cautionary' : 'shown') - noteWidth(8, null)
  return width
}
