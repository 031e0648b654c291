import { describe, expect, test } from 'vitest'
import { readBrief } from '../../../lib/brief.ts'
import { unrollChart } from '../../../lib/changes/unrollChart.ts'
import { analyseHarmony } from '../../../lib/harmony/analysis.ts'
import { readHarmony } from '../../../lib/harmony/readHarmony.ts'
import { writeLines } from '../../../lib/lines/write.ts'
import { harmonyInWords, sayNumeral, sayReason } from '../../../web/views/harmonyWords.ts'
import { sayChord } from '../../../web/views/words.ts'
import { realCharts } from '../../realCharts.ts'

/** What musicians say; common practice. */
test.each([
  ['ii7', 'two minor 7'],
  ['V7', 'five 7'],
  ['Imaj7', 'one major 7'],
  ['iiø7', 'two half-diminished'],
  ['imaj7', 'one minor, major 7'],
  ['i6', 'one minor 6'],
  ['V7/ii', 'five 7 of two minor'],
  ['subV7', 'substitute five 7'],
  ['♭VII7', 'flat seven 7'],
  ['♯iv°7', 'sharp four diminished 7'],
  ['V7sus', 'five 7 suspended'],
  ['V+', 'five augmented'],
  ['I', 'one'],
  ['vi', 'six minor'],
])('the numeral %s is said %s', (numeral, expected) => {
  expect(sayNumeral(numeral)).toBe(expected)
})

test.each([
  ['ii of C major, making a ii–V with G7.', 'two of C major, making a two-five with G7.'],
  [
    'Now in Eb minor: V of Eb minor, going home to Ebm7.',
    'Now in E flat minor: five of E flat minor, going home to E flat minor 7.',
  ],
  ['V of ii in F# major: it leads to G#m7b5.', 'five of two in F sharp major: it leads to G sharp half-diminished.'],
  [
    'bVII7 of C major: the backdoor, up a whole step home to C6.',
    'flat seven 7 of C major: the backdoor, up a whole step home to C6.',
  ],
  [
    '#iv° of F major, pulling the bass from IV up to V or I.',
    'sharp four diminished of F major, pulling the bass from four up to five or one.',
  ],
  [
    'subV/ii of C major, a half step above Dm7/A.',
    'substitute five of two of C major, a half step above D minor 7 over A.',
  ],
  [
    'I+ of C major: its fifth, raised to G#, rises to the A of Am, whose V it is as Eaug.',
    'one augmented of C major: its fifth, raised to G sharp, rises to the A of A minor, whose five it is as E augmented.',
  ],
  [
    'I of C major, at rest. A line rises through it: G G# A.',
    'one of C major, at rest. A line rises through it: G G sharp A.',
  ],
  ['Back in A minor: i of A minor, at rest.', 'Back in A minor: one of A minor, at rest.'],
])('the reason %s is said without signs', (reason, expected) => {
  expect(sayReason(reason)).toBe(expected)
})

test.each([
  ['Em7b5', 'E half-diminished'],
  ['Bdim7', 'B diminished 7'],
  ['Ddim', 'D diminished'],
  ['Bbb7', 'B double flat 7'],
])('the chord %s is said %s', (symbol, expected) => {
  expect(sayChord(symbol)).toBe(expected)
})

describe('the harmony in words', () => {
  const said = (changes: string, fields: Record<string, string>) => {
    const { brief } = readBrief({ changes, ...fields })
    return [...harmonyInWords(writeLines(brief).lines[0]!, brief)].map(([bar, words]) => `${bar}: ${words.join(' / ')}`)
  }
  const changes = 'Key: Cm\n| Dm7b5 G7 | Cm6 | Cm6 | Ebm7 Ab7 | Dbmaj7'

  test('chord by chord, where something new is heard', () => {
    expect(said(changes, { instrument: 'flute', show: 'analysis' })).toEqual([
      '1: D half-diminished, two half-diminished: two of C minor, making a minor two-five with G7. Scale: D locrian. / ' +
        'G7, five 7: five of C minor, going home to C minor 6. Scale: G phrygian dominant.',
      '2: C minor 6, one minor 6: one of C minor: G7 comes home. Scale: C melodic minor.',
      '4: E flat minor 7, two minor 7: now in D flat major: two of D flat major, making a two-five with A flat 7. Scale: E flat dorian. / ' +
        'A flat 7, five 7: five of D flat major, going home to D flat major 7. Scale: A flat mixolydian.',
      '5: D flat major 7, one major 7: one of D flat major: A flat 7 comes home. Scale: D flat major.',
    ])
  })

  test('in the key that the player reads, reasons too', () => {
    const [first, , fourth] = said(changes, { instrument: 'alto-sax', show: 'analysis' })
    expect(first).toContain('B half-diminished, two half-diminished: two of A minor, making a minor two-five with E7.')
    expect(fourth).toContain('now in B flat major: two of B flat major')
    expect(said(changes, { instrument: 'alto-sax', show: 'analysis', pitch: 'concert' })[0]).toContain('of C minor')
  })

  test('only what is asked for', () => {
    expect(said(changes, { show: 'targets,degrees,brackets' })).toEqual([])
    expect(said(changes, { instrument: 'flute', show: 'scales' })[1]).toBe('2: C minor 6: scale C melodic minor.')
    expect(said(changes, { instrument: 'flute', show: 'scales', scales: '2.1=mixolydian b6' })[1]).toBe(
      '2: C minor 6: scale C mixolydian flat 6.',
    )
    expect(said(changes, { instrument: 'flute', show: 'scales', scales: '2.1=dorian #4' })[1]).toBe(
      '2: C minor 6: scale C dorian sharp 4.',
    )
    const cut = said(changes, { instrument: 'flute', show: 'analysis', bars: '4-5' })
    expect(cut.map((words) => words.slice(0, 2))).toEqual(['4:', '5:'])
  })

  test('a ii–V whose V is a plain triad is told of all the same', () => {
    expect(said('Ebm7 Ab | Db6', { instrument: 'flute', show: 'analysis' })[0]).toContain('A two-five with A flat.')
  })

  test('on real charts no sign or numeral is left, and every bracket is told of', () => {
    for (const chart of realCharts()) {
      const harmony = readHarmony(unrollChart(chart))
      for (const { reason } of harmony.chords)
        expect(sayReason(reason)).not.toMatch(/[♭♯°ø–/()]|\b[IVX]+\b|\b[iv]{2,}\b|[A-G]b|#/)
      for (const { from } of analyseHarmony(harmony).brackets) {
        const { symbol, reason } = harmony.chords[from]!
        if (symbol !== 'Ebm7') expect(reason).toMatch(/ii–V|backdoor|stands for the V/)
      }
    }
  })
})
