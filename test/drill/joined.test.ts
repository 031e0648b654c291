/** Twelve joined keys are one unbroken piece, and a pickup stands before bar 1, in every format. */
import { parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { joinLines } from '../../lib/drill/joinLines.ts'
import { exportOf, writeFiles } from '../../lib/exports.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { arrangePass, practiceOf, recordedPasses } from '../../lib/sound/playPasses.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { passAt } from '../../lib/sound/practise.ts'
import { midiOf } from '../../lib/theory/pitch.ts'

const ask = (given: Readonly<Record<string, string>>) => {
  const { brief, problems } = readBrief({
    plan: '1 2 3 4 5 6 7 1 | 2 1 7 6 5 4 3 2',
    exact: 'yes',
    different: 'yes',
    approach: 'enclosure',
    ...given,
  })
  expect(problems).toEqual([])
  return writeLines(brief)
}
const filesOf = async (id: string, given: Readonly<Record<string, string>>) => {
  const made = await writeFiles(exportOf(id)!, ask(given))
  if ('problems' in made) throw new Error('refused')
  return made
}
const textOf = async (id: string, given: Readonly<Record<string, string>>): Promise<string> => {
  const files = await filesOf(id, given)
  expect(files).toHaveLength(1)
  return new TextDecoder().decode(files[0]!.bytes)
}
const round = { keys: 'chromatic', join: 'yes' }
const pitches = (given: Readonly<Record<string, string>>) =>
  ask(given).lines.flatMap(({ notes }) => notes.flatMap(({ pitch }) => (pitch ? [midiOf(pitch)] : [])))

describe('twelve keys as one piece', () => {
  test('one line: every figure plays its offsets into a target of its own, keys named and signed', () => {
    const { lines } = ask(round)
    const whole = joinLines(lines)
    expect(whole.harmony.bars.map(({ bar }) => bar)).toEqual(Array.from({ length: 192 }, (_, i) => i + 1))
    expect(whole.harmony.bars.filter(({ section }) => section !== null)).toHaveLength(12)
    whole.figures.slice(0, -1).forEach(({ kind, target, offsets }, f) => {
      if (kind !== 'approach') return
      const goal = whole.targets[target]!
      const notes = whole.notes.filter(({ figure, role }) => figure === f && role === 'approach')
      expect(notes.map(({ pitch }) => midiOf(pitch!) - midiOf(goal.pitch))).toEqual(offsets)
      expect(notes.at(-1)!.start + notes.at(-1)!.ticks).toBe(goal.start)
    })
    whole.notes.forEach(({ start }, i) => {
      const before = whole.notes[i - 1]
      expect(start).toBe(before ? before.start + before.ticks : 0)
    })
  })

  test('MIDI is one file, its notes without a gap, the key stated where it changes (read by midi-file)', async () => {
    const files = await filesOf('midi', { ...round, swing: '1' })
    expect(files).toHaveLength(1)
    const { tracks, header } = parseMidi(files[0]!.bytes)
    let now = 0
    const heard: [number, number, number][] = []
    for (const event of tracks[1]!) {
      now += event.deltaTime
      if (event.type === 'noteOn') heard.push([event.noteNumber, now, now])
      if (event.type === 'noteOff') heard.findLast(([note]) => note === event.noteNumber)![2] = now
    }
    expect(heard.map(([note]) => note)).toEqual(pitches(round))
    const eighth = header.ticksPerBeat! / 2
    expect(heard.every(([, from], i) => from === i * eighth)).toBe(true)
    const keys = tracks[0]!.filter((event) => event.type === 'keySignature')
    expect(keys).toHaveLength(12)
  })

  test('on paper one part: names over the keys, their signatures, bars numbered on, no symbol twice', async () => {
    const mei = await textOf('mei', round)
    const names = [...mei.matchAll(/<rend rend="box">([^<]*)<\/rend>/g)].map(([, name]) => name)
    expect(names.slice(0, 3)).toEqual(['A major (concert C)', 'B♭ major (concert D♭)', 'B major (concert D)'])
    expect(names).toHaveLength(12)
    expect(mei.match(/<measure /g)).toHaveLength(192)
    expect(mei.match(/<harm /g)).toHaveLength(12)
    const ids = [...mei.matchAll(/xml:id="([^"]*)"/g)].map(([, id]) => id)
    expect(new Set(ids).size).toBe(ids.length)
    for (const [, start] of mei.matchAll(/startid="#([^"]*)"/g)) expect(ids).toContain(start)
  })

  test('MusicXML is one file too', async () => {
    const xml = await textOf('musicxml', round)
    expect(xml.match(/<measure /g)).toHaveLength(192)
    expect(xml.match(/<fifths>/g)).toHaveLength(12)
    expect(xml.match(/<rehearsal>/g)).toHaveLength(12)
  })

  test('a recording goes through all keys without a count-in between', () => {
    const { lines, brief } = ask(round)
    const whole = [joinLines(lines)]
    expect(recordedPasses(whole, brief)).toHaveLength(1)
    const pass = passAt(practiceOf(whole, brief), 0)!
    const { notes } = playTime({ ...arrangePass(whole, { ...brief, swing: 1 }, pass) })
    const line = notes.filter(({ part }) => part === 'line').sort((a, b) => a.start - b.start)
    expect(line.map(({ midi }) => midi)).toEqual(pitches(round))
    for (const [i, note] of line.entries()) if (i > 0) expect(note.start - line[i - 1]!.end).toBeLessThan(0.1)
  })
})

describe('a pickup', () => {
  const given = { pickup: 'yes', notes: '3' }
  test('stands in bar 0 and leads into the first target', () => {
    const [line] = ask(given).lines
    const led = line!.notes.filter(({ bar }) => bar === 0)
    expect(led.map(({ start, role }) => [start, role])).toEqual([
      [-36, 'approach'],
      [-24, 'approach'],
      [-12, 'approach'],
    ])
    const figure = line!.figures[led[0]!.figure!]!
    expect(led.map(({ pitch }) => midiOf(pitch!) - midiOf(line!.targets[0]!.pitch))).toEqual(figure.offsets)
    expect([figure.bar, figure.target, figure.count > 0]).toEqual([0, 0, true])
  })
  test('is a measure 0 that does not claim to be full', async () => {
    expect(await textOf('mei', given)).toMatch(/<measure xml:id="measure-0" n="0" metcon="false">/)
    expect(await textOf('musicxml', given)).toMatch(/<measure implicit="yes" number="0">/)
    expect(await textOf('text', given)).toMatch(/^0 +\S+\. \S+\. \S+\.$/m)
    expect(JSON.parse(await textOf('json', given)).lines[0].notes[0]).toMatchObject({ bar: 0, beat: 3.5 })
  })
  test('sounds before bar 1, with a count-in and without', async () => {
    for (const countIn of ['0', '1']) {
      const { lines, brief } = ask({ ...given, countIn, swing: '1' })
      const pass = passAt(practiceOf(lines, brief), 0)!
      const line = playTime(arrangePass(lines, brief, pass)).notes.filter(({ part }) => part === 'line')
      expect(line.map(({ midi }) => midi)).toEqual(pitches(given))
      // A bar of four at 120 lasts two seconds; three eighths of it are the pickup's.
      expect(line[0]!.start).toBeCloseTo(2 - 0.75, 1)
    }
    const { tracks } = parseMidi((await filesOf('midi', given))[0]!.bytes)
    expect(tracks[1]!.filter(({ type }) => type === 'noteOn')).toHaveLength(pitches(given).length)
  })
  test('with joined keys stands before the first only', () => {
    const { lines } = ask({ ...round, ...given })
    expect(lines.map(({ notes }) => notes.filter(({ bar }) => bar === 0).length)).toEqual([3, ...Array(11).fill(0)])
  })
})
