/** A class packet: the names told before it is made, what it then holds, and what is refused. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { unzipSync } from 'fflate'
import { beforeAll, describe, expect, test } from 'vitest'
import { readBrief } from '../lib/brief.ts'
import { unpackWoff } from '../lib/engrave/pdf/unpackWoff.ts'
import { exportOf, writeFiles } from '../lib/exports.ts'
import { writeLines } from '../lib/lines/write.ts'
import { planPacket } from '../lib/packet.ts'
import { makeLine } from './score/lineFixture.ts'

const changes = 'Title: Été à Bb\n[A]\n|: Dm7 | G7 :|\n[B]\n| Cmaj7 | A7(b9) |'
const written = (choices: Readonly<Record<string, string>> = {}) => {
  const { brief, problems } = readBrief({ changes, tempo: '300', ...choices })
  expect(problems).toEqual([])
  return writeLines(brief)
}
const namesOf = (choices: Readonly<Record<string, string>>): readonly string[] => {
  const packet = planPacket(written(choices))
  return 'files' in packet ? packet.files.map(({ name }) => name) : packet.problems.map(({ code }) => code)
}

describe('names, by tune, part and concert key, a folder a part', () => {
  test.each<[string, Readonly<Record<string, string>>, readonly string[]]>([
    [
      'two keys for a trumpet',
      { keys: 'C,F#', parts: 'trumpet', packet: 'lines,worksheets,answers' },
      [
        'ete-a-bb-cover.pdf',
        ...['c-major', 'f-sharp-major'].flatMap((key) =>
          ['', '-guide-tones', '-guide-tones-answers'].map(
            (what) => `trumpet-in-b-flat/ete-a-bb-trumpet-in-b-flat-concert-${key}${what}.pdf`,
          ),
        ),
      ],
    ],
    [
      'a score and recordings',
      { parts: 'Bb', packet: 'score,recordings,small-recordings' },
      [
        'ete-a-bb-cover.pdf',
        'concert-score/ete-a-bb-concert-score-c-major.pdf',
        'recordings/ete-a-bb-concert-c-major-line-and-band.flac',
        'recordings/ete-a-bb-concert-c-major-band.flac',
        'recordings/ete-a-bb-concert-c-major-line-and-band.opus',
        'recordings/ete-a-bb-concert-c-major-band.opus',
      ],
    ],
    [
      'the usual parts where none are ticked',
      { packet: 'lines' },
      [
        'ete-a-bb-cover.pdf',
        ...['c-instruments', 'b-flat-instruments', 'e-flat-instruments', 'bass-clef-instruments'].map(
          (part) => `${part}/ete-a-bb-${part}-concert-c-major.pdf`,
        ),
      ],
    ],
    [
      'a title of other letters',
      { title: '歌', parts: 'flute', packet: 'lines' },
      ['歌-cover.pdf', 'flute/歌-flute-concert-c-major.pdf'],
    ],
  ])('%s', (_, choices, names) => {
    expect(namesOf(choices)).toEqual(names)
  })

  test('no two files have one name, whatever is ticked', () => {
    const names = namesOf({ keys: 'fourths', parts: 'C,Bb,Eb,F,bass,trumpet,tuba' })
    expect(names).toHaveLength(1 + 12 * (1 + 7 * 3 + 2))
    expect(new Set(names).size).toBe(names.length)
  })
})

describe('what is too much, or does not fit, is refused with what would do', () => {
  const many = [...Array(33)].map(() => '| Dm7 | G7 | Cmaj7 | A7 ').join('')
  const parts = 'C,Bb,Eb,F,bass,trumpet,tuba,flute,oboe,clarinet,bassoon,horn'
  test.each<[string, Readonly<Record<string, string>>, string, RegExp]>([
    [
      'files',
      { keys: 'fourths', parts, packet: 'lines,worksheets,answers' },
      'keys',
      /at most (\d+) of the keys, or take fewer parts/,
    ],
    ['bars', { changes: many, keys: 'fourths', parts, packet: 'worksheets' }, 'keys', /at most (\d+) of the keys/],
    [
      'minutes',
      { keys: 'fourths', passes: '50', packet: 'recordings' },
      'keys',
      /at most (\d+) of the keys, or leave the recordings out/,
    ],
  ])('%s', (_, choices, choice, hint) => {
    const packet = planPacket(written(choices))
    const [problem] = 'problems' in packet ? packet.problems : []
    expect(problem).toMatchObject({ code: 'packet-too-large', choice })
    const [, keys = ''] = hint.exec(problem!.hint)!
    // What it says would do does, and one key more would not.
    const firstKeys = (count: number) =>
      ['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'E', 'A', 'D', 'G'].slice(0, count)
    const taking = (count: number) => planPacket(written({ ...choices, keys: firstKeys(count).join() }))
    expect('files' in taking(Number(keys))).toBe(true)
    expect('files' in taking(Number(keys) + 1)).toBe(false)
  })

  test('a part that no octave of it holds', () => {
    // Three octaves in one approach; a mezzo has about two.
    const wide = makeLine({ chords: 'C', notes: '[F3 F4 F5] *F6/60' })
    const asked = (parts: string) => planPacket({ ...written({ parts, packet: 'lines' }), lines: [wide] })
    expect(asked('mezzo-voice')).toMatchObject({ problems: [{ code: 'part-out-of-range', choice: 'parts' }] })
    expect('files' in asked('piano')).toBe(true)
  })
})

/** Debian's poppler-utils: outside readers of PDF. */
const noPoppler = (() => {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' })
    return false
  } catch {
    return true
  }
})()

