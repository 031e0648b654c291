/** What the server writes and the page's scripts look for, held against each other: elements, their data, files and addresses. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { limits } from '../../lib/choices/limits.ts'
import { planLimits, usualPlan } from '../../lib/practice/plan.ts'
import { webLimits } from '../../web/server/limits.ts'
import { agreed } from '../../web/shared/agreed.ts'

const filesIn = (folder: string, ending: RegExp): readonly string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((file) => ending.test(file))
    .map((file) => join(folder, file))
const read = (file: string): string => readFileSync(file, 'utf8')
const all = (folder: string, ending: RegExp): string => filesIn(folder, ending).map(read).join('\n')

const scripts = all('web/browser', /\.ts$/)
const templates = all('templates', /\.hbs$/)
const server = all('web/server', /\.ts$/) + all('web/views', /\.ts$/)
const found = (text: string, pattern: RegExp): ReadonlySet<string> =>
  new Set([...text.matchAll(pattern)].flatMap(([, ...names]) => names.filter((name) => name !== undefined)))

test('every element that a script asks for by its name is in a template, is a choice, or is made by a script', () => {
  const asked = found(
    scripts,
    /(?:getElementById|byId(?:<\w+>)?|number)\('([\w-]+)'\)|querySelector(?:<\w+>)?\(\s*['`]#([\w-]+)/g,
  )
  // The form names each choice, so its fields need no name of their own here.
  const there = new Set([
    ...found(templates, /\bid="([\w-]+)"/g),
    ...found(scripts, /\.id = '([\w-]+)'|\bid="([\w-]+)"/g),
    ...found(all('lib/choices', /\.ts$/), /^ {2}(\w+): choice\(/gm),
    'keyList',
  ])
  expect([...asked].filter((name) => !there.has(name))).toEqual([])
  expect(asked.size).toBeGreaterThan(25)
})

test('every datum that a script reads from an element is written by a template or a script', () => {
  const dashed = (name: string) => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)
  const asked = [...found(scripts, /\.dataset\.(\w+)|\[data-([\w-]+)/g)].map(dashed)
  const there = new Set([
    ...found(templates, /\bdata-([\w-]+)/g),
    ...found(server, /\bdata-([\w-]+)=/g),
    ...[...found(scripts, /\.dataset\.(\w+) = /g)].map(dashed),
    ...found(scripts, /setAttribute\('data-([\w-]+)'|toggleAttribute\('data-([\w-]+)'|\bdata-([\w-]+)="/g),
  ])
  expect(asked.filter((name) => !there.has(name))).toEqual([])
  expect(asked.length).toBeGreaterThan(15)
})

test('every script that is fetched, or kept for when there is no server, is built', () => {
  const built = filesIn('web/browser', /\.entry\.ts$/).map((file) => /(\w+)\.entry\.ts$/.exec(file)![1]!)
  const kept = /\^\(([\w|]+)\)/.exec(/const offline = (.*)/.exec(read('web/server/assets.ts'))![1]!)![1]!.split('|')
  const fetched = [...found(scripts, /new URL\('\.\/(\w+)\.js'/g), ...found(templates, /\{\{assets\}\}(\w+)\.js/g)]
  expect([...kept, ...fetched].filter((name) => !built.includes(name))).toEqual([])
  expect(fetched.length).toBeGreaterThan(6)
})

test('every page that is kept as last seen is one that the server answers', () => {
  const list = /const seenPaths = \[(.*)\]/.exec(scripts)![1]!
  const paths = [...list.matchAll(/'([^']*)'/g)].map(([, path]) => path!)
  expect(paths.filter((path) => !new RegExp(`'/${path.replace('.', '\\.')}'`).test(server))).toEqual([])
  expect(paths).toContain('practice')
})

test('no number that both sides go by is written a second time', () => {
  const sides = `${scripts}\n${server}\n${templates}`
  const written = [agreed.codeLength, agreed.tableLength].map((each) => each.toLocaleString('en').replaceAll(',', '_'))
  // The requests of a minute are as many by chance.
  for (const each of written) expect(sides.replace(/requestsPerMinute: \S+/, '')).not.toContain(each)
  expect(['mine', 'plan'].map((name) => read(`templates/${name}.hbs`)).join()).not.toMatch(/(?:min|max|maxlength)="\d/)
  // Style sheets cannot be told.
  const widths = found(
    all('web/browser', /\.css$/) + sides,
    /@media (\([^)]*max-width: 6[^)]*\))|media="(\(max-width[^)]*\))"/g,
  )
  expect([...widths]).toEqual([agreed.narrow])
})

// What an address or a file holds is limited in lib; a plan asked for from the page is the one that the command line makes.
test('limits of the page are those of lib', () => {
  expect(agreed.tableLength).toBe(limits.own)
  expect(agreed.fileSize).toBe(webLimits.file)
  for (const [usual, [least, most]] of [
    [usualPlan.goal, limits.tempo],
    [usualPlan.days, planLimits.days],
    [usualPlan.minutes, planLimits.minutes],
  ] as const) {
    expect(usual).toBeGreaterThanOrEqual(least)
    expect(usual).toBeLessThanOrEqual(most)
  }
  expect(all('web', /\.ts$/) + all('lib/commands', /\.ts$/)).not.toMatch(/planLimits\.\w+,? ?\)? (?:\?\? )?\d/)
})
