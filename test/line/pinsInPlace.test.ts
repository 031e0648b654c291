/** What is chosen in a line changes no more of it than the joins beside it. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { alternatives, writeLines } from '../../lib/lines/write.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'

const charts = realChartTexts()
const write = (given: Record<string, string>) => {
  const { brief } = readBrief(given)
  return { brief, line: writeLines(brief).lines[0] }
}
type Written = NonNullable<ReturnType<typeof write>['line']>
const sounding = ({ notes }: Written) =>
  notes.map(({ start, ticks, pitch }) => ({ start, said: `${start} ${ticks} ${pitch && midiOf(pitch)}` }))

describe('a choice is local', () => {
  test('any alternative at any target: outside the targets on either side every note is as it was', () => {
    let [asked, wide] = [0, 0]
    fc.assert(
      fc.property(
        fc.constantFrom(...charts),
        fc.integer({ min: 1, max: 500 }).map(String),
        fc.nat(),
        fc.nat(),
        (changes, seed, which, place) => {
          const given = { changes, seed }
          const { brief, line } = write(given)
          const t = place % line!.targets.length
          const target = line!.targets[t]!
          const opens = line!.harmony.bars[target.bar - 1]!.start
          const offered = alternatives(brief, target.bar, 1 + (target.start - opens) / 24)
          if (offered.length === 0) return
          const { pin } = offered[which % offered.length]!
          const { line: after } = write({ ...given, pins: pin })
          if (!after) return
          asked += 1
          if (after.relaxed.some(({ rule }) => rule === 'rest-anew')) {
            wide += 1
            return
          }
          const from = line!.targets[t - 1]?.start ?? 0
          const to = line!.targets[t + 1]?.start ?? Number.POSITIVE_INFINITY
          const bars = line!.harmony.bars
          // Where the way between the targets was too narrow, the bars around them.
          const low = bars.findLast(({ start }) => start <= from)!.bar - 1
          const high = (bars.findLast(({ start }) => start < to)?.bar ?? bars.length) + 1
          const outside = (each: { start: number }) => {
            const bar = bars.findLast(({ start }) => start <= each.start)!.bar
            return bar < low || bar > high
          }
          const kept = (of: Written) =>
            sounding(of)
              .filter(outside)
              .map(({ said }) => said)
          expect(kept(after)).toEqual(kept(line!))
        },
      ),
      { numRuns: 60 },
    )
    expect(asked).toBeGreaterThan(40)
    expect(wide / asked).toBeLessThan(0.1)
  })

  test('as a rule only the approach before and the cell after change', () => {
    const given = { changes: '| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | Cmaj7 |', every: 'bar' }
    const { brief, line } = write(given)
    let [inside, all] = [0, 0]
    for (const { pin } of alternatives(brief, 4, 1)) {
      const { line: after } = write({ ...given, pins: pin })
      if (!after) continue
      all += 1
      const changed = sounding(after).filter(({ said }, i) => said !== sounding(line!)[i]!.said)
      if (changed.every(({ start }) => start >= 3 * 96 - 48 && start < 3 * 96 + 48)) inside += 1
    }
    expect(all).toBeGreaterThan(5)
    expect(inside / all).toBeGreaterThan(0.6)
  })

  test('the rest is written anew where that is asked for', () => {
    const given = { changes: charts[0]!, seed: '3' }
    const { line } = write(given)
    const target = line!.targets[4]!
    const pins = `${target.bar}.1=${target.degree === '3' ? 'C5' : 'D5'}`
    const kept = write({ ...given, pins }).line
    const anew = write({ ...given, pins, around: 'anew' }).line
    const changed = (after: Written | undefined) =>
      after ? sounding(after).filter(({ said }, i) => said !== sounding(line!)[i]?.said).length : 0
    expect(changed(kept)).toBeLessThan(changed(anew))
  })
})

describe('more keys, same line', () => {
  test('the line in its own key is the same whatever keys are asked for', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...charts.slice(0, 8)),
        fc.constantFrom('fourths', 'chromatic', 'C,F#', 'minor-thirds'),
        fc.constantFrom('eighths', 'phrased'),
        fc.constantFrom('alto-sax', 'trombone', 'guitar'),
        (changes, keys, rhythm, instrument) => {
          const given = { changes, rhythm, instrument, seed: '11' }
          const alone = write(given).line!
          const among = writeLines(readBrief({ ...given, keys }).brief).lines
          const own = among.find(
            ({ key }) => key.tonic.letter === alone.key.tonic.letter && key.tonic.alter === alone.key.tonic.alter,
          )
          if (own) expect(sounding(own)).toEqual(sounding(alone))
        },
      ),
      { numRuns: 24 },
    )
  })

  test('and whatever is chosen of paper, marks, spelling or sound', () => {
    const given = { changes: charts[2]!, seed: '4' }
    const plain = sounding(write(given).line!)
    for (const more of [
      { print: 'large' },
      { paper: 'Letter' },
      { show: 'names' },
      { spelling: 'strict' },
      { pitch: 'concert' },
      { sound: 'sampled' },
      { feel: 'waltz' },
      { majorSign: 'Δ' },
      { fingering: 'all' },
      { title: 'Another' },
      { tempo: '90' },
    ])
      expect(sounding(write({ ...given, ...more }).line!)).toEqual(plain)
  })
})
