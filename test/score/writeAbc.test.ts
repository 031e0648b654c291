import abcjs from 'abcjs'
import { describe, expect, test } from 'vitest'
import { writeAbc } from '../../lib/score/writeAbc.ts'
import { scoreFixture } from './scoreFixture.ts'
import { type SoundingNote, soundingNotes } from './soundingNotes.ts'

interface Audio {
  readonly tracks: readonly (readonly {
    readonly cmd: string
    readonly pitch: number
    readonly start: number
    readonly duration: number
  }[])[]
}

/** What abcjs plays of the tune (it plays the chords too), in ticks of 24 to the quarter; it counts in whole notes, to six places. */
function heard(abc: string): readonly SoundingNote[] {
  const tune = abcjs.parseOnly(abc)[0] as unknown as { warnings?: string[]; setUpAudio: (options: object) => Audio }
  expect(tune.warnings).toBeUndefined()
  return tune
    .setUpAudio({})
    .tracks[0]!.filter((event) => event.cmd === 'note')
    .map(({ pitch, start, duration }) => ({
      start: Math.round(start * 96),
      ticks: Math.round(duration * 96),
      midi: pitch,
    }))
}

/** abcjs puts signs for some of the letters that stand for flat and sharp. */
const ascii = (symbol: string) => symbol.replaceAll('♭', 'b').replaceAll('♯', '#')

describe('abcjs reads it back', () => {
  test.each(['alto-sax', 'tenor-sax', 'trombone', 'viola', 'trombone-tenor-clef', 'guitar', 'tenor-voice', 'horn'])(
    '%s: the same notes at the same times, at sounding pitch',
    (id) => {
      const score = scoreFixture(id)
      expect(heard(writeAbc(score))).toEqual(soundingNotes(score))
    },
  )

  test('its chords and the degrees under its notes', () => {
    const tune = abcjs.parseOnly(writeAbc(scoreFixture()))[0]!
    const items = tune.lines.flatMap((line) => line.staff?.flatMap((staff) => staff.voices?.flat() ?? []) ?? []) as {
      chord?: { name: string }[]
      lyric?: { syllable: string }[]
    }[]
    expect(items.flatMap((item) => item.chord?.map((chord) => ascii(chord.name)) ?? [])).toEqual(
      'Dm7 G13(#11) Db7/F Cmaj7 A7(b9) Ebdim7 Bm7b5 N.C. Fm7/Bb Bb7 Eb6/9'.split(' '),
    )
    const syllables = items.flatMap((item) => item.lyric?.map((lyric) => lyric.syllable) ?? []).filter((s) => s !== '')
    expect(syllables).toEqual(['♭3', '3', '3', '11', '♭5', '3'])
  })

  test.each([
    ['a new field', 'Two\nK:Gb\nX:2'],
    ['a comment', '100 % sure'],
    ['quotes and brackets', '"[K:A]" \\u266d'],
  ])('a title that would be %s stays a title', (_, title) => {
    const score = scoreFixture()
    const named = { ...score, title, composer: title, styleLine: title, bars: [{ ...score.bars[0]!, section: title }] }
    const abc = writeAbc(named)
    expect(heard(abc)).toEqual(soundingNotes(named))
    expect(abcjs.parseOnly(abc)).toHaveLength(1)
  })
})

test('an accidental is written again where another octave could be taken for it', () => {
  // Source: ABC 2.1, field I:propagate-accidentals, which by default holds in every octave of the bar.
  const score = scoreFixture()
  const [first, second] = score.bars[0]!.events
  const bar = {
    ...score.bars[0]!,
    events: [
      { ...first!, pitch: { letter: 'F', alter: 1, octave: 4 }, accidental: 'shown', degree: null },
      { ...second!, pitch: { letter: 'F', alter: 0, octave: 5 }, accidental: null },
    ],
  } as const
  expect(writeAbc({ ...score, bars: [bar] })).toContain('"Dm7"^F=f |')
})

test('a part of whole notes, dots and sixteenths counts in eighths', () => {
  expect(writeAbc(scoreFixture())).toContain('"Cmaj7"F2 E/2F/2^F G4')
  expect(writeAbc(scoreFixture())).toContain('"G13(#11)"=B2 (3:2:3cBA "Db7/F"G3 F-')
})
