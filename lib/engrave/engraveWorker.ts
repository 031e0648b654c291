/** What a worker does for `startEngravers`: engraves, with the engraver that it keeps. */
import { engraveSvg, type Sheet } from './engraver.ts'

export interface Engraving {
  readonly mei: string
  readonly sheet: Sheet
}

/** Pages of SVG for one piece. */
export default function engrave({ mei, sheet }: Engraving): Promise<readonly string[]> {
  return engraveSvg(mei, sheet)
}
