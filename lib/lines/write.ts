/** The whole job in one call: from a brief to its chart and its finished lines, one a key. */
import { type Brief, type BriefProblem, checkBrief, defaultBrief } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { restBadBars } from '../changes/restBadBars.ts'
import { transposeChart } from '../changes/transposeChart.ts'
import { readChart } from '../changes/typed/readChart.ts'
import { type Changes, unrollChart } from '../changes/unrollChart.ts'
import { draftDrill } from '../drill/draftDrill.ts'
import { goRound, type KeyDraft, octavesOf } from '../drill/goRound.ts'
import { editionSaid } from '../edition.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { readHarmony } from '../harmony/readHarmony.ts'
import { hearAltered } from '../line/alterDominants.ts'
import { type Alternative, alternativesAt } from '../line/alternatives.ts'
import { articulate } from '../line/articulate.ts'
import { type Draft, draftLine, harmonyFor, narrowest, soundingRange } from '../line/draftLine.ts'
import { unfingered } from '../line/fingerLine.ts'
import { finishLine } from '../line/finishLine.ts'
import type { Line } from '../line/line.ts'
import { pickupOf } from '../line/placePhrased.ts'
import { readPlan } from '../line/plan.ts'
import { carryLine, foldsOf, moveDraft } from '../line/transposeLine.ts'
import type { Problem } from '../problem.ts'
import { type Instrument, instrumentOf } from '../theory/instrument.ts'
import { intervalToKey, type Key, keyName, nameOfKey } from '../theory/key.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { nameOf } from '../theory/pitch.ts'
import { checkBars, checkOwn, checkRange, checkScales } from './checks.ts'
import { briefToCover, coverBrief } from './cover.ts'
import { readKept } from './kept.ts'
import { carriedRange, keysOf, movesOf, pinsIn, windowFor } from './keys.ts'

/** What a brief comes to. */
export interface Lines {
  readonly brief: Brief
  readonly chart: Chart
  /** One a key, in the order asked for; none where the input has errors. */
  readonly lines: readonly Line[]
  /** Problems of the changes, their spans counted in `brief.changes`. */
  readonly problems: readonly Problem[]
  /** Problems of other choices. */
  readonly choiceProblems: readonly BriefProblem[]
}

/**
 * Writes the lines of a brief: one in each key asked for. Pure: the same brief gives the same lines. Where the changes or the
 * choices have errors there are no lines, and the problems say where, what and what to try.
 */
export function writeLines(brief: Brief): Lines {
  const misfit = checkBrief(brief)
  if (misfit.length > 0) {
    const none = { chart: readChart(''), lines: [], problems: [], choiceProblems: misfit }
    return { brief: typeof brief === 'object' && brief !== null ? brief : defaultBrief, ...none }
  }
  const read = readAsked(brief)
  return hasErrors(read) ? without(brief, read) : writeOver(read, brief)
}

/**
 * The same over what can be read: bars with errors are rests, by the numbers of the bars as played. No lines where no bar can be read, or
 * where a choice is wrong.
 *
 * @example
 * writeGoodBars({ ...defaultBrief, changes: '| Dm7 | Xyz | G7 |' }).rests // => [2]
 */
export function writeGoodBars(brief: Brief): Lines & { readonly rests: readonly number[] } {
  const written = writeLines(brief)
  if (!hasErrors(written.chart) || brief.cover) return { ...written, rests: [] }
  const good = restBadBars(written.chart)
  if (!good) return { ...written, rests: [] }
  const played = Array.from({ length: brief.choruses }, () => good.chart.playOrder).flat()
  const rests = played.flatMap((index, i) => (good.rests.has(index) ? [i + 1] : []))
  return { ...writeOver(good.chart, brief), rests }
}

const hasErrors = ({ problems }: Chart): boolean => problems.some(({ severity }) => severity === 'error')

/** A brief without lines, and why. */
const without = (brief: Brief, read: Chart, choiceProblems: readonly BriefProblem[] = []): Lines => ({
  brief,
  chart: read,
  lines: [],
  problems: read.problems,
  choiceProblems,
})

