/** The record: putting together is a union whichever way round, deleting is for good, and bad files are said. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { dayAfter } from '../../lib/practice/days.ts'
import { planDay } from '../../lib/practice/planDay.ts'
import { checkClock, readFields, readRecord } from '../../lib/practice/readRecord.ts'
import {
  addEntries,
  clearRecord,
  deleteEntries,
  type Entry,
  emptyRecord,
  lostPlans,
  mergeRecords,
  type PracticeRecord,
  putPlanAway,
  takePlan,
  writeRecord,
} from '../../lib/practice/record.ts'
import { verdicts } from '../../lib/practice/spacing.ts'
import { practise } from './learners.ts'
import { monday, planOf } from './plans.ts'

const plans = [planOf({ keys: 'C' }), planOf({ keys: 'F' }), planOf({ keys: 'Bb' })]

/** Few ids, so that two devices often know the same entry, and now and then tell it otherwise. */
const anyEntry: fc.Arbitrary<Entry> = fc.record({
  id: fc.integer({ min: 1, max: 12 }).map((n) => `entry-number-${n}`),
  plan: fc.constantFrom(...plans.map(({ id }) => id)),
  key: fc.constantFrom('C', 'Eb', 'F#m'),
  bars: fc.tuple(fc.integer({ min: 1, max: 8 }), fc.nat(8)).map(([from, more]) => [from, from + more] as const),
  tempo: fc.integer({ min: 40, max: 320 }),
  minutes: fc.integer({ min: 1, max: 20 }).map((halves) => halves / 2),
  verdict: fc.constantFrom(...verdicts),
  time: fc.integer({ min: 0, max: 2_000_000_000_000 }),
  day: fc.nat(1000).map((n) => dayAfter(monday, n)),
})

/** What a player does on one device, one thing after another. */
const anyDeed = fc.oneof(
  anyEntry.map((entry) => (record: PracticeRecord) => addEntries(record, [entry])),
  fc.integer({ min: 1, max: 12 }).map((n) => (record: PracticeRecord) => deleteEntries(record, [`entry-number-${n}`])),
  fc.tuple(fc.constantFrom(...plans), fc.nat(50)).map(
    ([plan, time]) =>
      (record: PracticeRecord) =>
        takePlan(record, plan, time),
  ),
  fc.tuple(fc.constantFrom(...plans), fc.nat(50), fc.boolean()).map(
    ([{ id }, time, all]) =>
      (record: PracticeRecord) =>
        putPlanAway(record, id, time, all),
  ),
)
const anyRecord = fc
  .tuple(fc.array(anyDeed, { maxLength: 12 }), fc.constantFrom('', 'Ida', 'Jo'))
  .map(([deeds, player]) => deeds.reduce((record, deed) => deed(record), { ...emptyRecord, player } as PracticeRecord))

describe('putting records together', () => {
  test('gives the same whichever comes first', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, (a, b) => {
        expect(mergeRecords(a, b)).toEqual(mergeRecords(b, a))
      }),
    )
  })

  test('gives the same in whatever order three are put together', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, anyRecord, (a, b, c) => {
        expect(mergeRecords(mergeRecords(a, b), c)).toEqual(mergeRecords(a, mergeRecords(b, c)))
      }),
    )
  })

  test('changes nothing the second time, nor with itself', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, (a, b) => {
        const both = mergeRecords(a, b)
        expect(mergeRecords(a, a)).toEqual(a)
        expect(mergeRecords(both, b)).toEqual(both)
        expect(mergeRecords(both, emptyRecord)).toEqual(both)
      }),
    )
  })

  test('loses no entry and no plan that neither has deleted, and brings back none that one has', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, (a, b) => {
        const both = mergeRecords(a, b)
        const gone = new Set([...a.deleted, ...b.deleted])
        const ids = new Set([...a.entries, ...b.entries].map(({ id }) => id))
        expect(new Set(both.entries.map(({ id }) => id))).toEqual(new Set([...ids].filter((id) => !gone.has(id))))
        for (const entry of both.entries) expect([...a.entries, ...b.entries]).toContainEqual(entry)
        for (const { plan, taken } of [...a.plans, ...b.plans]) {
          const away = Math.max(a.away[plan.id] ?? -1, b.away[plan.id] ?? -1)
          const there = both.plans.find((each) => each.plan.id === plan.id)
          if (taken > away) expect(there!.taken).toBeGreaterThanOrEqual(taken)
          else if (there) expect(there.taken).toBeGreaterThan(away)
        }
      }),
    )
  })

  test('keeps entries in the order of their times', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, (a, b) => {
        const { entries } = mergeRecords(a, b)
        expect(entries.every((entry, i) => i === 0 || entry.time >= entries[i - 1]!.time)).toBe(true)
      }),
    )
  })
})

