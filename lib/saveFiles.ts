/** Files written whole or not at all: each beside its place under another name, then all put in place. Node-side. */
import { existsSync, realpathSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'

export interface FileToSave {
  readonly path: string
  readonly bytes: string | Uint8Array
}

/** A file that could not be written, in words for whoever asked for it. */
export class SaveError extends Error {
  override readonly name = 'SaveError'
}

const reasons: Readonly<Record<string, readonly [string, string]>> = {
  ENOSPC: ['a full disk', 'make room, or write to another'],
  EDQUOT: ['a full disk', 'make room, or write to another'],
  ENOENT: ['no folder', 'make the folder first'],
  ENOTDIR: ['no folder', 'make the folder first'],
  EACCES: ['a place that is not yours to write', 'write to another folder'],
  EPERM: ['a place that is not yours to write', 'write to another folder'],
  EROFS: ['a disk that cannot be written', 'write to another'],
  EISDIR: ['a folder of that name', 'give the file another name'],
  ENAMETOOLONG: ['a name that is too long', 'give the file a shorter name'],
}

const refusal = (path: string, error: unknown): SaveError => {
  const code = (error as NodeJS.ErrnoException)?.code ?? ''
  const [found, hint] = reasons[code] ?? [`no place to write (${code})`, 'write to another']
  return new SaveError(`found ${found} at ${path}; expected a path that can be written; ${hint}`)
}

/** Where a path leads, links followed; the path itself where there is nothing yet. */
const placeOf = (path: string): string => (existsSync(path) ? realpathSync(path) : path)

/** Whether something other than a file stands there, such as a pipe or `/dev/null`: it is written to and not replaced. */
const isSpecial = (path: string): boolean => existsSync(path) && !statSync(path).isFile()

/**
 * Saves files, all of them or none: what stood at their places stays until all are written.
 *
 * @param inputs - files that are being read, which nothing may be written over
 * @throws {SaveError} where one cannot be written; then none is
 */
export function saveFiles(files: readonly FileToSave[], inputs: readonly string[] = []): void {
  const read = new Set(inputs.filter((input) => input !== '-').map(placeOf))
  const over = files.find(({ path }) => read.has(placeOf(path)))
  if (over)
    throw new SaveError(`found ${over.path}, which is being read; expected another file to write; give it another name`)
  const written: { readonly at: string; readonly to: string }[] = []
  let path = ''
  try {
    for (const file of files) {
      path = file.path
      if (isSpecial(path) && !statSync(path).isDirectory()) writeFileSync(path, file.bytes)
      else {
        const to = placeOf(path)
        if (isSpecial(to)) throw Object.assign(new Error(), { code: 'EISDIR' })
        const at = `${to}.${process.pid}.part`
        written.push({ at, to })
        writeFileSync(at, file.bytes)
      }
    }
    for (const { at, to } of written) {
      path = to
      renameSync(at, to)
    }
  } catch (error) {
    for (const { at } of written) rmSync(at, { force: true })
    throw refusal(path, error)
  }
}
