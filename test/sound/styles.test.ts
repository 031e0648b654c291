/** Styles told apart, bars that do not wear out, endings that end, and time from strict to loose. */
import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { defaultBrief, feels } from '../../lib/brief.ts'
import type { Feel } from '../../lib/choices/practice.ts'
import { edition } from '../../lib/edition.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import type { Arrangement, Part, SoundNote } from '../../lib/sound/arrangement.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import { drum } from '../../lib/sound/bandStyle.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { form, lineOver, tune } from './soundFixture.ts'

const styles = feels.filter((feel) => feel !== 'click')
const line = lineOver(tune(form))
const notesOf = ({ tracks }: Arrangement, part: Part): readonly SoundNote[] =>
  tracks.find((track) => track.part === part)!.notes

/** What a part plays in each bar, as text: places and, of the drums, which voice; as it is swung. */
const barsOf = (
  notes: readonly SoundNote[],
  ticks: number,
  count: number,
  voices: boolean,
  swing = 1,
): readonly string[] =>
  Array.from({ length: count }, (_, bar) =>
    [
      ...new Set(
        notes
          .filter((note) => Math.floor(note.start / ticks) === bar)
          .map(
            (note) =>
              `${note.start % ticks}${swing > 1.2 && note.start % 24 === 12 ? 's' : ''}${voices ? `:${note.midi}` : ''}`,
          ),
      ),
    ].join(' '),
  )
const shareOfMost = (bars: readonly string[]): number => {
  const counts = new Map<string, number>()
  for (const bar of bars) counts.set(bar, (counts.get(bar) ?? 0) + 1)
  return Math.max(...counts.values()) / bars.length
}
/** How far two parts are apart: half the sum of how differently often each place (and voice) is struck, as shares of all strokes. */
const distance = (a: readonly string[], b: readonly string[]): number => {
  const shares = (bars: readonly string[]) => {
    const all = bars.flatMap((bar) => bar.split(' ').filter(Boolean))
    const found = new Map<string, number>()
    for (const place of all) found.set(place, (found.get(place) ?? 0) + 1 / all.length)
    return found
  }
  const [x, y] = [shares(a), shares(b)]
  return (
    [...new Set([...x.keys(), ...y.keys()])].reduce(
      (sum, key) => sum + Math.abs((x.get(key) ?? 0) - (y.get(key) ?? 0)),
      0,
    ) / 2
  )
}

