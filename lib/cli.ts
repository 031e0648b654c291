#!/usr/bin/env node
/** The command line as a process: `throughline COMMAND …`. Results on standard output, problems on standard error. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { runCommand } from './commands/commands.ts'

// A reader that stops early, such as `head`, is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 1))

runCommand(process.argv.slice(2), {
  read: (file) => readFileSync(file === '-' ? 0 : file),
  write: writeFileSync,
  out: (bytes) => process.stdout.write(bytes),
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
    // A port that is taken or not ours, or a setting that is not understood: nothing broke, and it is for the person to mend.
    const theirs = ['EADDRINUSE', 'EACCES', 'EADDRNOTAVAIL', 'ENOTFOUND'].includes(code) || name === 'SettingError'
    process.stderr.write(theirs ? `throughline: ${said}\n` : `throughline: an error of its own: ${said}\n`)
    process.exitCode = theirs ? 2 : 1
  },
)
