/** Landings typed bar by bar, and scale drills made of nothing else. */
import { describe, expect, test } from 'vitest'
import { placeTargets } from '../../lib/line/chooseTargets.ts'
import { planSlots, readPlan } from '../../lib/line/plan.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { nameOf } from '../../lib/theory/pitch.ts'
import { briefOf, harmonyOf } from './drafts.ts'

describe('reading', () => {
  test.each([
    ['3 7 3 5 | 1 2 3 4', ['3', '7', '3', '5', '1', '2', '3', '4']],
    ['3,7', ['3', '7']],
    ['b9 #11 ♭13 ♯5', ['b9', '#11', 'b13', '#5']],
    ['3 . - 7', ['3', null, null, '7']],
    ['|3|7|', ['3', '7']],
    ['bb7', ['bb7']],
    ['', []],
    [' | ', []],
  ])('%j', (text, degrees) => {
    expect(readPlan(text)).toEqual({ degrees, problems: [] })
  })

  test.each([
    ['3 x 7', 'x', 2],
    ['14', '14', 0],
    ['3 0', '0', 2],
    ['3 b#5', 'b#5', 2],
    ['3 bbb7', 'bbb7', 2],
    ['3 7 | ii', 'ii', 6],
    ['3.5', '3.5', 0],
  ])('%j: %s is refused', (text, found, start) => {
    const { problems } = readPlan(text)
    expect(problems.length).toBe(1)
    expect(problems[0]).toMatchObject({
      code: 'bad-plan',
      choice: 'plan',
      found,
      span: { start, end: start + found.length },
    })
  })

  test('every word that is no degree is said', () => {
    expect(readPlan('a 3 b 7 c').problems.map(({ found }) => found)).toEqual(['a', 'b', 'c'])
  })
})

describe('on chords', () => {
  const placing = { every: 'bar', on: '1', land: ['3', '7'] } as const
  const planned = (changes: string, plan: string) => {
    const harmony = harmonyOf(changes)
    return planSlots(harmony, placeTargets(harmony, placing), plan)
  }

  // A number stands for what the chord has there, else its scale. Worked by hand; all in C major.
  test.each([
    ['3 7 1', '| Dm7 | G7 | Cmaj7 |', 'b3 b7 1'],
    ['9 9 9', '| Dm7 | G7 | Cmaj7 |', '2 2 2'],
    ['2 4 6', '| Dm7 | G7 | Cmaj7 |', '2 4 6'],
    ['3', '| Dm7 | G7 | Cmaj7 |', 'b3 3 3'],
    ['. 5', '| Dm7 | G7 | Cmaj7 |', 'b3/b7 5 3/7'],
    ['b9', '| G7(b9) |', 'b9'],
    ['9', '| G7(b9) |', 'b9'],
    ['7', '| C6 |', '7'],
  ])('%s', (plan, changes, expected) => {
    const { slots, problems } = planned(changes, plan)
    expect(problems).toEqual([])
    expect(slots.map(({ choices }) => choices.map(({ degree }) => degree).join('/')).join(' ')).toBe(expected)
  })

  test.each([
    ['b3', '| Cmaj7 |', 'b3 for bar 1'],
    ['#11', '| Dm7 | G7 | Cmaj7 |', '#11 for bar 1'],
    ['3 b9', '| Dm7 | Cmaj7 |', 'b9 for bar 2'],
  ])('%s on %s: a degree that the chord has not is refused', (plan, changes, found) => {
    const { problems } = planned(changes, plan)
    expect(problems).toMatchObject([{ code: 'no-such-degree', choice: 'plan', found }])
    expect(problems[0]!.expected).toContain('a degree of')
  })

  test('a plan that cannot be read leaves the targets as they are', () => {
    const { slots, problems } = planned('| Dm7 | G7 |', '3 x')
    expect(problems.length).toBe(1)
    expect(slots[0]!.choices.length).toBe(2)
  })
})

describe('lines', () => {
  test('land as planned', () => {
    const { lines } = writeLines(briefOf({ changes: '| Dm7 | G7 | Cmaj7 | A7 |', plan: '5 3 | 9 7' }))
    expect(lines[0]!.targets.map(({ degree }) => degree)).toEqual(['5', '3', '2', 'b7'])
  })

  test('a plan alone is a drill of its key: targets climb and fall through the scale', () => {
    const { lines } = writeLines(briefOf({ changes: '', plan: '1 2 3 4 5 6 7 1 7 6 5 4 3 2 1', keys: 'fourths' }))
    expect(lines.length).toBe(12)
    const letters = lines[0]!.targets.map(({ pitch }) => nameOf(pitch).replace(/\d/, ''))
    expect(letters.join(' ')).toBe('C D E F G A B C B A G F E D C')
    for (const line of lines) expect(line.targets.length).toBe(15)
  })

  test('refused as a whole where a degree is missing', () => {
    const { lines, choiceProblems } = writeLines(briefOf({ changes: '| Cmaj7 |', plan: 'b9' }))
    expect(lines).toEqual([])
    expect(choiceProblems.map(({ code }) => code)).toEqual(['no-such-degree'])
  })
})