describe('styles', () => {
  const played = new Map(
    styles.map((feel) => {
      const made = arrange(line, { feel, countIn: 0, seed: 3 })
      return [
        feel,
        {
          drums: barsOf(notesOf(made, 'drums'), 96, 32, true, made.swing),
          bass: barsOf(notesOf(made, 'bass'), 96, 32, false),
          made,
        },
      ] as const
    }),
  )
  const pairs = styles.flatMap((a, i) => styles.slice(i + 1).map((b) => [a, b] as const))
  test.each(pairs)('%s and %s differ by what is struck where', (a, b) => {
    // A waltz is told by its three, so in four it walks as swing does.
    const least = [a, b].includes('waltz') && [a, b].includes('swing') ? 0 : 0.25
    expect(distance(played.get(a)!.drums, played.get(b)!.drums)).toBeGreaterThanOrEqual(least)
  })

  /** Where a part is struck, how long it sounds there and whether it is only touched, over three seeds. */
  const touchesOf = (feel: Feel, part: Part, beats: number): string =>
    [1, 2, 3]
      .flatMap((seed) => {
        const own = lineOver(tune(form, { meter: { beats, unit: 4 } }))
        const made = arrange(own, { feel, countIn: 0, seed, tempo: 128, looseness: 'light' })
        const struck = new Map(notesOf(made, part).map((note) => [note.start, note]))
        return [...struck.values()].map(({ start, ticks, velocity }) => {
          const swung = made.swing > 1.2 && start % 24 === 12 ? 's' : ''
          const length = ticks <= 6 ? 16 : ticks <= 14 ? 8 : ticks < 40 ? 4 : 2
          return `${start % (24 * beats)}${swung}/${length}${velocity <= 0.4 ? 'g' : ''}`
        })
      })
      .join(' ')
  test.each([
    ['bass', 4],
    ['bass', 3],
    ['chords', 4],
    ['chords', 3],
  ] as const)('%s alone, in %d: every pair of styles differs by a fifth of its strokes', (part, beats) => {
    const own = new Map(styles.map((feel) => [feel, touchesOf(feel, part, beats)]))
    for (const [a, b] of pairs) {
      // Swing in three is a waltz, and a waltz in four swings.
      if ([a, b].includes('waltz') && [a, b].includes('swing')) continue
      expect(distance([own.get(a)!], [own.get(b)!]), `${a}, ${b}`).toBeGreaterThanOrEqual(0.2)
    }
  })

  test('a waltz, a five and a six are told apart from one another and from four', () => {
    const meters = [
      [{ beats: 3, unit: 4 }, 'waltz'],
      [{ beats: 5, unit: 4 }, 'swing'],
      [{ beats: 6, unit: 8 }, 'even'],
      [{ beats: 3, unit: 4 }, 'even'],
      [{ beats: 4, unit: 4 }, 'swing'],
    ] as const
    const drums = meters.map(([meter, feel]) => {
      const made = arrange(lineOver(tune('Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | A7', { meter })), {
        feel,
        countIn: 0,
      })
      return barsOf(notesOf(made, 'drums'), (meter.beats * 96) / meter.unit, 8, true, made.swing)
    })
    for (const [i, a] of drums.entries())
      for (const b of drums.slice(i + 1)) expect(distance(a, b)).toBeGreaterThan(0.15)
  })

  const cymbals: readonly number[] = [
    drum.ride,
    drum.hat,
    drum.brush,
    drum.bell,
    drum.shaker,
    drum.cow,
    drum.open,
    drum.foot,
  ]
  const meters = [
    { beats: 4, unit: 4 },
    { beats: 3, unit: 4 },
    { beats: 5, unit: 4 },
    { beats: 6, unit: 8 },
  ]
  test.each(styles)(
    '%s: in any meter no bar of ride or hat, bass or chords stands in more than 40 % of a minute',
    (feel) => {
      const tempo = feel === 'ballad' ? 66 : 128
      for (const meter of meters) {
        const ticks = (meter.beats * 96) / meter.unit
        const count = Math.round((24 * tempo) / ticks)
        const text = Array.from({ length: count }, (_, i) => form.split(' | ')[i % 32]!).join(' | ')
        const own = lineOver(tune(text, { meter }))
        for (const seed of [1, 2]) {
          const made = arrange(own, { feel, countIn: 0, seed, tempo, looseness: 'light' })
          const time = notesOf(made, 'drums').filter((note) => cymbals.includes(note.midi))
          const at = `${meter.beats}/${meter.unit}, ${seed}`
          expect(shareOfMost(barsOf(time, ticks, count, true)), `ride, ${at}`).toBeLessThanOrEqual(0.4)
          expect(shareOfMost(barsOf(notesOf(made, 'bass'), ticks, count, false)), `bass, ${at}`).toBeLessThanOrEqual(
            0.4,
          )
          expect(
            shareOfMost(barsOf(notesOf(made, 'chords'), ticks, count, false)),
            `chords, ${at}`,
          ).toBeLessThanOrEqual(0.4)
        }
      }
    },
  )

  test.each(styles)(
    '%s, strict: no bar of ride or hat, of bass or of chords stands in more than 40 % of a minute',
    (feel) => {
      for (const seed of [1, 2, 3]) {
        // 32 bars of four at 128 are a minute.
        const made = arrange(line, { feel, countIn: 0, seed, tempo: 128 })
        const time = notesOf(made, 'drums').filter((note) => cymbals.includes(note.midi))
        expect(shareOfMost(barsOf(time, 96, 32, true)), `ride, ${seed}`).toBeLessThanOrEqual(0.4)
        expect(shareOfMost(barsOf(notesOf(made, 'bass'), 96, 32, false)), `bass, ${seed}`).toBeLessThanOrEqual(0.4)
        expect(shareOfMost(barsOf(notesOf(made, 'chords'), 96, 32, false)), `chords, ${seed}`).toBeLessThanOrEqual(0.4)
      }
    },
  )
})

