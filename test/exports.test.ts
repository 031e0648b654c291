/** Exports: each record as it says it is, and what its files begin with. */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../lib/brief.ts'
import { type Export, exportOf, exportOfFile, exports, pathOf, writeFiles } from '../lib/exports.ts'
import { writeLines } from '../lib/lines/write.ts'

const written = (choices: Readonly<Record<string, string>> = {}) =>
  writeLines(readBrief({ changes: '| Dm7 | G7 | Cmaj7 | Cmaj7 |', tempo: '300', ...choices }).brief)

/** How files of a kind begin: signatures of their standards, or our own first words. */
const begins: Readonly<Record<string, string>> = {
  pdf: '%PDF-',
  musicxml: '<?xml',
  mxl: 'PK\x03\x04',
  midi: 'MThd',
  svg: '<svg',
  png: '\x89PNG\r\n\x1a\n',
  mei: '<?xml',
  abc: '%abc',
  zip: 'PK\x03\x04',
  packet: 'PK\x03\x04',
  worksheet: '%PDF-',
  json: '{',
  text: 'C major concert',
  wav: 'RIFF',
  flac: 'fLaC',
  opus: 'OggS',
  'band-midi': 'MThd',
}

describe.each(exports)('$id', (each) => {
  test('writes what it says', async () => {
    const files = await writeFiles(each, written())
    expect(files).toHaveLength(1)
    const [{ suffix, bytes }] = files as readonly [{ suffix: string; bytes: Uint8Array }]
    expect(suffix).toBe('')
    expect(begins[each.id]).toBeDefined()
    expect(Buffer.from(bytes).toString('latin1').startsWith(begins[each.id]!)).toBe(true)
  })

  test('has its file by its own endings, and an address of its own', () => {
    for (const ending of each.endings) {
      const named = exportOfFile(`Tune.1.${ending.toUpperCase()}`)
      expect(named).toBe(exports.find(({ endings }) => endings.includes(ending)))
    }
    expect(exportOfFile(`a.${each.endings[0]}`)).toBe(each)
    expect(exportOf(each.id)).toBe(each)
    expect(exports.filter((other) => pathOf(other) === pathOf(each))).toEqual([each])
  })
})

test.each([
  ['a.mid', 'midi'],
  ['a.midi', 'midi'],
  ['a.band.mid', 'band-midi'],
  ['a.band-midi', 'band-midi'],
  ['a.xml', 'musicxml'],
  ['a.pdf', 'pdf'],
  ['a.worksheet.pdf', 'worksheet'],
  ['pdf', undefined],
  ['a.pdf.doc', undefined],
  ['a.constructor', undefined],
])('%s is %s', (name, id) => {
  expect(exportOfFile(name)?.id).toBe(id)
})

test('a file a key, named by it; a book and a recording hold all keys', async () => {
  const suffixes = async (id: string) => {
    const files = await writeFiles(exportOf(id)!, written({ keys: 'C,F#' }))
    return 'problems' in files ? files : files.map(({ suffix }) => suffix)
  }
  for (const id of ['mei', 'musicxml', 'midi', 'abc', 'svg']) expect(await suffixes(id)).toEqual(['-C', '-F#'])
  for (const id of ['pdf', 'json', 'text', 'band-midi']) expect(await suffixes(id)).toEqual([''])
})

test('a file a page where there are several', async () => {
  const lines = writeLines(readBrief({ changes: '| Dm7 | G7 | C6 | C6 |'.repeat(40) }).brief)
  const files = await writeFiles(exportOf('svg')!, lines)
  expect('problems' in files || files.slice(0, 2).map(({ suffix }) => suffix)).toEqual(['-1', '-2'])
})

test.each<[string, Export['id'], Readonly<Record<string, string>>, string]>([
  ['a recording that is too long', 'wav', { passes: '999', tempo: '40' }, 'recording-too-long'],
  ['the same as MIDI', 'band-midi', { passes: '999', tempo: '40' }, 'recording-too-long'],
])('refused: %s', async (_, id, choices, code) => {
  const files = await writeFiles(exportOf(id)!, written(choices))
  expect('problems' in files && files.problems.map((problem) => problem.code)).toEqual([code])
})

test.each<[string, Readonly<Record<string, string>>, readonly string[]]>([
  ['recorded notes where there are none', {}, ['there are no recorded notes here: the sound is plain']],
  ['plain sound', { sound: 'plain' }, []],
])('plays all the same, and says what it replaced: %s', async (_, choices, expected) => {
  const said: string[] = []
  const files = await writeFiles(exportOf('wav')!, written(choices), { remark: (each) => said.push(each) })
  expect('problems' in files).toBe(false)
  expect(said).toEqual(expected)
})

// Which tones a full voicing gives up first is common practice: a thirteenth against a flat ninth, sharp ninth and sharp eleventh.
test.each<[Export['id'], string, readonly string[]]>([
  ['wav', '| C13(b9,#9,#11) | F |', ['C13(b9,#9,#11) has more notes than two hands hold: the band leaves out 13']],
  [
    'band-midi',
    '| C13(b9,#9,#11) | F |',
    ['C13(b9,#9,#11) has more notes than two hands hold: the band leaves out 13'],
  ],
  ['band-midi', '| C13(#11) | Fmaj7 |', []],
  // What alt holds is left to the player.
  ['wav', '| G7alt | Cmaj7 |', []],
])('a chord that the band cannot play whole is said once, over every pass: %s of %s', async (id, changes, expected) => {
  const said: string[] = []
  const asked = { remark: (each: string) => said.push(each) }
  const files = await writeFiles(exportOf(id)!, written({ changes, sound: 'plain', passes: '2' }), asked)
  expect('problems' in files).toBe(false)
  expect(said).toEqual(expected)
})

test('thirteen notes in a chord, 300 beats a minute, no recorded notes: it plays to its end, and says what it replaced', async () => {
  // Every alteration of every degree: thirteen notes, a few of one sound.
  const changes = '| C13(b9,#9,#11) | F13(b9,#9,#11) |'
  const said: string[] = []
  const given = written({ changes, tempo: '300', instrument: 'bass-clarinet' })
  const files = await writeFiles(exportOf('wav')!, given, { remark: (each) => said.push(each) })
  if ('problems' in files) throw new Error('refused')
  const pcm = new Int16Array(files[0]!.bytes.buffer, files[0]!.bytes.byteOffset + 44, 2 * 44_100 * 3)
  expect(pcm.some((x) => Math.abs(x) > 3_000)).toBe(true)
  expect(said[0]).toBe('there are no recorded notes here: the sound is plain')
  expect(said.slice(1).map((each) => each.split(' ')[0])).toEqual(['C13(b9,#9,#11)', 'F13(b9,#9,#11)'])
})

test('an instrument without a recording of its own sounds of a named neighbour', async () => {
  const said: string[] = []
  const asked = { samples: async () => ({ line: { zones: [] } }), remark: (each: string) => said.push(each) }
  for (const instrument of ['flugelhorn', 'trumpet']) await writeFiles(exportOf('wav')!, written({ instrument }), asked)
  expect(said).toEqual(['Flugelhorn sounds of a recorded trumpet'])
})
