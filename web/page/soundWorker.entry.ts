/** The worker that renders sound ahead of time: takes orders, answers with chunks. */
import { type Session, startSession } from './soundSession.ts'
import type { News, Order } from './soundTalk.ts'

interface Port {
  postMessage(news: News, transfer?: Transferable[]): void
  onmessage: ((event: MessageEvent<Order>) => void) | null
}

const port = self as unknown as Port
let session: Session | null = null
let load = 0

port.onmessage = ({ data }) => {
  try {
    if (data.kind === 'load') {
      load = data.load
      const started = startSession(data)
      session = 'next' in started ? started : null
      if ('message' in started) port.postMessage({ kind: 'fail', load, message: started.message })
      else port.postMessage({ kind: 'ready', load, ...started.ready })
      return
    }
    if (data.load !== load || !session) return
    const chunk = session.next()
    if (chunk)
      port.postMessage(
        { kind: 'chunk', load, ...chunk },
        Object.values(chunk.parts).map((samples) => samples.buffer),
      )
  } catch (error) {
    session = null
    port.postMessage({ kind: 'fail', load, message: `The sound could not be made: ${(error as Error).message}` })
  }
}