describe('endings', () => {
  const home = lineOver(tune('Dm7 | G7 | Cmaj7 | Cmaj7'))
  const away = lineOver(tune('Cmaj7 | A7 | Dm7 | G7'))

  test.each(styles)('%s ends: all come to rest on the tonic, and nothing is struck after', (feel) => {
    for (const given of [home, away]) {
      const made = arrange(given, { feel, countIn: 0, ends: true })
      const bass = notesOf(made, 'bass')
      const chords = notesOf(made, 'chords')
      const last = bass.at(-1)!
      expect(last.midi % 12).toBe(0)
      expect(last.start % 96).toBe(0)
      const group = chords.filter((note) => note.start === last.start)
      expect(group.length).toBeGreaterThanOrEqual(3)
      expect(chords.every((note) => note.start <= last.start)).toBe(true)
      expect(notesOf(made, 'drums').some((note) => note.start === last.start && note.midi === drum.kick)).toBe(true)
      // Rock, funk, samba and mambo stop; the others hold the chord to the end.
      const stops = ['rock', 'funk', 'samba', 'mambo'].includes(feel)
      const end = made.bars.at(-1)!
      if (stops) expect(last.ticks).toBeLessThanOrEqual(12)
      else expect(last.start + last.ticks).toBe(end.start + end.ticks)
      const line = notesOf(made, 'line')
      expect(line.every((note) => note.start + note.ticks <= last.start)).toBe(true)
    }
  })

  test('what does not come home is tagged in swing: its last bar once more, without the line', () => {
    expect(arrange(away, { feel: 'swing', countIn: 0, ends: true }).chords.map((chord) => chord.symbol)).toEqual([
      'Cmaj7',
      'A7',
      'Dm7',
      'G7',
      'G7',
      'Cmaj7',
    ])
    expect(arrange(home, { feel: 'swing', countIn: 0, ends: true }).bars.length).toBe(5)
    expect(arrange(home, { feel: 'swing', countIn: 0 }).bars.length).toBe(4)
    expect(arrange(home, { feel: 'click', countIn: 0, ends: true }).bars.length).toBe(4)
  })

  test('at 300 beats a minute the last chord rings two bars', () => {
    expect(arrange(home, { feel: 'swing', tempo: 300, countIn: 0, ends: true }).bars.length).toBe(6)
  })
})

