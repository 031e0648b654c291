/** The engraver: MEI in, pages of SVG out, by Verovio. One toolkit a process or worker, loaded when first asked for. */
import type { VerovioToolkit } from 'verovio/esm'
import { tidySvg } from './tidySvg.ts'

export interface Sheet {
  /** A page of paper, or one strip as wide as the window. */
  readonly paper: 'A4' | 'Letter' | 'screen'
  /** Width of a screen in CSS pixels; 960 unless given. */
  readonly width?: number
  /** Large print: staves half as large again. */
  readonly large?: boolean
  /** Said of the picture to whoever cannot see it. */
  readonly title?: string
  readonly description?: string
}

export interface Engraver {
  /** Pages of SVG, one string each; the same bytes for the same MEI and sheet. Throws on MEI that is not well formed. */
  readonly engrave: (mei: string, sheet: Sheet) => readonly string[]
  /** The toolkit itself, for reading back what an engraved note sounds. */
  readonly toolkit: VerovioToolkit
}

/** Verovio counts in tenths of a millimetre; `unit` is half the distance between two staff lines. */
const papers = {
  A4: { pageWidth: 2100, pageHeight: 2970 },
  Letter: { pageWidth: 2159, pageHeight: 2794 },
} as const

const usual = {
  breaks: 'line',
  header: 'encoded',
  footer: 'none',
  spacingSystem: 6,
  svgViewBox: true,
  svgFormatRaw: true,
  svgAdditionalAttribute: [],
  smuflTextFont: 'none',
  xmlIdChecksum: true,
  mnumInterval: 0,
} as const

function optionsFor({ paper, width = 960, large = false }: Sheet) {
  if (paper !== 'screen')
    return {
      ...usual,
      ...papers[paper],
      unit: large ? 12 : 8,
      pageMarginTop: 150,
      pageMarginBottom: 150,
      pageMarginLeft: 150,
      pageMarginRight: 150,
      adjustPageHeight: false,
      justifyVertically: true,
      justificationMaxVertical: 0.3,
      minLastJustification: 0.8,
    }
  return {
    ...usual,
    pageWidth: Math.max(300, Math.round(width * 2)),
    pageHeight: 60_000,
    unit: large ? 12 : 8,
    pageMarginTop: 20,
    pageMarginBottom: 20,
    pageMarginLeft: 10,
    pageMarginRight: 10,
    adjustPageHeight: true,
    justifyVertically: false,
    justificationMaxVertical: 0,
    minLastJustification: 0.8,
  }
}

let engraver: Promise<Engraver> | undefined

/** The engraver of this process or worker; the first call loads it (about three quarters of a second), later ones share it. */
export function loadEngraver(): Promise<Engraver> {
  engraver ??= (async () => {
    const [{ default: createModule }, { VerovioToolkit: Toolkit }] = await Promise.all([
      import('verovio/wasm'),
      import('verovio/esm'),
    ])
    const toolkit = new Toolkit(await createModule())
    return { toolkit, engrave: (mei: string, sheet: Sheet) => engraveWith(toolkit, mei, sheet) }
  })()
  return engraver
}

/** Pages of SVG for a score in MEI; see `Engraver.engrave`. */
export const engraveSvg = async (mei: string, sheet: Sheet): Promise<readonly string[]> =>
  (await loadEngraver()).engrave(mei, sheet)

function engraveWith(toolkit: VerovioToolkit, mei: string, sheet: Sheet): readonly string[] {
  toolkit.setOptions(optionsFor(sheet) as never)
  if (!toolkit.loadData(mei)) throw new Error('the engraver could not read the score')
  const count = toolkit.getPageCount()
  return Array.from({ length: count }, (_, page) => tidySvg(toolkit.renderToSVG(page + 1), sheet, page + 1, count))
}
