/** Tunes in ABC read as changes. Source: the ABC standard 2.1 (abcnotation.com/wiki/abc:standard:v2.1), sections named beside each. */
import { expect, test } from 'vitest'
import { readBrief } from '../../../lib/brief.ts'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { writeLines } from '../../../lib/lines/write.ts'
import { layScore } from '../../../lib/score/layScore.ts'
import { writeAbc } from '../../../lib/score/writeAbc.ts'
import { instruments } from '../../../lib/theory/instrument.ts'
import { nameOfKey } from '../../../lib/theory/key.ts'
import { barsText, signsText } from '../chartText.ts'

const tune = (body: string, head = 'M:4/4\nL:1/8') => `X:1\nT:Study\n${head}\nK:C\n${body}\n`

test.each([
  ['chord symbols in quotes (4.18)', '"Dm7"d2fa "G7"g2fe|"Cmaj7"e8|]', 'Dm7:2 G7:2 | Cmaj7:4'],
  ['annotations are none (4.19)', '"^fast""C"c8|"_low""F"f8|', 'C:4 | F:4'],
  ['a bar without one holds', '"C"c8|d8|', 'C:4 | C:4'],
  ['note lengths (4.3)', '"C"c4 "F"f3 "G"g|"A"a/2b/2c/d/ "D"d2 "E"e4|', 'C:2 F:1.5 G:0.5 | A:1 D:1 E:2'],
  ['broken rhythm (4.4)', '"C"c>"F"d e<"G"f g4|', 'C:0.75 F:0.5 G:2.75'],
  ['rests, for a bar and for several (4.5)', '"C"z4 "F"x4|"G"Z2|c8|', 'C:2 F:2 | G:4 | G:4 | G:4'],
  ['tuplets (4.13)', '"C"(3ccc "F"(3fff "G"g4|', 'C:1 F:1 G:2'],
  ['grace notes and decorations take no time (4.12, 4.14)', '"C"{ga}!trill!c4 "F"f4|', 'C:2 F:2'],
  ['chords of notes (4.17)', '"C"[ceg]4 "F"[f2a2]2|', 'C:2 F:2'],
  ['a pickup without a chord is no bar', 'G2|"C"c8|', 'C:4'],
  ['chords stacked over one note share it', '"C""F"c8|', 'C:2 F:2'],
  ['the first voice speaks (7)', 'V:1\n"C"c8|\nV:2\n"G"g8|\nV:1\n"F"f8|', 'C:4 | F:4'],
])('%s', (_, body, bars) => {
  const chart = readChart(tune(body))
  expect(barsText(chart)).toBe(bars)
  expect(chart.problems).toEqual([])
})

test('head, repeats and endings, fields within a line (3.1, 4.8, 4.9)', () => {
  const text = tune('|:"C"c6|1"G7"g6:|2[K:F]"F"f6|[M:2/4]"Bb"b4|]', 'C:N. N.\nR:Waltz\nQ:1/4=140\nM:3/4\nL:1/8')
  const chart = readChart(text)
  expect(chart).toMatchObject({
    title: 'Study',
    composer: 'N. N.',
    style: 'Waltz',
    tempo: 140,
    playOrder: [0, 1, 0, 2, 3],
  })
  expect(nameOfKey(chart.key!)).toBe('C')
  expect(barsText(chart)).toBe('C:3 | G7:3 | F:3 | Bb:2')
  expect(signsText(chart)).toBe('3/4 |: / 1. :| / key F 2. / 2/4')
})

test('what does not read is N.C., said with its bar; only the first tune is read', () => {
  const text = `${tune('"C"c8|"xyz"d8|')}\n${tune('"G"g8|')}`
  const chart = readChart(text)
  expect(barsText(chart)).toBe('C:4 | N.C.:4')
  expect(chart.problems).toMatchObject([{ severity: 'warning', found: 'xyz in measure 2' }])
  expect(text.slice(chart.problems[0]!.span.start, chart.problems[0]!.span.end)).toBe('"xyz"')
})

test('a percent sign behind a backslash is one of the title, another begins a remark (ABC 2.1, 3.1.1 and 2.2.3)', () => {
  expect(readChart(tune('"C"c8|').replace(/^T:.*$/m, 'T:50\\% sure % a remark'))).toMatchObject({ title: '50% sure' })
})

test('a tune without chords says so', () => {
  expect(readChart(tune('c8|d8|')).problems).toMatchObject([{ severity: 'error', code: 'no-chords' }])
})

test('a part for a horn sounds where `transpose=` says, in its head, for a voice and on the way (4.6, 7.1)', () => {
  const horn = (key: string, body: string, head = 'L:1/8') => {
    const chart = readChart(`X:1\nM:4/4\n${head}\nK:${key}\n${body}\n`)
    return [chart.key && nameOfKey(chart.key), barsText(chart), chart.problems]
  }
  const body = '"Bm7"a8|"E7/G#"g8|"Amaj7"a8|'
  const concert = 'Dm7:4 | G7/B:4 | Cmaj7:4'
  expect(horn('A clef=treble transpose=-9', body)).toEqual(['C', concert, []])
  expect(horn('A', `V:1\n${body}`, 'L:1/8\nV:1 clef=treble transpose=-9')).toEqual(['C', concert, []])
  expect(horn('A', `V:1 transpose=-9\n${body}`)).toEqual(['C', concert, []])
  expect(horn('D transpose=-2', '"Em7"e8|[K:E]"F#m7"f8|')).toEqual(['C', 'Dm7:4 | Em7:4', []])
  // Many octaves, or many semitones, are no part's.
  expect(horn('C transpose=999', '"Dm7"d8|')).toEqual(['C', 'Dm7:4', []])
})

test.each(instruments.map(({ id }) => id))('the changes of a tune come back from ABC for %s', async (instrument) => {
  const changes = 'Key: Eb major\n| Fm7 | Bb7 | Ebmaj7/G | C7b9 |'
  const { lines, brief } = writeLines(readBrief({ changes, instrument }).brief)
  const back = readChart(writeAbc(layScore(lines[0]!, brief)))
  expect([nameOfKey(back.key!), barsText(back)]).toEqual(['Eb', barsText(readChart(changes))])
})
