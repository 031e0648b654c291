/** Builds what the browser gets: the page's script and style bundled, its fonts beside them. Run by `npm run build`. */
import { copyFileSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { VerovioToolkit } from 'verovio/esm'
import createVerovioModule from 'verovio/wasm'

/**
 * Bundles `web/page` into a folder, emptied first.
 *
 * @param from - the folder `web/page` as written
 */
export async function buildPage(from: string, to: string): Promise<void> {
  rmSync(to, { recursive: true, force: true })
  mkdirSync(to, { recursive: true })
  const entries = readdirSync(from).filter((file) => /^\w+\.entry\.ts$/.test(file) || file === 'page.css')
  await build({
    entryPoints: Object.fromEntries(entries.map((file) => [file.split('.')[0]!, join(from, file)])),
    outdir: to,
    bundle: true,
    minify: true,
    format: 'esm',
    target: ['chrome111', 'firefox113', 'safari16.4'],
    loader: { '.woff2': 'file', '.woff': 'empty' },
    assetNames: '[name]-[hash]',
    external: ['./leipzig.woff2'],
    legalComments: 'none',
    logLevel: 'warning',
  })
  copyFileSync(join(from, 'icon.svg'), join(to, 'icon.svg'))
  writeFileSync(join(to, 'leipzig.woff2'), await engraversTextFont())
}

/** The font that Verovio sets signs in text with, taken from a picture that embeds it. */
async function engraversTextFont(): Promise<Uint8Array> {
  const toolkit = new VerovioToolkit(await createVerovioModule())
  try {
    toolkit.setOptions({ smuflTextFont: 'embedded' })
    toolkit.loadData(
      '<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef><staffGrp><staffDef n="1" lines="5"/></staffGrp></scoreDef><section><measure><staff n="1"><layer n="1"><note dur="1" pname="c" oct="5"/></layer></staff><harm staff="1" tstamp="1">B♭</harm></measure></section></score></mdiv></body></music></mei>',
    )
    const found = /url\(data:[^,)]*base64,([^)]+)\)/.exec(toolkit.renderToSVG(1))
    if (!found) throw new Error('the engraver embeds no text font any more')
    return Buffer.from(found[1]!, 'base64')
  } finally {
    toolkit.destroy()
  }
}

if (process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  // Built, this file is dist/web/buildPage.js: the sources lie two folders up.
  const from = fileURLToPath(new URL('../../web/page/', import.meta.url))
  if (!existsSync(from)) throw new Error(`${from} is missing`)
  await buildPage(from, fileURLToPath(new URL('./page/', import.meta.url)))
}
