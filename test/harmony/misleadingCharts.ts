/**
 * More whole tunes with the key a teacher would name, where the opening or the ending points elsewhere. Made up and labelled as those
 * of `homeCharts.ts`; of each class every second chart was kept out of the judging of costs.
 */
import type { HomeChart } from './homeCharts.ts'

const form = (...sections: readonly string[]) => sections.join('\n')

const byKind: Readonly<Record<string, readonly (readonly [home: string, bars: string])[]>> = {
  'opens on ii, more': [
    [
      'Ab',
      form(
        '| Bbm7 | Eb7 | Abmaj7 | F7 | Bbm7 | Dbm6 | Cm7 | F7 |',
        '| Bbm7 | Eb7 | Abmaj7 | F7 | Bbm7 | Eb7 | Ab6 | Ab6 |',
        '| Ebm7 | Ab7 | Dbmaj7 | Dbmaj7 | Dm7b5 | G7 | Cm7 F7 | Bbm7 Eb7 |',
        '| Bbm7 | Eb7 | Abmaj7 | F7 | Bbm7 | Eb7 | Cm7 | F7 |',
      ),
    ],
    ['G', '| Am7 | D7 | Am7 | D7 | Gmaj7 | E7 | Am7 | D7 | Am7 | D7 | Bm7 | E7 | Am7 | D7 | G6 | E7 |'],
    ['Cm', '| Dm7b5 | G7 | Cm7 | Cm7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Dm7b5 | G7 | Cm7 | Ab7 | Dm7b5 | G7 | Cm6 | C7 |'],
    ['F', '| Gm7 | Gm7 | C7 | C7 | Fmaj7 | Fmaj7 | Am7 | D7 | Gm7 | Bbm6 | Am7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 |'],
    [
      'Bb',
      form(
        '| Cm7 F7 | Dm7 G7 | Cm7 F7 | Bbmaj7 | Bbm7 Eb7 | Abmaj7 | Am7b5 D7 | Gm7 C7 |',
        '| Cm7 F7 | Dm7 G7 | Cm7 F7 | Bbmaj7 | Ebmaj7 Ab7 | Dm7 G7 | Cm7 F7 | Bb6 G7 |',
      ),
    ],
    ['E', '| F#m7 | B7 | G#m7 | C#7 | F#m7 | B7 | Emaj7 | E6 | Em7 | A7 | Dmaj7 | D6 | F#m7 | B7 | E6 | C#7 |'],
    ['Dm', '| Em7b5 A7 | Dm6 | Em7b5 A7 | Dm6 | Gm7 C7 | Fmaj7 | Em7b5 A7 | Dm6 | Em7b5 A7 | Dm6 | Bb7 A7 | Dm6 |'],
    [
      'Eb',
      form(
        '| Fm7 | Fm7 | Fm7 | Fm7 | Bb7 | Bb7 | Eb6 | Gm7b5 C7 |',
        '| Fm7 | Fm7 | Abm6 | Db7 | Gm7 | C7 | Fm7 Bb7 | Eb6 |',
        '| Bbm7 | Eb7 | Ab6 | Ab6 | F7 | F7 | Bb7 | C7 |',
      ),
    ],
  ],
  'opens on vi, more': [
    ['Bb', '| Gm7 | Cm7 | F7 | Bbmaj7 | Gm7 | C7 | Cm7 | F7 | Gm7 | Cm7 | F7 | Dm7 G7 | Cm7 | F7 | Bb6 | D7 |'],
    ['C', '| Am7 D7 | Dm7 G7 | Cmaj7 | Cmaj7 | Am7 D7 | Dm7 G7 | Em7 A7 | Dm7 G7 | Am7 D7 | Dm7 G7 | C6 | E7 |'],
    [
      'F',
      form(
        '| Dm7 | Dm7 | Gm7 | C7 | Am7 | D7 | Gm7 | C7 |',
        '| Dm7 | Dm7 | Gm7 | C7 | Fmaj7 | Gm7 C7 | F6 | F6 |',
        '| Bm7b5 | E7 | Am7 | Am7 | Abm7 | Db7 | Gm7 | C7 |',
        '| Dm7 | Dm7 | Gm7 | C7 | Fmaj7 | Gm7 C7 | F6 | A7 |',
      ),
    ],
    ['D', '| Bm7 | E7 | Em7 | A7 | Bm7 | E7 | Em7 | A7 | Dmaj7 | Gmaj7 | F#m7 B7 | Em7 A7 | D6 | F#7 |'],
    ['Eb', '| Cm | Cm | Fm7 | Bb7 | Eb | Cm | Fm7 | Bb7 | Cm | Cm | Fm7 | Abm6 | Eb/G C7 | Fm7 Bb7 | Eb | G7 |'],
    ['Ab', '| Fm7 | Db7 | Cm7 | F7 | Bbm7 | Eb7 | Abmaj7 | C7 | Fm7 | Db7 | Cm7 | F7 | Bbm7 | Eb7 | Ab6 | Ab6 |'],
    ['G', '| Em | B7 | Em7 | A7 | Am7 | D7 | G | B7 | Em | B7 | Em7 | A7 | Am7 | D7 | G | G |'],
    [
      'Db',
      '| Bbm7 Eb7 | Ebm7 Ab7 | Dbmaj7 | Gbmaj7 | Cm7b5 F7 | Bbm7 Eb7 | Ebm7 | Ab7 | Bbm7 Eb7 | Ebm7 Ab7 | Fm7 Bb7 | Ebm7 Ab7 | Dbmaj7 Ebm7 Ab7 | Db6 F7 |',
    ],
  ],
  'opens on IV, more': [
    ['Bb', '| Ebmaj7 | Ab7 | Bbmaj7 | G7 | Cm7 | F7 | Bbmaj7 | Bb7 | Ebmaj7 | Ab7 | Dm7 | G7 | Cm7 | F7 | Bb6 | Bb7 |'],
    [
      'C',
      '| Fmaj7 | Em7 | Dm7 | Cmaj7 | Fmaj7 | Em7 A7 | Dm7 | G7 | Fmaj7 | Em7 | Dm7 | Cmaj7 | Dm7 | G7 | C6 | Gm7 C7 |',
    ],
    ['F', '| Bb6 | Bb6 | F6 | F6 | C7 | C7 | F6 | F7 | Bb6 | Bdim7 | F/C | D7 | G7 | C7 | F6 | F7 |'],
    [
      'Ab',
      '| Dbmaj7 | Gb7 | Abmaj7 | Abmaj7 | Dbmaj7 | Gb7 | Cm7 | F7 | Bbm7 | Eb7 | Cm7 F7 | Bbm7 Eb7 | Ab6 | Ebm7 Ab7 |',
    ],
    ['Eb', form('| Ab7 | Ab7 | Eb6 | Eb6 | Ab7 | Ab7 | Eb6 | C7 |', '| F7 | F7 | Bb7 | Bb7 | Eb6 | Ab7 | Eb6 | Eb7 |')],
    ['G', '| C | D | G | Em | C | D | G | G | C | D | Em | A7 | C | D | G | G7 |'],
    ['D', '| Gmaj7 | Gm6 | F#m7 | B7 | Em7 | A7 | Dmaj7 | D7 | Gmaj7 | Gm6 | F#m7 | B7 | Em7 | A7 | D6 | Am7 D7 |'],
    [
      'Db',
      '| Gbmaj7 | Gbmaj7 | Fm7 | Bb7 | Ebm7 | Ab7 | Dbmaj7 | Abm7 Db7 | Gbmaj7 | B7 | Fm7 | Bb7 | Ebm7 | Ab7 | Db6 | Db7 |',
    ],
  ],
  'opens on II7 or III7, more': [
    ['C', '| D7 | D7 | G7 | G7 | Dm7 | G7 | Cmaj7 | A7 | D7 | D7 | G7 | G7 | Dm7 | G7 | C6 | A7 |'],
    [
      'F',
      '| G7 | Gm7 C7 | Fmaj7 | D7 | G7 | Gm7 C7 | Am7 D7 | Gm7 C7 | G7 | Gm7 C7 | Fmaj7 | D7 | G7 | C7 | F6 | F6 |',
    ],
    ['Bb', '| D7 | D7 | Gm7 | Gm7 | C7 | C7 | Cm7 | F7 | D7 | D7 | Gm7 | C7 | Cm7 | F7 | Bb6 | Bb6 |'],
    ['Eb', '| G7 | G7 | C7 | C7 | F7 | F7 | Bb7 | Bb7 | G7 | G7 | C7 | C7 | F7 | Bb7 | Eb6 | Ab7 |'],
    ['G', '| A7 | Cm6 | Gmaj7 | E7 | A7 | D7 | Gmaj7 | E7 | A7 | Cm6 | Bm7 | E7 | Am7 | D7 | G6 | E7 |'],
    ['Ab', '| Bb7 | Bb7 | Bb7 | Bb7 | Eb7 | Eb7 | Ab6 | Ab6 | Bb7 | Bb7 | Bb7 | Bb7 | Eb7 | Eb7 | Ab6 | Db7 |'],
  ],
  'opens on iii, bVII and elsewhere': [
    ['C', '| Em7 | A7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | Gm7 | C7 | Fmaj7 | Bb7 | Em7 | A7 | Dm7 G7 | C6 |'],
    [
      'Eb',
      '| Gm7 | C7 | Fm7 | Bb7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Gm7 C7 | Fm7 Bb7 | Gm7 | C7 | Fm7 Bb7 | Eb6 |',
    ],
    [
      'F',
      '| Am7 | Dm7 | Gm7 | C7 | Am7 | Dm7 | Gm7 | C7 | Cm7 | F7 | Bbmaj7 | Eb7 | Am7 D7 | Gm7 C7 | F6 | Bm7b5 E7 |',
    ],
    [
      'D',
      '| F#m7 | Fdim7 | Em7 | A7 | F#m7 | Fdim7 | Em7 | A7 | Am7 | D7 | Gmaj7 | Gm6 | F#m7 B7 | Em7 A7 | D6 | D6 |',
    ],
    ['G', '| F7 | F7 | Gmaj7 | Gmaj7 | F7 | F7 | Gmaj7 | E7 | Am7 | D7 | Bm7 | E7 | F7 | F7 | G6 | G6 |'],
    [
      'Ab',
      '| Gbmaj7 | Gbmaj7 | Abmaj7 | Abmaj7 | Gbmaj7 | Gbmaj7 | Abmaj7 | F7 | Bbm7 | Eb7 | Cm7 | F7 | Bbm7 | Eb7 | Ab6 | Ab6 |',
    ],
    ['C', '| Abm7 Db7 | Cmaj7 | Abm7 Db7 | Cmaj7 | Gm7 C7 | Fmaj7 | Dm7 G7 | Cmaj7 | Abm7 Db7 | Cmaj7 | Dm7 G7 | C6 |'],
    [
      'F',
      '| Dbmaj7 | Gb7 | Fmaj7 | Fmaj7 | Dbmaj7 | Gb7 | Fmaj7 | D7 | Gm7 | C7 | Am7 | D7 | Dbmaj7 | Gb7 | F6 | F6 |',
    ],
    [
      'Bb',
      '| Ebm7 | Ab7 | Bbmaj7 | Bbmaj7 | Ebm7 | Ab7 | Bbmaj7 | G7 | Cm7 | F7 | Dm7 | G7 | Ebm7 | Ab7 | Bb6 | Bb6 |',
    ],
    [
      'Db',
      '| Gm7b5 | C7 | Fm7 | Bb7 | Ebm7 | Ab7 | Dbmaj7 | Gbmaj7 | Gm7b5 | Gbm6 | Fm7 | Bb7 | Ebm7 | Ab7 | Db6 | Db6 |',
    ],
  ],
  'ends on VI7, more': [
    [
      'F',
      '| Fmaj7 | Am7b5 D7 | Gm7 | C7 | Fmaj7 | F7 | Bbmaj7 | Bbm6 | Am7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | D7 |',
    ],
    [
      'Bb',
      '| Bbmaj7 | Ebm6 | Bbmaj7 | Am7b5 D7 | Gm7 | C7 | Cm7 | F7 | Bbmaj7 | Ebm6 | Dm7 | G7 | Cm7 | F7 | Bb6 | Dm7b5 G7 |',
    ],
    ['Eb', '| Fm7 | Bb7 | Eb6 | C7 | Fm7 | Bb7 | Eb6 | C7 | Abmaj7 | Abm6 | Gm7 | C7 | Fm7 | Bb7 | Eb6 | C7 |'],
    ['G', '| Am7 | D7 | Bm7 | E7 | Am7 | D7 | Bm7 | E7 | Am7 | Cm6 | Bm7 | Bbdim7 | Am7 | D7 | G6 | Bm7b5 E7 |'],
    ['C', '| C6 A7 | Dm7 G7 | C6 A7 | Dm7 G7 | C7 | F6 Fm6 | C6 G7 | C6 A7 |'],
    ['Ab', '| Abmaj7 F7 | Bbm7 Eb7 | Abmaj7 F7 | Bbm7 Eb7 | Ebm7 Ab7 | Dbmaj7 Gb7 | Bbm7 Eb7 | Ab6 F7 |'],
  ],
  'ends on III7, more': [
    [
      'C',
      '| Am7 | Am7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Bm7b5 | E7 | Am7 | Am7 | Dm7 | G7 | Cmaj7 | Dm7 G7 | C6 | Bm7b5 E7 |',
    ],
    ['F', '| Dm7 | G7 | C7 | Fmaj7 | Dm7 | G7 | C7 | Fmaj7 | Bbmaj7 | Bbm6 | Am7 | D7 | Gm7 | C7 | F6 | A7 |'],
    ['G', '| Gmaj7 | B7 | Em7 | G7 | Cmaj7 | Cm6 | Bm7 E7 | Am7 D7 | Gmaj7 | B7 | Em7 | A7 | Am7 | D7 | G6 | B7 |'],
    ['Bb', '| Gm7 | D7 | Gm7 | C7 | Cm7 | F7 | Bbmaj7 | D7 | Gm7 | D7 | Gm7 | C7 | Cm7 | F7 | Bb6 | D7 |'],
    [
      'Eb',
      '| Cm7 | Gm7 | Abmaj7 | Ebmaj7 | Fm7 | Bb7 | Ebmaj7 | G7 | Cm7 | Gm7 | Abmaj7 | Ebmaj7 | Fm7 | Bb7 | Eb6 | G7 |',
    ],
    ['D', '| Bm7 | F#7 | Bm7 | E7 | Em7 | A7 | Dmaj7 | Dmaj7 | Gmaj7 | Gm6 | F#m7 | B7 | Em7 | A7 | D6 | C#m7b5 F#7 |'],
  ],
  'ends open, more': [
    ['F', '| Fmaj7 | Fmaj7 | Gm7 | C7 | Fmaj7 | Dm7 | Gm7 | C7 | Am7 | D7 | Gm7 | C7 | Am7 | D7 | Gm7 | C7 |'],
    ['Eb', '| Eb6 | Eb6 | Edim7 | Edim7 | Fm7 | Bb7 | Eb6 | C7 | Fm7 | Bb7 | Gm7 | C7 | F7 | F7 | Fm7 | Bb7 |'],
    ['C', '| Cmaj7 | Ebmaj7 | Abmaj7 | Dbmaj7 | Cmaj7 | Ebmaj7 | Abmaj7 | Db7 |'],
    ['Am', '| Am7 | Am7 | Dm7 | Dm7 | Bm7b5 | E7 | Am7 | Am7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Bm7b5 | Bm7b5 | E7 | E7 |'],
    ['Bb', '| Bbmaj7 | Abmaj7 | Gm7 | Gb7 | Bbmaj7 | Abmaj7 | Gm7 | Gb7 F7 |'],
    ['G', '| Gmaj7 | F#m7 B7 | Em7 | Dm7 G7 | Cmaj7 | Cm7 F7 | Bm7 Bbm7 Eb7 | Am7 D7 |'],
    ['Gm', '| Gm | Gm/F | Eb7 | D7 | Gm | Gm/F | Eb7 | D7 |'],
    [
      'Ab',
      '| Abmaj7 | Adim7 | Bbm7 | Bdim7 | Cm7 | F7 | Bbm7 | Eb7 | Abmaj7 | Adim7 | Bbm7 | Bdim7 | Cm7 | Bdim7 | Bbm7 | Eb7sus4 |',
    ],
  ],
  'minor tunes that open in the relative major': [
    ['Am', '| Cmaj7 | Cmaj7 | Bm7b5 | E7 | Am7 | Am7 | Dm7 | G7 | Cmaj7 | Cmaj7 | Bm7b5 | E7 | Am7 | E7 | Am6 | Am6 |'],
    [
      'Gm',
      '| Bbmaj7 | Ebmaj7 | Am7b5 | D7 | Gm6 | Gm6 | Cm7 | F7 | Bbmaj7 | Ebmaj7 | Am7b5 | D7 | Gm6 | Eb7 D7 | Gm6 | Gm6 |',
    ],
    [
      'Dm',
      form(
        '| Fmaj7 | C7 | Fmaj7 | A7 | Dm | A7 | Dm | A7 |',
        '| Fmaj7 | C7 | Fmaj7 | A7 | Dm | Em7b5 A7 | Dm | Dm |',
        '| Gm7 | Gm7 | Dm | Dm | Bb7 | Bb7 | A7 | A7 |',
        '| Fmaj7 | C7 | Fmaj7 | A7 | Dm | Em7b5 A7 | Dm | C7 |',
      ),
    ],
    [
      'Fm',
      '| Abmaj7 | Gm7b5 C7 | Fm7 | Fm7 | Dbmaj7 | Gm7b5 C7 | Fm7 | Bbm7 Eb7 | Abmaj7 | Gm7b5 C7 | Fm7 | Db7 C7 | Fm6 | Bbm7 Eb7 |',
    ],
    [
      'Cm',
      '| Ebmaj7 | Bb7 | Ebmaj7 | G7 | Cm7 | Fm7 | Dm7b5 G7 | Cm6 | Ebmaj7 | Bb7 | Ebmaj7 | G7 | Cm7 | Ab7 G7 | Cm6 | Cm6 |',
    ],
    ['Em', '| Gmaj7 | D7 | Gmaj7 | B7 | Em | Am6 | Em | B7 | Gmaj7 | D7 | Gmaj7 | B7 | Em | F#m7b5 B7 | Em | Em |'],
  ],
  'modal vamps and loops, more': [
    ['Cm', '| Cm7 | Cm7 | F7 | F7 | Cm7 | Cm7 | F7 | F7 |'],
    ['Em', '| Em7 | A | Em7 | A | Em7 | A | Em7 | A |'],
    ['Bbm', '| Bbm7 | Eb7 | Bbm7 | Eb7 | Bbm7 | Eb7 | Bbm7 | Eb7 |\n| Bm7 | E7 | Bm7 | E7 | Bbm7 | Eb7 | Bbm7 | Eb7 |'],
    ['D', '| D7 | C/D | D7 | C/D | D7 | C/D | D7 | C/D |'],
    ['D', '| C | G | D | D | C | G | D | D |'],
    ['G', '| F | C | G | G | F | C | G | G | F | C | G | G |'],
    ['C', '| C7 | Bb | C7 | Bb | C7 | Bb | C7 | Bb |'],
    ['A', '| A | G | D | A | A | G | D | A | E | D | A | A | G | D | A | A |'],
    [
      'D',
      '| D7sus4 | D7sus4 | D7sus4 | D7sus4 | F7sus4 | F7sus4 | F7sus4 | F7sus4 | D7sus4 | D7sus4 | D7sus4 | D7sus4 |',
    ],
    ['Eb', '| Eb9sus4 | Eb9sus4 | Db9sus4 | Db9sus4 | Eb9sus4 | Eb9sus4 | Db9sus4 | Eb9sus4 |'],
    ['Gm', '| Gm9 | Gm9 | Gm9 | Gm9 | Abm9 | Abm9 | Gm9 | Gm9 |'],
    ['Fm', '| Fm7 | Gm7 | Abmaj7 | Gm7 | Fm7 | Gm7 | Abmaj7 | Gm7 |'],
    ['F', '| Fmaj7 | G/F | Fmaj7 | G/F | Fmaj7 | G/F | Fmaj7 | Fmaj7 |'],
    ['E', '| E7 | E7 | D | A | E7 | E7 | D | A |'],
    ['Am', '| Am7 | Bm7 | Cmaj7 | Bm7 | Am7 | Bm7 | Cmaj7 | D7 |'],
    ['Dm', '| Dm7 | Dm7 | Ebmaj7 | Ebmaj7 | Dm7 | Dm7 | Ebmaj7 | Ebmaj7 |'],
  ],
  'bridges that modulate, more': [
    [
      'C',
      form(
        '| Cmaj7 | Am7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 |',
        '| Cmaj7 | Am7 | Dm7 | G7 | Em7 A7 | Dm7 G7 | C6 | C6 |',
        '| Bm7 | E7 | Amaj7 | F#m7 | Bm7 | E7 | Amaj7 | A6 |',
        '| Am7 | D7 | Gmaj7 | Em7 | Am7 | D7 | Dm7 | G7 |',
        '| Cmaj7 | Am7 | Dm7 | G7 | Em7 A7 | Dm7 G7 | C6 | Dm7 G7 |',
      ),
    ],
    [
      'F',
      form(
        '| Fmaj7 | Fm7 Bb7 | Am7 | D7 | Gm7 | C7 | F6 | C7 |',
        '| Abmaj7 | Abmaj7 | Bbm7 | Eb7 | Abmaj7 | Abmaj7 | Gm7 | C7 |',
        '| Fmaj7 | Fm7 Bb7 | Am7 | D7 | Gm7 | C7 | F6 | D7 |',
      ),
    ],
    [
      'Eb',
      form(
        '| Ebmaj7 | Cm7 | Fm7 | Bb7 | Ebmaj7 | Cm7 | Fm7 | Bb7 |',
        '| Bmaj7 | Bmaj7 | C#m7 | F#7 | Bmaj7 | Bmaj7 | Fm7 | Bb7 |',
        '| Gmaj7 | Gmaj7 | Am7 | D7 | Gmaj7 | Gmaj7 | Fm7 | Bb7 |',
        '| Ebmaj7 | Cm7 | Fm7 | Bb7 | Gm7 | C7 | Fm7 Bb7 | Eb6 |',
      ),
    ],
    [
      'Bb',
      form(
        '| Cm7 | F7 | Bbmaj7 | Ebmaj7 | Cm7 | F7 | Bb6 | Bb6 |',
        '| C#m7 | F#7 | Bmaj7 | Emaj7 | C#m7 | F#7 | B6 | B6 |',
        '| Cm7 | F7 | Bbmaj7 | Ebmaj7 | Cm7 | F7 | Bb6 | G7 |',
      ),
    ],
    [
      'Am',
      form(
        '| Am7 | Bm7b5 E7 | Am7 | A7 | Dm7 | G7 | Cmaj7 | E7 |',
        '| Amaj7 | F#m7 | Bm7 | E7 | Amaj7 | F#7 | Bm7 | E7 |',
        '| Am7 | Bm7b5 E7 | Am7 | A7 | Dm7 | E7 | Am6 | Am6 |',
      ),
    ],
    [
      'G',
      form(
        '| Gmaj7 | Gmaj7 | Am7 | D7 | Bm7 | E7 | Am7 | D7 |',
        '| Ebmaj7 | Ebmaj7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 | Am7 | D7 |',
        '| Gmaj7 | Gmaj7 | Am7 | D7 | Bm7 E7 | Am7 D7 | G6 | E7 |',
      ),
    ],
  ],
  'blues, more': [
    ['C', '| C7 | F7 | C7 | C7 | F7 | F7 | C7 | A7 | Dm7 | G7 | C7 A7 | Dm7 G7 |'],
    ['Gm', '| Gm7 | Gm7 | Gm7 | G7 | Cm7 | Cm7 | Gm7 | Gm7 | Am7b5 | D7 | Gm7 | Am7b5 D7 |'],
    ['Ab', '| Ab7 | Db7 | Ab7 | Ebm7 Ab7 | Db7 | Ddim7 | Ab7 | Cm7 F7 | Bbm7 | Eb7 | Cm7 F7 | Bbm7 Eb7 |'],
    ['Fm', '| Fm6 | Bbm7 | Fm6 | F7 | Bbm7 | Bbm7 | Fm6 | Fm6 | Db7 | C7 | Fm6 | C7 |'],
    ['D', '| D7 | D7 | D7 | D7 | G7 | G7 | D7 | D7 | A7 | G7 | D7 | A7 |'],
    ['Bb', '| Bbmaj7 | Am7b5 D7 | Gm7 C7 | Fm7 Bb7 | Eb7 | Ebm7 Ab7 | Dm7 | Dbm7 Gb7 | Cm7 | F7 | Dm7 G7 | Cm7 F7 |'],
    ['E', '| E7 | A7 | E7 | E7 | A7 | A7 | E7 | E7 | B7 | A7 | E7 | B7 |'],
    ['F', '| F7 | F7 | Bb7 | Bdim7 | F7 D7 | G7 C7 | F7 Bb7 | F7 C7 |'],
    ['Cm', '| Cm7 | Cm7 | Cm7 | Cm7 | Fm7 | Fm7 | Cm7 | Cm7 | Abmaj7 | Dm7b5 G7 | Cm7 | Cm7 |'],
    ['G', '| C7 | C7 | G7 | G7 | C7 | C7 | G7 | E7 | A7 | D7 | G7 | G7 |'],
  ],
  'ii–Vs a tritone away, more': [
    ['C', '| Cmaj7 | Abm7 Db7 | Cmaj7 | Abm7 Db7 | Em7 | A7 | Dm7 | Abm7 Db7 | Cmaj7 | Abm7 Db7 | Cmaj7 | C6 |'],
    [
      'Eb',
      '| Fm7 | Bm7 E7 | Ebmaj7 | Dbm7 Gb7 | Fm7 | Bm7 E7 | Eb6 | Gm7 C7 | Fm7 | Bm7 E7 | Gm7 C7 | Fm7 Bb7 | Bm7 E7 | Eb6 |',
    ],
    [
      'G',
      '| Gmaj7 | Bbm7 Eb7 | Am7 | D7 | Bm7 | Bbm7 Eb7 | Am7 | Ebm7 Ab7 | Gmaj7 | G7 | Cmaj7 | Cm6 | Am7 | Ebm7 Ab7 | G6 | Ebm7 Ab7 |',
    ],
    [
      'F',
      '| Fmaj7 | Fmaj7 | Dbm7 Gb7 | Fmaj7 | Cm7 | F#m7 B7 | Bbmaj7 | Bbm6 | Am7 | Abm7 Db7 | Gm7 | Dbm7 Gb7 | F6 | F6 |',
    ],
  ],
}

const half = (parity: number): readonly HomeChart[] =>
  Object.entries(byKind).flatMap(([kind, charts]) =>
    charts.flatMap(([home, bars], i) => (i % 2 === parity ? [{ kind, home, bars }] : [])),
  )

export const misleadingJudgedBy: readonly HomeChart[] = half(0)
export const misleadingKeptOut: readonly HomeChart[] = half(1)
