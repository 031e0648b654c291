/** The page of homework on the real server: the plan, its link, its code, its files. */

import { expect, test } from 'vitest'
import { edition } from '../../../lib/edition.ts'
import { planDays } from '../../../lib/practice/planDay.ts'
import { unpackPlan } from '../../../lib/practice/planLink.ts'
import { emptyRecord } from '../../../lib/practice/record.ts'
import { monday, planOf, tune } from '../../practice/plans.ts'
import { startForTests } from '../serve.ts'

const { address } = await startForTests({ workers: 1 })
const asked = new URLSearchParams({
  changes: tune,
  keys: 'fourths',
  goal: '160',
  days: '5',
  minutes: '20',
  from: monday,
})
const get = (path: string) => fetch(`${address.replace(/\/$/, '')}${path}`)

test('shows the plan with a link that holds it, and its first week', async () => {
  const response = await get(`/plan?${asked}`)
  const html = await response.text()
  expect(response.status).toBe(200)
  const [, packed = ''] = /href="\.\/practice#([\w-]+)"/.exec(html)!
  const { plan } = unpackPlan(packed)
  expect(plan).toEqual(planOf())
  expect(html.match(/<h3>/g)).toHaveLength(7)
  expect(html.match(/<li>[A-G]/g)!.length).toBe(
    planDays(plan!, emptyRecord, monday, 7).reduce((sum, { items }) => sum + items.length, 0),
  )
  expect(html).toContain('Warm up')
  expect(html).not.toMatch(/ style=|<style/)
})

test.each([
  ['pdf', 'application/pdf', '%PDF-'],
  ['ics', 'text/calendar', 'BEGIN:VCALENDAR'],
])('gives it as %s', async (as, type, begins) => {
  const response = await get(`/plan.${as}?${asked}`)
  expect([response.status, response.headers.get('content-type')!.split(';')[0]]).toEqual([200, type])
  expect((await response.text()).slice(0, begins.length)).toBe(begins)
})

test.each([
  ['/plan', 200, 'A plan is made of a line'],
  [`/plan?${new URLSearchParams({ changes: '| Cmja7 |' })}`, 200, 'There is no line to plan'],
  [
    `/plan?${new URLSearchParams({ changes: '| Dm7 |', days: '99', minutes: 'x', from: 'soon' })}`,
    200,
    '7 days a week, 20 minutes',
  ],
  [`/plan.pdf?${new URLSearchParams({ changes: '| Cmja7 |' })}`, 404, 'There is no line to plan'],
])('%s answers %s: %s', async (path, status, says) => {
  const response = await get(path)
  expect(response.status).toBe(status)
  expect(await response.text()).toContain(says)
})

test('the page of a line offers it', async () => {
  const html = await (await get(`/?${new URLSearchParams({ changes: tune, edition: String(edition) })}`)).text()
  expect(html).toMatch(/<a href="\.\/plan\?[^"]+">Practice plan<\/a>/)
})
