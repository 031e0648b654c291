/** How long the engraver itself takes, loading and drawing, within whatever else is timed. */
import type { VerovioToolkit } from 'verovio/esm'

export interface EngraverTime {
  /** Milliseconds since the start or the last time this was asked. */
  taken(): number
  /** The score loaded last, as MEI. */
  lastScore(): string
  /** Leaves the engraver as it was. */
  stop(): void
}

export function timeEngraver(toolkit: VerovioToolkit): EngraverTime {
  const { loadData, renderToSVG } = toolkit
  let own = 0
  let score = ''
  const timed = <R>(run: () => R): R => {
    const start = performance.now()
    const result = run()
    own += performance.now() - start
    return result
  }
  toolkit.loadData = (mei) => {
    score = mei
    return timed(() => loadData.call(toolkit, mei))
  }
  toolkit.renderToSVG = (...given) => timed(() => renderToSVG.apply(toolkit, given))
  return {
    taken: () => {
      const before = own
      own = 0
      return before
    },
    lastScore: () => score,
    stop: () => Object.assign(toolkit, { loadData, renderToSVG }),
  }
}
