/** The form of the page: what is wrong stands at its field, and the heading that holds the field opens. */
import { describe, expect, test } from 'vitest'
import { type choiceNames, choices, readBrief } from '../../../lib/brief.ts'
import { readView } from '../../../web/views/display.ts'
import { controlsOf, formChoices, meanings, openGroups, sayChoiceProblem } from '../../../web/views/sentence.ts'

/** What a choice refuses: a word that is none, or more than it may hold. */
const refused = (name: (typeof choiceNames)[number]): string =>
  ['☃', 'x'.repeat(70_000)].find((text) => 'expected' in choices[name].read(text))!

const pageOf = (given: Record<string, string>) => {
  const { brief, problems } = readBrief(given)
  return { problems, controls: controlsOf({ brief, given, problems, heard: null }, readView({})) }
}

describe.each(formChoices)('%s that cannot be read', (name) => {
  const typed = refused(name)
  const { problems, controls } = pageOf({ [name]: typed })

  test('opens the heading that holds it, and no other', () => {
    const { group } = choices[name].page
    const open = Object.entries(openGroups(problems)).flatMap(([each, isOpen]) => (isOpen ? [each] : []))
    expect(open).toEqual([group])
  })

  test('is said at its own field, which keeps what was typed', () => {
    expect(problems.map(({ choice }) => choice)).toEqual([name])
    expect(sayChoiceProblem(problems[0]!)).toMatchObject({ at: name, label: choices[name].page.label })
    expect(controls[name]!.problem?.message).toContain('expected')
    const field = controls[name === 'keys' ? 'keyList' : name]!
    expect(field.value).toBe(typed)
    for (const other of formChoices.filter((each) => each !== name)) expect(controls[other]!.problem).toBeNull()
  })
})

test.each([
  ['swing', 'sound'],
  ['pins', 'pins'],
  ['scales', 'pins'],
  ['changes', 'changes'],
] as const)('%s, which is no field of the form, is said at %s', (name, at) => {
  const { problems } = pageOf({ [name]: refused(name) })
  expect(problems.map(sayChoiceProblem)).toMatchObject([{ choice: name, at, label: choices[name].page.label }])
  expect(Object.values(openGroups(problems))).not.toContain(true)
})

test('controls show the choices made', () => {
  const { controls } = pageOf({
    land: '3,9',
    every: 'half',
    bebop: 'yes',
    key: 'Eb',
    keys: 'C,F#',
    tempo: '90',
    level: '2',
  })
  const chosen = (name: string) => controls[name]!.options.flatMap((option) => (option.chosen ? [option.value] : []))
  expect(chosen('land')).toEqual(['3', '9'])
  expect(chosen('every')).toEqual(['half'])
  expect(chosen('bebop')).toEqual(['yes'])
  expect(chosen('textbook')).toEqual([])
  expect(chosen('key')).toEqual(['Eb'])
  expect(chosen('keys')).toEqual(['list'])
  expect(controls.keyList!.value).toBe('C, F#')
  expect(controls.tempo!.value).toBe('90')
  expect(controls.level!.value).toBe('2')
  // What the step sets is not said in the field: it would stand when the step is gone.
  expect(controls.cells!.value).toBe('')
  expect(chosen('notes')).toEqual(['2'])
})

test('every control is explained once', () => {
  const labels = meanings.map(({ label }) => label)
  expect(new Set(labels).size).toBe(labels.length)
  expect(labels.length).toBe(formChoices.length + 3)
})