/** The lines of a brief over a chart. */
function writeOver(read: Chart, brief: Brief): Lines {
  const nothing = (choiceProblems: readonly BriefProblem[]): Lines => without(brief, read, choiceProblems)
  const instrument = instrumentOf(brief.instrument)
  const range = soundingRange(instrument, brief)
  const checked = [
    ...checkRange(brief, instrument),
    ...checkBars(read, brief),
    ...checkScales(read, brief),
    ...checkOwn(brief),
  ]
  if (checked.length > 0) return nothing(checked)

  if (brief.cover && brief.figures.length > 0) return writeCovering(brief)
  const home = homeOf(read, brief)
  const { harmony, chart } = home
  const keys = keysOf(brief, harmony.key)
  const moves = movesOf(keys, harmony.key)
  const fresh = brief.each === 'fresh'
  const drafted = fresh && brief.kept === '' ? null : homeDraft(harmony, brief, instrument, range)
  if (drafted && 'problems' in drafted) return nothing(drafted.problems)
  const whole = drafted && (brief.exact || brief.join) && brief.kept === ''
  const octaves = whole ? octavesOf(drafted, moves, range, carriedRange(instrument, brief)) : []

  const parts: KeyDraft[] = []
  for (const [i, key] of keys.entries()) {
    const here =
      moves[i] === 0 && nameOfKey(key) === nameOfKey(harmony.key) ? harmony : harmonyIn(chart, brief, harmony.key, key)
    const up = moves[i]!
    const draft = drafted
      ? carry(drafted, here, instrument, brief, up, range, octaves[i] ?? null)
      : draftFresh(here, instrument, brief, range, i, up)
    if ('problems' in draft) return nothing(draft.problems)
    parts.push({ harmony: here, draft })
  }
  const reach = brief.keys === null ? range : carriedRange(instrument, brief)
  const lines = goRound(parts, brief, reach, brief.seed).map(({ harmony: here, draft }) => {
    const finished = finishLine(hearAltered(here, draft, brief.scales), instrument, draft, brief.spelling)
    const line = {
      ...finished,
      notes: articulated(finished, brief),
      relaxed: [...finished.relaxed, ...ofEdition(brief), ...unfingered(finished, brief)],
    }
    return brief.bars ? { ...line, bars: brief.bars } : line
  })
  return { brief, chart: read, lines, problems: read.problems, choiceProblems: [] }
}

/** The lines of a covering drill; each says which figures could not be placed. */
function writeCovering(brief: Brief): Lines {
  const tried = { ...briefToCover(brief), exact: true }
  const read = readAsked(tried)
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  const { harmony } = homeOf(read, tried)
  const moves = movesOf(keysOf(brief, harmony.key), harmony.key)
  const covered = coverBrief({ ...brief, exact: true }, tried, harmony, windowFor(range, moves, brief, harmony))
  const written = writeLines(covered?.brief ?? { ...brief, exact: true, cover: false })
  const unplaced = (covered?.unplaced ?? []).map((text) => ({
    rule: 'cover',
    bar: 1,
    why: `${text} fits no target here; try another key, another plan or a wider range`,
  }))
  return {
    ...written,
    brief,
    // How many notes lead in is up to the figures here.
    lines: written.lines.map((line) => ({
      ...line,
      relaxed: [...unplaced, ...line.relaxed.filter(({ rule }) => rule !== 'figures')],
    })),
  }
}

/** The notes of a line with their articulation, where that is asked for. */
function articulated(line: Line, { articulation }: Brief): Line['notes'] {
  if (articulation === 'none') return line.notes
  const played = articulate(line)
  return line.notes.map((note, i) => (played[i] ? { ...note, articulation: played[i] } : note))
}

/** What is said where a line of another edition was asked for, and no notes of it were kept. */
function ofEdition({ edition, kept }: Brief): Line['relaxed'] {
  const why = kept === '' ? editionSaid(edition) : null
  return why === null ? [] : [{ rule: 'edition', bar: 1, why }]
}

/** Rules without which a drill is no longer the one that was asked for. */
const drillRules = ['exact', 'cells', 'approach-kinds']

/**
 * The line in the tune's own key, which is the same whatever other keys are asked for: one that was kept, or one that is drawn.
 * What was chosen in it since is drawn into it.
 */
function homeDraft(
  harmony: Harmony,
  brief: Brief,
  instrument: Instrument,
  range: readonly [number, number],
): Draft | Refused {
  const kept = brief.kept === '' ? null : readKept(brief, harmony, range, carriedRange(instrument, brief))
  if (kept && 'notes' in kept) {
    const begun = brief.rhythm === 'phrased' ? { ...kept, pickup: pickupOf(harmony, brief, brief.seed) } : kept
    return brief.pins.length + brief.again.length === 0 ? begun : draftLine(harmony, brief, range, brief.seed, begun)
  }
  const drawn = brief.exact
    ? drawDrill(harmony, brief, instrument, range)
    : draftLine(harmony, brief, range, brief.seed)
  return kept && 'notes' in drawn ? { ...drawn, relaxed: [...drawn.relaxed, kept] } : drawn
}

