/**
 * Large packages of which the program takes a little: the build puts that little into the one file that names the package, so
 * that who installs the program does not install them. Their licences stand beside it.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { build, type Metafile } from 'esbuild'

/** The files, below `dist`. */
const files = ['lib/mark/abcParser.js', 'lib/opusEncoder.js', 'lib/sound/flacAndOgg.js', 'web/views/handlebars.js']

/** The BSD licence of three clauses, as Xiph's libraries have it. */
const bsd = (copyright: string, names: string, holders: string): string => `${copyright}

Redistribution and use in source and binary forms, with or without
modification, are permitted provided that the following conditions
are met:

- Redistributions of source code must retain the above copyright
notice, this list of conditions and the following disclaimer.

- Redistributions in binary form must reproduce the above copyright
notice, this list of conditions and the following disclaimer in the
documentation and/or other materials provided with the distribution.

- Neither the name of ${names} may be used to endorse or promote products
derived from this software without specific prior written permission.

THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS
\`\`AS IS'' AND ANY EXPRESS OR IMPLIED WARRANTIES, INCLUDING, BUT NOT
LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR
A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL ${holders} OR
CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL,
EXEMPLARY, OR CONSEQUENTIAL DAMAGES (INCLUDING, BUT NOT LIMITED TO,
PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR
PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF
LIABILITY, WHETHER IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING
NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF THIS
SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE.`

/** What a package carries as WebAssembly, where its own licence has not the words; as Debian's copyright files of libFLAC and libopus have them. */
const carried: Readonly<Record<string, string>> = {
  '@mediabunny/flac-encoder': `It carries libFLAC:\n\n${bsd(
    'Copyright (C) 2000-2009 Josh Coalson\nCopyright (C) 2011-2022 Xiph.Org Foundation',
    'the Xiph.org Foundation nor the names of its contributors',
    'THE FOUNDATION',
  )}`,
  'libopus-wasm': `It carries libopus:\n\n${bsd(
    'Copyright (C) 2001-2018 Xiph.Org, Skype Limited, Octasic, Jean-Marc Valin, Timothy B. Terriberry, CSIRO, Gregory Maxwell,\nMark Borgerding, Erik de Castro Lopo',
    'Internet Society, IETF or IETF Trust, nor the names of specific contributors,',
    'THE COPYRIGHT OWNER',
  )}`,
}

/** The folders of the packages that went into a bundle. */
function packagesIn({ outputs }: Metafile): readonly string[] {
  const used = Object.values(outputs).flatMap(({ inputs }) =>
    Object.entries(inputs).filter(([, { bytesInOutput }]) => bytesInOutput > 0),
  )
  const folders = used.flatMap(([path]) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0] ?? [])
  return [...new Set(folders)].sort()
}

/** What goes where a package goes: its name and version, its licence, and where its source is to be had, as the MPL asks. */
function licenceOf(folder: string): string {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as {
    name: string
    version: string
    license: string
  }
  const texts = readdirSync(folder).filter((each) => /^(licen[cs]e|third_party_notices)(\.(md|txt))?$/i.test(each))
  if (texts.length === 0) throw new Error(`${name} states no licence that could go where it goes`)
  const head = `${name} ${version} (${license}), as the npm registry has it, source and all, under this name and version`
  const said = texts.map((file) => readFileSync(join(folder, file), 'utf8').trim())
  return [head, ...said, carried[name] ?? []].flat().join('\n\n')
}

/** The licences of the packages that went into a bundle, as one text. */
export const licencesOf = (made: Metafile): string =>
  `${packagesIn(made)
    .map(licenceOf)
    .join(`\n\n${'='.repeat(80)}\n\n`)}\n`

/** Puts packages into the files of a build that name them. A file that has its package already stays. */
export async function buildPackages(dist: string): Promise<void> {
  for (const file of files) {
    const path = join(dist, file)
    if (!existsSync(path)) throw new Error(`${path} is missing`)
    const { metafile } = await build({
      entryPoints: [path],
      outfile: path,
      allowOverwrite: true,
      bundle: true,
      metafile: true,
      // As a browser takes them, which does in Node as well, but for the threads that Node has for a browser's workers.
      platform: 'browser',
      external: ['worker_threads', 'node:*'],
      format: 'esm',
      target: 'es2022',
      logLevel: 'warning',
    })
    if (packagesIn(metafile).length > 0)
      writeFileSync(
        join(dist, file.replace(basename(file), `${basename(file, '.js')}-licences.txt`)),
        licencesOf(metafile),
      )
  }
}
