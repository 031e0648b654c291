/** Words that every JavaScript object answers to are words like any other, wherever a chart or a score file may hold them. */
import { describe, expect, test } from 'vitest'
import { readChanges } from '../../lib/changes/readChanges.ts'

const harmonicKind = (kind: string, mode = 'major') =>
  `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>x</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>0</fifths><mode>${mode}</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes><harmony><root><root-step>C</root-step></root><kind>${kind}</kind></harmony><note><rest/><duration>4</duration></note></measure></part></score-partwise>`
const meiOf = (func: string) =>
  `<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef meter.count="4" meter.unit="4"/><section><measure><harm tstamp="1">C</harm><repeatMark func="${func}"/></measure></section></score></mdiv></body></music></mei>`

describe.each(['constructor', 'toString', 'valueOf', '__proto__', 'hasOwnProperty'])('%s', (word) => {
  test('as a kind of MusicXML is none', () => {
    expect(readChanges(harmonicKind('minor')).bars[0]!.chords[0]!.symbol).toBe('Cm')
    expect(readChanges(harmonicKind(word)).problems[0]).toMatchObject({ severity: 'warning', code: 'unknown-quality' })
  })

  test('as a mode or a repeat mark says nothing', () => {
    expect(readChanges(harmonicKind('minor', word)).bars[0]!.chords[0]!.symbol).toBe('Cm')
    expect(readChanges(meiOf(word))).toMatchObject({ playOrder: [0], bars: [{ chords: [{ symbol: 'C' }] }] })
  })

  test('as a key is no key, and as a chord no chord', () => {
    const chart = readChanges(`Key: ${word}\n| C${word} | G7 |`)
    expect(chart.key).toBeNull()
    expect(chart.problems.map(({ severity }) => severity)).toContain('error')
    expect(chart.bars[1]!.chords[0]!.symbol).toBe('G7')
  })
})