/** Every move within the octave: a drill is made to fit all keys, whichever are asked for. */
const everyMove = Array.from({ length: 12 }, (_, up) => up)

/** A drill, inside a window that leaves room for every key; one that needs more takes more. */
function drawDrill(
  harmony: Harmony,
  brief: Brief,
  instrument: Instrument,
  range: readonly [number, number],
): Draft | Refused {
  const moves = everyMove
  const window = windowFor(range, moves, brief, harmony)
  const wide = carriedRange(instrument, brief)
  const windows = [window, range].filter(([low, high]) => high - low >= narrowest)
  const carries = (draft: Draft) => octavesOf(draft, moves, range, wide).every((octave) => octave !== null)
  const drafts: (Draft | Refused)[] = []
  for (const each of windows) {
    const draft = draftDrill(harmony, brief, each, brief.seed)
    drafts.push(draft)
    const asked = brief.plan === '' || ('notes' in draft && isSmooth(draft))
    if ('notes' in draft && draft.relaxed.length === 0 && carries(draft) && asked) break
  }
  return bestDrill(drafts, carries)
}

/** The draft that gives way least, then one that fits every key as it is, then the one whose targets move least. */
function bestDrill(drafts: readonly (Draft | Refused)[], carries: (draft: Draft) => boolean): Draft | Refused {
  const price = (draft: Draft) =>
    1e6 * draft.relaxed.filter(({ rule }) => drillRules.includes(rule)).length +
    (carries(draft) ? 0 : 1e4) +
    draft.targets.reduce((sum, { midi }, i) => sum + Math.abs(midi - (draft.targets[i - 1]?.midi ?? midi)), 0)
  const drawn = drafts.filter((draft): draft is Draft => 'notes' in draft)
  return drawn.length === 0 ? drafts[0]! : drawn.reduce((a, b) => (price(b) < price(a) ? b : a))
}

/** Whether each target is the nearest of its name to the one before. */
const isSmooth = ({ targets }: Draft): boolean =>
  targets.every(({ midi }, i) => i === 0 || Math.abs(midi - targets[i - 1]!.midi) <= 6)

/** The line of a brief in the tune's own key, in numbers, with what it was drawn from; null where the brief gives none. */
export function draftHome(brief: Brief): {
  readonly harmony: Harmony
  readonly range: readonly [number, number]
  readonly draft: Draft
} | null {
  if (checkBrief(brief).length > 0) return null
  const asked = readAsked(brief)
  const read = hasErrors(asked) ? restBadBars(asked)?.chart : asked
  if (!read) return null
  const instrument = instrumentOf(brief.instrument)
  const full = soundingRange(instrument, brief)
  if ([...checkRange(brief, instrument), ...checkBars(read, brief), ...checkOwn(brief)].length > 0) return null
  const { harmony } = homeOf(read, brief)
  const draft = homeDraft(harmony, brief, instrument, full)
  return 'problems' in draft ? null : { harmony, range: full, draft }
}

/**
 * What could stand instead at a target of a brief's line, in the tune's own key: landings, approaches and cells, each with its
 * cost, its count and the pin that keeps it. Beats count quarters from 1. Empty where no target waits.
 */
export function alternatives(brief: Brief, bar: number, beat: number): readonly Alternative[] {
  const home = draftHome(brief)
  const start = home?.harmony.bars[bar - 1]?.start
  if (!home || start === undefined) return []
  return alternativesAt(
    harmonyFor(home.harmony, brief, brief.seed),
    brief,
    home.range,
    home.draft,
    start + Math.round((beat - 1) * ticksPerQuarter),
  )
}

/** So many different lines are looked for at most. */
const mostDifferent = 100

/**
 * Seeds of so many lines that differ in at least two notes of five, likeliest first, the brief's own seed first of all; at
 * most a hundred.
 * Fewer where the brief leaves so little room that lines come out alike.
 */
export function differentLines(brief: Brief, count: number): readonly number[] {
  const own = draftHome(brief)
  if (!own || !(count >= 1)) return []
  const kept: { seed: number; draft: Draft }[] = [{ seed: brief.seed, draft: own.draft }]
  const tried = Array.from(
    { length: 4 * Math.min(count, mostDifferent) },
    (_, i) => (brief.seed + i + 1) >>> 0,
  ).flatMap((seed) => {
    const draft = draftLine(own.harmony, brief, own.range, seed)
    return 'problems' in draft ? [] : [{ seed, draft }]
  })
  tried.sort((a, b) => a.draft.cost - b.draft.cost)
  for (const each of tried)
    if (kept.length < count && kept.every(({ draft }) => alike(draft, each.draft) <= 0.6)) kept.push(each)
  return kept.map(({ seed }) => seed)
}

