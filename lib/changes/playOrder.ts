/** The way through a chart: repeats, endings, counts and jumps turned into the order in which its bars are played. */
import type { Bar, Mark } from './chart.ts'

/** What the way through asks of a bar. */
export type FormBar = Pick<Bar, 'ending' | 'repeatStart' | 'repeatEnd' | 'times' | 'marks'>

/** A stretch that is played more than once. `total` counts every time through. */
export interface Repeat {
  readonly from: number
  readonly to: number
  readonly total: number
  readonly endings: readonly { readonly passes: readonly number[]; readonly from: number; readonly to: number }[]
}

/**
 * The repeats of a chart. One without an opening sign goes back to the start, or to where the last repeat closed.
 */
function findRepeats(bars: readonly FormBar[]): readonly Repeat[] {
  const repeats: Repeat[] = []
  let from = 0
  for (let i = 0; i < bars.length; i++) {
    if (bars[i]!.repeatStart) from = i
    if (!bars[i]!.repeatEnd) continue
    if (!bars[i]!.ending) {
      repeats.push({ from, to: i, total: bars[i]!.times ?? 2, endings: [] })
      from = i + 1
      continue
    }
    // The endings stand side by side: the one that closes here, those before it in this repeat, and those that follow.
    let start = i
    while (start > from && bars[start - 1]!.ending) start--
    const endings: { passes: readonly number[]; from: number; to: number }[] = []
    let times = 0
    let last = start
    for (let j = start; j < bars.length; j++) {
      const { ending, repeatStart } = bars[j]!
      if (!ending || (repeatStart && j > start)) break
      const open = endings[endings.length - 1]
      if (open && sameEnding(open.passes, ending) && !bars[j - 1]!.repeatEnd) open.to = j
      else if (
        open &&
        Math.min(...ending) <= Math.max(...open.passes) &&
        endings.some((e) => e.passes.some((n) => ending.includes(n)))
      )
        break
      else endings.push({ passes: ending, from: j, to: j })
      if (bars[j]!.repeatEnd) times = Math.max(times, bars[j]!.times ?? 0)
      last = j
    }
    const highest = Math.max(...endings.flatMap((ending) => ending.passes))
    repeats.push({ from, to: last, total: Math.max(times, highest, 2), endings })
    i = last
    from = last + 1
  }
  return repeats
}

const sameEnding = (a: readonly number[], b: readonly number[]): boolean =>
  a.length === b.length && a.every((n, i) => n === b[i])

const isJump = (mark: Mark): boolean => mark.startsWith('D.')

/** The most jumps that a chart is followed through. */
const mostJumps = 8

/**
 * The order in which bars are played. After a jump, repeats are not taken again and last endings are played; a plain D.C. or
 * D.S. stops at a Fine where there is one, and leaves for the coda where there is one. Common practice.
 *
 * @example
 * playOrder([{ ending: null, repeatStart: true, repeatEnd: false }, { ending: [1], repeatStart: false, repeatEnd: true }, { ending: [2], repeatStart: false, repeatEnd: false }])
 * // => [0, 1, 0, 2]
 */
export function playOrder(bars: readonly FormBar[]): number[] {
  const repeats = findRepeats(bars)
  const at: (Repeat | undefined)[] = []
  for (const repeat of repeats) for (let i = repeat.from; i <= repeat.to; i++) at[i] = repeat
  const has = (i: number, mark: Mark): boolean => bars[i]!.marks?.includes(mark) ?? false
  const find = (mark: Mark): number => bars.findIndex((bar) => bar.marks?.includes(mark))
  const segno = find('Segno')
  let coda = -1
  for (let i = 0; i < bars.length; i++) if (has(i, 'Coda')) coda = i
  const hasFine = find('Fine') >= 0
  const hasExit = find('To Coda') >= 0 && coda >= 0

  const order: number[] = []
  const used = new Set<number>()
  let i = 0
  let pass = 1
  let jumped = false
  let stopAtFine = false
  let leaveForCoda = false
  while (i < bars.length) {
    const bar = bars[i]!
    const repeat = at[i]
    if (repeat && jumped) pass = repeat.total
    const ending = repeat && endingFor(repeat, pass)
    const skipped =
      repeat && bar.ending !== null && repeat.endings.length > 0 && !(ending && i >= ending.from && i <= ending.to)
    if (!skipped) {
      order.push(i)
      if (stopAtFine && has(i, 'Fine')) break
      if (leaveForCoda && has(i, 'To Coda')) {
        leaveForCoda = false
        i = coda
        pass = 1
        continue
      }
      const jump = bar.marks?.find(isJump)
      const lastTime = !repeat || pass >= repeat.total
      if (jump && lastTime && !used.has(i) && used.size < mostJumps) {
        const to = jump.startsWith('D.C.') ? 0 : segno
        const coda = jump.endsWith('Coda')
        const fine = jump.endsWith('Fine')
        if (to >= 0 && !(coda && !hasExit) && !(fine && !hasFine)) {
          used.add(i)
          jumped = true
          stopAtFine = fine || (!coda && hasFine)
          leaveForCoda = coda || (!fine && !stopAtFine && hasExit)
          i = to
          pass = 1
          continue
        }
      }
    }
    if (
      repeat &&
      pass < repeat.total &&
      (repeat.endings.length ? (ending ? i === ending.to : i === repeat.to) : i === repeat.to)
    ) {
      pass += 1
      i = repeat.from
      continue
    }
    if (repeat && i === repeat.to) pass = 1
    i += 1
    if (repeat && at[i] !== repeat) pass = 1
  }
  return order
}

/** The ending played on a pass: the one that names it, else the first, on the last pass the last. */
function endingFor(repeat: Repeat, pass: number): Repeat['endings'][number] | undefined {
  const { endings, total } = repeat
  const named = endings.find((ending) => ending.passes.includes(pass))
  if (named || endings.length < 2) return named
  return pass === total ? endings[endings.length - 1] : endings[0]
}
