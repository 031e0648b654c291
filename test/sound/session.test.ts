/** A session of playing, as the page's worker runs it, on lines that the whole house has written. */
import { describe, expect, test } from 'vitest'
import { feels, readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { joinPerformances, playPass, practiceOf } from '../../lib/sound/playPasses.ts'
import { passAt } from '../../lib/sound/practise.ts'
import { renderChunk, tail } from '../../lib/sound/synth.ts'
import { bassChroma } from '../../lib/sound/writeBass.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { loadPiece, startSession } from '../../web/browser/soundSession.ts'
import type { Fields, Place } from '../../web/browser/soundTalk.ts'
import { realChartTexts } from '../realCharts.ts'

const rate = 22_050
const changes = 'Key: Eb\n| Fm7 | Bb7 | Ebmaj7 | Cm7 | Am7b5 | D7(b9) | Gm6 | Gm6 |'
/** What is to be played, and from where: all of it, counted in, where not said. */
interface Order {
  readonly fields: Fields
  readonly place: Place
}
const order = (fields: Record<string, string>, more: Partial<Place> = {}): Order => ({
  fields: { changes, ...fields },
  place: { from: null, pass: 0, climb: 0, goOn: false, ...more },
})

function begin({ fields, place }: Order) {
  const piece = loadPiece(fields)
  if ('message' in piece) throw new Error(piece.message)
  return startSession(piece, place, rate)
}

function play(given: Order, most = 40) {
  const session = begin(given)
  if (!session) throw new Error('over')
  const chunks: NonNullable<ReturnType<typeof session.next>>[] = []
  for (let chunk = session.next(); chunk && chunks.length < most; chunk = session.next()) chunks.push(chunk)
  return { session, chunks }
}

test('chunks follow one another without gap or overlap, and together are the passes joined', () => {
  const fields = { tempo: '300', passes: '2', hear: 'line' }
  const { chunks } = play(order(fields))
  let at = 0
  for (const chunk of chunks) {
    expect(chunk.at).toBe(at)
    at += chunk.frames
  }
  expect(chunks.at(-1)!.last).toBe(true)
  const { brief } = readBrief({ changes, ...fields })
  const { lines } = writeLines(brief)
  const practice = practiceOf(lines, brief)
  const whole = joinPerformances([0, 1].map((i) => playPass(lines, brief, passAt(practice, i)!)))
  expect(at).toBe(Math.ceil((whole.seconds + tail) * rate))
  const wanted = renderChunk(whole, 0, at, rate)
  for (const part of ['line', 'bass', 'chords', 'drums', 'count'] as const) {
    const played = new Float32Array(at)
    for (const chunk of chunks) played.set(chunk.parts[part] ?? [], chunk.at)
    expect(Buffer.from(played.buffer).equals(Buffer.from(wanted[part]!.buffer)), part).toBe(true)
  }
})

test('the first chunk is short, so that sound comes at once', () => {
  const { chunks } = play(order({}), 2)
  expect(chunks[0]!.frames / rate).toBeLessThan(1)
})

test('every note that is lit stands in the engraved music under its id, and starts as many as there are', () => {
  for (const instrument of ['alto-sax', 'trombone']) {
    const fields = { tempo: '320', instrument, rhythm: 'phrased' }
    const { chunks } = play(order(fields))
    const lit = chunks.flatMap((chunk) => chunk.notes)
    const { lines, brief } = writeLines(readBrief({ changes, ...fields }).brief)
    const mei = writeMei(layScore(lines[0]!, brief), { show: [] })
    expect(lit.length).toBe(lines[0]!.notes.filter((note) => note.pitch).length)
    for (const { id } of lit) expect(mei).toContain(`xml:id="${id}"`)
  }
})

test('a transposing instrument sounds what its line sounds, not what is written', () => {
  for (const instrument of ['alto-sax', 'tenor-sax', 'trumpet', 'guitar', 'flute']) {
    const fields = { instrument }
    const { session } = play(order(fields), 1)
    const heard = session.notes().filter((note) => note.part === 'line')
    const { lines } = writeLines(readBrief({ changes, ...fields }).brief)
    expect(heard.map((note) => note.midi)).toEqual(
      lines[0]!.notes.flatMap(({ pitch }) => (pitch ? [midiOf(pitch)] : [])),
    )
  }
})

describe('practising through keys', () => {
  test('goes by fourths where no keys are chosen; only the key on the page is lit', () => {
    const { chunks } = play(order({ tempo: '320', keyAfter: '1', loop: '1-2' }))
    const marks = chunks.flatMap((chunk) => chunk.marks)
    expect([...new Set(marks.map((mark) => mark.key))].slice(0, 4)).toEqual(['Eb', 'Ab', 'Db', 'Gb'])
    const firstOfSecond = marks.find((mark) => mark.pass === 2)!
    for (const note of chunks.flatMap((chunk) => chunk.notes)) expect(note.start).toBeLessThan(firstOfSecond.at)
  })

  test('goes through the keys that are chosen', () => {
    const { chunks } = play(order({ tempo: '320', keyAfter: '1', loop: '1-1', keys: 'C,D,E' }))
    expect([...new Set(chunks.flatMap((chunk) => chunk.marks.map((mark) => mark.key)))]).toEqual(['C', 'D', 'E'])
  })
})

test('the tempo climbs while it plays, without end where none is asked for', () => {
  const { chunks } = play(order({ tempo: '100', faster: '10', passes: '0', loop: '1-1' }), 30)
  const tempos = [...new Set(chunks.flatMap((chunk) => chunk.marks.map((mark) => mark.tempo)))]
  expect(tempos.slice(0, 4)).toEqual([100, 110, 120, 130])
  expect(chunks.length).toBe(30)
  expect(chunks.some((chunk) => chunk.last)).toBe(false)
})

test('begins at a bar; goes on in a pass without a count-in', () => {
  const from = play(order({ tempo: '320' }, { from: 5 }), 3).chunks.flatMap((chunk) => chunk.marks)
  expect(from.map((mark) => mark.bar).slice(0, 3)).toEqual([0, 5, 6])
  const on = play(order({ tempo: '320', passes: '4' }, { from: 3, pass: 2, goOn: true }), 3).chunks
  expect(on[0]!.marks[0]).toMatchObject({ bar: 3, pass: 3, at: 0 })
})

test('a climb begins anew in the pass where the tempo was changed, and the key of that pass stays', () => {
  const climbing = { tempo: '100', faster: '10', passes: '6', loop: '1-1', keyAfter: '2', keys: 'C,F,Bb' }
  const marks = play(order(climbing, { from: 1, pass: 2, climb: 2, goOn: true })).chunks.flatMap((chunk) => chunk.marks)
  const passes = marks.filter(({ bar, ending }) => bar === 1 && !ending)
  expect(passes.map(({ pass, tempo, key }) => [pass, tempo, key])).toEqual([
    [3, 100, 'F'],
    [4, 110, 'F'],
    [5, 120, 'Bb'],
    [6, 130, 'Bb'],
  ])
  const building = { tempo: '100', faster: '10', passes: '3', loop: '1-2', build: 'yes' }
  const built = play(order(building, { from: 1, pass: 1, climb: 1, goOn: true })).chunks.flatMap((chunk) => chunk.marks)
  const first = built.filter(({ pass }, i) => pass !== built[i - 1]?.pass)
  expect(first.map(({ pass, tempo }) => [pass, tempo])).toEqual([
    [2, 100],
    [3, 110],
    [4, 100],
    [5, 110],
    [6, 120],
    [7, 100],
    [8, 110],
    [9, 120],
  ])
})

test('bars in which the band comes to rest are told; after the last pass there is nothing', () => {
  const { chunks } = play(order({ tempo: '320', loop: '7-8' }))
  const marks = chunks.flatMap((chunk) => chunk.marks)
  expect(marks.map(({ bar, ending }) => [bar, ending]).slice(0, 4)).toEqual([
    [0, false],
    [7, false],
    [8, false],
    [8, true],
  ])
  expect(begin(order({ passes: '2' }, { pass: 2, goOn: true }))).toBeNull()
  // A bar of a pass that there is no more goes on in the first.
  const on = play(order({}, { from: 3, pass: 4, goOn: true }), 2).chunks[0]!
  expect(on.marks[0]).toMatchObject({ bar: 3, pass: 1, at: 0 })
})

test('every real chart is played in every feel: a bass root on each change, drums to the end', () => {
  const charts = realChartTexts()
  expect(charts.length).toBe(24)
  for (const [i, chart] of charts.entries()) {
    const [line] = writeLines(readBrief({ changes: chart }).brief).lines
    expect(line, chart).toBeDefined()
    for (const feel of feels.filter((each) => each !== 'click')) {
      const { tracks, bars, chords } = arrange(line!, { feel, seed: i, tempo: 60 + 10 * i, countIn: 0 })
      const bass = new Map(
        tracks.find(({ part }) => part === 'bass')!.notes.map((note) => [note.start, note.midi % 12]),
      )
      const last = bars.at(-1)!
      for (const { start, symbol } of chords) {
        const heard = line!.harmony.chords.find((each) => each.start === start)!
        if (heard.root) expect(bass.get(start), `${symbol} in ${feel}`).toBe(bassChroma(heard))
      }
      const drums = tracks.find(({ part }) => part === 'drums')!.notes
      expect(drums.at(-1)!.start).toBeGreaterThanOrEqual(last.start)
    }
  }
})

test.each([
  ['nothing', ''],
  ['noise', '| Xyz |'],
])('%s to play is said, not thrown', (_, text) => {
  expect(() => begin(order({ changes: text }))).toThrow(/no line to play/)
})
