/** How the server's process is started, and whether whoever started it is still there. */
import { readFileSync } from 'node:fs'

/** What Node is told: a small young heap of the main thread, and two helpers of V8, which are all it uses. */
export const serverFlags: readonly string[] = ['--max-semi-space-size=4', '--v8-pool-size=2']

/** So that glibc gives back to the machine what large files took for a moment (mallopt(3)); read before a process begins, unknown elsewhere. */
export const serverMemory: Readonly<Record<string, string>> = {
  MALLOC_ARENA_MAX: '2',
  MALLOC_MMAP_THRESHOLD_: '131072',
}

/** Milliseconds between looks whether the process that started this one is still there. */
const look = 500

const readOrNone = (file: string): string => {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return ''
  }
}

/** The process before the shell in which npm runs a script; 0 where there is no such shell, or it cannot be seen. */
function beforeShell(): number {
  const [, option] = readOrNone(`/proc/${process.ppid}/cmdline`).split('\0')
  if (option !== '-c') return 0
  // What follows the name, which may hold anything, in parentheses: the state, then the process before it (proc(5)).
  return Number(/\) \S (\d+) [^)]*$/.exec(readOrNone(`/proc/${process.ppid}/stat`))?.[1] ?? 0)
}

// Seen as this file is read: later it may have gone already.
const [parent, before] = [process.ppid, beforeShell()]

/**
 * Tells once the process that started this one has gone, if that was npm, its shell, or `start.ts`: a signal to `npm start`
 * ends npm, or npm and its shell, without reaching what they started. Other starters may go and leave it running.
 */
export function onStarterGone(tell: () => void): void {
  if (process.channel) {
    process.once('disconnect', tell)
    process.channel.unref()
  }
  if (process.env.npm_lifecycle_event === undefined) return
  const timer = setInterval(() => {
    if (process.ppid === parent && beforeShell() === before) return
    clearInterval(timer)
    tell()
  }, look)
  timer.unref()
}
