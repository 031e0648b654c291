/** A pen on a PDF page: writes drawing operators and remembers the ink, so that nothing is said twice. */
import type PDFDocument from 'pdfkit'

export type PdfDocument = InstanceType<typeof PDFDocument>
export type Matrix = readonly [number, number, number, number, number, number]

interface Ink {
  readonly fill: string
  readonly stroke: string
  readonly width: number
  readonly cap: string
  readonly join: string
  readonly dash: string
}

/** A path, from outside: `fill` and `stroke` null where it has none. */
export interface Stroke {
  readonly fill: string | null
  readonly stroke: string | null
  readonly width: number
  readonly cap: string
  readonly join: string
  readonly dash: string
}

export interface Pen {
  readonly document: PdfDocument
  /** Goes on in other units until `restore`. */
  readonly save: (matrix: Matrix) => void
  readonly restore: () => void
  /** Sets the colour in which signs and text are filled. */
  readonly fill: (colour: string) => void
  /** Draws a path given as PDF operators. */
  readonly path: (operators: string, stroke: Stroke) => void
  readonly write: (operators: string) => void
}

/** A number as PDF has it, to a thousandth. */
export const n = (value: number): string => String(Math.round(value * 1000) / 1000)

/** A matrix as PDF has it: to a millionth, since it scales pages thousands of units wide. */
export const cm = (matrix: Matrix): string => `${matrix.map((each) => Number(each.toFixed(6))).join(' ')} cm`

const caps: Readonly<Record<string, number>> = { butt: 0, round: 1, square: 2 }
const joins: Readonly<Record<string, number>> = { miter: 0, round: 1, bevel: 2 }

/** A colour as three numbers, or one where it is a grey; what is no six-digit colour is black. */
function ink(colour: string, grey: 'g' | 'G', rgb: 'rg' | 'RG'): string {
  const [, ...parts] = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(colour) ?? []
  const [red = '0', green = '0', blue = '0'] = parts.map((part) => n(Number.parseInt(part, 16) / 255))
  return red === green && green === blue ? `${red} ${grey}` : `${red} ${green} ${blue} ${rgb}`
}

/** A pen on the document's current page; its ink starts as the page's own: black, one unit wide. */
export function penOn(document: PdfDocument): Pen {
  let now: Ink = { fill: '#000000', stroke: '#000000', width: 1, cap: 'butt', join: 'miter', dash: '' }
  const kept: Ink[] = []
  const write = (operators: string) => document.addContent(operators)
  const fill = (colour: string) => {
    if (colour === now.fill) return
    write(ink(colour, 'g', 'rg'))
    now = { ...now, fill: colour }
  }
  const ready = ({ stroke, width, cap, join, dash }: Stroke) => {
    if (stroke !== null && stroke !== now.stroke) write(ink(stroke, 'G', 'RG'))
    if (width !== now.width) write(`${n(width)} w`)
    if (cap !== now.cap) write(`${caps[cap] ?? 0} J`)
    if (join !== now.join) write(`${joins[join] ?? 0} j`)
    if (dash !== now.dash) write(`[${dash}] 0 d`)
    now = { ...now, stroke: stroke ?? now.stroke, width, cap, join, dash }
  }
  return {
    document,
    write,
    fill,
    save: (matrix) => {
      kept.push(now)
      write(`q ${cm(matrix)}`)
    },
    restore: () => {
      now = kept.pop()!
      write('Q')
    },
    path: (operators, stroke) => {
      if (stroke.fill === null && stroke.stroke === null) return
      if (stroke.fill !== null) fill(stroke.fill)
      if (stroke.stroke !== null) ready(stroke)
      write(`${operators} ${stroke.fill === null ? 'S' : stroke.stroke === null ? 'f' : 'B'}`)
    },
  }
}