describe.skipIf(noPoppler)(`the archive${noPoppler ? ' (skipped: no poppler-utils here)' : ''}`, () => {
  const link = 'https://lines.example.org/?changes=x'
  const lines = written({
    keys: 'C,Eb',
    parts: 'alto-sax,bass',
    packet: 'lines,score,worksheets,answers,small-recordings',
  })
  const folder = mkdtempSync(join(tmpdir(), 'packet-'))
  let files: Readonly<Record<string, Uint8Array>> = {}
  const told: string[] = []
  beforeAll(async () => {
    const made = await writeFiles(exportOf('packet')!, lines, {
      link,
      progress: (done, of) => told.push(`${done} ${of}`),
    })
    if ('problems' in made) throw new Error('refused')
    files = unzipSync(made[0]!.bytes)
  }, 120_000)
  const textOf = (name: string): string => {
    const path = join(folder, 'one.pdf')
    writeFileSync(path, files[name]!)
    return execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })
  }

  test('holds what was told, in that order, and tells how far it is', () => {
    const packet = planPacket(lines)
    const names = 'files' in packet ? packet.files.map(({ name }) => name) : []
    expect(names).toHaveLength(1 + 2 * (1 + 2 * 3 + 2))
    expect(Object.keys(files)).toEqual(names)
    expect(told).toEqual([...names, ''].map((_, done) => `${done} ${names.length}`))
  })

  test('every sheet opens, says its part, and its key as read and as it sounds', () => {
    for (const name of Object.keys(files).filter((each) => each.endsWith('.pdf') && each.includes('/'))) {
      const text = textOf(name)
      expect(text, name).toContain('Été à Bb')
      if (!name.startsWith('alto')) continue
      // An alto reads a major sixth above what sounds (common practice): concert C is its A, concert E flat its C.
      expect(text, name).toContain(name.includes('-c-major') ? 'A major (concert C)' : 'C major (concert E♭)')
      expect(text, name).toContain('Alto saxophone')
    }
  })

  test('answers are the worksheet with its notes', () => {
    const blank = textOf('alto-saxophone/ete-a-bb-alto-saxophone-concert-c-major-guide-tones.pdf')
    const answered = textOf('alto-saxophone/ete-a-bb-alto-saxophone-concert-c-major-guide-tones-answers.pdf')
    const degrees = (text: string) => text.match(/(?<=^|\s)♭?[37](?=\s|$)/gm)?.length ?? 0
    // Two lines of six bars, a chord each; what a chord symbol raises stands in both.
    expect(degrees(answered) - degrees(blank)).toBe(12)
    for (const chord of ['Bm7', 'E7', 'Amaj7']) {
      const bare = (text: string) => text.replace(/\s/g, '')
      expect(bare(blank)).toContain(chord)
      expect(bare(answered)).toContain(chord)
    }
  })

  test('the cover has the changes bar by bar at concert pitch, every name and the link', () => {
    const text = textOf('ete-a-bb-cover.pdf')
    for (const words of ['Class packet', 'Dm7', 'G7', 'Cmaj7', 'A7(♭9)', 'C major', 'lines.example.org'])
      expect(text).toContain(words)
    for (const name of Object.keys(files)) expect(text).toContain(name.split('/').at(-1))
    expect(Buffer.from(files['ete-a-bb-cover.pdf']!).toString('latin1')).toContain(link)
  })

  test('recordings are with the line and without it', () => {
    const [withLine, without] = ['line-and-band', 'band'].map(
      (what) => files[`recordings/ete-a-bb-concert-c-major-${what}.opus`]!,
    )
    expect(Buffer.from(withLine!).toString('latin1', 0, 4)).toBe('OggS')
    expect(Buffer.compare(withLine!, without!)).not.toBe(0)
  })
})

test('the same packet has the same bytes', async () => {
  const bytes = async () => {
    const made = await writeFiles(exportOf('packet')!, written({ parts: 'flute', packet: 'lines' }))
    return 'problems' in made ? null : Buffer.from(made[0]!.bytes)
  }
  expect((await bytes())!.equals((await bytes())!)).toBe(true)
})

test('a face comes unpacked as it was before it was packed: each table has the sum that it is listed with', () => {
  const packed = readFileSync(
    createRequire(import.meta.url).resolve('@fontsource/tinos/files/tinos-latin-400-normal.woff'),
  )
  const font = unpackWoff(packed)
  expect(font.length).toBe(packed.readUInt32BE(16))
  const count = font.readUInt16BE(4)
  expect(count).toBeGreaterThan(8)
  for (let i = 0; i < count; i++) {
    const record = 12 + 16 * i
    const [tag, sum, at, length] = [
      font.toString('latin1', record, record + 4),
      ...[4, 8, 12].map((o) => font.readUInt32BE(record + o)),
    ] as [string, number, number, number]
    // OpenType 1.9, 'otff', 'Calculating checksums': whole words added up; in `head` the sum of the font itself counts as nothing.
    let found = 0
    for (let word = at; word < at + length; word += 4)
      if (tag !== 'head' || word !== at + 8) found = (found + font.readUInt32BE(word)) >>> 0
    expect(found, tag).toBe(sum)
  }
  expect(unpackWoff(font)).toBe(font)
})
