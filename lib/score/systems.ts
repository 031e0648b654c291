/** Where a part's lines break: so many bars a line, a new section on a new line. */

/**
 * The bars that start a line. A section starts a new one; its bars are shared out evenly, so that no line is left with one bar
 * stretched over it; sections too short to fill half a line share one with their neighbour.
 *
 * @param opens - for each bar, whether a section (or a chorus) starts there
 * @param most - bars a line, at most
 * @returns the indexes of the bars that start a line, ascending, the first bar's among them
 *
 * @example
 * lineStarts([true, false, false, false, false, false, true, false, false, false], 4) // => [0, 3, 6]
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
