/** Drills to start from: each is a brief that can be read, keeps its word for every instrument, and is one command. */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import type { Outside } from '../../lib/commands/command.ts'
import { runCommand } from '../../lib/commands/commands.ts'
import { namedDrills } from '../../lib/drill/drills.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { brokenDrill, brokenRules } from '../lineRules.ts'

const written = (choices: Readonly<Record<string, string>>) => {
  const { brief, problems } = readBrief(choices)
  expect(problems).toEqual([])
  const { lines, choiceProblems } = writeLines(brief)
  expect(choiceProblems).toEqual([])
  return { brief, lines }
}

describe('each drill', () => {
  for (const { name, choices } of namedDrills)
    for (const instrument of ['alto-sax', 'trombone', 'bass-voice'])
      test(`${name} for ${instrument}`, () => {
        const { brief, lines } = written({ ...choices, instrument })
        expect(lines.length).toBe(brief.keys === null ? 1 : 12)
        expect(brokenDrill(lines, brief)).toEqual([])
        for (const line of lines)
          expect(brokenRules(line, { ...brief, approach: brief.approach }).filter(own)).toEqual([])
        if (instrument === 'alto-sax') expect(lines.flatMap(({ relaxed }) => relaxed)).toEqual([])
      })
  /** A figure asked for by its offsets is of whatever kind it is. */
  const own = (text: string) => !/: a (chromatic|scale|mixed|arpeggio)$/.test(text)

  test('those through a scale stand in minor too', () => {
    for (const { choices } of namedDrills.filter((drill) => drill.choices.plan)) {
      const { brief, lines } = written({ ...choices, key: 'Am' })
      expect(lines.every(({ key }) => key.mode === 'minor')).toBe(true)
      expect(brokenDrill(lines, brief)).toEqual([])
    }
  })
})

/** A command run on nothing but a file that holds two bars. */
async function run(...args: string[]) {
  const said = { out: '', err: '' }
  const outside: Partial<Outside> = {
    read: (file) => {
      if (file !== 'tune.txt') throw new Error('the standard input is not to be waited for')
      return new TextEncoder().encode('| Dm7 | G7 |')
    },
    out: (bytes) => {
      said.out += typeof bytes === 'string' ? bytes : new TextDecoder().decode(bytes)
    },
    err: (text) => {
      said.err += text
    },
    watched: false,
  }
  return { code: await runCommand(args, outside as Outside), ...said }
}

describe('throughline drill', () => {
  test('without a name lists them', async () => {
    const { code, out } = await run('drill')
    expect(code).toBe(0)
    for (const { name, title } of namedDrills) expect(out).toMatch(new RegExp(`^${name}\\n  ${title}`, 'm'))
    const { out: json } = await run('drill', '--format', 'json')
    expect(JSON.parse(json).drills).toHaveLength(namedDrills.length)
  })
  test('with a name writes it, and any choice may be another', async () => {
    const { code, out } = await run('drill', 'scale-targets', '--instrument', 'trumpet', '--notes', '3')
    const { lines, brief } = JSON.parse(out)
    expect([code, lines.length, brief.instrument, brief.notes, brief.join]).toEqual([0, 12, 'trumpet', 3, true])
  })
  test('goes through a tune that is named', async () => {
    const { out } = await run('drill', 'one-figure', 'tune.txt')
    const { lines } = JSON.parse(out)
    expect(lines[0].chords.map(({ symbol }: { symbol: string }) => symbol)).toEqual(['Dm7', 'G7'])
    for (const { kind, offsets } of lines[0].figures) if (kind === 'approach') expect(offsets).toEqual([2, 1, -1])
  })
  test('refuses a name that is none, with those that are', async () => {
    const { code, err } = await run('drill', 'scale-target')
    expect(code).toBe(2)
    expect(err).toMatch(/found scale-target; expected one of scale-targets.*try scale-targets/)
  })
})
