/** A worker that renders one recording into a file, piece by piece. */
import { closeSync, openSync, writeSync } from 'node:fs'
import { parentPort, workerData } from 'node:worker_threads'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import { longestRecording } from '../../lib/sound/playPasses.ts'
import { planRecording, recordSound } from '../../lib/sound/recordSound.ts'
import { messagePage } from '../views/messages.ts'
import { fileName, problemPage, readState } from '../views/pages.ts'
import type { SoundNews, SoundOrder } from './soundFiles.ts'

/** Where the build leaves the recorded notes. */
const here = new URL('../browser/', import.meta.url)
const port = parentPort!
const send = (news: SoundNews): void => port.postMessage(news)

const question = workerData as SoundOrder
const state = readState(question.given, question.badLink)
const lines = question.part === 0 ? state.written.lines : state.written.lines.slice(question.part - 1, question.part)
const brief = question.alone
  ? { ...state.brief, hear: state.brief.hear.filter((part) => part !== 'line') }
  : state.brief
const name = `${fileName(lines[0]?.harmony.title ?? '', brief)}${question.alone ? '-band' : ''}.${question.format}`

const tooLong = () =>
  send({
    kind: 'wrong',
    answer: problemPage(
      state,
      `Found a longer recording; expected at most ${longestRecording / 60} minutes; take the keys one by one, fewer passes or a quicker tempo.`,
    ),
  })

/** Writes pieces into the file as they are made; a file that cannot be written is said. */
async function save(pieces: Iterable<Uint8Array> | AsyncIterable<Uint8Array>): Promise<void> {
  const file = openSync(question.path, 'wx', 0o600)
  let bytes = 0
  try {
    for await (const piece of pieces) {
      writeSync(file, piece)
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

async function record(): Promise<void> {
  if (state.wrong || lines.length === 0) return send({ kind: 'wrong', answer: problemPage(state) })
  if (question.format === 'mid') {
    const bytes = writeBandMidi(lines, brief)
    return bytes ? save([bytes]) : tooLong()
  }
  const samples = brief.sound === 'sampled' ? await loadSamples(lines[0]!.instrument.program, here) : {}
  const recording = samples && planRecording(lines, brief, samples)
  if (recording) return save(recordSound(recording, question.format))
  if (samples) return tooLong()
  const said = 'Found no recorded notes on this server; expected plain sound; choose plain sound.'
  send({ kind: 'wrong', answer: problemPage(state, said) })
}

await record()
port.close()