/** The share of notes that two drafts have in common: the same pitch at the same time. */
function alike(a: Draft, b: Draft): number {
  const at = new Map(a.notes.map(({ moment, midi }) => [a.moments[moment]!.start, midi]))
  const same = b.notes.filter(({ moment, midi }) => at.get(b.moments[moment]!.start) === midi)
  return same.length / Math.max(1, b.notes.length)
}

/**
 * The chart of a brief. A plan without changes is a drill by itself: its key's own chord, a bar a target, so that the plan's
 * degrees are those of the scale.
 */
function readAsked(brief: Pick<Brief, 'changes' | 'plan' | 'key'>): Chart {
  const { degrees } = readPlan(brief.plan)
  if (brief.changes.trim() !== '' || degrees.length === 0) return readChart(brief.changes)
  const key: Key = brief.key ?? { tonic: { letter: 'C', alter: 0 }, mode: 'major' }
  const chord = `${nameOf(key.tonic)}${key.mode === 'major' ? 'maj7' : 'm6'}`
  return readChart(`Key: ${nameOfKey(key)}\n| ${Array(degrees.length).fill(chord).join(' | ')} |`)
}

/** The chart in the key that the brief puts it in, and its harmony. */
export function homeOf(read: Chart, brief: Brief): { readonly chart: Chart; readonly harmony: Harmony } {
  const asWritten = readHarmony(titled(unrollChart(read, brief.choruses), brief), brief)
  if (!brief.key) return { chart: read, harmony: asWritten }
  const key: Key = {
    tonic: brief.key.tonic,
    mode: brief.key.mode === asWritten.key.mode ? brief.key.mode : asWritten.key.mode,
  }
  const chart = transposeChart(read, intervalToKey(asWritten.key, key))
  return { chart, harmony: readHarmony(titled(unrollChart(chart, brief.choruses), brief), brief) }
}

const titled = (changes: Changes, brief: Brief): Changes =>
  brief.title === null ? changes : { ...changes, title: brief.title }

const harmonyIn = (chart: Chart, brief: Brief, from: Key, to: Key): Harmony =>
  readHarmony(titled(unrollChart(transposeChart(chart, intervalToKey(from, to)), brief.choruses), brief), brief)

type Refused = { readonly problems: readonly BriefProblem[] }

/** The draft in another key: a drill whole, in the octave given; else folded where it must be, and drawn anew where that fails too. */
function carry(
  draft: Draft,
  harmony: Harmony,
  instrument: Instrument,
  brief: Brief,
  up: number,
  range: readonly [number, number],
  octave: number | null,
): Draft | Refused {
  if (octave !== null)
    return moveDraft(
      draft,
      draft.notes.map(() => octave),
    )
  const shifts = brief.exact ? null : carryLine(draft, up, range, carriedRange(instrument, brief))
  if (!shifts) {
    const anew = draftFresh(harmony, instrument, brief, range, brief.exact ? 0 : up, up)
    if (!brief.exact || 'problems' in anew) return anew
    const why = `the drill is drawn anew in ${keyName(harmony.key)}, where no octave of the range holds it as it was`
    return { ...anew, relaxed: [...anew.relaxed, { rule: 'same-line', bar: 1, why }] }
  }
  const folds = foldsOf(draft, shifts).map((bar) => ({
    rule: 'same-octave',
    bar,
    why: `the line changes octave here to stay in range in ${keyName(harmony.key)}`,
  }))
  return { ...moveDraft(draft, shifts), relaxed: [...draft.relaxed, ...folds] }
}

function draftFresh(
  harmony: Harmony,
  instrument: Instrument,
  brief: Brief,
  range: readonly [number, number],
  index: number,
  up: number,
): Draft | Refused {
  const seed = (brief.seed + Math.imul(index, 0x9e3779b1)) >>> 0
  const here = { ...brief, pins: pinsIn(brief, harmony, up, range) }
  if (!brief.exact) return draftLine(harmony, here, range, seed)
  const ranges = brief.keys === null ? [range] : [range, carriedRange(instrument, brief)]
  return bestDrill(
    ranges.map((each) => draftDrill(harmony, here, each, seed)),
    () => true,
  )
}
