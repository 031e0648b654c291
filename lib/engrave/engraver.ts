/** The engraver: MEI in, pages of SVG out, by Verovio. One toolkit a process or worker, loaded when first asked for. */
import type { VerovioToolkit } from 'verovio/esm'
import { type Extent, extentOf } from '../score/extent.ts'
import type { MeiOptions } from '../score/meiMarks.ts'
import type { Score } from '../score/score.ts'
import { writeMei } from '../score/writeMei.ts'
import { readDrawn } from './readDrawn.ts'
import { readExtent } from './readExtent.ts'
import { fewestPages, type Sheet, type SheetSize, sizesFor } from './sheet.ts'
import { type Described, tidySvg } from './tidySvg.ts'

export type { Sheet } from './sheet.ts'

export interface Engraver {
  /**
   * Pages of SVG, one string each; the same bytes for the same MEI and sheet. Throws on MEI that is not well formed.
   *
   * @param extent - how far the music reaches, where its part is at hand (`extentOf`); else it is read from the MEI
   */
  readonly engrave: (mei: string, sheet: Sheet & Described, extent?: Extent) => readonly string[]
  /** The toolkit itself, for reading back what an engraved note sounds. */
  readonly toolkit: VerovioToolkit
}

/**
 * Where lines and pages break. Lines always break where the score says so. Pages too where it marks them, or where all of it goes
 * on one; the engraver then sets each line at once. To fill pages as they come it first sets the whole as one line, which takes
 * twice as long.
 */
type Breaks = 'encoded' | 'line'

const usual = {
  header: 'encoded',
  footer: 'none',
  bottomMarginHeader: 5,
  bottomMarginHarm: 2,
  svgViewBox: true,
  svgFormatRaw: true,
  smuflTextFont: 'none',
  // Ids that follow from the music, not from the time of day.
  xmlIdChecksum: true,
  mnumInterval: 0,
} as const

function optionsFor(
  { pageWidth, pageHeight, margin, unit }: SheetSize,
  sheet: Sheet,
  breaks: Breaks,
  even: boolean,
  tablature: boolean,
) {
  const screen = sheet.paper === 'screen'
  const { head = 0, foot = 0, short = false } = sheet
  const cut = screen || short
  return {
    ...usual,
    breaks,
    // The last line is stretched to the margin where it holds as many bars as others, or fills four fifths of its width.
    minLastJustification: even ? 0.5 : 0.8,
    // A whole page is spread down to its foot, a short one stays as it is set.
    spacingSystem: cut ? 6 : 3,
    // A tablature stands close under its staff; 12 is the engraver's own, said since it keeps what was set before.
    spacingStaff: tablature ? 6 : 12,
    pageWidth,
    pageHeight,
    unit,
    pageMarginLeft: margin,
    pageMarginRight: screen ? 10 : margin,
    pageMarginTop: screen ? 20 : short ? 0 : margin + head,
    pageMarginBottom: screen ? 20 : short ? 0 : margin + foot,
    adjustPageHeight: cut,
    justifyVertically: !cut,
    justificationMaxVertical: cut ? 0 : 0.3,
  }
}

let engraver: Promise<Engraver> | undefined

/** The engraver of this process or worker; the first call loads it (about a third of a second), later ones share it. */
export function loadEngraver(): Promise<Engraver> {
  engraver ??= (async () => {
    const [{ default: createModule }, esm] = await Promise.all([import('verovio/wasm'), import('verovio/esm')])
    const wasm = await createModule()
    // Its remarks would go to standard error. The published types leave these two out.
    const { enableLog, LOG_OFF } = esm as unknown as {
      enableLog: (level: number, wasm: unknown) => void
      LOG_OFF: number
    }
    enableLog(LOG_OFF, wasm)
    const toolkit = new esm.VerovioToolkit(wasm)
    return {
      toolkit,
      engrave: (mei: string, sheet: Sheet & Described, extent = readExtent(mei)) =>
        engraveWith(toolkit, mei, sheet, extent),
    }
  })()
  return engraver
}

/** What is said of a text that is no score in MEI. */
export const unreadable = 'the engraver could not read the score'

/** Pages of SVG for a score in MEI; see `Engraver.engrave`. */
export const engraveSvg = async (mei: string, sheet: Sheet & Described, extent?: Extent): Promise<readonly string[]> =>
  (await loadEngraver()).engrave(mei, sheet, extent)

/** Pages of SVG for a part, with some marks on it. */
export const engraveScore = (
  score: Score,
  marks: Partial<MeiOptions>,
  sheet: Sheet & Described,
): Promise<readonly string[]> => engraveSvg(writeMei(score, marks), sheet, extentOf(score, marks))

function engraveWith(
  toolkit: VerovioToolkit,
  mei: string,
  sheet: Sheet & Described,
  extent: Extent,
): readonly string[] {
  const bars = extent.systems.map((system) => system.bars)
  const even = bars.length > 1 && bars.at(-1)! >= Math.max(...bars)
  const tablature = extent.strings > 0
  const load = (size: SheetSize, breaks: Breaks) => {
    toolkit.setOptions(optionsFor(size, sheet, breaks, even, tablature) as never)
    if (!toolkit.loadData(mei)) throw new Error(unreadable)
    return toolkit.getPageCount()
  }
  const drawn = (pages: number) => Array.from({ length: pages }, (_, page) => toolkit.renderToSVG(page + 1))
  const tidy = (pages: readonly string[]) => pages.map((svg, page) => tidySvg(svg, sheet, page + 1, pages.length))

  const sizes = sizesFor(extent, sheet)
  const most = fewestPages(extent, sheet)
  const known = sheet.marked === true || most === 1
  if (known)
    for (const size of sizes) {
      const pages = drawn(load(size, 'encoded'))
      if (sheet.paper === 'screen' || pages.every((page) => fitsOn(page, size, sheet))) return tidy(pages)
    }
  let pages = 0
  for (const size of known ? sizes.slice(-1) : sizes) {
    pages = load(size, 'line')
    if (pages <= most) break
  }
  return tidy(drawn(pages))
}

/** Whether all that is drawn stays above the lower margin: staff lines and the words under them. */
function fitsOn(svg: string, { pageHeight, margin }: SheetSize, { head = 0, foot = 0, short = false }: Sheet): boolean {
  // What is drawn counts from inside the upper margin, ten to a unit of the page.
  return readDrawn(svg).lowest <= 10 * (short ? pageHeight : pageHeight - 2 * margin - head - foot)
}
