/** Text in a PDF: each character in a face that has it, so that every word can be searched, copied and read aloud. */
import { type Face, facesOf, type Style } from './pdfFonts.ts'
import type { PdfDocument, Pen } from './pdfPen.ts'

/** A stretch of text in one style, `raise` above the line. */
export interface Run {
  readonly text: string
  readonly style: Style
  readonly size: number
  readonly raise: number
  readonly fill: string
}

export interface PdfText {
  readonly width: (runs: readonly Run[]) => number
  /** Sets runs after each other from `x` on, on the line at `y`. */
  readonly set: (pen: Pen, runs: readonly Run[], x: number, y: number) => void
}

/** A stretch of a run in one face. */
interface Piece extends Run {
  readonly face: string
}

export function textIn(document: PdfDocument): PdfText {
  const registered = new Set<string>()
  const known = new Map<string, Face>()

  const has = ({ name, bytes }: Face, code: number): boolean => {
    if (!registered.has(name)) document.registerFont(name, bytes())
    registered.add(name)
    const { _font } = document.font(name) as unknown as {
      _font: { font?: { hasGlyphForCodePoint: (code: number) => boolean } }
    }
    return _font.font?.hasGlyphForCodePoint(code) ?? false
  }
  /** The first face that has the character; the first of all where none has, which then shows its empty box. */
  const faceFor = (style: Style, character: string): Face => {
    const key = `${style} ${character}`
    const faces = facesOf(style)
    const face = known.get(key) ?? faces.find((each) => has(each, character.codePointAt(0)!)) ?? faces[0]!
    known.set(key, face)
    return face
  }
  const pieces = (runs: readonly Run[]): readonly Piece[] => {
    const found: Piece[] = []
    for (const run of runs)
      for (const character of run.text) {
        const { name, scale } = faceFor(run.style, character)
        const size = run.size * scale
        const before = found.at(-1)
        const same = before && before.face === name && before.size === size && before.raise === run.raise
        if (same && before.fill === run.fill) found[found.length - 1] = { ...before, text: before.text + character }
        else found.push({ ...run, size, face: name, text: character })
      }
    return found
  }
  const widthOf = ({ face, size, text }: Piece) => document.font(face, size).widthOfString(text)
  return {
    width: (runs) => pieces(runs).reduce((sum, piece) => sum + widthOf(piece), 0),
    set: (pen, runs, x, y) => {
      let across = x
      for (const piece of pieces(runs)) {
        pen.fill(piece.fill)
        const width = widthOf(piece)
        document.text(piece.text, across, y - piece.raise, { lineBreak: false, baseline: 'alphabetic' })
        across += width
      }
    },
  }
}
