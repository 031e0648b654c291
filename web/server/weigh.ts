/** How much work a question is, told from its fields alone, so that long work goes aside and what is too much is refused at once. */

import { limits } from '../../lib/brief.ts'
import { exports } from '../../lib/exports.ts'
import type { Given } from './address.ts'
import type { Question } from './workerRequest.ts'

/** Milliseconds of work for each bar in each key, as measured on two cores at 2.4 GHz: drawing and laying out; engraving. */
const drawing = 0.5
const engraving = 3

/** Formats that are engraved. */
const engraved: readonly string[] = exports.filter(({ nodeOnly }) => nodeOnly).map(({ id }) => id)

/** How many keys a brief asks for, told without reading them. */
function keysIn({ keys = '' }: Given): number {
  if (keys.trim() === '') return 1
  return /[,;]/.test(keys) || keys.length <= 3 ? keys.split(/[,;]/).length : limits.keys
}

/** About how many bars the changes hold in all choruses. */
function barsIn({ changes = '', choruses = '1' }: Given): number {
  const lines = changes.match(/\|/g)?.length ?? 0
  const counted = /^\d{1,3}$/.test(choruses.trim()) ? Number(choruses) : 1
  return Math.min(limits.bars, Math.max(lines, 1) * Math.max(1, counted))
}

/** About how many milliseconds a question will take. */
export function weigh(question: Question): number {
  if (question.kind === 'plan' || question.kind === 'packet')
    return barsIn(question.given) * keysIn(question.given) * drawing
  if (question.kind !== 'page' && question.kind !== 'download' && question.kind !== 'sheet') return 0
  const { given } = question
  const all = barsIn(given) * keysIn(given)
  if (question.kind !== 'download' || !engraved.includes(question.format)) return all * drawing
  const parts = question.format === 'pdf' || question.format === 'zip' ? 1 + (given.parts?.split(',').length ?? 0) : 1
  return all * (drawing + engraving * parts)
}
