/** Structured logs: one JSON object a line on standard error, never anything that someone typed. */

export type Log = (entry: Readonly<Record<string, unknown>>) => void

/** A log that writes to standard error. */
export const writeLog: Log = (entry) => {
  process.stderr.write(`${JSON.stringify({ at: new Date().toISOString(), ...entry })}\n`)
}

/** Keeps a reader of the log or the address that goes away, or a disk that is full, from ending the server. */
export function outliveReaders(): void {
  for (const stream of [process.stderr, process.stdout]) stream.on('error', () => undefined)
}

/** A log that keeps quiet. */
export const noLog: Log = () => undefined
