import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type FairQueue, startQueue } from '../../../web/server/fairQueue.ts'

/** Work that ends when it is told to, and a list of what was begun. */
function workshop(queue: FairQueue) {
  const begun: string[] = []
  const ends = new Map<string, () => void>()
  const ask = (who: string, name: string, left?: AbortSignal) =>
    queue.run(
      who,
      () =>
        new Promise<string>((resolve) => {
          begun.push(name)
          ends.set(name, () => resolve(name))
        }),
      left,
    )
  const finish = async (name: string) => {
    ends.get(name)!()
    await new Promise((resolve) => setImmediate(resolve))
  }
  return { begun, ask, finish }
}

describe('a queue', () => {
  test('is first in, first out for one who asks', async () => {
    const { begun, ask, finish } = workshop(startQueue(1, 20))
    const names = Array.from({ length: 16 }, (_, n) => String(n))
    const asked = names.map((name) => ask('a', name))
    for (const name of names) await finish(name)
    expect(begun).toEqual(names)
    expect(await Promise.all(asked)).toEqual(names)
  })

  test('gives those who ask their turns', async () => {
    const { begun, ask, finish } = workshop(startQueue(1, 20))
    for (const name of ['a1', 'a2', 'a3', 'a4', 'b1', 'c1', 'c2']) void ask(name[0]!, name)
    for (let n = 0; n < 7; n++) await finish(begun[n]!)
    expect(begun).toEqual(['a1', 'a2', 'b1', 'c1', 'a3', 'c2', 'a4'])
  })

  test('that is full lets the newest of whoever holds most give way to someone who holds less', async () => {
    const { begun, ask, finish } = workshop(startQueue(1, 3))
    const greedy = ['a1', 'a2', 'a3', 'a4', 'a5'].map((name) => ask('a', name))
    expect(await greedy[4]).toBe('full')
    const polite = ask('b', 'b1')
    expect(await greedy[3]).toBe('full')
    await finish('a1')
    await finish('a2')
    await finish('b1')
    expect(await polite).toBe('b1')
    expect(begun).toEqual(['a1', 'a2', 'b1', 'a3'])
  })

  test('forgets who left while they waited, and does not begin their work', async () => {
    const { begun, ask, finish } = workshop(startQueue(1, 3))
    const leaving = new AbortController()
    void ask('a', 'a1')
    const left = ask('b', 'b1', leaving.signal)
    void ask('c', 'c1')
    leaving.abort()
    expect(await left).toBe('gone')
    await finish('a1')
    expect(begun).toEqual(['a1', 'c1'])
    expect(await ask('d', 'd1', AbortSignal.abort())).toBe('gone')
  })

  test('goes on after work that failed', async () => {
    const queue = startQueue(1, 3)
    await expect(queue.run('a', () => Promise.reject(new Error('broken')))).rejects.toThrow('broken')
    expect(await queue.run('a', async () => 'done')).toBe('done')
    expect(queue.load()).toEqual({ going: 0, waiting: 0 })
  })

  test('begins each one once, keeps each asker in order and never goes over its lanes', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom('a', 'b', 'c'), { maxLength: 30 }),
        fc.integer({ min: 1, max: 3 }),
        async (who, lanes) => {
          const queue = startQueue(lanes, 30)
          const { begun, ask, finish } = workshop(queue)
          for (const [n, each] of who.entries()) void ask(each, `${each}${n}`)
          for (let n = 0; n < who.length; n++) {
            expect(queue.load().going).toBeLessThanOrEqual(lanes)
            await finish(begun[n]!)
          }
          expect(new Set(begun).size).toBe(who.length)
          for (const each of 'abc') {
            const own = begun.filter((name) => name.startsWith(each)).map((name) => Number(name.slice(1)))
            expect(own).toEqual([...own].sort((a, b) => a - b))
          }
        },
      ),
    )
  })
})
