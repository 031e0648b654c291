/** The engraver: MEI in, pages of SVG out, by Verovio. One toolkit a process or worker, loaded when first asked for. */
import type { VerovioToolkit } from 'verovio/esm'
import { fewestPages, type Sheet, type SheetSize, sizesFor } from './sheet.ts'
import { type Described, tidySvg } from './tidySvg.ts'

export type { Sheet } from './sheet.ts'

export interface Engraver {
  /** Pages of SVG, one string each; the same bytes for the same MEI and sheet. Throws on MEI that is not well formed. */
  readonly engrave: (mei: string, sheet: Sheet & Described) => readonly string[]
  /** The toolkit itself, for reading back what an engraved note sounds. */
  readonly toolkit: VerovioToolkit
}

const usual = {
  // System breaks as the score has them; pages as they come.
  breaks: 'line',
  header: 'encoded',
  footer: 'none',
  bottomMarginHeader: 5,
  bottomMarginHarm: 2,
  // A last line that fills four fifths of its width is stretched to the margin, a shorter one is left as it is.
  minLastJustification: 0.8,
  svgViewBox: true,
  svgFormatRaw: true,
  smuflTextFont: 'none',
  // Ids that follow from the music, not from the time of day.
  xmlIdChecksum: true,
  mnumInterval: 0,
} as const

function optionsFor({ pageWidth, pageHeight, margin, unit }: SheetSize, sheet: Sheet) {
  const screen = sheet.paper === 'screen'
  const { head = 0, foot = 0, short = false, marked = false } = sheet
  const cut = screen || short
  return {
    ...usual,
    breaks: marked ? 'encoded' : usual.breaks,
    // A whole page is spread down to its foot, a short one stays as it is set.
    spacingSystem: cut ? 6 : 3,
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

/** The engraver of this process or worker; the first call loads it (about three quarters of a second), later ones share it. */
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
    return { toolkit, engrave: (mei: string, sheet: Sheet & Described) => engraveWith(toolkit, mei, sheet) }
  })()
  return engraver
}

/** Pages of SVG for a score in MEI; see `Engraver.engrave`. */
export const engraveSvg = async (mei: string, sheet: Sheet & Described): Promise<readonly string[]> =>
  (await loadEngraver()).engrave(mei, sheet)

function engraveWith(toolkit: VerovioToolkit, mei: string, sheet: Sheet & Described): readonly string[] {
  const screen = sheet.paper === 'screen'
  const load = (size: SheetSize) => {
    toolkit.setOptions(optionsFor(size, sheet) as never)
    if (!toolkit.loadData(mei)) throw new Error('the engraver could not read the score')
    return toolkit.getPageCount()
  }
  const most = screen || sheet.large ? Infinity : fewestPages(mei, sheet)
  let pages = 0
  for (const size of sizesFor(mei, sheet)) {
    pages = load(size)
    if (pages <= most) break
  }
  return Array.from({ length: pages }, (_, page) => tidySvg(toolkit.renderToSVG(page + 1), sheet, page + 1, pages))
}
