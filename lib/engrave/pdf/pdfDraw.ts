/** Draws an engraved page, as SVG, into a PDF: music signs as shared forms, lines as lines, text as real text. */
import PDFDocument from 'pdfkit'
import { SaxesParser } from 'saxes'
import { cm, type Matrix, n, type PdfDocument, type Pen, type Stroke } from './pdfPen.ts'
import type { PdfText, Run } from './pdfText.ts'

type Attributes = Readonly<Record<string, string>>

/** A music sign of the document, drawn once and put in many places. */
interface Sign {
  readonly name: string
  readonly form: PDFKit.PDFKitReference
}

/** A document being drawn: the pen on its open page, its text faces, and the music signs met so far by their outlines. */
export interface PdfInk {
  readonly document: PdfDocument
  pen: Pen
  readonly text: PdfText
  readonly signs: Map<string, Sign>
}

/** What an element inherits. */
interface State {
  readonly fill: string | null
  readonly stroke: string
  readonly size: number
  readonly bold: boolean
  readonly italic: boolean
}

/** A line of text being read. */
interface Words {
  readonly x: number
  readonly y: number
  readonly anchor: string
  readonly runs: Run[]
}

/**
 * Draws one page as the engraver gives it, scaled so that it is so many points wide, its top left corner at `x` and `y`.
 *
 * @returns how tall it is there, in points
 */
export function drawSvg(ink: PdfInk, svg: string, x: number, y: number, width: number): number {
  const { pen } = ink
  const states: State[] = [{ fill: '#000000', stroke: '#000000', size: 0, bold: false, italic: false }]
  const outlines = new Map<string, Attributes>()
  const open: { readonly name: string; readonly scaled: boolean }[] = []
  let sign: string | null = null
  let words: Words | null = null
  let raise = 0
  let across = width
  let tall = 0

  const setWords = () => {
    if (words && words.runs.length > 0) {
      const share = words.anchor === 'middle' ? 0.5 : words.anchor === 'end' ? 1 : 0
      ink.text.set(pen, words.runs, words.x - (share && share * ink.text.width(words.runs)), words.y)
    }
    words = null
  }
  const parser = new SaxesParser({ xmlns: false, position: false })
  parser.on('opentag', ({ name, attributes }) => {
    const a = attributes as Attributes
    const state = inherit(states.at(-1)!, a)
    states.push(state)
    let matrix: Matrix | null = null
    if (name === 'svg' && a.viewBox) {
      const [, , inside = 1, deep = 1] = a.viewBox.split(/[\s,]+/).map(Number)
      const outermost = open.length === 0
      if (outermost) tall = (width * deep) / inside
      matrix = [across / inside, 0, 0, across / inside, outermost ? x : 0, outermost ? y : 0]
      across = inside
    } else if (open.at(-1)?.name === 'defs' && a.id) {
      sign = a.id
    } else if (sign !== null) {
      if (name === 'path') outlines.set(sign, a)
    } else if (name === 'text' || words) {
      // A span that has a place of its own starts a new line of the same text.
      if (name === 'text' || a.x !== undefined || a.y !== undefined) {
        const before: Words | null = words
        setWords()
        const anchor = a['text-anchor'] ?? before?.anchor ?? 'start'
        words = { x: Number(a.x ?? before?.x ?? 0), y: Number(a.y ?? before?.y ?? 0), anchor, runs: [] }
        raise = 0
      }
      raise -= Number.parseFloat(a.dy ?? '0')
    } else if (name === 'g') {
      matrix = a.transform ? matrixOf(a.transform) : null
    } else if (name === 'use') {
      const outline = outlines.get((a['xlink:href'] ?? a.href ?? '').slice(1))
      if (outline) putSign(ink, outline, matrixOf(a.transform ?? ''), state)
    } else {
      const operators = operatorsOf(name, a)
      if (operators !== null) pen.path(operators, strokeOf(name, a, state))
    }
    if (matrix) pen.save(matrix)
    open.push({ name, scaled: matrix !== null })
  })
  parser.on('text', (text) => {
    const { size, bold, italic, fill } = states.at(-1)!
    if (!words || size === 0) return
    const style = bold ? (italic ? 'bold italic' : 'bold') : italic ? 'italic' : 'regular'
    words.runs.push({ text, style, size, raise, fill: fill ?? '#000000' })
  })
  parser.on('closetag', ({ name }) => {
    states.pop()
    if (open.pop()?.scaled) pen.restore()
    if (open.at(-1)?.name === 'defs') sign = null
    if (name === 'text') setWords()
  })
  parser.write(svg).close()
  return tall
}

function inherit(state: State, a: Attributes): State {
  const weight = a['font-weight']
  const slant = a['font-style']
  return {
    fill: a.fill === undefined ? state.fill : a.fill === 'none' ? null : colourOf(a.fill, state.fill),
    stroke: colourOf(a.stroke ?? a.color, state.stroke) ?? state.stroke,
    size: a['font-size'] === undefined ? state.size : Number.parseFloat(a['font-size']),
    bold: weight === undefined ? state.bold : weight === 'bold',
    italic: slant === undefined ? state.italic : slant === 'italic',
  }
}

