/** Builds what the browser gets: the page's script and style bundled, its fonts beside them. Run by `npm run build`. */
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { initWasm, Resvg } from '@resvg/resvg-wasm'
import { build } from 'esbuild'
import { facesToKeep } from '../lib/engrave/pdf/pdfFonts.ts'
import { buildPackages, licencesOf } from './buildPackages.ts'
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
  const { metafile } = await build({
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
    metafile: true,
  })
  await makeIcons(join(from, 'icon.svg'), to)
  copyLicences(to)
  writeFileSync(join(to, 'packages-licences.txt'), licencesOf(metafile))
}

/** The page's sign as a device shows it among its programs, and what the page is as one; addresses hold at any path. */
async function makeIcons(from: string, to: string): Promise<void> {
  const { resolve: find } = createRequire(import.meta.url)
  await initWasm(readFileSync(find('@resvg/resvg-wasm/index_bg.wasm'))).catch((error: Error) => {
    if (!/already/i.test(error.message)) throw error
  })
  const svg = readFileSync(from, 'utf8')
  // Cut round, an icon loses its corners: this one has room for that (Web Application Manifest, 'maskable').
  const roomy = svg
    .replace('viewBox="0 0 32 32"', 'viewBox="-5 -5 42 42"')
    .replace('<rect width="32" height="32" rx="4"', '<rect x="-5" y="-5" width="42" height="42"')
    .replaceAll('M0 ', 'M-5 ')
    .replaceAll('h32', 'h42')
  const draw = (text: string, width: number, name: string): void =>
    writeFileSync(join(to, name), new Resvg(text, { fitTo: { mode: 'width', value: width } }).render().asPng())
  draw(svg, 192, 'icon-192.png')
  draw(svg, 512, 'icon-512.png')
  draw(roomy, 512, 'icon-roomy.png')
  copyFileSync(from, join(to, 'icon.svg'))
  const icon = (src: string, sizes: string, purpose: string) => ({ src, sizes, type: 'image/png', purpose })
  const manifest = {
    name: 'Throughline',
    short_name: 'Throughline',
    description: 'Practice lines over your own changes',
    // The page is two folders above the files of its build.
    start_url: '../../',
    scope: '../../',
    display: 'standalone',
    background_color: '#f6f1e6',
    theme_color: '#f6f1e6',
    icons: [
      icon('icon-192.png', '192x192', 'any'),
      icon('icon-512.png', '512x512', 'any'),
      icon('icon-roomy.png', '512x512', 'maskable'),
    ],
  }
  writeFileSync(join(to, 'manifest.webmanifest'), `${JSON.stringify(manifest, null, 1)}\n`)
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
  await buildPackages(fileURLToPath(new URL('../', import.meta.url)))
  await buildPage(from, to)
  await buildSamples(to)
  keepFaces(fileURLToPath(new URL('../lib/engrave/pdf/', import.meta.url)))
}
