import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { SaveError, saveFiles } from '../lib/saveFiles.ts'

const folder = mkdtempSync(join(tmpdir(), 'throughline-save-'))
const at = (name: string) => join(folder, name)
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('files are saved', () => {
  test('whole, over what stood there, with nothing left beside them', () => {
    writeFileSync(at('a.txt'), 'before')
    saveFiles([
      { path: at('a.txt'), bytes: 'after' },
      { path: at('b.bin'), bytes: new Uint8Array([0, 1, 2]) },
    ])
    expect(readFileSync(at('a.txt'), 'utf8')).toBe('after')
    expect([...readFileSync(at('b.bin'))]).toEqual([0, 1, 2])
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  test('all or none: one that cannot be written leaves the others as they were', () => {
    writeFileSync(at('c.txt'), 'before')
    const files = [
      { path: at('c.txt'), bytes: 'after' },
      { path: at('nowhere/d.txt'), bytes: 'after' },
    ]
    expect(() => saveFiles(files)).toThrow(/found no folder at .*nowhere\/d\.txt; expected .*; make the folder first/)
    expect(readFileSync(at('c.txt'), 'utf8')).toBe('before')
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  test('never over what is being read, by whatever name', () => {
    writeFileSync(at('tune.txt'), '| Dm7 |')
    symlinkSync(at('tune.txt'), at('link.txt'))
    for (const path of ['tune.txt', 'link.txt'])
      expect(() => saveFiles([{ path: at(path), bytes: 'x' }], ['-', at('tune.txt')])).toThrow(/which is being read/)
    expect(readFileSync(at('tune.txt'), 'utf8')).toBe('| Dm7 |')
  })

  test('a link to a file stays a link', () => {
    writeFileSync(at('real.txt'), 'before')
    symlinkSync(at('real.txt'), at('alias.txt'))
    saveFiles([{ path: at('alias.txt'), bytes: 'after' }])
    expect(readFileSync(at('real.txt'), 'utf8')).toBe('after')
  })

  test('a full disk is named (/dev/full of Linux)', () => {
    expect(() => saveFiles([{ path: '/dev/full', bytes: 'x' }])).toThrow(/found a full disk at \/dev\/full/)
  })

  test('a folder is no file', () => {
    mkdirSync(at('folder'))
    expect(() => saveFiles([{ path: at('folder'), bytes: 'x' }])).toThrow(SaveError)
    expect(existsSync(at('folder'))).toBe(true)
  })

  test('all or none, even where only the last step fails: 3 files, one of which would be a folder', () => {
    writeFileSync(at('e.txt'), 'before')
    const paths = [at('e.txt'), at('fresh.txt'), `${at('no-folder')}/`]
    expect(() => saveFiles(paths.map((path) => ({ path, bytes: 'after' })))).toThrow(SaveError)
    expect(readFileSync(at('e.txt'), 'utf8')).toBe('before')
    expect(existsSync(at('fresh.txt'))).toBe(false)
    expect(readdirSync(folder).filter((name) => /\.(part|before)$/.test(name))).toEqual([])
  })

  test('a name as long as a name may be (255 bytes), and one that is longer in words', () => {
    saveFiles([{ path: at('y'.repeat(255)), bytes: 'x' }])
    expect(existsSync(at('y'.repeat(255)))).toBe(true)
    expect(() => saveFiles([{ path: at('y'.repeat(256)), bytes: 'x' }])).toThrow(/found a name that is too long at /)
    expect(() => saveFiles([{ path: '', bytes: 'x' }])).toThrow(/found no name for the file; .*; name it/)
  })

  test('a link to what is not there yet is followed, and one that leads round to itself is refused', () => {
    symlinkSync('later.txt', at('to-later.txt'))
    saveFiles([{ path: at('to-later.txt'), bytes: 'there' }])
    expect(readFileSync(at('later.txt'), 'utf8')).toBe('there')
    symlinkSync('round.txt', at('round.txt'))
    expect(() => saveFiles([{ path: at('round.txt'), bytes: 'x' }])).toThrow(/found a link that leads round to itself/)
  })

  test('what was private stays private', () => {
    writeFileSync(at('private.txt'), 'before', { mode: 0o600 })
    saveFiles([{ path: at('private.txt'), bytes: 'after' }])
    expect(statSync(at('private.txt')).mode & 0o777).toBe(0o600)
  })

  test('never through a link that somebody laid where a file is written first', () => {
    writeFileSync(at('elsewhere.txt'), 'before')
    symlinkSync(at('elsewhere.txt'), at(`aim.txt.${process.pid}.part`))
    saveFiles([{ path: at('aim.txt'), bytes: 'after' }])
    expect(readFileSync(at('aim.txt'), 'utf8')).toBe('after')
    expect(readFileSync(at('elsewhere.txt'), 'utf8')).toBe('before')
  })
})
