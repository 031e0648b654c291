/** Drills to start from: each only a brief, by a name of its own, of which everything can be changed. */
import type { ChoiceName } from '../choices/choices.ts'

/** A drill by name: its choices as texts, such as an address or options give them. */
export interface NamedDrill {
  /** As the command line takes it. */
  readonly name: string
  readonly title: string
  /** What is practised, in a sentence. */
  readonly says: string
  readonly choices: Readonly<Partial<Record<ChoiceName, string>>>
}

/** What all of them have: their word is kept in every bar, and they go round. */
const kept = { exact: 'yes', join: 'yes', show: 'targets,degrees,brackets' } as const

/** Every dominant, each the fifth of the next. */
const cycle = 'C7 | F7 | Bb7 | Eb7 | Ab7 | Db7 | Gb7 | B7 | E7 | A7 | D7 | G7'

/** An invented tune of sixteen bars, for a figure to go through until there is one of your own. */
const tune = `Key: F
[A] | Fmaj7 | Em7b5 A7b9 | Dm7 | Cm7 F7 | Bbmaj7 | Bbm7 Eb7 | Am7 D7 | Gm7 C7 |
[B] | Fmaj7 | Dm7 G7 | Gm7 | C7 | Am7b5 D7b9 | Gm7 C7 | F6 | Gm7 C7 |`

export const namedDrills: readonly NamedDrill[] = [
  {
    name: 'scale-targets',
    title: 'Scale targets, up and down',
    says: 'The scale climbs and falls, a note a bar: a cell from each, then four notes that enclose the next, other ones in every bar; up a half step, through all keys without stopping.',
    choices: {
      ...kept,
      plan: '1 2 3 4 5 6 7 1 | 2 1 7 6 5 4 3 2',
      approach: 'enclosure',
      notes: '4',
      different: 'yes',
      keys: 'chromatic',
    },
  },
  {
    name: 'chord-tones',
    title: 'Chord tones through the cycle',
    says: 'Root, third, fifth and seventh of every dominant, each the fifth of the next, with two notes into each.',
    choices: { ...kept, changes: cycle, land: '1,3,5,7', every: 'bar', notes: '2', choruses: '2' },
  },
  {
    name: 'thirds-and-sevenths',
    title: 'Thirds and sevenths over ii–V–I',
    says: 'The third or the seventh of each chord on its downbeat, with three notes into each; in all keys by fourths.',
    choices: {
      ...kept,
      changes: 'Key: C\n| Dm7 | G7 | Cmaj7 | Cmaj7 |',
      land: '3,7',
      every: 'bar',
      notes: '3',
      different: 'yes',
      keys: 'fourths',
    },
  },
  {
    name: 'thirds-and-sevenths-minor',
    title: 'Thirds and sevenths over ii–V–i in minor',
    says: 'The same where the ii is half-diminished and the way leads home to minor.',
    choices: {
      ...kept,
      changes: 'Key: Cm\n| Dm7b5 | G7b9 | Cm6 | Cm6 |',
      land: '3,7',
      every: 'bar',
      notes: '3',
      different: 'yes',
      keys: 'fourths',
    },
  },
  {
    name: 'one-enclosure',
    title: 'One enclosure on every degree',
    says: 'The scale note above, the half step below: into each degree of the scale in turn, in all keys.',
    choices: { ...kept, plan: '1 2 3 4 5 6 7 1', figures: '1d -1', keys: 'chromatic' },
  },
  {
    name: 'one-figure',
    title: 'One figure through a tune',
    says: 'The same three notes into every target of a tune: down by half steps to the note, and up to it from below.',
    choices: { ...kept, changes: tune, figures: '2 1 -1', land: '3,7', every: 'bar' },
  },
]

/**
 * The drill of a name; undefined for what is none.
 *
 * @example
 * drillNamed('one-enclosure').choices.figures // => '1d -1'
 */
export const drillNamed = (name: string): NamedDrill | undefined => namedDrills.find((each) => each.name === name)
