/** Writes the tables of the README anew from the records of commands and choices: `node test/run.mjs test/rebuild/readme.ts`. */
import { readFileSync, writeFileSync } from 'node:fs'
import { withTables } from '../readmeTables.ts'

writeFileSync('README.md', withTables(readFileSync('README.md', 'utf8')))
