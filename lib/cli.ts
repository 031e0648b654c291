#!/usr/bin/env node
/** The command line as a process: `throughline COMMAND …`. Results on standard output, problems on standard error. */
import { closeSync, existsSync, openSync, readFileSync } from 'node:fs'
import type { Outside } from './commands/command.ts'
import { withoutControls } from './problem.ts'
import { readBytesOf } from './readBytes.ts'
import { SaveError, saveFiles } from './saveFiles.ts'

// A reader that stops early, such as `head`, is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0)
  process.stderr.write(`throughline: standard output could not be written: ${error.message}\n`)
  process.exit(1)
})
process.stderr.on('error', () => undefined)

/** What a terminal is shown: text without controls; what is no text is no use there. */
function show(bytes: string | Uint8Array): void {
  if (!process.stdout.isTTY) process.stdout.write(bytes)
  else if (typeof bytes !== 'string' && bytes.includes(0))
    throw new SaveError('found a terminal to write on; expected a file for this format; give -o PATH')
  else process.stdout.write(withoutControls(typeof bytes === 'string' ? bytes : new TextDecoder().decode(bytes)))
}

/** What is open at once while the program is read; Node says it of a file, or as a package that is not there. */
const tooFew =
  'found too few files that may be open at once; expected some 200, since the program is read from many; try ulimit -n 1024'

/** Whether no file more can be opened. */
function noFileMore(): boolean {
  try {
    closeSync(openSync(process.execPath, 'r'))
    return false
  } catch {
    return true
  }
}

/** The commands, loaded here and not before, so that what stops them from loading can be said. */
async function run(words: readonly string[], outside: Outside): Promise<number> {
  const { runCommand } = await import('./commands/commands.ts')
  return runCommand(words, outside)
}

run(process.argv.slice(2), {
  read: readBytesOf,
  write: saveFiles,
  out: show,
  err: (text) => process.stderr.write(text),
  watched: process.stderr.isTTY,
  port: process.env.PORT ?? '3000',
  version: () => {
    // Above this file, whether it runs as written or as built.
    const places = ['../package.json', '../../package.json'].map((path) => new URL(path, import.meta.url))
    return JSON.parse(readFileSync(places.find((place) => existsSync(place))!, 'utf8')).version
  },
  serve: async (port) => {
    const { serve } = await import('../web/server/server.ts')
    await serve({ port })
  },
}).then(
  (code) => {
    process.exitCode = code
  },
  (error: unknown) => {
    const said = error instanceof Error ? error.message : String(error)
    const { code = '', name = '' } = (error ?? {}) as { code?: string; name?: string }
    if (['EMFILE', 'ENFILE'].includes(code) || (code === 'ERR_MODULE_NOT_FOUND' && noFileMore())) {
      process.stderr.write(`throughline: ${tooFew}\n`)
      process.exitCode = 2
      return
    }
    // A port that is taken or not ours, or a setting that is not understood: nothing broke, and it is for the person to mend.
    const theirs =
      ['EADDRINUSE', 'EACCES', 'EADDRNOTAVAIL', 'ENOTFOUND'].includes(code) ||
      ['SettingError', 'SaveError'].includes(name)
    process.stderr.write(theirs ? `throughline: ${said}\n` : `throughline: an error of its own: ${said}\n`)
    process.exitCode = theirs ? 2 : 1
  },
)