describe('time', () => {
  const hash = (notes: unknown) => createHash('sha256').update(JSON.stringify(notes)).digest('hex').slice(0, 16)

  // Hashes of line, count-in and click as they were before there was any other time than strict.
  test.each([
    ['alto-sax', 120, 1, 'a333e5d116e19df1', '53aa2b1e1744df3c', '478f54924ccfc4e7'],
    ['trombone', 200, 5, '68ba2afc48569230', '90a8951af0dd0a79', 'b5fc690da07e9e5e'],
  ] as const)('strict: %s at %d is played as ever, to the last digit', (id, tempo, seed, played, counted, clicked) => {
    const own = lineOver(tune(form), id, seed)
    const { notes } = playTime(arrange(own, { tempo, feel: 'swing', seed }))
    expect(hash(notes.filter((note) => note.part === 'line'))).toBe(played)
    expect(hash(notes.filter((note) => note.part === 'count'))).toBe(counted)
    expect(hash(playTime(arrange(own, { tempo, feel: 'click', seed })).notes)).toBe(clicked)
  })

  // Sums of the band's MIDI files over every style, as they were when looser bands learnt to vary more, which was in edition 4 of the lines;
  // the files name the edition.
  test.each([
    [{ beats: 4, unit: 4 }, 'b088e2a9c0973eca'],
    [{ beats: 3, unit: 4 }, '15b92cf606cf37df'],
  ] as const)('strict, %o: the band is written as ever, to the last byte', (meter, sum) => {
    const files = feels.map((feel, i) => {
      const given = { ...defaultBrief, feel, tempo: 90 + 15 * i, looseness: 'strict', seed: i + 1 } as const
      return writeBandMidi([lineOver(tune(form, { meter }))], given)!
    })
    const bytes = Buffer.concat(files).toString('latin1')
    expect(bytes).toContain(`edition ${edition}`)
    const then = Buffer.from(bytes.replaceAll(`edition ${edition}`, 'edition 4'), 'latin1')
    expect(createHash('sha256').update(then).digest('hex').slice(0, 16)).toBe(sum)
  })

  const timed = (looseness: 'strict' | 'light' | 'loose', seed = 1, tempo = 120) =>
    playTime(arrange(line, { tempo, feel: 'swing', seed, looseness, countIn: 0 }))
  const apart = (looseness: 'light' | 'loose', part: Part, seed = 1) => {
    const key = ({ notes }: ReturnType<typeof timed>) => notes.filter((note) => note.part === part)
    // The same notes in the same order of their written places.
    const made = arrange(line, { tempo: 120, feel: 'swing', seed, looseness, countIn: 0 })
    const strict = key(playTime({ ...made, looseness: 'strict' }))
    const other = key(timed(looseness, seed))
    expect(other.length).toBe(strict.length)
    const used = new Set<number>()
    return strict.map((note) => {
      const near = other
        .map((each, i) => [Math.abs(each.start - note.start), i] as const)
        .filter(([gap, i]) => other[i]!.midi === note.midi && gap < 0.1 && !used.has(i))
        .sort((a, b) => a[0] - b[0])[0]
      expect(near).toBeDefined()
      used.add(near![1])
      return { late: 1000 * (other[near![1]]!.start - note.start), note, other: other[near![1]]! }
    })
  }
  const mean = (all: readonly number[]) => all.reduce((a, b) => a + b, 0) / all.length

  test('the drummer stays within a few milliseconds, the line lies behind on the beat, more so when loose', () => {
    for (const [looseness, drums, least, most] of [
      ['light', 3, 8, 20],
      ['loose', 5, 16, 40],
    ] as const) {
      for (const { late } of apart(looseness, 'drums')) expect(Math.abs(late)).toBeLessThanOrEqual(drums)
      const notes = apart(looseness, 'line')
      const onBeat = notes.filter(({ note }) => Math.abs(note.start * 2 - Math.round(note.start * 2)) < 1e-6)
      expect(mean(onBeat.map(({ late }) => late))).toBeGreaterThan(least)
      expect(mean(onBeat.map(({ late }) => late))).toBeLessThan(most)
      const off = notes.filter(({ note }) => !onBeat.some((each) => each.note === note))
      expect(mean(off.map(({ late }) => late))).toBeLessThan(mean(onBeat.map(({ late }) => late)) / 1.5)
    }
  })

  test('the line is weighed and joined: some notes short, some swallowed, none over the next', () => {
    const { notes } = timed('loose', 4)
    const own = notes.filter((note) => note.part === 'line')
    const strict = timed('strict', 4).notes.filter((note) => note.part === 'line')
    const spread = (all: typeof own) => new Set(all.map((note) => note.velocity.toFixed(3))).size
    expect(spread(strict)).toBeLessThanOrEqual(3)
    expect(spread(own)).toBeGreaterThan(40)
    expect(own.filter((note) => note.velocity < 0.55).length).toBeGreaterThan(5)
    for (const [i, note] of own.slice(1).entries()) {
      expect(note.start).toBeGreaterThan(own[i]!.start)
      expect(own[i]!.end).toBeLessThanOrEqual(note.start + 1e-9)
    }
    // Slurred notes reach the next; tongued ones do not.
    const joined = own.slice(1).filter((note, i) => Math.abs(note.start - own[i]!.end) < 1e-6).length
    expect(joined / own.length).toBeGreaterThan(0.2)
    expect(joined / own.length).toBeLessThan(0.8)
  })

  test('everything follows from the seed, at any tempo', () => {
    expect(timed('loose', 2)).toEqual(timed('loose', 2))
    expect(timed('loose', 2)).not.toEqual(timed('loose', 3))
    for (const tempo of [40, 300, 320])
      for (const note of timed('loose', 2, tempo).notes) {
        expect(note.start).toBeGreaterThanOrEqual(0)
        expect(note.end).toBeGreaterThan(note.start)
      }
  })
})
