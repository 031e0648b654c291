/** Writes down what today's edition draws: `npm run edition`, once a new edition is named in `lib/edition.ts`. */
import { existsSync, writeFileSync } from 'node:fs'
import { edition } from '../../lib/edition.ts'
import { addressOf, corpus, fileOf, keptSums, sumOf } from './corpus.ts'

const sums = Object.fromEntries(corpus.map((fields) => [addressOf(fields), sumOf(fields)]))
const before = existsSync(fileOf(edition)) ? keptSums(edition) : {}
const changed = Object.entries(before).filter(([address, sum]) => sums[address] !== sum).length
writeFileSync(fileOf(edition), `${JSON.stringify(sums, null, 1)}\n`)
console.log(
  `${Object.keys(sums).length} addresses of edition ${edition}, ${changed} of them drawn otherwise than before`,
)
