/** Files written whole or not at all: each beside its place under another name, then all put in place. Node-side. */
import { randomUUID } from 'node:crypto'
import {
  closeSync,
  copyFileSync,
  existsSync,
  linkSync,
  lstatSync,
  openSync,
  readlinkSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join, resolve } from 'node:path'

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
  ELOOP: ['a link that leads round to itself', 'give the file another name'],
  ENAMETOOLONG: ['a name that is too long', 'give the file a shorter name'],
}

const refusal = (path: string, error: unknown): SaveError => {
  if (path === '') return new SaveError('found no name for the file; expected a path that can be written; name it')
  const code = (error as NodeJS.ErrnoException)?.code ?? ''
  const [found, hint] = reasons[code] ?? [`no place to write (${code})`, 'write to another']
  return new SaveError(`found ${found} at ${path}; expected a path that can be written; ${hint}`)
}

/** Where a path leads, links followed, those to what is not there yet among them; the path itself where it is no link. */
function placeOf(path: string, links = 0): string {
  if (existsSync(path)) return realpathSync(path)
  if (!lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink()) return path
  // As many as Linux follows (path_resolution(7)).
  if (links === 40) throw Object.assign(new Error(), { code: 'ELOOP' })
  return placeOf(resolve(dirname(path), readlinkSync(path)), links + 1)
}

/** Whether something other than a file stands there, such as a pipe or `/dev/null`: it is written to and not replaced. */
const isSpecial = (path: string): boolean => existsSync(path) && !statSync(path).isFile()

/** A file on its way: where it is written, where it is put, and another name for what stood there. */
interface Written {
  readonly at: string
  readonly to: string
  readonly before: string
}

/** Writes a file that is not there yet, with the rights of the one that it takes the place of. */
function writeNew(at: string, to: string, bytes: string | Uint8Array): void {
  const rights = statSync(to, { throwIfNoEntry: false })?.mode
  const file = openSync(at, 'wx', rights === undefined ? 0o666 : rights & 0o777)
  try {
    writeFileSync(file, bytes)
  } catch (error) {
    rmSync(at, { force: true })
    throw error
  } finally {
    closeSync(file)
  }
}

/** Another name for what stands at a place, so that it can be brought back; a copy where a disk has no second names. */
function keepBefore({ to, before }: Written): void {
  try {
    linkSync(to, before)
  } catch {
    copyFileSync(to, before)
  }
}

/** Puts all in place; where one cannot be, the others are as they were. */
function putInPlace(written: readonly Written[], going: (to: string) => void): void {
  const put: Written[] = []
  try {
    for (const each of written) {
      going(each.to)
      if (written.length > 1 && existsSync(each.to)) keepBefore(each)
      renameSync(each.at, each.to)
      put.push(each)
    }
  } catch (error) {
    for (const { to, before } of put)
      if (existsSync(before)) renameSync(before, to)
      else rmSync(to, { force: true })
    throw error
  } finally {
    for (const { before } of written) rmSync(before, { force: true })
  }
}

/** Where each of some files goes, and whether it takes the place of nothing but files; none that is being read. */
function placesOf(files: readonly FileToSave[], inputs: readonly string[], going: (path: string) => void) {
  const read = new Set(inputs.filter((input) => input !== '-').map((input) => placeOf(input)))
  return files.map(({ path, bytes }) => {
    going(path)
    const to = placeOf(path)
    if (read.has(to))
      throw new SaveError(`found ${path}, which is being read; expected another file to write; give it another name`)
    if (existsSync(to) && statSync(to).isDirectory()) throw Object.assign(new Error(), { code: 'EISDIR' })
    return { path, to, bytes, special: isSpecial(to) }
  })
}

/**
 * Saves files, all of them or none: what stood at their places stays until all are written. Who stops the program meanwhile stops
 * none of it halfway.
 *
 * @param inputs - files that are being read, which nothing may be written over
 * @throws {SaveError} where one cannot be written; then none is
 */
export function saveFiles(files: readonly FileToSave[], inputs: readonly string[] = []): void {
  const stops = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
  const wait = () => undefined
  const written: Written[] = []
  let path = files[0]?.path ?? ''
  const going = (to: string): void => {
    path = to
  }
  try {
    const places = placesOf(files, inputs, going)
    // A pipe may be waited for without end, and whoever waits can stop it.
    for (const { path: said, to, bytes, special } of places) {
      going(said)
      if (special) writeFileSync(to, bytes)
    }
    for (const stop of stops) process.on(stop, wait)
    for (const { path: said, to, bytes, special } of places) {
      going(said)
      if (special) continue
      // No longer than the names that are asked for, and never what lies there already.
      const at = join(dirname(to), `.${randomUUID()}`)
      writeNew(`${at}.part`, to, bytes)
      written.push({ at: `${at}.part`, to, before: `${at}.before` })
    }
    putInPlace(written, going)
  } catch (error) {
    for (const { at } of written) rmSync(at, { force: true })
    throw error instanceof SaveError ? error : refusal(path, error)
  } finally {
    for (const stop of stops) process.off(stop, wait)
  }
}
