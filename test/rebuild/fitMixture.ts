/**
 * `node test/run.mjs test/rebuild/fitMixture.ts`: fits the interval costs of drawn lines to the counts, and writes
 * lib/line/fittedMixture.ts. The lattice multiplies what the counts say of an interval by what the harmony, the targets and the
 * approaches allow, which bends the shares; each round draws lines over the real charts, compares the pairs of intervals with
 * the counts, and moves the cost of each pair half of the way (iterative scaling of a log-linear model).
 */
import { writeFileSync } from 'node:fs'
import { approachKinds, defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { layGround } from '../../lib/line/allowedNotes.ts'
import { choicesOf } from '../../lib/line/approachFits.ts'
import { chooseTargets, placeTargets } from '../../lib/line/chooseTargets.ts'
import { soundingRange } from '../../lib/line/draftLine.ts'
import { drawLine } from '../../lib/line/drawLine.ts'
import { bigramCounts } from '../../lib/line/figures.ts'
import { bucketOf, countedSteps, mixtures } from '../../lib/line/figureWeights.ts'
import { packedPhrasedBigrams, packedSoloKinds } from '../../lib/line/fittedMixture.ts'
import { planRhythm } from '../../lib/line/planRhythm.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { realCharts } from '../realCharts.ts'

const rounds = 8
const seedsEach = 4
/** How far each round goes, in the logarithm. */
const pace = 0.5
/** Counts added to both sides, so that rare pairs are not fitted to chance. */
const shy = 8
/** The most that a cost may be moved, in nats. */
const most = 2

const brief = { ...defaultBrief, approach: approachKinds }
const range = soundingRange(instrumentOf(brief.instrument)!, brief)
const harmonies = realCharts().map((chart) => readHarmony(unrollChart(chart), brief))
const table = () => Array.from({ length: 13 }, () => new Float64Array(25))
const sum = (rows: readonly Float64Array[]) => rows.reduce((all, row) => all + row.reduce((a, b) => a + b, 0), 0)

const counted = table()
for (const [pair, n] of bigramCounts) {
  const [first = 0, second = 0] = pair.split(' ').map(Number)
  if (Math.abs(second) <= 12) counted[bucketOf(first)]![second + 12]! += n
}

const moved = Array.from({ length: 14 }, () => new Float64Array(25))
for (let round = 0; round < rounds; round++) {
  const steps = countedSteps().map((row, bucket) => row.map((cost, i) => cost + moved[bucket]![i]!))
  const choices = { ...choicesOf(brief), mixture: { ...mixtures.solo, steps } }
  const drawn = table()
  for (const harmony of harmonies)
    for (let s = 0; s < seedsEach; s++) {
      const seed = 1_000 + 100 * round + s
      const targets = chooseTargets(harmony, placeTargets(harmony, brief), range, seed)!
      const moments = planRhythm(harmony, targets, { rhythm: 'eighths' })
      const { notes } = drawLine(layGround(harmony, moments, targets, range, choices), seed, Infinity)!
      for (let i = 2; i < notes.length; i++) {
        if (notes[i]!.moment !== notes[i - 2]!.moment + 2) continue
        const [first, second] = [notes[i - 1]!.midi - notes[i - 2]!.midi, notes[i]!.midi - notes[i - 1]!.midi]
        if (bigramCounts.has(`${first} ${second}`)) drawn[bucketOf(first)]![second + 12]! += 1
      }
    }
  const scale = sum(counted) / sum(drawn)
  let apart = 0
  for (let bucket = 0; bucket < 13; bucket++)
    for (let i = 0; i < 25; i++) {
      const [real, ours] = [counted[bucket]![i]!, drawn[bucket]![i]! * scale]
      apart += Math.abs(real - ours)
      const to = moved[bucket]![i]! - pace * Math.log((real + shy) / (ours + shy))
      moved[bucket]![i] = Math.max(-most, Math.min(most, to))
    }
  console.log(`round ${round + 1}: ${((100 * apart) / (2 * sum(counted))).toFixed(1)} % of pairs in the wrong place`)
}

const packed = moved.map((row) => Array.from(row, (nats) => Math.round(100 * nats)).join(',')).join(';')
writeFileSync(
  'lib/line/fittedMixture.ts',
  `/** Corrections that make drawn lines match the counts; written by test/rebuild/fitMixture.ts and fitPhrases.ts, not by hand. */

// biome-ignore-all format: packed tables
/** Nats by kind (enclosure, chromatic, scale, arpeggio) and number of notes, 1 to 4: chosen by hand, kept as they are. */
export const packedSoloKinds = '${packedSoloKinds}'
/** Hundredths of a nat by the bucket of the interval before (rows) and the interval from -12 to 12 (columns). */
export const packedSoloBigrams =
  '${packed}'
/** The same for lines in phrases, written by test/rebuild/fitPhrases.ts. */
export const packedPhrasedBigrams =
  '${packedPhrasedBigrams}'
`,
)
