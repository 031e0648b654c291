/** Where a part's lines break: as many bars a line as there is room for, a new section on a new line. */
import { squeeze, startWidth } from './lineWidth.ts'

/**
 * The bars that start a line: so many a line at most. A crowded line is halved; where more than a third of the lines are crowded,
 * all take half as many bars. A section starts a new line; its bars are shared out evenly, so that no line is left with one bar
 * stretched over it; sections too short to fill half a line share one with their neighbour.
 *
 * @param opens - for each bar, whether a section (or a chorus) starts there
 * @param widths - the bars' widths in staff spaces
 * @param most - bars a line, at most
 * @param room - what a line holds, in staff spaces, clef and signature included
 * @returns the indexes of the bars that start a line, ascending, the first bar's among them
 *
 * @example
 * breakLines([true, false, false, false, false, false, true, false, false, false], Array(10).fill(20), 4, 112) // => [0, 3, 6]
 * breakLines([true, false, false, false], Array(4).fill(20), 4, 60) // => [0, 2]
 */
export function breakLines(
  opens: readonly boolean[],
  widths: readonly number[],
  most: number,
  room: number,
): readonly number[] {
  const starts = lineStarts(opens, most)
  const crowded = (from: number, to: number) =>
    to - from > 1 && startWidth + widths.slice(from, to).reduce((sum, width) => sum + width, 0) > room * squeeze
  const endOf = (line: number) => starts[line + 1] ?? widths.length
  const count = starts.filter((from, line) => crowded(from, endOf(line))).length
  if (most > 1 && 3 * count > starts.length) return breakLines(opens, widths, most >> 1, room)
  const halve = (from: number, to: number): readonly number[] => {
    if (!crowded(from, to)) return [from]
    const middle = (from + to + 1) >> 1
    return [...halve(from, middle), ...halve(middle, to)]
  }
  return starts.flatMap((from, line) => halve(from, endOf(line)))
}

/**
 * The bars that start a line of so many bars at most.
 *
 * @example
 * lineStarts([true, true, false, false], 4) // => [0]
 */
export function lineStarts(opens: readonly boolean[], most: number): readonly number[] {
  const sections: { from: number; bars: number }[] = []
  opens.forEach((open, index) => {
    if (open || index === 0) sections.push({ from: index, bars: 1 })
    else sections[sections.length - 1]!.bars += 1
  })
  const blocks: { from: number; bars: number }[] = []
  for (const section of sections) {
    const before = blocks.at(-1)
    const short = before !== undefined && 2 * Math.min(before.bars, section.bars) <= most
    if (short && before.bars + section.bars <= most) before.bars += section.bars
    else blocks.push({ ...section })
  }
  return blocks.flatMap(({ from, bars }) => {
    const lines = Math.ceil(bars / most)
    return Array.from({ length: lines }, (_, line) => from + Math.ceil((bars * line) / lines))
  })
}
