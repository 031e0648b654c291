/**
 * `node test/run.mjs test/rebuild/fitPhrases.ts`: fits the interval costs of lines in phrases to the counts, as fitMixture.ts fits those
 * of even eighths, from where they are, and writes them into lib/line/fittedMixture.ts. Lines are drawn at three tempos over every
 * second real chart; `npm run realism` measures all of them, and what gives lines away over the others alone.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { approachKinds, defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { choicesOf } from '../../lib/line/approachFits.ts'
import { placeTargets } from '../../lib/line/chooseTargets.ts'
import { harmonyFor, soundingRange } from '../../lib/line/draftLine.ts'
import { drawPhrases } from '../../lib/line/drawPhrases.ts'
import { bigramCounts, intervalCounts } from '../../lib/line/figures.ts'
import { bucketOf, countedSteps, noInterval } from '../../lib/line/figureWeights.ts'
import { packedPhrasedBigrams } from '../../lib/line/fittedMixture.ts'
import { noPins } from '../../lib/line/pins.ts'
import { placePhrased } from '../../lib/line/placePhrased.ts'
import { seedOf } from '../../lib/line/planPhrases.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { realCharts } from '../realCharts.ts'

const rounds = 3
const seedsEach = 3
/** How far each round goes, in the logarithm. */
const pace = 0.6
/** Added to both sides in ten-thousandths, so that rare pairs are not fitted to chance. */
const shy = 12
/** The most that a cost may be moved, in nats. */
const most = 3.5

const harmonies = realCharts()
  .map((chart) => readHarmony(unrollChart(chart, 3), defaultBrief))
  .filter(({ bars }) => bars.every(({ meter }) => meter.beats === 4 && meter.unit === 4))
  .filter((_, i) => i % 2 === 0)
/** Pairs by the bucket of the first interval; in the last row intervals alone. */
const table = () => Array.from({ length: noInterval + 1 }, () => new Float64Array(25))
const sum = (rows: readonly Float64Array[]) => rows.reduce((all, row) => all + row.reduce((a, b) => a + b, 0), 0)

const counted = table()
for (const [pair, n] of bigramCounts) {
  const [first = 0, second = 0] = pair.split(' ').map(Number)
  if (Math.abs(second) <= 12) counted[bucketOf(first)]![second + 12]! += n
}
for (const [interval, n] of intervalCounts)
  if (Math.abs(Number(interval)) <= 12) counted[noInterval]![Number(interval) + 12]! += n

/** The pairs of intervals in lines at a tempo, by costs moved so far. */
function drawAt(tempo: number, moved: readonly Float64Array[], drawn: readonly Float64Array[], round: number): void {
  const brief = { ...defaultBrief, approach: approachKinds, rhythm: 'phrased', tempo } as const
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  const steps = countedSteps().map((row, bucket) => row.map((cost, i) => cost + moved[bucket]![i]!))
  const usual = choicesOf(brief)
  const choices = { ...usual, mixture: { ...usual.mixture, steps } }
  for (const plain of harmonies)
    for (let s = 0; s < seedsEach; s++) {
      const seed = 1_000 + 100 * round + s
      const harmony = harmonyFor(plain, brief, seed)
      const placed = placePhrased(harmony, placeTargets(harmony, brief), [], noPins, brief, seed)
      const { moments } = placed
      const shape = { smooth: false, motif: 'some', tempo } as const
      const { notes } = drawPhrases(harmony, moments, placed.slots, range, choices, shape, seedOf(harmony, seed))!
      notes.forEach(({ moment, midi }, i) => {
        const [before, earlier] = [notes[i - 1], notes[i - 2]]
        if (before?.moment !== moment - 1) return
        const second = midi - before.midi
        if (Math.abs(second) <= 12) drawn[noInterval]![second + 12]! += 1
        if (earlier?.moment !== moment - 2) return
        const first = before.midi - earlier.midi
        if (bigramCounts.has(`${first} ${second}`)) drawn[bucketOf(first)]![second + 12]! += 1
      })
    }
}

const moved = packedPhrasedBigrams.split(';').map((row) => Float64Array.from(row.split(','), (n) => Number(n) / 100))
for (let round = 0; round < rounds; round++) {
  const drawn = table()
  for (const tempo of [72, 120, 180]) drawAt(tempo, moved, drawn, round)
  let apart = 0
  for (let bucket = 0; bucket <= noInterval; bucket++) {
    const part = (rows: readonly Float64Array[]) => sum(bucket === noInterval ? rows.slice(-1) : rows.slice(0, -1))
    for (let i = 0; i < 25; i++) {
      const real = (10_000 * counted[bucket]![i]!) / part(counted)
      const ours = (10_000 * drawn[bucket]![i]!) / part(drawn)
      if (bucket < noInterval) apart += Math.abs(real - ours)
      const to = moved[bucket]![i]! - pace * Math.log((real + shy) / (ours + shy))
      moved[bucket]![i] = Math.max(-most, Math.min(most, to))
    }
  }
  console.log(`round ${round + 1}: ${(apart / 200).toFixed(1)} % of pairs in the wrong place`)
}

const file = 'lib/line/fittedMixture.ts'
const packed = moved.map((row) => Array.from(row, (nats) => Math.round(100 * nats)).join(',')).join(';')
writeFileSync(file, readFileSync(file, 'utf8').replace(packedPhrasedBigrams, packed))
