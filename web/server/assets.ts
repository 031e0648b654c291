/** What the page needs beside its text: style, script, fonts and signs, held in memory under the build's own address. */
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { bandPrograms } from '../../lib/sound/recordings.ts'
import { sampleFile } from '../../lib/sound/sampledTones.ts'
import { home } from '../views/templates.ts'
import type { Answer } from './answer.ts'

const types: Readonly<Record<string, string>> = {
  bin: 'application/octet-stream',
  css: 'text/css; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  json: 'application/json',
  png: 'image/png',
  svg: 'image/svg+xml',
  txt: 'text/plain; charset=utf-8',
  wasm: 'application/wasm',
  webmanifest: 'application/manifest+json',
  woff2: 'font/woff2',
}
const squeezed = ['css', 'js', 'json', 'svg', 'txt', 'wasm', 'webmanifest']

const filesIn = (folder: string): readonly string[] =>
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()

const here = fileURLToPath(new URL('../', import.meta.url))
const built = fileURLToPath(new URL('../browser/', import.meta.url))

/** Whether recorded notes were cut when this was built. */
export const hasRecordedNotes = existsSync(join(built, sampleFile(bandPrograms.bass)))

/** What is installed of the packages that the bytes of answers come from, each with its version. */
function dependencies(): readonly (readonly [string, string])[] {
  const { dependencies: wanted } = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8')) as {
    dependencies: Readonly<Record<string, string>>
  }
  return Object.entries(wanted).map(([name, version]) => [name, installed(name) ?? version])
}

/** The version of a package as found from here, as Node looks for it: in this folder and those above. */
function installed(name: string): string | null {
  for (let folder = home; ; folder = dirname(folder)) {
    const file = join(folder, 'node_modules', name, 'package.json')
    if (existsSync(file)) return (JSON.parse(readFileSync(file, 'utf8')) as { version: string }).version
    if (dirname(folder) === folder) return null
  }
}

/** Names this build by its own bytes, so that an address under it can be kept for ever. */
export const build = ((): string => {
  const hash = createHash('sha256')
  const lib = join(here, '..', 'lib')
  const code = [here, lib].flatMap((folder) => {
    try {
      return filesIn(folder)
    } catch {
      return []
    }
  })
  for (const file of [...code, ...filesIn(join(home, 'templates'))]) {
    if (/\.(d\.ts|map)$/.test(file)) continue
    hash.update(relative(home, file).split(sep).join('/')).update('\0').update(readFileSync(file)).update('\0')
  }
  for (const [name, version] of dependencies()) hash.update(`${name} ${version}\0`)
  return hash.digest('base64url').slice(0, 12)
})()

export const assetsPath = `/assets/${build}/`

/** What every page needs to find this server's root and the files of its build from where it stands. */
export const placed = (root = './') => ({ root, assets: `${root}${assetsPath.slice(1)}` })

/** Reads the page's files, by their name under the assets' path. */
export function readAssets(): ReadonlyMap<string, Answer> {
  return new Map(
    filesIn(built)
      .filter((file) => /\.\w+$/.exec(file)![0].slice(1) in types)
      .map((file): [string, Answer] => {
        const ending = /\.(\w+)$/.exec(file)![1]!
        const bytes = readFileSync(file)
        const zip = squeezed.includes(ending)
        return [
          relative(built, file).split(sep).join('/'),
          {
            status: 200,
            type: types[ending]!,
            body: zip ? gzipSync(bytes) : bytes,
            encoding: zip ? 'gzip' : 'identity',
            file: null,
          },
        ]
      }),
  )
}

/** What of a build the page and its plain sound need where there is no server; recorded notes are kept once they were fetched. */
const offline = /^(page|sound|soundWorker|ownTable|practice|makePlan|tapPass)\.(js|css)$|\.woff2$|^icon/

/** The script that keeps what was seen, with what belongs to this build put before it. */
export function serviceWorker(assets: ReadonlyMap<string, Answer>): Answer {
  const files = [...assets.keys()].filter((name) => offline.test(name)).map((name) => `${assetsPath.slice(1)}${name}`)
  const own = readFileSync(join(built, 'serviceWorker.js'), 'utf8')
  const text = `self.throughlineBuild=${JSON.stringify({ build, files })};\n${own}`
  return { status: 200, type: types.js!, body: gzipSync(text), encoding: 'gzip', file: null }
}
