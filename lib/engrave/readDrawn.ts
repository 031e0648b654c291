/**
 * What only the engraver knows, read from a page that it drew: how large it is, how far down the music comes, how many lines it holds,
 * and where things stand in a bar. Its SVG is machine-made, so that a page is gone through once, without a tree of it.
 */

export interface Drawn {
  /** Of the page, in its own units. */
  readonly width: number
  readonly height: number
  /** Lines of music on it. */
  readonly systems: number
  /** The lowest staff line or words, in the units of the music, ten to one of the page. */
  readonly lowest: number
}

/** The size of a page; a horizontal line; the place of words; the group of a system. */
const landmarks = /viewBox="0 0 (\S+) ([^"]+)"|<path d="M-?\d+ (\d+) L|<text [^>]*?\by="(\d+)"|class="system[ "]/g

/** Reads a page of SVG, as Verovio draws it or tidied. */
export function readDrawn(svg: string): Drawn {
  let [width, height, systems, lowest] = [1, 1, 0, 0]
  let sized = false
  for (const [, across, down, line, words] of svg.matchAll(landmarks)) {
    const y = line ?? words
    if (y !== undefined) lowest = Math.max(lowest, Number(y))
    else if (across === undefined) systems += 1
    else if (!sized) {
      // The outermost viewBox is the page's, one within it the music's.
      ;[width, height, sized] = [Number(across), Number(down), true]
    }
  }
  return { width, height, systems, lowest }
}

/** A bar with a boxed section letter, as drawn. */
export interface DrawnSection {
  readonly box: { readonly x: number; readonly y: number; readonly height: number; readonly width: number }
  /** Where the letter stands in its box. */
  readonly baseline: number
  /** The bar's first chord symbol. */
  readonly chord: { readonly x: number; readonly y: number }
  readonly staff: { readonly left: number; readonly top: number; readonly space: number }
  /** Whether a treble clef (SMuFL E050) stands in it. */
  readonly treble: boolean
}

const letterBox =
  /class="reh[^"]*"><rect [^>]*?x="(-?\d+)" y="(-?\d+)" height="(\d+)" width="(\d+)"\/><text x="-?\d+" y="(-?\d+)"/
const chordPlace = /class="harm[^"]*"><text x="(-?\d+)" y="(-?\d+)"/
const staffLine = /<path d="M(-?\d+) (-?\d+) L/g

/** Reads a bar's group of SVG; null where it has no section letter, or no chord to put that beside. */
export function readSection(measure: string): DrawnSection | null {
  const letter = letterBox.exec(measure)?.slice(1).map(Number)
  const chord = chordPlace.exec(measure)?.slice(1).map(Number)
  const lines = [...measure.matchAll(staffLine)].map(([, left, y]) => [Number(left), Number(y)] as const)
  if (!letter || !chord || lines.length === 0) return null
  const [x = 0, y = 0, height = 0, width = 0, baseline = 0] = letter
  const [left = 0, top = 0] = lines[0]!
  const space = (lines[1]?.[1] ?? 0) - top
  const treble = measure.includes('#E050')
  return {
    box: { x, y, height, width },
    baseline,
    chord: { x: chord[0]!, y: chord[1]! },
    staff: { left, top, space },
    treble,
  }
}