describe('deleting', () => {
  test('is for good, whatever another device still holds', () => {
    fc.assert(
      fc.property(anyRecord, anyRecord, (mine, theirs) => {
        const id = mine.entries[0]?.id ?? 'entry-number-1'
        const both = mergeRecords(theirs, deleteEntries(mine, [id]))
        expect(both.entries.some((entry) => entry.id === id)).toBe(false)
        expect(mergeRecords(both, theirs).entries.some((entry) => entry.id === id)).toBe(false)
      }),
    )
  })

  test('all leaves nothing, and another device brings nothing of it back', () => {
    fc.assert(
      fc.property(anyRecord, (record) => {
        const cleared = clearRecord(record, 100)
        expect([cleared.entries, cleared.plans, cleared.player]).toEqual([[], [], ''])
        const again = mergeRecords(cleared, record)
        expect([again.entries, again.plans]).toEqual([[], []])
      }),
    )
  })

  test('a plan may be taken up again later, its entries gone where that was asked for', () => {
    const plan = plans[0]!
    const { record } = practise(plan, 1, 2)
    const away = putPlanAway(takePlan(record, plan, 10), plan.id, 20, true)
    expect([away.plans, away.entries]).toEqual([[], []])
    // What another device took up before stays away; who takes it up now has it, whatever this clock says.
    expect(mergeRecords(away, takePlan(emptyRecord, plan, 15)).plans).toEqual([])
    expect(takePlan(away, plan, 15).plans).toEqual([{ plan, taken: 21 }])
    expect(takePlan(away, plan, 21).plans).toEqual([{ plan, taken: 21 }])
    expect(putPlanAway(takePlan(record, plan, 10), plan.id, 20).entries).toEqual(record.entries)
  })
})

describe('files', () => {
  test('read back as they were written', () => {
    fc.assert(
      fc.property(anyRecord, (record) => {
        expect(readRecord(writeRecord(record))).toEqual({ record, problems: [] })
        expect(writeRecord(readRecord(writeRecord(record)).record!)).toBe(writeRecord(record))
      }),
    )
  })

  const { record } = practise(plans[0]!, 3, 5)
  const whole = JSON.parse(writeRecord(takePlan(record, plans[0]!, 5))) as Record<string, unknown>
  const written = (change: Record<string, unknown>) => JSON.stringify({ ...whole, ...change })

  test.each([
    ['nothing', '', 'empty-file'],
    ['a chart', '| Dm7 | G7 |', 'foreign-file'],
    ['other JSON', '{"notes": []}', 'foreign-file'],
    ['a number', '7', 'foreign-file'],
    ['a list', '[]', 'foreign-file'],
    ['nothing at all', 'null', 'foreign-file'],
    ['half a file', writeRecord(record).slice(0, 200), 'damaged-file'],
    ['no version', written({ version: undefined }), 'damaged-file'],
    ['an odd version', written({ version: 'two' }), 'damaged-file'],
    ['a later version', written({ version: 3 }), 'newer-version'],
    ['entries that are no list', written({ entries: {} }), 'damaged-file'],
    ['no deletions', written({ deleted: undefined }), 'damaged-file'],
    ['no plans put away', written({ away: null }), 'damaged-file'],
  ])('refuses %s', (_, text, code) => {
    const { record: none, problems } = readRecord(text)
    expect(none).toBeNull()
    expect(problems).toHaveLength(1)
    expect(problems[0]).toMatchObject({ severity: 'error', code })
    for (const said of [problems[0]!.found, problems[0]!.expected, problems[0]!.hint]) expect(said).not.toBe('')
  })

  const [entry] = whole.entries as Entry[]
  test.each<[string, Partial<Record<keyof Entry, unknown>>]>([
    ['no id', { id: undefined }],
    ['an id that is code', { id: '<script>alert(1)</script>' }],
    ['an odd key', { key: 'H' }],
    ['bars back to front', { bars: [4, 2] }],
    ['no tempo', { tempo: '120' }],
    ['no end of minutes', { minutes: 1e9 }],
    ['another verdict', { verdict: 'perfect' }],
    ['an odd time', { time: -1 }],
    ['an odd day', { day: '2026-02-30' }],
  ])('leaves out an entry with %s, and says which', (_, change) => {
    const entries = [...(whole.entries as Entry[]), { ...entry, id: 'one-more-entry', ...change }]
    const { record: rest, problems } = readRecord(written({ entries }))
    expect(rest!.entries).toEqual(record.entries)
    expect(problems).toHaveLength(1)
    expect(problems[0]).toMatchObject({ severity: 'warning', code: 'damaged-entry' })
    expect(problems[0]!.found).toContain(`number ${entries.length}`)
  })

  test.each<[string, Record<string, unknown>]>([
    ['another goal than its name stands for', { goal: 180 }],
    ['keys that are none', { keys: ['C', 'X'] }],
    ['bars without end', { bars: [1, 1e9] }],
    ['choices that are none', { fields: { __proto__: null, evil: 'yes' } }],
    ['phrases out of order', { phrases: [1, 1] }],
  ])('leaves out a plan with %s', (_, change) => {
    const damagedPlan = { plan: { ...plans[0]!, ...change }, taken: 1 }
    const { record: rest, problems } = readRecord(written({ plans: [damagedPlan] }))
    expect(rest!.plans).toEqual([])
    expect(problems.map(({ code }) => code)).toEqual(['damaged-plan'])
  })

  test('whatever stands there, nothing breaks', () => {
    fc.assert(
      fc.property(fc.json(), fc.json(), fc.json(), (a, b, c) => {
        const fields = { ...whole, entries: JSON.parse(a), plans: JSON.parse(b), deleted: JSON.parse(c) }
        for (const odd of [fields, { ...whole, entries: [fields.entries], plans: [fields.plans] }]) {
          const { record: read, problems } = readFields(odd)
          if (read) expect(readRecord(writeRecord(read)).problems).toEqual([])
          else expect(problems[0]!.severity).toBe('error')
        }
      }),
    )
  })

  test('a record of version 1 is brought up to today’s', () => {
    const old = {
      format: 'throughline practice record',
      version: 1,
      plans: [plans[0]],
      entries: [
        { ...entry, time: '2026-11-30T23:30:00-05:00', day: undefined },
        { ...entry, id: 'one-more-entry', time: '2026-12-01T08:00:00.000Z', day: undefined },
        { ...entry, id: 'entry-that-is-damaged', time: 'yesterday', day: undefined },
      ],
    }
    const { record: read, problems } = readRecord(JSON.stringify(old))
    expect(read!.version).toBe(2)
    expect(read!.plans).toEqual([{ plan: plans[0], taken: 0 }])
    // Late in the evening where the player was, though the next day by universal time.
    expect(read!.entries.map(({ day, time }) => [day, time])).toEqual([
      ['2026-11-30', Date.UTC(2026, 11, 1, 4, 30)],
      ['2026-12-01', Date.UTC(2026, 11, 1, 8)],
    ])
    expect(problems.map(({ code }) => code)).toEqual(['damaged-entry'])
  })

  test('what it does not know is left out, and it reads with its own fields alone', () => {
    const { record: read } = readRecord(written({ more: 'of it', entries: [{ ...entry, more: 'of it' }] }))
    expect(read!.entries[0]).toEqual(entry)
  })
})

