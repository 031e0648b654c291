/** Structured logs: one JSON object a line on standard error, never anything that someone typed. */

export type Log = (entry: Readonly<Record<string, unknown>>) => void

/** A log that writes to standard error. */
export const writeLog: Log = (entry) => {
  process.stderr.write(`${JSON.stringify({ at: new Date().toISOString(), ...entry })}\n`)
}

/** A log that keeps quiet. */
export const noLog: Log = () => undefined
