/** A typed chart to its bars and the way through them. Nothing typed throws; what does not read is reported, the rest read on. */
import type { Problem } from '../../problem.ts'
import { commonTime } from '../../theory/meter.ts'
import { isAbcTune, readAbcChanges } from '../abc/readAbcChanges.ts'
import type { Chart } from '../chart.ts'
import { playOrder } from '../playOrder.ts'
import { buildBars, finishBars } from './buildBars.ts'
import { type PlainText, plainText, spanAsTyped } from './characters.ts'
import { chartLines } from './chartLines.ts'
import { gatherProblems } from './chartProblems.ts'
import { readTraits } from './chartTraits.ts'
import { startDrafting } from './drafting.ts'
import { plainLines, withoutMarkup } from './plainLines.ts'
import { readForm } from './readForm.ts'

/** The most problems that are told; one more then says how many follow. */
const mostProblems = 1_000
/** The longest line of markup that a hint puts right. */
const longestMended = 2_000

/**
 * Reads a typed chart: bars, sections, keys and meters, repeats, endings, counts and jumps, and every chord with its beats.
 * Problems stand in the order of the text, each under the very characters.
 *
 * @example
 * readChart('| Dm7 G7 | Cmaj7 |').bars.map((bar) => bar.chords.map((chord) => chord.symbol)) // => [['Dm7', 'G7'], ['Cmaj7']]
 * readChart('|: C | F |1. G :|2. C |').playOrder // => [0, 1, 2, 0, 1, 3]
 * readChart('| Cmja7 |').problems.map((problem) => problem.hint) // => ['Cmaj7']
 */
export function readChart(typed: string): Chart {
  if (typeof typed !== 'string') return readChart('')
  if (isAbcTune(typed)) return readAbcChanges(typed)
  const whole = plainText(typed)
  const { plain, first: markup } = withoutMarkup(whole)
  const problems = gatherProblems(typed, plain)
  const rows = plainLines(plain.text)
  const lines = chartLines(plain.text, rows)
  let inTab = false
  for (const { kind, line } of lines) {
    if (kind === 'tablature' && !inTab)
      problems.say('error', 'tablature', line.at, line.end, 'chord names', '| Dm7 | G7 |')
    inTab = kind === 'tablature'
  }
  const traits = readTraits(lines, problems)
  const drafting = startDrafting(plain, problems)
  const { title, composer, style, tempo } = buildBars(lines, traits, drafting)
  readForm(drafting)
  const bars = finishBars(drafting.drafts)
  const found = problems.all
  if (markup) found.push(markupProblem(typed, whole, markup))
  if (bars.length === 0 && !found.some((problem) => problem.severity === 'error'))
    found.push({
      severity: 'error',
      code: 'no-chords',
      span: { start: 0, end: 0 },
      found: typed.trim() === '' ? 'nothing' : 'no music',
      expected: 'at least one chord or N.C.',
      hint: '| Dm7 | G7 | Cmaj7 |',
    })
  const rank = { error: 0, warning: 1 }
  found.sort((a, b) => a.span.start - b.span.start || rank[a.severity] - rank[b.severity] || a.span.end - b.span.end)
  if (found.length > mostProblems) {
    const rest = found.splice(mostProblems)
    const expected = 'fewer problems; the first ones mended may mend others'
    const { span } = rest[0]!
    found.push({
      severity: rest.some((each) => each.severity === 'error') ? 'error' : 'warning',
      code: 'more-problems',
      span,
      found: `${rest.length} more problems`,
      expected,
      hint: '| Dm7 | G7 |',
    })
  }
  const { key } = drafting
  const meter = drafting.meter ?? bars[0]?.meter ?? commonTime
  const order = playOrder(bars)
  return { title, composer, style, tempo, key, meter, barsKnown: !traits.sung, bars, playOrder: order, problems: found }
}

/** Markup, from its first piece to the end of that line; the hint is the line without it. */
function markupProblem(typed: string, whole: PlainText, markup: { at: number; end: number }): Problem {
  const stop = whole.text.indexOf('\n', markup.at)
  const end = stop < 0 ? whole.text.length : stop
  const rest = whole.text.slice(markup.at, end)
  const { plain } = withoutMarkup({ text: rest, starts: null, ends: null })
  const hint = plain.text.replace(/\s+/g, ' ').replace(/\| \|/g, '|').trim().slice(0, longestMended)
  const span = spanAsTyped(whole, markup.at, end)
  const found = typed.slice(span.start, spanAsTyped(whole, markup.at, markup.end).end)
  const mends = rest.length <= longestMended && hint !== ''
  return {
    severity: 'error',
    code: 'markup',
    span,
    found,
    expected: 'plain text',
    hint: hint || '| Dm7 | G7 |',
    ...(mends ? { replacement: hint } : {}),
  }
}
