/** A worker that makes one recording or class packet into a file, piece by piece. */
import { closeSync, openSync, writeSync } from 'node:fs'
import { parentPort, workerData } from 'node:worker_threads'
import { exportOf, writePieces } from '../../lib/exports.ts'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { usualTempo } from '../../lib/sound/playPasses.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { sayAlter, tuneForFile } from '../../lib/theory/signs.ts'
import { printedLink } from '../views/keeping.ts'
import { messagePage } from '../views/messages.ts'
import { fileName, problemPage, readState } from '../views/pages.ts'
import type { FileNews, FileOrder } from './madeFiles.ts'

/** Where the build leaves the recorded notes. */
const here = new URL('../browser/', import.meta.url)
const port = parentPort!
const send = (news: FileNews): void => port.postMessage(news)

const question = workerData as FileOrder
const isUnwanted = (): boolean => Atomics.load(question.unwanted, 0) === 1
const state = readState(question.given, question.badLink)
const lines = question.part === 0 ? state.written.lines : state.written.lines.slice(question.part - 1, question.part)
const brief = question.alone
  ? { ...state.brief, hear: state.brief.hear.filter((part) => part !== 'line') }
  : state.brief
const asked = exportAsked(question.format)
const ending = asked.endings[0].split('.').at(-1)
const title = lines[0]?.harmony.title ?? ''
const name =
  asked.offered === 'packet'
    ? `${tuneForFile(title)}-class-packet.${ending}`
    : `${fileName(title, brief)}${howPlayed()}${question.alone ? '-band' : ''}.${ending}`

/** Key and tempo for a name: what tells one recording of a tune from the next. */
function howPlayed(): string {
  const [line] = lines
  if (!line) return ''
  const keys = lines.length > 1 ? `${lines.length}-keys` : nameOfKey(line.key).replace('#', sayAlter(1))
  return `-${keys}-${Math.round(brief.tempo ?? line.harmony.tempo ?? usualTempo)}`
}

/** The export that is asked for, which holds all lines at once. */
function exportAsked(id: string) {
  const found = exportOf(id)
  if (found?.needs !== 'lines') throw new Error(`${id} is not of all lines at once`)
  return found
}

/** Writes pieces into the file as they are made; a file that cannot be written is said. */
async function save(pieces: Iterable<Uint8Array> | AsyncIterable<Uint8Array>): Promise<void> {
  const file = openSync(question.path, 'wx', 0o600)
  let bytes = 0
  try {
    for await (const piece of pieces) {
      if (isUnwanted()) return
      // A disk that is nearly full takes a part of a piece.
      for (let at = 0; at < piece.length; ) at += writeSync(file, piece, at)
      bytes += piece.length
    }
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error
    return send({ kind: 'wrong', answer: messagePage(503) })
  } finally {
    closeSync(file)
  }
  send({ kind: 'done', bytes, file: name })
}

async function make(): Promise<void> {
  if (isUnwanted()) return
  if (state.wrong || lines.length === 0) return send({ kind: 'wrong', answer: problemPage(state) })
  const samples = (program: number) => loadSamples(program, here)
  const link = question.origin === '' ? null : printedLink(state, question.origin)
  const progress = (done: number, of: number) => send({ kind: 'going', done, of })
  const made = await writePieces(asked, { ...state.written, brief, lines }, { samples, link, progress })
  if (!('problems' in made)) return save(made)
  send({ kind: 'wrong', answer: problemPage({ ...state, problems: made.problems }) })
}

await make()
port.close()
