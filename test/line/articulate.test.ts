/** Articulation by common practice, from memory: swung eighths slurred from off the beat into it, tongued again off the beat. */
import { parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { sequenceOf, writeMidi } from '../../lib/score/writeMidi.ts'
import { writeMusicXml } from '../../lib/score/writeMusicXml.ts'
import { realChartTexts } from '../realCharts.ts'

const solo = { approach: 'enclosure,chromatic,scale,arpeggio', rhythm: 'phrased', tempo: '180' }
const write = (given: Record<string, string>) => {
  const { brief } = readBrief(given)
  const line = writeLines(brief).lines[0]!
  return { line, score: layScore(line, brief) }
}
const cases = realChartTexts()
  .slice(0, 8)
  .flatMap((changes) => [
    { changes, ...solo },
    { changes, rhythm: 'triplets' },
    { changes, ...solo, tempo: '66' },
  ])

describe('articulation', () => {
  test('moves no note, and stands only where it is asked for', () => {
    for (const given of cases) {
      const [none, some] = [write(given), write({ ...given, articulation: 'some' })]
      expect(none.line.notes.some(({ articulation }) => articulation !== undefined)).toBe(false)
      expect(some.line.notes.map(({ articulation: _, ...note }) => note)).toEqual(none.line.notes)
    }
  })

  test('slurs begin off the beat and come to rest on one, over sounding notes that move', () => {
    let slurs = 0
    for (const given of cases) {
      const { line } = write({ ...given, articulation: 'some' })
      let open = false
      line.notes.forEach((note) => {
        const slur = note.articulation?.slur ?? null
        if (slur === 'start') {
          expect(open).toBe(false)
          open = true
          slurs += 1
        } else if (slur === null) expect(open).toBe(false)
        else {
          expect(open).toBe(true)
          if (slur === 'stop') open = false
        }
      })
      expect(open).toBe(false)
    }
    expect(slurs).toBeGreaterThan(200)
  })

  test('even eighths are slurred two by two, from each and of a beat', () => {
    const { line } = write({ changes: '| Dm7 | G7 | Cmaj7 | A7 |', articulation: 'some' })
    for (const [i, { start, ticks, articulation, pitch }] of line.notes.entries()) {
      const next = line.notes[i + 1]
      if (!pitch || ticks !== 12 || !next?.pitch) continue
      const same =
        next.pitch.letter === pitch.letter && next.pitch.octave === pitch.octave && next.pitch.alter === pitch.alter
      expect(['start', null]).toContain(start % 24 === 12 ? articulation!.slur : null)
      if (start % 24 === 12 && !same) expect(articulation!.slur).toBe('start')
    }
  })

  test('accents keep apart, ghosts dip and are no targets, no note is both', () => {
    let [accents, ghosts] = [0, 0]
    for (const given of cases) {
      const { line } = write({ ...given, articulation: 'some' })
      let last = -10
      line.notes.forEach(({ articulation, role }, i) => {
        if (!articulation) return
        expect(articulation.accent && articulation.ghost).toBe(false)
        if (articulation.ghost) {
          ghosts += 1
          expect(role).not.toBe('target')
        }
        if (!articulation.accent) return
        accents += 1
        expect(i - last).toBeGreaterThanOrEqual(3)
        last = i
      })
    }
    expect(accents).toBeGreaterThan(50)
    expect(ghosts).toBeGreaterThan(5)
  })

  test('is the same in MEI, in MusicXML and in MIDI', () => {
    for (const given of cases) {
      const { line, score } = write({ ...given, articulation: 'some' })
      const notes = line.notes.flatMap(({ articulation }) => articulation ?? [])
      const [mei, xml] = [writeMei(score), writeMusicXml(score)]
      const count = (text: string, sign: RegExp) => text.match(sign)?.length ?? 0
      const slurs = notes.filter(({ slur }) => slur === 'start' || slur === 'both').length
      expect(count(mei, /<slur /g)).toBe(slurs)
      expect([count(xml, /<slur type="start"/g), count(xml, /<slur type="stop"/g)]).toEqual([slurs, slurs])
      const accents = notes.filter(({ accent }) => accent).length
      expect([count(mei, /artic="acc/g), count(xml, /<accent\/>/g)]).toEqual([accents, accents])
      const ghosts = notes.filter(({ ghost }) => ghost).length
      expect([count(mei, /head\.mod="paren"/g), count(xml, /<notehead parentheses/g)]).toEqual([ghosts, ghosts])
      const { tracks } = parseMidi(writeMidi(sequenceOf(line)))
      const loud = tracks
        .flat()
        .flatMap((event) => (event.type === 'noteOn' && event.velocity > 0 ? [event.velocity] : []))
      expect(loud.filter((velocity) => velocity > 90)).toHaveLength(accents)
      expect(loud.filter((velocity) => velocity < 90)).toHaveLength(ghosts)
    }
  })
})
