/** Phrased lines where phrases hardly fit: tunes of one bar, choruses in 1/4, pins in every bar. What gives way is named, the pins stand. */
import { describe, expect, test } from 'vitest'
import { writeLines } from '../../lib/lines/write.ts'
import { midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { brokenRules } from '../lineRules.ts'
import { briefOf } from './drafts.ts'

const four = '| Dm7 | G7 | Cmaj7 | A7 |'
const oneFour = 'Time: 1/4\n| C7 | F7 | G7 | C6 |'
const everyBar =
  '1=F4 G4 A4 B4 C5 D5 E5 F5,2=D5 C5 B4 A4 G4 F4 E4 D4,3=E4 F4 G4 A4 B4 C5 D5 E5,4=E5 D5 C#5 B4 A4 G4 F4 E4'
const notePins = '1.1=F4,2.1=B4,3.1=E4,4.1=C#5'

/** Rules that must be named, and the sounding notes that pins ask for, by bar and quarter. */
const rows: readonly [
  what: string,
  changes: string,
  given: Readonly<Record<string, string>>,
  rules: readonly string[],
][] = [
  ['one bar', '| Cmaj7 |', {}, []],
  ['one bar of 1/4', 'Time: 1/4\n| C7 |', {}, ['phrases']],
  ['one bar of 3/8', 'Time: 3/8\n| Am7 |', {}, ['phrases']],
  ['one bar of 1/8', 'Time: 1/8\n| Am7 |', {}, ['phrases']],
  ['one bar between silences', '| N.C. | G7 | N.C. |', {}, []],
  ['no chord at all', '| N.C. |', {}, []],
  ['one bar with its note pinned', '| Cmaj7 |', { pins: '1.1=E4' }, []],
  ['one bar, all of it pinned', '| Cmaj7 |', { pins: '1=E4 F4 G4 A4 B4 C5 D5 E5' }, ['phrases']],
  ['one bar, pinned to be silent', '| Cmaj7 |', { pins: '1=-/96' }, ['phrases']],
  ['choruses in 1/4', oneFour, { choruses: '8' }, []],
  ['choruses in 1/4, every bar pinned', oneFour, { pins: '1=E4 G4,2=A4 C5,3=B4 D5,4=E4 G4' }, ['phrases']],
  ['choruses in 1/4, a note pinned in every bar', oneFour, { pins: '1.1=E4,2.1=A4,3.1=B4,4.1=E4' }, []],
  ['every bar pinned', four, { pins: everyBar }, ['phrases', 'approach-kinds']],
  ['every bar pinned, the second chorus free', four, { pins: everyBar, choruses: '2' }, ['approach-kinds']],
  ['every bar pinned to be silent', four, { pins: '1=-/96,2=-/96,3=-/96,4=-/96' }, ['phrases']],
  ['a note pinned in every bar', four, { pins: notePins }, []],
  ['a cell pinned in every bar', four, { pins: '1.1=1-2-3-5,2.1=1-2-3-5,3.1=1-2-3-5,4.1=1-2-3-5' }, []],
]

/** What pins of notes and of bars ask for: quarters from 1 of a bar and names; null is a rest. */
const askedBy = (pins: string): readonly (readonly [bar: number, at: number, name: string | null])[] =>
  (pins === '' ? [] : pins.split(',')).flatMap((pin) => {
    const [place = '', what = ''] = pin.split('=')
    const [bar, beat] = place.split('.').map(Number) as [number, number | undefined]
    if (beat !== undefined) return /^[A-G]/.test(what) ? [[bar, (beat - 1) * 24, what] as const] : []
    let at = 0
    return what.split(' ').map((each) => {
      const [name = '', ticks = '12'] = each.split('/')
      const asked = [bar, at, name === '-' ? null : name] as const
      at += Number(ticks)
      return asked
    })
  })

describe.each(['60', '180'])('phrases at %s', (tempo) => {
  test.each(rows)('%s', (_, changes, given, rules) => {
    for (const seed of ['1', '2', '3']) {
      const brief = briefOf({ rhythm: 'phrased', tempo, seed, changes, ...given })
      const { lines, choiceProblems } = writeLines(brief)
      expect(choiceProblems).toEqual([])
      const line = lines[0]!
      expect(brokenRules(line, brief)).toEqual([])
      const said = line.relaxed.map(({ rule }) => rule)
      for (const rule of rules) expect(said).toContain(rule)
      for (const { bar, why } of line.relaxed) {
        expect(bar).toBeGreaterThan(0)
        expect(why).toMatch(/^[a-z].+/)
      }
      for (const [bar, at, name] of askedBy(given.pins ?? '')) {
        const { start } = line.harmony.bars[bar - 1]!
        const note = line.notes.find((each) => each.start <= start + at && each.start + each.ticks > start + at)!
        if (name) expect([note.start, midiOf(note.pitch!)], `bar ${bar}`).toEqual([start + at, midiOf(plain(name))])
        else expect(note.pitch).toBeNull()
      }
    }
  })
})

const plain = (name: string) => {
  const [, letter, sign, octave] = /^([A-G])(#?)(\d)$/.exec(name)!
  const pitch = { letter: letter as 'C', alter: sign ? 1 : 0, octave: Number(octave) } as const
  expect(nameOf(pitch)).toBe(name)
  return pitch
}

describe('what cannot stand is refused by name, and where', () => {
  test.each([
    ['two notes at one place', { pins: '1.1=F4,1.1=A4' }, 'bad-pin', '1.1=A4'],
    ['an approach before a first bar that has no room for it', { pins: '1.1=+2 -1' }, 'pins-contradict', '1.1=+2 -1'],
    [
      'notes outside a small range',
      { pins: everyBar, compass: 'small' },
      'pins-contradict',
      '1=F4 G4 A4 B4 C5 D5 E5 F5',
    ],
  ])('%s', (_, given, code, found) => {
    const { lines, choiceProblems } = writeLines(briefOf({ rhythm: 'phrased', changes: four, ...given }))
    expect(lines).toEqual([])
    expect(choiceProblems.map((each) => [each.code, each.found])).toEqual([[code, found]])
    expect(choiceProblems[0]!.hint).not.toBe('')
  })
})
