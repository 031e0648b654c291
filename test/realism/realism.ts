/** `npm run realism`: prints how lines compare with real solos and how the default drill shares out its figures; fails where a figure is missed. */
import { approachKinds, type Brief, defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { type Draft, draftLine, soundingRange } from '../../lib/line/draftLine.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { realCharts } from '../realCharts.ts'
import { countGiveaways, players } from './giveaways.ts'
import { drillShares, realismOf } from './measure.ts'
import { apart, countPhrases, distances, onsetsOf, solosBy } from './phrases.ts'

const harmonies = realCharts().map((chart) => readHarmony(unrollChart(chart), defaultBrief))

function draw(brief: Brief, seeds: readonly number[], some = harmonies): readonly Draft[] {
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  return some.flatMap((harmony) =>
    seeds.map((seed) => {
      const draft = draftLine(harmony, brief, range, seed)
      if ('problems' in draft) throw new Error(draft.problems[0]!.found)
      return draft
    }),
  )
}

let missed = 0
function row(name: string, value: number, test: (value: number) => boolean, aim: string): void {
  const kept = test(value)
  if (!kept) missed += 1
  console.log(`${name.padEnd(48)} ${value.toFixed(4).padStart(10)}   ${aim.padEnd(16)} ${kept ? 'kept' : 'MISSED'}`)
}

const seeds = [1, 2, 3, 4, 5]
console.log(`Solo mixture, ${harmonies.length} charts, seeds ${seeds.join(' ')}`)
const solo = realismOf(draw({ ...defaultBrief, approach: ['enclosure', 'chromatic', 'scale', 'arpeggio'] }, seeds))
row('notes', solo.notes, (n) => n > 10_000, 'over 10000')
row('intervals, bits from real solos', solo.intervals, (n) => n < 0.01, 'under 0.01')
row('bigrams, bits from real solos', solo.bigrams, (n) => n < 0.015, 'under 0.015')
row('direction turns', solo.turns, (n) => Math.abs(n - 0.374) < 0.02, '0.374 +- 0.02')
row('steps (real solos 0.58)', solo.steps, (n) => Math.abs(n - 0.58) < 0.05, '0.58 +- 0.05')

/** Three choruses of every chart in 4/4, so that what comes back has somewhere to come back to. */
const common = realCharts()
  .map((chart) => readHarmony(unrollChart(chart, 3), defaultBrief))
  .filter(({ bars }) => bars.every(({ meter }) => meter.beats === 4 && meter.unit === 4))
for (const [name, tempo] of [
  ['slow', 72],
  ['medium', 120],
  ['fast', 180],
] as const) {
  const brief = { ...defaultBrief, approach: approachKinds, rhythm: 'phrased', tempo } as const
  const drafts = draw(brief, seeds, common)
  const ours = countPhrases(drafts.map(onsetsOf))
  const solos = solosBy[name]
  console.log(
    `\nPhrases at ${tempo}, ${common.length} charts in 4/4 three times through, seeds ${seeds.join(' ')}; beside ${name} solos`,
  )
  const held = (of: number, about: number) => (n: number) => Math.abs(n - of) <= about
  for (const key of distances) {
    // Slow and medium solos have too few runs of eighths for moves to be known.
    if (name !== 'fast' && (key === 'move' || key === 'shift')) continue
    const most = name === 'fast' ? (key === 'move' ? 0.015 : 0.01) : 0.03
    row(`${key}, bits from real solos`, apart(ours[key], solos[key]), (n) => n <= most, `at most ${most}`)
  }
  const down = solos.barsWithDownbeat
  row('bars with a note on beat 1', ours.barsWithDownbeat, held(down, 0.07), `${down.toFixed(2)} +- 0.07`)
  row('bars without a note', ours.barsEmpty, held(solos.barsEmpty, 0.02), `${solos.barsEmpty.toFixed(2)} +- 0.02`)
  const over = solos.offbeatHeldOver
  row('offbeats held over', ours.offbeatHeldOver, held(over, 0.03), `${over.toFixed(2)} +- 0.03`)
  row('shapes that come again soon, times chance', ours.shapeAgain, (n) => n >= 1.15 && n <= 2.5, '1.15 to 2.5')
  if (name === 'fast') row('range of 16 eighths', ours.range16, held(solos.range16, 2), `${solos.range16} +- 2`)
  const real = realismOf(drafts)
  row('intervals, bits from real solos', real.intervals, (n) => n <= 0.008, 'at most 0.008')
  row('bigrams, bits from real solos', real.bigrams, (n) => n <= 0.015, 'at most 0.015')
  row('direction turns', real.turns, held(0.374, 0.02), '0.374 +- 0.02')
  if (name === 'fast') giveaways(drafts)
}

/** What gives these lines away: over the charts that no weight was tuned on, every second one. */
function giveaways(drafts: readonly Draft[]): void {
  const drawn = drafts.map((draft, i) => {
    const chart = Math.floor(i / seeds.length)
    return { chart, harmony: common[chart]!, draft }
  })
  const ours = countGiveaways(drawn.filter(({ chart }) => chart % 2 === 1))
  const near = (of: number, about: number) => [(n: number) => Math.abs(n - of) <= about, `${of} +- ${about}`] as const
  const least = (of: number) => [(n: number) => n >= of, `at least ${of}`] as const
  console.log('\nWhat gives them away, over the charts kept aside; beside unseen solos')
  row('chord tones on beat 3 where no target waits', ours.chordTonesOnThree, ...near(players.chordTonesOnThree, 0.05))
  row('scale notes outside the chord, between beats', ours.scaleNotesOffBeat, ...near(players.scaleNotesOffBeat, 0.04))
  row('shapes that come again within eight bars', ours.shapesAgain, ...near(players.shapesAgain, 0.04))
  row('sequences half a bar later', ours.sequences, ...least(0.16))
  row('phrases that hold one', ours.phrasesWithSequence, ...near(players.phrasesWithSequence, 0.05))
  row('notes from outside left by more than a half step', ours.outsideLeftWide, ...least(0.28))
}

console.log(`\nDefault drill, all charts, seeds ${seeds.join(' ')}`)
const drill = drillShares(draw(defaultBrief, seeds))
row('targets', drill.targets, (n) => n > 1_000, 'over 1000')
row('approached by two notes or more', drill.twoNotesOrMore, (n) => n >= 0.99, '0.99 and more')
row('enclosures', drill.enclosures, (n) => n >= 0.66, '0.66 and more')
row('enclosures and chromatic', drill.enclosuresAndChromatic, (n) => n >= 0.98, '0.98 and more')
row('figures from the dead list', drill.dead, (n) => n === 0, '0')
row('same approach twice running', drill.sameAgain, (n) => n < 0.025, 'under 0.025')
row('a pitch three times running', drill.threeRunning, (n) => n === 0, '0')
row('four targets in a row on two pitches', drill.hovering, (n) => n <= 0.03, 'at most 0.03')
row('range of 16 notes at the median', drill.range16, (n) => n >= 12, '12 and more')
const fifteen = drillShares(
  draw(
    defaultBrief,
    Array.from({ length: 15 }, (_, i) => i + 1),
    harmonies.slice(1, 2),
  ),
)
row('different approaches over 15 choruses of one tune', fifteen.different, (n) => n >= 44, '44 and more')
const plain = realismOf(draw(defaultBrief, seeds))
console.log(
  `\nThe drill against real solos: intervals ${plain.intervals.toFixed(4)}, bigrams ${plain.bigrams.toFixed(4)}, turns ${plain.turns.toFixed(3)}, steps ${plain.steps.toFixed(3)}`,
)

process.exitCode = missed > 0 ? 1 : 0
