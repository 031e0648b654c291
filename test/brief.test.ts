/** Choices read from text: what is no choice is refused by name, whatever a language's objects hold by themselves; what is written reads back. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { choiceNames, choices, defaultBrief, limits, readBrief, writeBrief } from '../lib/brief.ts'
import { writeLines } from '../lib/lines/write.ts'

const changes = '| Dm7 | G7 | Cmaj7 | Cmaj7 |'
/** Names that every JavaScript object answers to. */
const inherited = ['constructor', 'toString', 'hasOwnProperty', '__proto__', 'valueOf']

describe.each(inherited)('%s', (word) => {
  test.each(choiceNames.filter((name) => name !== 'changes'))('as %s is text or refused, and never throws', (name) => {
    const { brief, problems } = readBrief({ changes, [name]: word })
    const text = ['title', 'plan', 'own', 'kept'].includes(name)
    expect(problems.map(({ choice }) => choice)).toEqual(text ? [] : [name])
    if (!text) expect(choices[name].text(brief[name] as never)).toBe(choices[name].text(defaultBrief[name] as never))
    expect(writeLines(brief).lines.length).toBe(name === 'plan' || name === 'own' ? 0 : 1)
  })
})

test('any texts for all choices give a brief that reads back, or problems that name their choice', () => {
  const given = fc.dictionary(
    fc.constantFrom(...choiceNames),
    fc.oneof(fc.string(), fc.constantFrom(...inherited, '3,7', '4', 'yes', 'fourths', 'Eb', 'D4', '5-8:2')),
  )
  fc.assert(
    fc.property(given, (texts) => {
      const { brief, problems } = readBrief({ ...texts })
      for (const { choice, expected, hint } of problems) {
        expect(Object.hasOwn(texts, choice)).toBe(true)
        expect(expected).not.toBe('')
        expect(hint).not.toBe('')
      }
      expect(readBrief(writeBrief(brief))).toEqual({ brief, problems: [] })
    }),
  )
})

test('a list longer than any choice is refused before it is taken apart', () => {
  for (const name of choiceNames) {
    const own = ['changes', 'own', 'kept'].includes(name)
    const { problems } = readBrief({ [name]: 'C,'.repeat(limits.choice / 2 + 1) })
    const long = problems.filter(({ expected }) => expected === `at most ${limits.choice} characters`)
    expect(long.map(({ choice }) => choice)).toEqual(own ? [] : [name])
  }
})
