/** A plan in a link comes back as it was, and a link with anything wrong is refused in words. */
import { deflateRawSync, inflateRawSync } from 'node:zlib'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { checksum } from '../../lib/kept/linkText.ts'
import { packPlan, unpackPlan } from '../../lib/practice/planLink.ts'
import { planOf } from './plans.ts'

test('any plan comes back as it was', () => {
  const anyPlan = fc
    .record({
      title: fc.string({ maxLength: 40 }),
      keys: fc.constantFrom('C', 'fourths', 'Eb,F#,A'),
      bars: fc.constantFrom('1-1', '3-16'),
      more: fc.constantFrom({}, { exact: 'yes' }, { instrument: 'trombone' }, { rhythm: 'phrased' }),
      goal: fc.integer({ min: 40, max: 320 }),
    })
    .map(({ title, keys, bars, more, goal }) => planOf({ title, keys, bars, ...more }, { goal }))
  fc.assert(
    fc.property(anyPlan, (plan) => {
      const link = packPlan(plan)
      expect(link).toMatch(/^[\w-]+$/)
      expect(unpackPlan(link)).toEqual({ plan, problems: [] })
      expect(unpackPlan(`#${link}`).plan).toEqual(plan)
    }),
    { numRuns: 30 },
  )
})

test('is compact JSON, deflated as RFC 1951 says, that another reader reads', () => {
  const plan = planOf()
  const bytes = Buffer.from(packPlan(plan), 'base64url')
  const [title, fields] = JSON.parse(inflateRawSync(bytes.subarray(3)).toString('utf8'))
  expect([title, fields]).toEqual([plan.title, plan.fields])
  // A code of version 21 holds 929 characters (ISO/IEC 18004).
  expect(packPlan(plan).length).toBeLessThan(850)
})

test('a link that lost, gained or changed a character is refused', () => {
  const link = packPlan(planOf())
  fc.assert(
    fc.property(fc.nat(link.length - 1), fc.constantFrom('', 'A', '_x', '!', 'é'), (at, put) => {
      const broken = link.slice(0, at) + put + link.slice(at + 1)
      if (broken === link) return
      const { plan, problems } = unpackPlan(broken)
      expect(plan).toBeNull()
      expect(['damaged-link', 'newer-link']).toContain(problems[0]!.code)
      expect(problems[0]!.hint).not.toBe('')
    }),
    { numRuns: 300 },
  )
  for (const text of ['', '#', 'AA', 'x'.repeat(200_000)]) expect(unpackPlan(text).plan).toBeNull()
})

test('a link that would grow past all limits, and one of a later version, are refused', () => {
  const linkOf = (version: number, text: string) => {
    const body = deflateRawSync(text)
    const sum = checksum(body)
    return Buffer.from([version, sum >> 8, sum & 0xff, ...body]).toString('base64url')
  }
  const codes = [linkOf(1, ' '.repeat(5_000_000)), linkOf(2, '[]'), linkOf(1, '{}'), linkOf(1, '[1,2,3]')].map(
    (link) => unpackPlan(link).problems[0]!.code,
  )
  expect(codes).toEqual(['damaged-link', 'newer-link', 'damaged-link', 'damaged-link'])
})
