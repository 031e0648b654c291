/** Homework in the browser: the student's link shows today's items, and the teacher opens what came of it, sent nowhere. */
import { expect, test } from 'vitest'
import { dayAt } from '../../lib/practice/days.ts'
import { takePlan, writeRecord } from '../../lib/practice/record.ts'
import { practise } from '../practice/learners.ts'
import { planOf, tune } from '../practice/plans.ts'
import { findBarriers, stage } from './browser.ts'

const it = stage()
const today = dayAt(Date.now())
const plan = planOf({}, { days: 7, from: today })

test('a teacher makes homework of a line, and opens students’ records side by side', async () => {
  const page = await it.open(
    `plan?${new URLSearchParams({ changes: tune, keys: 'fourths', goal: '160', from: today })}`,
  )
  expect(await page.locator('#plan-link').inputValue()).toContain('/practice#')
  expect(await findBarriers(page)).toEqual([])
  const recordOf = (player: string, seed: number) =>
    Buffer.from(writeRecord({ ...takePlan(practise(plan, seed, 20).record, plan, 1), player }))
  await page.locator('#plan-files').setInputFiles([
    { name: 'one.json', mimeType: 'application/json', buffer: recordOf('Ida', 1) },
    { name: 'two.json', mimeType: 'application/json', buffer: recordOf('', 2) },
    { name: 'notes.json', mimeType: 'application/json', buffer: Buffer.from('{"notes": []}') },
  ])
  await page.locator('#plan-tables table').waitFor()
  expect(await page.locator('#plan-tables tbody th').allTextContents()).toEqual(['Ida', 'two'])
  expect(await page.locator('#plan-tables thead th').count()).toBe(4 + plan.keys.length)
  const said = await page.locator('#plan-said').textContent()
  expect(said).toContain('2 of 3 files read.')
  expect(said).toContain('notes.json: found a file of something else')
  expect(await findBarriers(page)).toEqual([])
  if (process.env.PICTURES) await page.screenshot({ path: `${process.env.PICTURES}/plan.png`, fullPage: true })
})