describe('odd records', () => {
  test('a clock that was set back is said, counts nothing twice, and loses nothing', () => {
    const plan = plans[0]!
    const time = Date.UTC(2026, 11, 20)
    const { record } = practise(plan, 3, 1)
    const ahead = { ...record.entries[0]!, id: 'entry-from-ahead', time, day: '2026-12-20' }
    const both = addEntries(record, [ahead])
    expect(checkClock(both, time + 1)).toBeNull()
    expect(checkClock(both, time - 60_000)).toBeNull()
    expect(checkClock(both, Date.UTC(2026, 11, 2))).toMatchObject({ severity: 'warning', code: 'clock-set-back' })
    expect(checkClock(emptyRecord, 0)).toBeNull()
    expect(planDay(plan, both, '2026-12-02')).toEqual(planDay(plan, record, '2026-12-02'))
    expect(both.entries).toHaveLength(record.entries.length + 1)
  })

  test('entries of a plan that is not there are kept, and the plan is named', () => {
    const { record } = practise(plans[0]!, 3, 1)
    expect(lostPlans(record)).toEqual([plans[0]!.id])
    expect(lostPlans(takePlan(record, plans[0]!, 1))).toEqual([])
    expect(planDay(plans[1]!, record, monday)).toEqual(planDay(plans[1]!, emptyRecord, monday))
  })
})

test('a plan that a clock ahead put away is taken up again all the same: a year ahead, ten years ahead, 2 ways', () => {
  const plan = planOf()
  const now = Date.UTC(2026, 10, 27)
  for (const years of [1, 10]) {
    const ahead = now + years * 365 * 86_400_000
    const putAway = putPlanAway(takePlan(emptyRecord, plan, now), plan.id, ahead)
    const takenAhead = putPlanAway(takePlan(emptyRecord, plan, ahead), plan.id, now)
    for (const record of [putAway, takenAhead]) {
      expect(record.plans).toEqual([])
      const again = takePlan(record, plan, now + 1)
      expect(again.plans.map((each) => each.plan.id)).toEqual([plan.id])
      expect(mergeRecords(record, again).plans).toEqual(again.plans)
    }
  }
})
