/** A folder of this process's own below the system's temporary one, made anew where something has taken it away. */
import { lstatSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

export interface OwnFolder {
  /** Its path, there and ours; throws where no folder can be made. */
  path(): string
  /** Takes it away with all that is in it. */
  remove(): void
}

/** Whether a folder is still the one that was made: who sweeps temporary files may have left its name to somebody else. */
function isOurs(path: string): boolean {
  try {
    const stats = lstatSync(path)
    const { uid } = stats
    return stats.isDirectory() && uid === (process.getuid?.() ?? uid)
  } catch {
    return false
  }
}

/** Begins without a folder: it is made when it is asked for. */
export function startOwnFolder(): OwnFolder {
  let path: string | null = null
  return {
    path: () => {
      if (path === null || !isOurs(path)) path = mkdtempSync(join(tmpdir(), 'throughline-'))
      return path
    },
    remove: () => {
      try {
        if (path !== null && isOurs(path)) rmSync(path, { recursive: true, force: true })
      } catch {
        // A disk that may only be read now keeps what is on it.
      }
      path = null
    },
  }
}
