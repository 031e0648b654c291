/** A worker that renders one recording and hands it on piece by piece, no faster than it is taken. */
import { parentPort, workerData } from 'node:worker_threads'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import { longestRecording } from '../../lib/sound/playPasses.ts'
import { planRecording, recordSound, wavBytes } from '../../lib/sound/recordSound.ts'
import { fileName, problemPage, readState } from '../views/pages.ts'
import type { SoundNews, SoundQuestion } from './soundFiles.ts'

/** Pieces that may be on their way before one is asked for. */
const inHand = 4
/** Bytes that are gathered before they are sent. */
const pieceSize = 262_144

/** Where the build leaves the recorded notes. */
const here = new URL('../browser/', import.meta.url)
const port = parentPort!
const send = (news: SoundNews): void => port.postMessage(news)
let credit = inHand
let wake: (() => void) | null = null
port.on('message', () => {
  credit += 1
  wake?.()
})

const question = workerData as SoundQuestion
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

if (state.wrong || lines.length === 0) send({ kind: 'wrong', answer: problemPage(state) })
else if (question.format === 'mid') {
  const bytes = writeBandMidi(lines, brief)
  if (bytes) {
    send({ kind: 'head', bytes: bytes.length, file: name })
    await put(bytes)
    send({ kind: 'end' })
  } else tooLong()
} else {
  const samples = brief.sound === 'sampled' ? await loadSamples(lines[0]!.instrument.program, here) : {}
  const recording = samples && planRecording(lines, brief, samples)
  if (recording) {
    send({ kind: 'head', bytes: question.format === 'wav' ? wavBytes(recording) : null, file: name })
    let held: Uint8Array[] = []
    let size = 0
    for await (const bytes of recordSound(recording, question.format)) {
      held.push(bytes)
      size += bytes.length
      if (size < pieceSize) continue
      await put(Buffer.concat(held))
      held = []
      size = 0
    }
    await put(Buffer.concat(held))
    send({ kind: 'end' })
  } else if (samples) tooLong()
  else
    send({
      kind: 'wrong',
      answer: problemPage(state, 'Found no recorded notes on this server; expected plain sound; choose plain sound.'),
    })
}
port.close()

async function put(bytes: Uint8Array): Promise<void> {
  while (credit === 0)
    await new Promise<void>((done) => {
      wake = done
    })
  credit -= 1
  send({ kind: 'piece', bytes })
}
