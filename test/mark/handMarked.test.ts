/** Lines of common practice, marked by hand bar by bar before the program read them: targets, approaches, cells, and what a teacher would say. */
import { describe, expect, test } from 'vitest'
import { isFaulty, type MarkedFile, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { remarksOn } from '../../lib/mark/reportLine.ts'

function read(text: string): MarkedFile {
  const marked = markFile({ name: 'by hand', bytes: new TextEncoder().encode(text) }, usualMarking)
  if (isFaulty(marked)) throw new Error(JSON.stringify(marked.problems))
  return marked
}

/** Bars of a concert part: chords, a colon, notes. */
const part = (bars: readonly string[], key = 'C major', meter = '') =>
  `${key} concert, Flute, written${meter}\n${bars.map((bar, i) => `${i + 1}  ${bar.replace(': ', '  ')}`).join('\n')}\n`

const placeIn = ({ line }: MarkedFile, bar: number, start: number) =>
  `${bar}.${1 + (start - line.harmony.bars[bar - 1]!.start) / 24}`

function marksOf(marked: MarkedFile) {
  const { line } = marked
  const goal = (target: number) => placeIn(marked, line.targets[target]!.bar, line.targets[target]!.start)
  const figures = (kind: 'approach' | 'cell') => line.figures.filter((figure) => figure.kind === kind)
  return {
    targets: line.targets.map(({ bar, start, degree }) => `${placeIn(marked, bar, start)} ${degree}`),
    approaches: figures('approach').map(({ target, offsets }) => `${goal(target)} ${offsets.join(' ')}`),
    cells: figures('cell').map(({ target, name }) => `${goal(target)} ${name}`),
  }
}

interface Row {
  readonly name: string
  readonly text: string
  readonly targets: readonly string[]
  readonly approaches: readonly string[]
  readonly cells: readonly string[]
}

/** Common practice: ii–V–I in major and minor, blues, turnarounds, a waltz; every reading made by hand. */
const rows: readonly Row[] = [
  {
    name: 'a scale up to the fifth, an enclosure of the root',
    text: part(['Dm7: D4 E4 F4 G4 A4 F4 E4 C4', 'G7: B3 D4 F4 A4 G4 F4 E4 D4', 'Cmaj7: E4:4']),
    targets: ['1.1 1', '1.3 5', '2.1 3', '2.3 1', '3.1 3'],
    approaches: ['1.3 -5 -4 -2', '2.1 1', '2.3 -2 2', '3.1 1 0 -2'],
    cells: [],
  },
  {
    name: 'guide tones enclosed, from the third of each chord',
    text: part(
      ['Gm7: Bb4 A4 G4 F4 D4 G4 F4 D#4', 'C7: E4 G4 Bb4 D5 C5 Bb4 G4 G#4', 'Fmaj7: A4 C5 E5 G5 F5:2'],
      'F major',
    ),
    targets: ['1.1 b3', '1.3 5', '2.1 3', '2.3 1', '3.1 3', '3.3 1'],
    approaches: ['1.3 3', '2.1 3 1 -1', '2.3 -2 2', '3.1 1 -2 -1', '3.3 -1 2'],
    cells: [],
  },
  {
    name: 'arpeggios up, chords of two beats',
    text: part(
      [
        'Am7 D7: A3 C4 E4 G4 F#4 D4 C4 A3',
        'Gmaj7: B3 D4 F#4 A4 G4 F#4 E4 D4',
        'Em7: B3 E4 G4 B4 D5 C#5 C5 B4',
        'A7: C#5:1 -:3',
      ],
      'G major',
    ),
    targets: ['1.1 1', '1.3 3', '2.1 3', '2.3 1', '3.1 5', '3.3 b7', '4.1 3'],
    approaches: ['1.3 -2 1', '2.1 3 1 -2', '2.3 -1 2', '3.1 3', '3.3 -10 -7 -3', '4.1 -2'],
    cells: [],
  },
  {
    name: 'cells that carry on from the downbeat',
    text: part([
      'Dm7: D4 E4 F4 A4 G4 F4 E4 C#4',
      'G7: D4 E4 F4 G4 A4 G4 F4 D#4',
      'Cmaj7: E4 D4 C4 B3 A3 B3 C4 D4',
      'Cmaj7: E4:4',
    ]),
    targets: ['1.1 1', '2.1 5', '3.1 3', '4.1 3'],
    approaches: ['2.1 3 2 -1', '3.1 3 1 -1', '4.1 -7 -5 -4 -2'],
    cells: ['1.1 1-2-3-5', '2.1 1-2-3-4', '3.1 8-7-6-5'],
  },
  {
    name: 'minor: a sixth is a chord tone where it is in the chord',
    text: part(
      ['Dm7b5: F4 Ab4 C5 Eb5 D5 C5 Ab4 G4', 'G7(b9): F4 D4 B3 Ab4 G4 F4 Eb4 D4', 'Cm6: Eb4 D4 C4 G3 A3:2'],
      'C minor',
    ),
    targets: ['1.1 b3', '1.3 1', '2.1 b7', '2.3 1', '3.1 b3', '3.3 6'],
    approaches: ['1.3 -2 1', '2.1 3 2', '2.3 1', '3.1 2 0 -1', '3.3 3 -2'],
    cells: [],
  },
  {
    name: 'a blues: arpeggio cells, a chromatic walk down',
    text: part(['F7: A4 C5 Eb5 F5 D5 C5 B4 Bb4', 'Bb7: Ab4 F4 D4 Bb3 C4 C#4 D4 G4', 'F7: A4:1 -:3'], 'F major'),
    targets: ['1.1 3', '2.1 b7', '3.1 3'],
    approaches: ['2.1 6 4 3 2', '3.1 -2'],
    cells: ['1.1 1-3-5-6', '2.1 8-6-4-2'],
  },
  {
    name: 'a phrase comes to rest off the beat',
    text: part(['Cmaj7: -:1 E4 G4 B4 D5 C5 B4', 'Am7: C5:1.5 A4:2.5', 'Am7: -:4']),
    targets: ['1.3 7', '2.1 b3', '2.2.5 1'],
    approaches: ['1.3 -7 -4', '2.1 2 0 -1'],
    cells: [],
  },
  {
    name: 'a turnaround, two chords a bar',
    text: part(
      ['Bbmaj7 G7: D4 F4 A4 C5 B4 A4 G4 F4', 'Cm7 F7: Eb4 G4 Bb4 D5 C5 A4 F4 Eb4', 'Bbmaj7: D4 C#4 D4 F4 Bb4:2'],
      'Bb major',
    ),
    targets: ['1.1 3', '1.3 3', '2.1 b3', '2.3 5', '3.1 3', '3.3 1'],
    approaches: ['1.3 -2 1', '2.1 6 4 2', '2.3 -2 2', '3.1 3 1', '3.3 -8 -5'],
    cells: [],
  },
  {
    name: 'an altered dominant',
    text: part(['D7alt: F#4 Ab4 Bb4 C5 Eb5 C5 Bb4 Ab4', 'Gm7: G4:4'], 'G minor'),
    targets: ['1.1 3', '2.1 1'],
    approaches: ['2.1 5 3 1'],
    cells: ['1.1 1-2-3-4'],
  },
  {
    name: 'a waltz has one strong beat',
    text: part(['Gmaj7: B4 A4 G4 F#4 G4 A4', 'Em7: B4:3'], 'G major', ', 3/4'),
    targets: ['1.1 3', '2.1 5'],
    approaches: ['2.1 -5 -4 -2'],
    cells: [],
  },
  {
    name: 'a dominant of minor, down its chord',
    text: part(['A7(b9): C#5 Bb4 G4 E4 F4 G4 E4 C#4', 'Dm7: D4:4'], 'D minor'),
    targets: ['1.1 3', '2.1 1'],
    approaches: ['2.1 2 -1'],
    cells: ['1.1 8-7-5-3'],
  },
]

describe('lines marked by hand', () => {
  test.each(rows)('$name', ({ text, targets, approaches, cells }) => {
    expect(marksOf(read(text))).toEqual({ targets, approaches, cells })
  })

  test('are thirty bars and more', () => {
    expect(rows.reduce((sum, { text }) => sum + text.trim().split('\n').length - 1, 0)).toBeGreaterThanOrEqual(30)
  })
})

describe('what a teacher would say', () => {
  const said = (text: string) =>
    remarksOn(read(text))
      .filter(({ about }) => !['approach', 'guide-tone', 'chord-tone'].includes(about))
      .map(({ about, bar, beat }) => `${about} ${bar}.${beat}`)

  // Common practice, by hand.
  test.each([
    ['nothing of a line that keeps to its chords', part(['Dm7: F4 E4 D4 C4 A4:2', 'G7: B4:4']), []],
    ['a chromatic note left hanging', part(['Dm7: F4 E4 Eb4 A4 D5:2', 'G7: B4:4']), ['unresolved 1.2']],
    ['nothing of one that goes on by a half step', part(['Dm7: F4 E4 Eb4 D4 A4:2', 'G7: B4:4']), []],
    ['nothing of one that turns round its goal', part(['Dm7: D4 F4 C#4 E4 D4:2', 'G7: B4:4']), []],
    ['a strong beat outside the scale', part(['Dm7: F#4 E4 D4 C4 A4:2', 'G7: B4:4']), ['outside 1.1']],
    [
      'a downbeat of the scale that is no chord tone',
      part(['Dm7: E4 F4 G4 A4 C5:2', 'G7: B4:4']),
      ['no-chord-tone 1.1'],
    ],
  ])('%s', (_, text, remarks) => {
    expect(said(text)).toEqual(remarks)
  })

  test('a dead enclosure is named, with what is heard instead', () => {
    // Two below, then two above: the counts hold it not once in 4,142 windows (the README of the counts).
    const dead = read(part(['Fmaj7: A5:2 D4 D#4 F#4 F4', 'Cmaj7: E4:4']))
    const remark = remarksOn(dead).find(({ about, bar }) => about === 'approach' && bar === 2)
    expect(remark).toMatchObject({ heard: 'dead', beat: 1 })
    expect(remark!.instead.length).toBeGreaterThan(0)
    expect(remark!.text).toContain('recordings hardly hold it')
  })
})
