/** A shelf of changes to begin with: invented titles over progressions that belong to everyone. */

export interface Example {
  readonly id: string
  /** What it is good for, as the shelf calls it. */
  readonly name: string
  readonly changes: string
}

export const examples: readonly Example[] = [
  {
    id: 'two-five-one',
    name: 'ii–V–I in major',
    changes: `Title: A Gate, a Path, a Porch
Key: C
Tempo: 120
| Dm7 | G7 | Cmaj7 | Cmaj7 |
| Dm7 | G7 | Em7 | A7 |
| Dm7 | G7 | Cmaj7 | A7 |
| Dm7 | G7 | Cmaj7 | Cmaj7 |`,
  },
  {
    id: 'two-five-one-minor',
    name: 'ii–V–i in minor',
    changes: `Title: Wet Umbrella
Key: Cm
Tempo: 112
| Dm7b5 | G7b9 | Cm6 | Cm6 |
| Fm7 | Dm7b5 G7b9 | Cm6 | Cm6 |
| Gm7b5 | C7b9 | Fm7 | Fm7 |
| Dm7b5 | G7b9 | Cm6 | Cm6 |`,
  },
  {
    id: 'blues',
    name: 'Blues in B♭',
    changes: `Title: Kettle at Half Past Six
Key: Bb
Tempo: 132
Feel: Medium swing
| Bb7 | Eb7 | Bb7 | Fm7 Bb7 |
| Eb7 | Edim7 | Bb7 | Dm7 G7 |
| Cm7 | F7 | Dm7 G7 | Cm7 F7 |`,
  },
  {
    id: 'minor-blues',
    name: 'Minor blues',
    changes: `Title: Lamp Oil and Matches
Key: Cm
Tempo: 126
| Cm7 | Fm7 | Cm7 | C7b9 |
| Fm7 | Fm7 | Cm7 | Cm7 |
| Ab7 | G7b9 | Cm7 | Dm7b5 G7b9 |`,
  },
  {
    id: 'turnarounds',
    name: 'Turnarounds',
    changes: `Title: Twice Round the Bandstand
Key: F
Tempo: 138
| Fmaj7 Dm7 | Gm7 C7 | Am7 D7 | Gm7 C7 |
| Fmaj7 D7b9 | Gm7 C7 | Fmaj7 F#dim7 | Gm7 C7 |
| Fmaj7 Ab7 | Dbmaj7 Gb7 | Am7 Abm7 | Gm7 C7 |
| Am7 D7 | Gm7 C7 | F6 | F6 |`,
  },
  {
    id: 'thirty-two',
    name: '32 bars, AABA',
    changes: `Title: The Ferry Leaves at Nine
Key: Eb
Tempo: 144
Feel: Medium swing
[A]
|: Ebmaj7 | Gm7 C7 | Fm7 | Bb7 |
| Gm7 Gbdim7 | Fm7 Bb7 |1. Ebmaj7 Cm7 | Fm7 Bb7 :|
|2. Eb6 | Eb6 ||
[B]
| Bbm7 | Eb7 | Abmaj7 | Abmaj7 |
| Am7b5 | D7b9 | Gm7 C7 | Fm7 Bb7 ||
[A]
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 |
| Gm7 Gbdim7 | Fm7 Bb7 | Eb6 | Eb6 |`,
  },
  {
    id: 'waltz',
    name: 'Waltz',
    changes: `Title: Waltz for a Cold Teacup
Key: G
Time: 3/4
Tempo: 150
Feel: Jazz waltz
| Gmaj7 | Gmaj7 | Am7 | D7 |
| Bm7 | E7b9 | Am7 | D7 |
| Cmaj7 | Cm6 | Bm7 | E7 |
| Am7 | D7 | G6 | G6 |`,
  },
  {
    id: 'modal',
    name: 'Modal',
    changes: `Title: Tin Roof in August
Key: Dm
Tempo: 140
Feel: Even eighths
[A]
| Dm7 | Dm7 | Dm7 | Dm7 |
| Dm7 | Dm7 | Dm7 | Dm7 |
[B]
| Fm7 | Fm7 | Fm7 | Fm7 |
| Ebmaj7#11 | Ebmaj7#11 | Dm7 | Dm7 |`,
  },
  {
    id: 'major-thirds',
    name: 'Major-third cycle',
    changes: `Title: The Lighthouse Keeper’s Bicycle
Key: C
Tempo: 120
| Cmaj7 | Bbm7 Eb7 | Abmaj7 | F#m7 B7 |
| Emaj7 | Dm7 G7 | Cmaj7 | Bbm7 Eb7 |
| Abmaj7 | Dm7 G7 | Cmaj7 | F#m7 B7 |
| Emaj7 | Bbm7 Eb7 | Abmaj7 G7 | C6 |`,
  },
]

/** What a first visit finds written out. */
export const firstExample: Example = examples.find((example) => example.id === 'blues')!
