#!/usr/bin/env node
// Runs a TypeScript file of test/ by itself: `node test/run.mjs test/realism/realism.ts [arguments]`.
import { mkdirSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'

const [file, ...rest] = process.argv.slice(2)
const folder = fileURLToPath(new URL('../node_modules/.cache/throughline/', import.meta.url))
const outfile = join(folder, `${basename(file, '.ts')}.mjs`)
mkdirSync(folder, { recursive: true })
await build({ entryPoints: [file], outfile, bundle: true, platform: 'node', format: 'esm', packages: 'external' })
process.argv = [process.argv[0], file, ...rest]
await import(pathToFileURL(outfile).href)
