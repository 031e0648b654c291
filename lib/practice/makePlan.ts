/** From the lines of a brief to a plan of practising them. */
import { type Brief, limits, writeBrief } from '../brief.ts'
import { keepLine } from '../lines/kept.ts'
import { draftHome, type Lines } from '../lines/write.ts'
import { nameOfKey } from '../theory/key.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import type { Day } from './days.ts'
import { markNear, type PracticePlan, withId } from './plan.ts'

/** What is chosen of a plan beside the line itself. */
export interface PlanChoices {
  /** Quarter notes a minute. */
  readonly goal: number
  /** The tempo to begin at; about two fifths of the goal where not said. */
  readonly start?: number
  readonly days: number
  readonly minutes: number
  readonly from: Day
}

/** How a line is played is the plan's own, pass by pass. */
const notTheLine: readonly (keyof Brief)[] = [
  'keys',
  'tempo',
  'countIn',
  'loop',
  'passes',
  'faster',
  'goal',
  'keyAfter',
  'lineOut',
  'build',
  'demonstration',
  'rest',
]

/** Bars of a phrase, where sections do not say otherwise (common practice). */
const phraseLength = 4

/** The bars on which phrases begin: those of sections, and every fourth bar of a section but one that is left over alone. */
function phrasesOf(bars: Lines['lines'][number]['harmony']['bars'], [first, last]: readonly [number, number]) {
  const sections = bars.filter(({ bar, section }) => section !== null && bar > first && bar <= last)
  const opens = [first, ...new Set(sections.map(({ bar }) => bar))]
  return opens.flatMap((from, i) => {
    const length = (opens[i + 1] ?? last + 1) - from
    const count = Math.max(1, Math.floor((length + 2) / phraseLength))
    return Array.from({ length: count }, (_, k) => from + phraseLength * k)
  })
}

/**
 * The choices of a line that is to stay what it is for weeks, whatever its tempo and whichever edition of lines comes: with its
 * notes kept. A drill is drawn from its choices, since it is made for all keys at once, and its notes do not hang on the tempo.
 */
function lastingBrief(brief: Brief): Brief {
  const phrasedAnew = brief.rhythm === 'phrased' && !brief.exact
  if ((brief.exact || brief.join || brief.each === 'fresh') && !phrasedAnew) return brief
  const home = draftHome(brief)
  const kept = home && keepLine(home.draft, home.harmony)
  return kept ? { ...brief, each: 'same', pins: [], again: [], kept } : brief
}

/**
 * Makes a plan of the lines of a brief: what they are drawn from, their keys in their order, and the goal. Null where there are
 * no lines. A line but no drill carries its notes; one in phrases, which hang on the tempo, is then the same in every key.
 */
export function makePlan(lines: Lines, chosen: PlanChoices): PracticePlan | null {
  const line = lines.lines[0]
  if (!line || line.harmony.bars.length === 0) return null
  const { bars: played, title } = line.harmony
  const bars = lines.brief.bars ?? ([1, played.length] as const)
  const last = Math.min(bars[1], played.length)
  const within: readonly [number, number] = [Math.min(bars[0], last), last]
  const longest = Math.max(...played.slice(within[0] - 1, last).map(({ ticks }) => ticks))
  const written = Object.entries(writeBrief(lastingBrief(lines.brief)))
  const own = written.filter(([name]) => !(notTheLine as readonly string[]).includes(name))
  const goal = chosen.goal
  return withId({
    title: lines.brief.title ?? title ?? '',
    fields: { ...Object.fromEntries(own), edition: String(lines.brief.edition) },
    bars: within,
    phrases: phrasesOf(played, within),
    quarters: longest / ticksPerQuarter,
    keys: [...new Set(lines.lines.map(({ key }) => nameOfKey(key)))],
    start: Math.min(goal, chosen.start ?? Math.max(limits.tempo[0], markNear(0.4 * goal))),
    goal,
    days: chosen.days,
    minutes: chosen.minutes,
    from: chosen.from,
  })
}