const colourOf = (given: string | undefined, usual: string | null): string | null =>
  given === undefined || given === 'currentColor' ? usual : given === 'black' ? '#000000' : given

/** A transform's matrix; Verovio writes translations, scales and rotations, one after the other. */
function matrixOf(transform: string): Matrix {
  let all: Matrix = [1, 0, 0, 1, 0, 0]
  for (const [, name, list = ''] of transform.matchAll(/(\w+)\(([^)]*)\)/g)) {
    const [first = 0, second, third = 0] = list.split(/[\s,]+/).map(Number)
    if (name === 'translate') all = multiply(all, [1, 0, 0, 1, first, second ?? 0])
    if (name === 'scale') all = multiply(all, [first, 0, 0, second ?? first, 0, 0])
    if (name === 'rotate') {
      const [cos, sin] = [Math.cos((first * Math.PI) / 180), Math.sin((first * Math.PI) / 180)]
      const about = second ?? 0
      all = multiply(multiply(multiply(all, [1, 0, 0, 1, about, third]), [cos, sin, -sin, cos, 0, 0]), [
        1,
        0,
        0,
        1,
        -about,
        -third,
      ])
    }
  }
  return all
}

const multiply = ([a, b, c, d, e, f]: Matrix, [g, h, i, j, k, l]: Matrix): Matrix => [
  a * g + c * h,
  b * g + d * h,
  a * i + c * j,
  b * i + d * j,
  a * k + c * l + e,
  b * k + d * l + f,
]

/** What every shape is stroked and filled with. Verovio strokes all in the current colour, and leaves lines unfilled. */
function strokeOf(name: string, a: Attributes, state: State): Stroke {
  const line = name === 'path' && /^M[^A-Zac-z]*L[^A-Za-z]*$/.test(a.d ?? '')
  return {
    fill: line || a['fill-opacity'] === '0' ? null : state.fill,
    stroke: a['stroke-width'] === undefined ? null : state.stroke,
    width: Number(a['stroke-width'] ?? 0),
    cap: a['stroke-linecap'] ?? 'butt',
    join: a['stroke-linejoin'] ?? 'miter',
    dash: (a['stroke-dasharray'] ?? '').replace(/,/g, ' '),
  }
}

function operatorsOf(name: string, a: Attributes): string | null {
  const at = (key: string) => Number(a[key] ?? 0)
  if (name === 'path') return pathOperators(a.d ?? '')
  if (name === 'rect') return `${n(at('x'))} ${n(at('y'))} ${n(at('width'))} ${n(at('height'))} re`
  if (name === 'polygon' || name === 'polyline') {
    const points = (a.points ?? '').trim().split(/\s+/)
    const lines = points.map((point, index) => `${point.replace(',', ' ')} ${index === 0 ? 'm' : 'l'}`)
    return `${lines.join(' ')}${name === 'polygon' ? ' h' : ''}`
  }
  if (name !== 'ellipse' && name !== 'circle') return null
  const [x, y] = [at('cx'), at('cy')]
  const [rx, ry] = name === 'circle' ? [at('r'), at('r')] : [at('rx'), at('ry')]
  // A quarter of a circle by one Bézier curve, as usual: its handles are 0.5523 of the radius long.
  const quarter = (ax: number, ay: number, bx: number, by: number) =>
    `${n(x + rx * (ax + 0.5523 * bx))} ${n(y + ry * (ay + 0.5523 * by))} ${n(x + rx * (bx + 0.5523 * ax))} ${n(y + ry * (by + 0.5523 * ay))} ${n(x + rx * bx)} ${n(y + ry * by)} c`
  return `${n(x + rx)} ${n(y)} m ${quarter(1, 0, 0, 1)} ${quarter(0, 1, -1, 0)} ${quarter(-1, 0, 0, -1)} ${quarter(0, -1, 1, 0)} h`
}

/** A path's data as PDF operators, by pdfkit's own reader of paths. */
function pathOperators(d: string): string {
  const line = /^M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)$/.exec(d)
  if (line) return `${line[1]} ${line[2]} m ${line[3]} ${line[4]} l`
  const found: string[] = []
  const recorder = Object.create(PDFDocument.prototype) as PdfDocument
  recorder.addContent = (operator: string) => {
    found.push(operator)
    return recorder
  }
  recorder.path(d)
  return found.join(' ')
}

/** Puts a music sign on the page; its outline is written into the document the first time. */
function putSign({ document, pen, signs }: PdfInk, outline: Attributes, matrix: Matrix, state: State): void {
  const key = `${outline.transform ?? ''}${outline.d ?? ''}`
  let sign = signs.get(key)
  if (!sign) {
    const form = document.ref({ Type: 'XObject', Subtype: 'Form', BBox: [-3000, -3000, 5000, 5000] })
    form.end(Buffer.from(`${cm(matrixOf(outline.transform ?? ''))} ${pathOperators(outline.d ?? '')} f`))
    sign = { name: `Sign${signs.size + 1}`, form }
    signs.set(key, sign)
  }
  const { xobjects } = document.page as unknown as { xobjects: Record<string, PDFKit.PDFKitReference> }
  xobjects[sign.name] = sign.form
  pen.fill(state.fill ?? '#000000')
  pen.write(`q ${cm(matrix)} /${sign.name} Do Q`)
}
