/** The command `plan`: what it writes, and what it refuses. */
import { describe, expect, test } from 'vitest'
import { runCommand } from '../../lib/commands/commands.ts'
import { careWords } from '../../lib/practice/care.ts'
import { planDays } from '../../lib/practice/planDay.ts'
import { unpackPlan } from '../../lib/practice/planLink.ts'
import { addEntries, emptyRecord, takePlan, writeRecord } from '../../lib/practice/record.ts'
import { practise } from './learners.ts'
import { planOf, tune } from './plans.ts'

async function run(args: readonly string[], files: Readonly<Record<string, string>> = {}) {
  let [out, err] = [new Uint8Array() as string | Uint8Array, '']
  const code = await runCommand(['plan', ...args], {
    read: (file) => {
      const text = { '-': tune, 'tune.txt': tune, ...files }[file]
      if (text === undefined) throw new Error('no such file')
      return new TextEncoder().encode(text)
    },
    write: () => {},
    out: (bytes) => {
      out = bytes
    },
    err: (text) => {
      err += text
    },
    watched: false,
    port: '0',
    version: () => '',
    serve: async () => {},
  })
  return { code, err, out, text: typeof out === 'string' ? out : Buffer.from(out).toString('latin1') }
}

const asked = [
  'tune.txt',
  '--goal',
  '160',
  '--days',
  '5',
  '--minutes',
  '20',
  '--keys',
  'fourths',
  '--from',
  '2026-11-30',
]

describe('as JSON', () => {
  test('the plan, its link, and its days as the core has them', async () => {
    const { code, err, text } = await run([...asked, '--format', 'json', '--weeks', '2'])
    const { plan, link, days, problems } = JSON.parse(text)
    expect([code, err, problems]).toEqual([0, '', []])
    expect(plan).toEqual(planOf({ changes: tune }))
    expect(unpackPlan(link.slice('/practice'.length)).plan).toEqual(plan)
    expect(days).toEqual(planDays(plan, emptyRecord, '2026-11-30', 14))
  })

  test('goes by a record, and goes on with the plan that it has begun', async () => {
    const begun = planOf({}, { from: '2026-11-16' })
    const { record } = practise(begun, 3, 14)
    const file = writeRecord(takePlan(record, begun, 1))
    const args = asked.filter((arg) => arg !== '--from' && arg !== '2026-11-30')
    const { text } = await run([...args, '--record', 'me.json', '--on', '2026-11-30'], { 'me.json': file })
    const { plan, days } = JSON.parse(text)
    expect(plan).toEqual(begun)
    expect(days).toEqual(planDays(begun, addEntries(record, []), '2026-11-30', 7))
  })

  test('a drill is planned like a line, and the tune’s own key where no others are asked for', async () => {
    const { text } = await run(['--drill', 'scale-targets', '--goal', '100', '--from', '2026-11-30'])
    const { plan } = JSON.parse(text)
    expect(plan.keys.length).toBeGreaterThan(0)
    const own = JSON.parse((await run(['tune.txt', '--from', '2026-11-30', '--tempo', '60'])).text).plan
    expect([own.keys, own.start, own.goal]).toEqual([['C'], 60, 120])
  })
})

test('as text: every day with its minutes, rests, and the care words once', async () => {
  const { code, text } = await run([...asked, '--format', 'text'])
  expect(code).toBe(0)
  expect(text).toContain('Monday 30 November 2026')
  expect(text.match(/: rest$/gm)).toHaveLength(2)
  expect(text.split(careWords)).toHaveLength(2)
  expect(careWords).toMatch(/pauses.*teacher.*doctor/s)
})

test('as PDF and as calendar entries', async () => {
  const pdf = await run([...asked, '--format', 'pdf', '--origin', 'https://lines.example.org'])
  expect([pdf.code, pdf.text.slice(0, 5)]).toEqual([0, '%PDF-'])
  const again = await run([...asked, '--format', 'pdf', '--origin', 'https://lines.example.org'])
  expect(again.text).toBe(pdf.text)
  const ics = await run([...asked, '--format', 'ics', '--at', '7:05'])
  expect(ics.text.match(/^BEGIN:VEVENT/gm)).toHaveLength(20)
})

test.each([
  ['--days', '8', 2, 'a whole number from 1 to 7'],
  ['--minutes', 'all', 2, 'a whole number from 5 to 120'],
  ['--from', '2026-02-30', 2, 'a day of the calendar'],
  ['--at', '25:00', 2, 'a time of day'],
  ['--origin', 'example.org', 2, 'where the page is, such as https://lines.example.org'],
  ['--drill', 'nothing', 2, 'one of'],
  ['--format', 'midi', 2, 'one of json, text, pdf, ics'],
  ['--record', 'missing.json', 2, 'a record of practising'],
  ['--record', 'tune.txt', 1, 'a practice record'],
  ['--goal', '1000', 1, 'a whole number from 40 to 320'],
  ['--key', 'H', 1, 'a key such as'],
])('refuses %s %s', async (name, value, exit, said) => {
  const { code, err } = await run([...asked, name, value])
  expect(code).toBe(exit)
  expect(err).toContain(said)
  expect(err).not.toMatch(/\n\s+at /)
})

test('changes that cannot be read are said as by any command', async () => {
  const { code, err, text } = await run(['bad.txt', '--format', 'json'], { 'bad.txt': '| Dm7 | Cmja7 |' })
  expect(code).toBe(1)
  expect(err).toMatch(/^bad\.txt:1:\d+: found /)
  expect(JSON.parse(text)).toMatchObject({ plan: null, days: [], problems: [{ severity: 'error' }] })
})
