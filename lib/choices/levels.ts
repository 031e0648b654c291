/** Levels of difficulty: what each adds to the one before, as choices of the brief. */
import type { Brief } from './choices.ts'

export interface Level {
  readonly level: 1 | 2 | 3 | 4 | 5 | 6
  /** What it adds, in a sentence. */
  readonly adds: string
  readonly sets: Partial<Brief>
}

/** From one approach note in a small range to four-note enclosures over the whole range. Common practice of teachers. */
export const levels: readonly Level[] = [
  {
    level: 1,
    adds: 'Thirds on the downbeat, one note leading in by step, stepwise cells, a small range.',
    sets: {
      land: ['3'],
      every: 'bar',
      approach: ['chromatic', 'scale'],
      notes: 1,
      cells: ['1-2-3-4', '8-7-6-5', '1-2-3-1'],
      compass: 'small',
    },
  },
  {
    level: 2,
    adds: 'Sevenths as well, and two notes leading in: the first enclosures.',
    sets: {
      every: 'bar',
      approach: ['enclosure', 'chromatic', 'scale'],
      notes: 2,
      cells: ['1-2-3-4', '8-7-6-5', '1-2-3-5'],
      compass: 'small',
    },
  },
  {
    level: 3,
    adds: 'Every strong chord change, enclosures of three notes, cells as they arise, the comfortable range.',
    sets: { approach: ['enclosure', 'chromatic'], notes: 3 },
  },
  {
    level: 4,
    adds: 'Enclosures of four notes, and arpeggios that lead in.',
    sets: { approach: ['enclosure', 'chromatic', 'arpeggio'], notes: 4 },
  },
  {
    level: 5,
    adds: 'Phrases that breathe, triplets and held notes, ninths to land on.',
    sets: { land: ['3', '7', '9'], approach: ['enclosure', 'chromatic', 'arpeggio'], notes: 4, rhythm: 'phrased' },
  },
  {
    level: 6,
    adds: 'The whole range, altered dominants, sharp elevenths and thirteenths.',
    sets: {
      land: ['3', '7', '9', '#11', '13'],
      approach: ['enclosure', 'chromatic', 'arpeggio'],
      notes: 4,
      rhythm: 'phrased',
      minorDominant: 'altered',
      compass: 'full',
    },
  },
]

/** What a level sets; nothing for none. */
export const levelSets = (level: number | null): Partial<Brief> =>
  levels.find((each) => each.level === level)?.sets ?? {}
