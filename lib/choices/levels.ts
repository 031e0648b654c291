/** Levels of difficulty: what each adds to the one before, as choices of the brief. */
import type { Brief } from './choices.ts'

export interface Level {
  readonly level: 1 | 2 | 3 | 4 | 5 | 6
  /** The one kind of difficulty that it adds; null for the first. Measured in `test/line/levels.test.ts`. */
  readonly kind: 'enclosures' | 'range' | 'rhythm' | 'leaps' | 'chromatic' | null
  /** What it adds, in a sentence. */
  readonly adds: string
  readonly sets: Partial<Brief>
}

/** What stays from the first level to the third: a target a bar, and no leaps to speak of. */
const steady: Partial<Brief> = { every: 'bar', leaps: 'few' }

/** From one approach note in a small range to altered dominants. Common practice of teachers. */
export const levels: readonly Level[] = [
  {
    level: 1,
    kind: null,
    adds: 'Thirds and sevenths on the downbeat, one note leading in by step, stepwise cells, a small range.',
    sets: {
      ...steady,
      approach: ['chromatic', 'scale'],
      notes: 1,
      cells: ['1-2-3-4', '8-7-6-5', '1-2-3-1'],
      compass: 'small',
    },
  },
  {
    level: 2,
    kind: 'enclosures',
    adds: 'Two notes leading in: the first enclosures.',
    sets: {
      ...steady,
      approach: ['enclosure', 'chromatic', 'scale'],
      notes: 2,
      cells: ['1-2-3-4', '8-7-6-5', '1-2-3-5'],
      compass: 'small',
    },
  },
  {
    level: 3,
    kind: 'range',
    adds: 'The comfortable range, and cells as they arise.',
    sets: { ...steady, approach: ['enclosure', 'chromatic', 'scale'], notes: 2 },
  },
  {
    level: 4,
    kind: 'rhythm',
    adds: 'Phrases that breathe, with triplets and held notes, still by step.',
    sets: { approach: ['enclosure', 'scale'], notes: 2, rhythm: 'phrased', leaps: 'few', alter: 'none' },
  },
  {
    level: 5,
    kind: 'leaps',
    adds: 'Leaps, and arpeggios that lead in.',
    sets: {
      approach: ['enclosure', 'scale', 'arpeggio'],
      notes: 3,
      rhythm: 'phrased',
      leaps: 'some',
      alter: 'none',
    },
  },
  {
    level: 6,
    kind: 'chromatic',
    adds: 'Chromatic approaches, enclosures of four notes, altered dominants; ninths, sharp elevenths and thirteenths as targets.',
    sets: {
      land: ['3', '7', '9', '#11', '13'],
      approach: ['enclosure', 'chromatic', 'arpeggio'],
      notes: 4,
      rhythm: 'phrased',
      leaps: 'some',
      alter: 'much',
      minorDominant: 'altered',
    },
  },
]

/** What a level sets; nothing for none. */
export const levelSets = (level: number | null): Partial<Brief> =>
  levels.find((each) => each.level === level)?.sets ?? {}
