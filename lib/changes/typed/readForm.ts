/** The form of a chart: endings and counts settled on its bars, and what is missing said. */

import type { Mark } from '../chart.ts'
import type { Drafting, OpenEnding } from './drafting.ts'

/** Settles endings, section counts, codas and jumps on the drafts of a chart, in place. */
export function readForm(built: Drafting): void {
  settleCodas(built)
  settleEndings(built)
  settleCounts(built)
  findUnclosed(built)
  findMissingMarks(built)
}

/** Coda signs: with several and no `To Coda`, the first that can leaves, the last is where it leads. */
function settleCodas({ codas, jumps, drafts }: Drafting): void {
  const explicit = jumps.some((jump) => jump.value === 'To Coda')
  const wanted = jumps.some((jump) => jump.value.startsWith('D.'))
  for (const [i, { value, bar }] of codas.entries()) {
    const first = i === 0 && codas.length > 1 && !explicit && wanted
    const own = drafts[bar]!.marks
    const before = drafts[bar - 1]
    if (first && value === 'after') {
      remove(own, 'Coda')
      own.push('To Coda')
    } else if (first && value === 'between' && before) {
      remove(own, 'Coda')
      before.marks.push('To Coda')
    } else if (value === 'after' && drafts[bar + 1]) {
      // A coda sign after the last chord of a bar leads to the bar that follows.
      remove(own, 'Coda')
      if (!drafts[bar + 1]!.marks.includes('Coda')) drafts[bar + 1]!.marks.push('Coda')
    }
  }
}

function remove(marks: Mark[], mark: Mark): void {
  const at = marks.indexOf(mark)
  if (at >= 0) marks.splice(at, 1)
}

/** How far each ending goes, and whether its number follows. */
function settleEndings({ endings, drafts, problems }: Drafting): void {
  let group: OpenEnding[] = []
  const finish = (): void => {
    const [first] = group
    if (first && group.length === 1 && !drafts[first.to - 1]?.repeatEnd) {
      for (let i = first.bar; i < first.to; i++) drafts[i]!.ending = null
      if (first.value.includes(1))
        problems.say(
          'error',
          'unmatched-ending',
          first.at,
          first.end,
          'a repeat that this ending belongs to, or a 2nd ending',
          '|: C |1. G7 :|2. C |',
        )
    }
    group = []
  }
  for (let e = 0; e < endings.length; e++) {
    const ending = endings[e]!
    const previous = group[group.length - 1]
    if (previous && (previous.to !== ending.bar || drafts[ending.bar]?.repeatStart)) finish()
    const heard = group.flatMap((other) => other.value)
    const highest = Math.max(0, ...heard)
    const lowest = Math.min(...ending.value)
    if (group.length > 0 && (heard.includes(lowest) || lowest < highest) && !fillsGap(heard, ending.value)) finish()
    const missing = firstMissing(group.flatMap((other) => other.value))
    // Where it ends: with its repeat or the next ending, else with its line.
    const next = endings[e + 1]
    const goesOn = next && next.bar === ending.to && Math.min(...next.value) > Math.min(...ending.value)
    const closes = ending.closedBy === 'repeat' || (ending.closedBy === 'ending' && goesOn)
    const longest =
      group.length > 0 ? Math.max(...group.map((other) => other.to - other.bar)) : Number.POSITIVE_INFINITY
    if (!closes || (ending.closedBy === 'repeat' && ending.to - ending.bar > longest && ending.lineEnd > ending.bar))
      ending.to = Math.min(ending.to, Math.max(ending.lineEnd, ending.bar))
    if (lowest > missing) {
      const expected = missing === 1 && group.length === 0 ? 'a 1st ending before it' : `ending ${missing}`
      problems.say('error', 'unmatched-ending', ending.at, ending.end, expected, '|: C |1. G7 :|2. C |')
      finish()
      continue
    }
    for (let i = ending.bar; i < ending.to; i++) drafts[i]!.ending = ending.value
    // An ending that the next follows at once closes the repeat.
    if (goesOn && ending.to === next.bar && ending.to > ending.bar) drafts[ending.to - 1]!.repeatEnd = true
    if (ending.to > ending.bar) group.push(ending)
  }
  finish()
}

function firstMissing(heard: readonly number[]): number {
  let n = 1
  while (heard.includes(n)) n++
  return n
}

const fillsGap = (heard: readonly number[], passes: readonly number[]): boolean =>
  passes.every((n) => !heard.includes(n)) && Math.min(...passes) === firstMissing(heard)

/** Sections played several times: a repeat of their own, unless they hold one already. */
function settleCounts({ sectionCounts, drafts }: Drafting): void {
  for (const { times, from, to } of sectionCounts) {
    const stretch = drafts.slice(from, to)
    if (stretch.length === 0 || times < 2) continue
    const last = stretch[stretch.length - 1]!
    const inner =
      stretch.slice(0, -1).some((draft) => draft.repeatEnd) || stretch.slice(1).some((draft) => draft.repeatStart)
    if (inner || stretch.some((draft) => draft.ending)) continue
    stretch[0]!.repeatStart = true
    last.repeatEnd = true
    last.times = times
  }
}

/** Opened repeats that nothing closes. */
function findUnclosed({ opens, drafts, plain, problems }: Drafting): void {
  for (let n = 0; n < opens.length; n++) {
    const open = opens[n]!
    const until = opens[n + 1]?.bar ?? drafts.length
    let closed = false
    for (let i = open.bar; i < until && !closed; i++) {
      if (i > open.bar && drafts[i]!.repeatStart) break
      closed = drafts[i]!.repeatEnd
    }
    if (closed) continue
    const sign = plain.text.slice(open.at, open.end)
    const plainer = sign[0] === ':' ? sign.replace(/:+$/, '') : '|'
    const expected = opens[n + 1] ? '":|" before the next "|:"' : '":|" before the end'
    problems.say('error', 'unclosed-repeat', open.at, open.end, expected, plainer, plainer)
    drafts[open.bar]!.repeatStart = false
  }
}

/** Jumps to a sign that is not there. The hint is the jump that would do. */
function findMissingMarks({ jumps, drafts, problems }: Drafting): void {
  const marks = new Set(drafts.flatMap((draft) => draft.marks))
  for (const { value, at, end } of jumps) {
    const short = value.slice(0, 4)
    if (value.startsWith('D.S.') && !marks.has('Segno')) {
      const instead =
        value.endsWith('Coda') && !(marks.has('Coda') && marks.has('To Coda')) ? 'D.C.' : value.replace('D.S.', 'D.C.')
      problems.say('error', 'missing-mark', at, end, 'a Segno to go back to', instead, instead)
    } else if (value.endsWith('al Fine') && !marks.has('Fine'))
      problems.say('error', 'missing-mark', at, end, 'a Fine to end at', short, short)
    else if (value.endsWith('al Coda') && !marks.has('Coda'))
      problems.say('error', 'missing-mark', at, end, 'a Coda to leave for', short, short)
    else if (value.endsWith('al Coda') && !marks.has('To Coda'))
      problems.say('error', 'missing-mark', at, end, 'a To Coda to leave by', short, short)
  }
}
