/** Every package that the program runs on has a licence that lets it be given away with it, and needs no install script. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { buildServer } from './web/serve.ts'

/** SPDX names: permissive ones, and MPL-2.0 and LGPL-3.0 for packages used as they come. */
const allowed = [
  'MIT',
  'ISC',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Apache-2.0',
  '0BSD',
  'BlueOak-1.0.0',
  'CC0-1.0',
  'Unlicense',
  'OFL-1.1',
  'Bitstream-Vera',
  'MPL-2.0',
  'LGPL-3.0-or-later',
]

interface Locked {
  readonly dev?: boolean
  readonly hasInstallScript?: boolean
  readonly license?: string
}
const lock = JSON.parse(readFileSync('package-lock.json', 'utf8')) as { packages: Record<string, Locked> }
const shipped = Object.entries(lock.packages).filter(([path, { dev }]) => path !== '' && !dev)

/** The licence that a package itself states, its parts where it offers several. */
function statedBy(path: string): readonly string[] {
  const manifest = JSON.parse(readFileSync(`${path}/package.json`, 'utf8')) as {
    license?: string | { type: string }
    licenses?: readonly { type: string }[]
  }
  const said = typeof manifest.license === 'object' ? manifest.license.type : manifest.license
  const text = said ?? manifest.licenses?.map(({ type }) => type).join(' OR ') ?? ''
  return text.replace(/[()]/g, '').split(/ (?:OR|AND) /)
}

/** Packages whose manifest says nothing, or says it in other words: read by hand, with where it stands. */
const readByHand: Readonly<Record<string, string>> = {
  // Its LICENSE file.
  'node_modules/png-js': 'MIT',
  // Bitstream Vera's licence, free to use and embed (its LICENSE file); changes of the faces are in the public domain.
  'node_modules/dejavu-fonts-ttf': 'Bitstream-Vera',
}

test('there are packages to look at', () => {
  expect(shipped.length).toBeGreaterThan(50)
})

test.each(shipped.filter(([path]) => existsSync(path)).map(([path]) => path))('%s', (path) => {
  const stated = readByHand[path] ? [readByHand[path]] : statedBy(path)
  expect(
    stated.some((licence) => allowed.includes(licence)),
    stated.join(', '),
  ).toBe(true)
  expect(lock.packages[path]!.hasInstallScript ?? false).toBe(false)
})

test('every face that the page carries has its licence beside it', async () => {
  const folder = join(await buildServer(), 'browser')
  const files = readdirSync(folder)
  const faces = files.filter((file) => file.endsWith('.woff2'))
  expect(faces.length).toBeGreaterThan(3)
  for (const face of faces) {
    const licence = files.find((file) => file.endsWith('-licence.txt') && face.startsWith(file.slice(0, -12)))
    expect(licence, face).toBeDefined()
    expect(readFileSync(join(folder, licence!), 'utf8')).toMatch(/SIL Open Font License|Apache License/i)
  }
})

test('every package that went into the page stands in its licences, with one that lets it', async () => {
  const text = readFileSync(join(await buildServer(), 'browser', 'packages-licences.txt'), 'utf8')
  const heads = [...text.matchAll(/^(\S+) \S+ \((\S+)\), as the npm registry/gm)].map(([, name, licence]) => [
    name,
    licence,
  ])
  expect(heads.map(([name]) => name)).toEqual(
    expect.arrayContaining(['fflate', 'idb', 'idiomorph', 'stb-vorbis', 'ts-fsrs', 'uqr']),
  )
  for (const [name, licence] of heads) expect([name, allowed.includes(licence!)]).toEqual([name, true])
  // MIT and BSD ask that their notice goes with every copy.
  expect(text.match(/copyright/gi)!.length).toBeGreaterThanOrEqual(heads.length)
})
