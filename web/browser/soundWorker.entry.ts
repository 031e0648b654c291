/** The worker that renders sound ahead of time: takes orders one after another, answers with chunks. */
import { StbVorbis } from 'stb-vorbis'
import { readBrief } from '../../lib/brief.ts'
import { lentRecording } from '../../lib/sound/recordings.ts'
import { type BandSamples, readSamples, type SampleSet, sampleFilesFor } from '../../lib/sound/sampledTones.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { loadPiece, type Piece, type Session, startSession } from './soundSession.ts'
import type { LoadOrder, News, Order, StartOrder } from './soundTalk.ts'

interface Port {
  postMessage(news: News, transfer?: Transferable[]): void
  onmessage: ((event: MessageEvent<Order>) => void) | null
}

const port = self as unknown as Port

/** What is loaded, and the session of it that was begun last. */
interface Loaded {
  readonly piece: Piece
  readonly samples: BandSamples
  session: Session | null
}

/** By the number of their load: what plays goes on while a change of it is made ready. */
const loaded = new Map<number, Loaded>()
/** What is to be done, in the order in which it was asked for. */
let orders: Order[] = []
let working = false

port.onmessage = ({ data }) => {
  // What is wanted no more is not begun.
  if (data.kind === 'drop') orders = orders.filter(({ load }) => load !== data.load)
  orders.push(data)
  if (!working) void work()
}

/** Does one thing after another: sound that is wanted soon goes before a piece that is yet to be written. */
async function work(): Promise<void> {
  working = true
  while (orders.length > 0) {
    const soon = orders.findIndex(({ kind, load }) => kind !== 'load' && loaded.has(load))
    const [order] = orders.splice(Math.max(0, soon), 1)
    await obey(order!)
    // What was asked for meanwhile is heard before the next is begun.
    await new Promise((done) => setTimeout(done))
  }
  working = false
}

async function obey(order: Order): Promise<void> {
  try {
    if (order.kind === 'load') await take(order)
    else if (order.kind === 'start') begin(order)
    else if (order.kind === 'next') goOn(order.load)
    else loaded.delete(order.load)
  } catch (error) {
    loaded.delete(order.load)
    const message = `The sound could not be made: ${(error as Error).message}`
    port.postMessage({ kind: 'fail', load: order.load, message })
  }
}

async function take({ load, fields }: LoadOrder): Promise<void> {
  const { brief } = readBrief(fields)
  const samples = brief.sound === 'sampled' ? await fetchSamples(instrumentOf(brief.instrument).program) : {}
  const piece = loadPiece(fields)
  if ('message' in piece) {
    port.postMessage({ kind: 'fail', load, message: piece.message })
    return
  }
  loaded.set(load, { piece, samples: samples ?? {}, session: null })
  const lent = samples?.line ? lentRecording(brief.instrument) : null
  const sound = samples === null ? ['no recorded notes here, plain sound'] : lent ? [lent] : []
  const replaced = [...sound, ...piece.ready.replaced]
  port.postMessage({ kind: 'ready', load, ...piece.ready, replaced })
}

function begin({ load, place, rate }: StartOrder): void {
  const held = loaded.get(load)
  if (!held) return
  held.session = startSession(held.piece, place, rate, held.samples)
  if (held.session === null) port.postMessage({ kind: 'over', load })
}

function goOn(load: number): void {
  const chunk = loaded.get(load)?.session?.next()
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
