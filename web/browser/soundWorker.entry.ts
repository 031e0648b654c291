/** The worker that renders sound ahead of time: takes orders one after another, answers with chunks. */
import { StbVorbis } from 'stb-vorbis'
import { readBrief } from '../../lib/brief.ts'
import { lentRecording } from '../../lib/sound/recordings.ts'
import { type BandSamples, readSamples, type SampleSet, sampleFilesFor } from '../../lib/sound/sampledTones.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { type Session, startSession } from './soundSession.ts'
import type { LoadOrder, News, Order } from './soundTalk.ts'

interface Port {
  postMessage(news: News, transfer?: Transferable[]): void
  onmessage: ((event: MessageEvent<Order>) => void) | null
}

const port = self as unknown as Port
let session: Session | null = null
let load = 0
let orders: Promise<void> = Promise.resolve()

port.onmessage = ({ data }) => {
  orders = orders.then(() => obey(data))
}

async function obey(order: Order): Promise<void> {
  try {
    if (order.kind === 'load') await begin(order)
    else if (order.load === load) goOn()
  } catch (error) {
    session = null
    port.postMessage({ kind: 'fail', load, message: `The sound could not be made: ${(error as Error).message}` })
  }
}

async function begin(order: LoadOrder): Promise<void> {
  load = order.load
  session = null
  const { brief } = readBrief(order.fields)
  const samples = brief.sound === 'sampled' ? await fetchSamples(instrumentOf(brief.instrument).program) : {}
  const started = startSession(order, samples ?? {})
  if ('message' in started) {
    port.postMessage({ kind: 'fail', load, message: started.message })
    return
  }
  session = started
  const lent = samples?.line ? lentRecording(brief.instrument) : null
  const sound = samples === null ? ['no recorded notes here, plain sound'] : lent ? [lent] : []
  const replaced = [...sound, ...started.ready.replaced]
  port.postMessage({ kind: 'ready', load, ...started.ready, replaced })
}

function goOn(): void {
  const chunk = session?.next()
  if (!chunk) return
  port.postMessage(
    { kind: 'chunk', load, ...chunk },
    Object.values(chunk.parts).map((samples) => samples.buffer),
  )
}

const fetched = new Map<string, Promise<SampleSet>>()

/** The recordings for a band, from beside this script; null where the server has none. */
async function fetchSamples(program: number): Promise<BandSamples | null> {
  try {
    const sets = Object.entries(sampleFilesFor(program)).map(async ([part, file]) => {
      const set = fetched.get(file) ?? fetchSet(file)
      fetched.set(file, set)
      return [part, await set] as const
    })
    return Object.fromEntries(await Promise.all(sets))
  } catch {
    fetched.clear()
    return null
  }
}

async function fetchSet(file: string): Promise<SampleSet> {
  const response = await fetch(new URL(`./${file}`, import.meta.url))
  if (!response.ok) throw new Error(`no ${file}`)
  const bytes = new Uint8Array(await response.arrayBuffer())
  await StbVorbis.ready
  return readSamples(bytes, (ogg) => StbVorbis.decode(ogg).channels[0]!)
}
