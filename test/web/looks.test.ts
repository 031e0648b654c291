/** What can be pressed looks the same on every page: nothing is left to the browser's own look (this project's own rule). */
import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'

const folder = new URL('../../templates/', import.meta.url)
const tags = readdirSync(folder).flatMap((file) =>
  [...readFileSync(new URL(file, folder), 'utf8').matchAll(/<button\b[^>]*>/g)].map(([tag]) => ({ file, tag })),
)

test('every button is framed as one, or seen by nobody', () => {
  expect(tags.length).toBeGreaterThan(30)
  expect(tags.filter(({ tag }) => !/class="(?:[^"]* )?(?:ink|unseen)[ "]/.test(tag))).toEqual([])
})
