/** Builds what the browser gets: the page's script and style bundled, its fonts beside them. Run by `npm run build`. */
import { copyFileSync, existsSync, mkdirSync, readdirSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { facesToKeep } from '../lib/engrave/pdf/pdfFonts.ts'
import { buildSamples } from './buildSamples.ts'

/** The licences of the faces that were bundled, beside them: each asks that it goes where its face goes. */
function copyLicences(to: string): void {
  const faces = readdirSync(to).flatMap(
    (file) => /^(.+?)-[a-z]+-\d{3}-(?:normal|italic)-\w+\.woff2$/.exec(file)?.[1] ?? [],
  )
  const require = createRequire(import.meta.url)
  for (const face of new Set(faces))
    copyFileSync(
      join(dirname(require.resolve(`@fontsource/${face}/package.json`)), 'LICENSE'),
      join(to, `${face}-licence.txt`),
    )
}

/**
 * Bundles `web/browser` into a folder, emptied first.
 *
 * @param from - the folder `web/browser` as written
 */
export async function buildPage(from: string, to: string): Promise<void> {
  rmSync(to, { recursive: true, force: true })
  mkdirSync(to, { recursive: true })
  const entries = readdirSync(from).filter((file) => /^\w+\.entry\.ts$/.test(file) || file === 'page.css')
  await build({
    entryPoints: entries.map((file) => ({ in: join(from, file), out: file.split('.')[0]! })),
    outdir: to,
    bundle: true,
    minify: true,
    format: 'esm',
    target: ['chrome111', 'firefox113', 'safari16.4'],
    loader: { '.woff2': 'file', '.woff': 'empty' },
    assetNames: '[name]-[hash]',
    legalComments: 'none',
    logLevel: 'warning',
  })
  copyFileSync(join(from, 'icon.svg'), join(to, 'icon.svg'))
  copyLicences(to)
}

/** Copies what print takes of large packages of faces beside its writer, so that who only runs the program needs no more. */
function keepFaces(to: string): void {
  const { resolve: find } = createRequire(import.meta.url)
  for (const face of facesToKeep) {
    const name = face.endsWith('LICENSE') ? 'DejaVuSans-licence.txt' : face.split('/').at(-1)!
    copyFileSync(find(face), join(to, name))
  }
}

if (process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  // Built, this file is dist/web/buildPage.js: the sources lie two folders up.
  const from = fileURLToPath(new URL('../../web/browser/', import.meta.url))
  if (!existsSync(from)) throw new Error(`${from} is missing`)
  const to = fileURLToPath(new URL('./browser/', import.meta.url))
  await buildPage(from, to)
  await buildSamples(to)
  keepFaces(fileURLToPath(new URL('../lib/engrave/pdf/', import.meta.url)))
}
