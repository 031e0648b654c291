/**
 * A third set of whole tunes with the key a teacher would name: openings off the tonic, endings that lead round, vamps and loops, tunes
 * with introductions and tags, charts of slash chords. Made up, and labelled before they were heard, as those of `homeCharts.ts`; of each class
 * every second chart was kept out of the judging of costs. Where teachers differ over a loop, both answers are there.
 */
import type { HomeChart } from './homeCharts.ts'

const form = (...sections: readonly string[]) => sections.join('\n')

const byKind: Readonly<Record<string, readonly (readonly [home: string, bars: string])[]>> = {
  'opens on ii': [
    ['Bb', form('| Cm7 | Cm7 | F7 | F7 | Cm7 | F7 | Bbmaj7 | G7 |', '| Cm7 | Cm7 | F7 | F7 | Cm7 | F7 | Bb6 | G7 |')],
    [
      'F',
      form(
        '| Gm7 | C7 | Gm7 | C7 | Fmaj7 | Bb7 | Fmaj7 | D7 |',
        '| Gm7 | C7 | Gm7 | C7 | Fmaj7 | Bbmaj7 | Em7b5 | A7 |',
        '| Dm7 | Dm7 | G7 | G7 | Gm7 | Gm7 | C7 | D7 |',
        '| Gm7 | C7 | Gm7 | C7 | Fmaj7 | Bb7 | F6 | D7 |',
      ),
    ],
    ['G', '| Am7 | Am7 | D7 | D7 | Bm7 | Bbdim7 | Am7 | D7 | Am7 | Am7 | D7 | B7 | Em7 | A7 | Am7 D7 | G6 E7 |'],
    ['Eb', '| Fm7 | Abm6 | Ebmaj7 | C7 | Fm7 | Bb7 | Ebmaj7 | C7 | Fm7 | Abm6 | Gm7 | Gbdim7 | Fm7 | Bb7 | Eb6 | C7 |'],
    [
      'C',
      form(
        '| Dm7 Em7 | Fmaj7 G7 | Cmaj7 | A7 | Dm7 Em7 | Fmaj7 G7 | Em7 | A7 |',
        '| Dm7 Em7 | Fmaj7 G7 | Cmaj7 | Am7 | D7 | Dm7 G7 | Em7 A7 | Dm7 G7 |',
      ),
    ],
    [
      'Ab',
      '| Bbm7 | Bbm7/Ab | Gm7b5 | C7 | Fm7 | Db7 | Abmaj7 | F7 | Bbm7 | Eb7 | Cm7 | F7 | Bbm7 | Eb7 | Ab6 | F7(b9) |',
    ],
    [
      'D',
      form(
        '| Em7 A7 | Em7 A7 | Dmaj7 B7 | Em7 A7 |',
        '| Em7 A7 | Em7 A7 | D6 | F#m7 B7 |',
        '| Gm7 C7 | Fmaj7 | Fm7 Bb7 | Em7 A7 |',
        '| Em7 A7 | Em7 A7 | D6 | F#m7 B7 |',
      ),
    ],
    [
      'Bb',
      '| Cm9 | F13 | Dm9 | G7(b9) | Cm9 | F13 | Bbmaj9 | Bb13 | Ebmaj9 | Ab13 | Dm9 | G7(b9) | Cm9 | F13 | Dm9 G7 | Cm9 F13 |',
    ],
    ['C', '| Dm7 | G7 | Em7 | Ebdim7 | Dm7 | G7 | Cmaj7 | Em7 A7 |'],
    [
      'F',
      '| Gm7 | Gm7 | Gm7 | C7 | Am7 | Am7 | Am7 | D7 | Gm7 | Gm7 | Bbm7 | Eb7 | Am7 D7 | Gm7 C7 | Fmaj7 | Am7b5 D7 |',
    ],
  ],
  'opens on vi': [
    ['C', '| Am7 | Fmaj7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | Am7 | Fmaj7 | Dm7 | G7 | Em7 A7 | Dm7 G7 | C6 | E7 |'],
    [
      'F',
      '| Dm7 | Dm7/C | Bm7b5 | Bbm6 | Fmaj7/A | Abdim7 | Gm7 | C7 | Dm7 | Dm7/C | Bm7b5 | Bbm6 | Am7 D7 | Gm7 C7 | F6 | A7 |',
    ],
    [
      'Eb',
      form(
        '| Cm7 F7 | Bbm7 Eb7 | Abmaj7 | Abm7 Db7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Dm7b5 G7 |',
        '| Cm7 F7 | Bbm7 Eb7 | Abmaj7 | Abm7 Db7 | Gm7 C7 | Fm7 Bb7 | Eb6 | Eb6 |',
      ),
    ],
    [
      'Bb',
      form(
        '| Gm7 | Gm7 | Ebmaj7 | Ebmaj7 | Cm7 | F7 | Bbmaj7 | D7 |',
        '| Gm7 | Gm7 | Ebmaj7 | Ebmaj7 | Cm7 | F7 | Bb6 | Bb6 |',
        '| Bb7 | Bb7 | Ebmaj7 | Ebmaj7 | C7 | C7 | Cm7 | F7 |',
        '| Gm7 | Gm7 | Ebmaj7 | Ebmaj7 | Cm7 | F7 | Bb6 | D7 |',
      ),
    ],
    ['G', '| Em7 | Am7 | D7 | G6 | Em7 | A7 | Am7 | D7 | Em7 | Am7 | D7 | Bm7 E7 | Am7 | D7 | G6 | B7 |'],
    ['Db', '| Bbm7 | Eb7 | Ebm7 | Ab7 | Fm7 | Bb7 | Ebm7 | Ab7 | Dbmaj7 | Gbmaj7 | Fm7 Bb7 | Ebm7 Ab7 | Db6 | Db6 |'],
    ['D', '| Bm | Bm(maj7) | Bm7 | Bm6 | Em7 | A7 | D6 | F#7 | Bm | Bm(maj7) | Bm7 | E7 | Em7 | A7 | D6 | D6 |'],
    ['Ab', '| Fm7 | Fm7 | Bb7 | Bb7 | Bbm7 | Eb7 | Abmaj7 | C7 | Fm7 | Fm7 | Bb7 | Bb7 | Bbm7 | Eb7 | Ab6 | C7 |'],
    ['C', '| Am6 | E7 | Am6 | A7 | Dm7 | G7 | Cmaj7 | E7 | Am6 | E7 | Am6 | D7 | Dm7 | G7 | C6 | C6 |'],
    ['F', form('| Dm7 Gm7 | C7 Fmaj7 | Bbmaj7 Em7b5 | A7 Dm7 |', '| Dm7 Gm7 | C7 Fmaj7 | Bbmaj7 Gm7 | C7 F6 |')],
  ],
  'opens on IV': [
    ['F', '| Bbmaj7 | Bbmaj7 | Am7 | D7 | Gm7 | C7 | Fmaj7 | F7 | Bbmaj7 | Bbm6 | Am7 | D7 | Gm7 | C7 | F6 | F7 |'],
    ['C', '| Fmaj7 | G7 | Em7 | Am7 | Fmaj7 | G7 | Cmaj7 | C7 | Fmaj7 | G7 | Em7 | A7 | Dm7 | G7 | C6 | C6 |'],
    [
      'Bb',
      '| Ebmaj7 | Ebm7 Ab7 | Bbmaj7 | Bbmaj7 | Gm7 | C7 | Cm7 F7 | Fm7 Bb7 |\n| Ebmaj7 | Ebm7 Ab7 | Bbmaj7 | Em7b5 A7 | Dm7 G7 | Cm7 F7 | Bb6 | Fm7 Bb7 |',
    ],
    [
      'G',
      '| Cmaj7 | Bm7 | Am7 | Gmaj7 | Cmaj7 | Bm7 Em7 | A7 | D7 | Cmaj7 | Bm7 | Am7 | Gmaj7 | Cmaj7 | D7 | G6 | G7 |',
    ],
    [
      'Eb',
      '| Abmaj7 | Adim7 | Ebmaj7/Bb | C7 | Fm7 | Bb7 | Gm7 C7 | Fm7 Bb7 | Abmaj7 | Adim7 | Ebmaj7/Bb | C7 | Fm7 | Bb7 | Ebmaj7 | Bbm7 Eb7 |',
    ],
    ['D', '| G6 | G6 | D6 | D6 | A7 | A7 | D6 | D7 | G6 | G#dim7 | D/A | B7 | E7 | A7 | D6 | D7 |'],
    ['C', '| F6 | F#dim7 | C/G | A7 | D7 | G7 | C6 | C7 |'],
    [
      'Db',
      '| Gbmaj7 | Gbmaj7 | Gbm7 | B7 | Dbmaj7 | Bb7 | Ebm7 | Ab7 | Gbmaj7 | Gbm7 B7 | Fm7 Bb7 | Ebm7 Ab7 | Db6 | Abm7 Db7 |',
    ],
  ],
  'opens on II7 or another dominant': [
    [
      'Eb',
      '| F7 | F7 | Bb7 | Bb7 | Eb6 | Cm7 | Fm7 Bb7 | Eb6 C7 | F7 | F7 | Bb7 | Bb7 | Gm7 | C7 | Fm7 Bb7 | Eb6 C7 |',
    ],
    ['C', '| D7 | D7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | D7 | D7 | Dm7 | G7 | Cmaj7 | Fmaj7 | C6 | A7 |'],
    ['G', '| A9 | A9 | Am7 | D9 | Gmaj7 | Bm7 E7 | Am7 | D7 | A9 | A9 | Am7 | D9 | G6 | C9 | G6 | E7 |'],
    ['Ab', '| Bb7 | Bbm7 Eb7 | Abmaj7 | Cm7 F7 | Bb7 | Bbm7 Eb7 | Ab6 | F7 |'],
    ['F', '| A7 | A7 | D7 | D7 | G7 | C7 | F6 | C7 | A7 | A7 | D7 | D7 | G7 | C7 | F6 | E7 |'],
    ['Bb', '| F7 | F7 | Bb6 | G7 | C7 | F7 | Bb6 | Bb7 | Eb6 | Edim7 | Bb/F | G7 | C7 | F7 | Bb6 | C7 |'],
    ['C', '| A7 | D7 | G7 | C6 | A7 | D7 | Dm7 G7 | C6 | E7 | A7 | D7 | G7 | A7 | D7 | G7 | C6 |'],
    ['D', '| F#7 | B7 | E7 | A7 | D6 | G7 | D6 | C#7 | F#7 | B7 | E7 | A7 | D6 | D6 |'],
  ],
  'ends on VI7': [
    ['C', '| Cmaj7 | Dm7 G7 | Cmaj7 | Gm7 C7 | Fmaj7 | Bb7 | Em7 A7 | Dm7 G7 | Cmaj7 | Dm7 G7 | Cmaj7 | A7 |'],
    ['F', '| Gm7 | C7 | Fmaj7 | Bbmaj7 | Gm7 | C7 | Am7 | D7 | Bbm7 | Eb7 | Am7 | D7 | Gm7 | C7 | Fmaj7 | D7 |'],
    ['G', '| D7 | D7 | Gmaj7 | E7 | Am7 | D7 | Gmaj7 | E7 | A7 | A7 | D7 | D7 | Am7 | D7 | G6 | E7 |'],
    ['Bb', '| Dm7 | G7 | Cm7 | F7 | Dm7 | G7 | Cm7 | F7 | Fm7 | Bb7 | Ebmaj7 | Ab7 | Cm7 | F7 | Bb6 | G7 |'],
    [
      'Eb',
      form(
        '| Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | C7 |',
        '| Fm7 | Bb7 | Gm7 | C7 | F7 | F7 | Fm7 | Bb7 |',
        '| Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | C7 |',
      ),
    ],
    [
      'Ab',
      '| Bbm7 | Eb7 | Bbm7 | Eb7 | Ab6 | Bdim7 | Bbm7 | Eb7 | Bbm7 | Dbm6 | Cm7 | F7 | Bbm7 | Eb7 | Ab6 | Cm7 F7 |',
    ],
    ['D', '| Dmaj7 | Em7 | F#m7 | B7 | Em7 | A7 | F#m7 | B7 | Em7 | Gm6 | D/F# | Fdim7 | Em7 | A7 | D6 | B7 |'],
    ['F', '| F6 | Abdim7 | Gm7 | C7 | F6 | Abdim7 | Gm7 | C7 | F7 | F7 | Bb6 | Bbm6 | Am7 | D7 | Gm7 C7 | F6 D7 |'],
  ],
  'ends on III7': [
    ['G', '| Gmaj7 | F#m7b5 B7 | Em7 | A7 | Am7 | D7 | G6 | B7 | Em7 | A7 | Am7 | D7 | Bm7 E7 | Am7 D7 | G6 | B7 |'],
    ['F', '| Dm7 | A7 | Dm7 | D7 | Gm7 | C7 | Fmaj7 | A7 | Dm7 | A7 | Dm7 | G7 | Gm7 | C7 | F6 | A7 |'],
    ['C', '| Am7 | E7 | Am7 | D7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Dm7 | G7 | C6 | E7(b9) |'],
    ['Eb', '| Cm7 | Cm7 | Ab7 | Ab7 | Fm7 | Bb7 | Ebmaj7 | G7 | Cm7 | Cm7 | Ab7 | G7 | Fm7 | Bb7 | Eb6 | G7(#5) |'],
    [
      'Bb',
      '| Gm | D7/F# | Fm6 | Em7b5 | Ebmaj7 | Cm7 F7 | Bb6 | D7 | Gm | D7/F# | Fm6 | Em7b5 | Ebmaj7 | Cm7 F7 | Bb6 | D7 |',
    ],
    ['D', '| Bm7 | Bm7 | E7 | E7 | Gmaj7 | A7 | Dmaj7 | F#7 | Bm7 | Bm7 | E7 | E7 | Gmaj7 | A7 | D6 | C#m7b5 F#7 |'],
    [
      'Ab',
      '| Fm7 | Bbm7 | Eb7 | Ab6 | Dbmaj7 | Bbm7 | Gm7b5 | C7 | Fm7 | Bbm7 | Eb7 | Ab6 | Dbmaj7 | Eb7 | Ab6 | C7 |',
    ],
    ['C', '| Am | Am/G | F7 | E7 | Am | Am/G | F7 | E7 | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | E7 |'],
  ],
  'ends on a ii–V of the first chord, or open': [
    [
      'Eb',
      '| Abmaj7 | Abm7 Db7 | Ebmaj7 | C7 | Fm7 | Bb7 | Gm7 C7 | Fm7 Bb7 | Abmaj7 | Abm7 Db7 | Ebmaj7 | C7 | Fm7 | Bb7 | Eb6 | Bbm7 Eb7 |',
    ],
    ['C', '| Fmaj7 | Bb7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | Gm7 C7 | Fmaj7 | Bb7 | Em7 | A7 | Dm7 | G7 | C6 | Gm7 C7 |'],
    [
      'F',
      '| Am7b5 | D7 | Gm7 | C7 | Am7b5 | D7 | Gm7 | C7 | Cm7 | F7 | Bbmaj7 | Eb7 | Am7 D7 | Gm7 C7 | F6 | Bm7b5 E7 |',
    ],
    ['G', '| Bm7 | E7 | Am7 | D7 | Bm7 | E7 | Am7 | D7 | Dm7 | G7 | Cmaj7 | F7 | Bm7 E7 | Am7 D7 | G6 | C#m7 F#7 |'],
    [
      'Bb',
      '| Bbmaj7 | Bbm7 Eb7 | Abmaj7 | Abm7 Db7 | Gbmaj7 | Cm7b5 | F7 | F7 | Bbmaj7 | Bbm7 Eb7 | Abmaj7 | Abm7 Db7 | Gbmaj7 | Gbmaj7 | Cm7 | F7 |',
    ],
    ['Am', '| Am7 | D7 | Am7 | D7 | Fmaj7 | E7 | Am7 | E7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Bm7b5 | E7 | Am7 | Bm7b5 E7 |'],
    [
      'Cm',
      '| Cm7 | Fm7 | Dm7b5 | G7 | Cm7 | Fm7 | Dm7b5 | G7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Dm7b5 | G7 | Cm7 | Dm7b5 G7 |',
    ],
    ['D', '| Dmaj7 | Fmaj7 | Bbmaj7 | A7 | Dmaj7 | Fmaj7 | Bbmaj7 | Em7 A7 |'],
    [
      'Dm',
      '| Dm7 | Gm7 | C7 | Fmaj7 | Bbmaj7 | Em7b5 | A7 | Dm7 | Gm7 | C7 | Fmaj7 | Bbmaj7 | Em7b5 | A7 | Dm7 | A7 |',
    ],
    [
      'Eb',
      '| Ebmaj7 | Ebmaj7 | Am7b5 | D7 | Gmaj7 | Gmaj7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 | Am7 | D7 | Gm7 | C7 | Fm7 | Bb7 |',
    ],
  ],
  'dorian and mixolydian vamps': [
    ['Dm', '| Dm7 | Em7 | Dm7 | Em7 | Dm7 | Em7 | Dm7 | Em7 |'],
    ['Gm', '| Gm7 | C | Gm7 | C | Gm7 | C | Gm7 | C |'],
    ['Am', '| Am7 D7 | Am7 D7 | Am7 D7 | Am7 D7 | Am7 D7 | Am7 D7 | Am7 D7 | Am7 D7 |'],
    [
      'Fm',
      form(
        '| Fm9 | Fm9 | Fm9 | Fm9 | Fm9 | Fm9 | Fm9 | Fm9 |',
        '| Abm9 | Abm9 | Abm9 | Abm9 | Fm9 | Fm9 | Fm9 | Fm9 |',
      ),
    ],
    ['G', '| G7 | F | G7 | F | G7 | F | G7 | F |'],
    ['A', '| A7 | A7 | G/A | A7 | A7 | A7 | G/A | A7 |'],
    ['Cm', '| Cm7 | Dm7 | Ebmaj7 | Dm7 | Cm7 | Dm7 | Ebmaj7 | Dm7 |'],
    ['Em', '| Em7 | Em7 | A7 | A7 | Em7 | Em7 | A7 | A7 | Gmaj7 | A7 | Em7 | Em7 |'],
    ['D', '| D | Am7 | D | Am7 | D | Am7 | D | Am7 |'],
    ['Bbm', '| Bbm7 | Bbm7 | Cm7 | Cm7 | Bbm7 | Bbm7 | Cm7 | Cm7 |'],
    ['F', '| F7 | Eb/F | F7 | Eb/F | F7 | Eb/F | F7 | F7 |'],
    ['Gm', '| Gm6 | Am7 | Gm6 | Am7 | Gm6 | Am7 | Gm6 | Gm6 |'],
  ],
  'loops of bVII and IV': [
    ['G', '| G | F | C | G | G | F | C | G |'],
    ['E', '| E | D | A | E | E | D | A | E | E | D | A | A |'],
    ['D', '| D | C | G | G | D | C | G | G | D | C | G | G | D | C | G | D |'],
    ['A', '| A | A | G | D | A | A | G | D | A | A | G | D |'],
    ['F', '| F7 | Eb7 | Bb7 | F7 | F7 | Eb7 | Bb7 | F7 |'],
    ['C', '| C Bb | F C | C Bb | F C | C Bb | F C | Bb F | C |'],
  ],
  'suspended vamps': [
    ['C', '| C9sus4 | C9sus4 | Eb9sus4 | Eb9sus4 | C9sus4 | C9sus4 | Eb9sus4 | Eb9sus4 |'],
    ['G', '| G7sus4 | G7sus4 | F7sus4 | F7sus4 | G7sus4 | G7sus4 | F7sus4 | G7sus4 |'],
    ['D', '| C/D | C/D | Eb/F | Eb/F | C/D | C/D | Eb/F | C/D |'],
    ['A', '| A13sus4 | A13sus4 | A13sus4 | A13sus4 | C13sus4 | C13sus4 | A13sus4 | A13sus4 |'],
    ['E', '| E7sus4 | E7sus4 | E7sus4 | E7sus4 | G7sus4 | G7sus4 | A7sus4 | E7sus4 |'],
    ['F', '| F9sus4 | F9sus4 | Ab9sus4 | Ab9sus4 | B9sus4 | B9sus4 | F9sus4 | F9sus4 |'],
  ],
  'minor with a relative-major middle': [
    [
      'Gm',
      form(
        '| Gm6 | Am7b5 D7 | Gm6 | Gm6 | Cm7 | Am7b5 D7 | Gm6 | D7 |',
        '| Gm6 | Am7b5 D7 | Gm6 | Gm6 | Cm7 | Am7b5 D7 | Gm6 | Gm6 |',
        '| Cm7 | F7 | Bbmaj7 | Bbmaj7 | Cm7 | F7 | Bbmaj7 | D7 |',
        '| Gm6 | Am7b5 D7 | Gm6 | Gm6 | Cm7 | Am7b5 D7 | Gm6 | Gm6 |',
      ),
    ],
    [
      'Cm',
      '| Cm7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Dm7b5 | G7 | Cm7 | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Fm7 | G7 | Cm6 | Cm6 |',
    ],
    [
      'Dm',
      form(
        '| Dm | A7 | Dm | Dm | Gm | Dm | A7 | Dm |',
        '| F | C7 | F | F | Gm7 | C7 | F | A7 |',
        '| Dm | A7 | Dm | D7 | Gm | Dm | A7 | Dm |',
      ),
    ],
    [
      'Fm',
      form(
        '| Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 C7 | Fm7 | Gm7b5 C7 |',
        '| Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 C7 | Fm6 | Fm6 |',
        '| Bbm7 | Eb7 | Abmaj7 | Fm7 | Bbm7 | Eb7 | Abmaj7 | C7 |',
        '| Fm7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 C7 | Fm6 | Gm7b5 C7 |',
      ),
    ],
    ['Am', '| Am6 | E7 | Am6 | E7 | Am7 | Dm7 G7 | Cmaj7 | E7 | Am6 | E7 | Am6 | A7 | Dm6 | Am6 | B7 E7 | Am6 |'],
    [
      'Em',
      form(
        '| Em7 | F#m7b5 B7 | Em7 | Em7 | Am7 | D7 | Gmaj7 | F#m7b5 B7 |',
        '| Em7 | F#m7b5 B7 | Em7 | Em7 | Am7 | F#m7b5 B7 | Em6 | Em6 |',
        '| Am7 | D7 | Gmaj7 | Cmaj7 | Am7 | D7 | Gmaj7 | B7 |',
        '| Em7 | F#m7b5 B7 | Em7 | Em7 | Am7 | F#m7b5 B7 | Em6 | B7 |',
      ),
    ],
    [
      'Bm',
      '| Em7 | A7 | Dmaj7 | Gmaj7 | C#m7b5 | F#7 | Bm7 | Bm7 | Em7 | A7 | Dmaj7 | Gmaj7 | C#m7b5 | F#7 | Bm6 | Bm6 |',
    ],
    ['Gm', '| Cm7 | F7 | Bbmaj7 | Ebmaj7 | Am7b5 | D7 | Gm | Gm | Cm7 | F7 | Bbmaj7 | Ebmaj7 | Am7b5 | D7 | Gm | G7 |'],
    [
      'Cm',
      '| Ebmaj7 | Bb7 | Ebmaj7 | G7 | Cm | Fm | G7 | Cm | Ebmaj7 | Bb7 | Ebmaj7 | G7 | Cm | Dm7b5 G7 | Cm6 | Cm6 |',
    ],
    [
      'Fm',
      '| Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 | C7 | Fm6 | F7 | Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | G7 | C7 | Fm6 | F7 |',
    ],
  ],
  'bridges that modulate': [
    [
      'Eb',
      form(
        '| Ebmaj7 | Fm7 Bb7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Fm7 Bb7 | Eb6 | Eb6 |',
        '| Am7 | D7 | Gmaj7 | Em7 | Am7 | D7 | Gmaj7 | Bb7 |',
        '| Ebmaj7 | Fm7 Bb7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Fm7 Bb7 | Eb6 | Bb7 |',
      ),
    ],
    [
      'F',
      form(
        '| Fmaj7 | Bb7 | Am7 D7 | Gm7 C7 | Fmaj7 | Bb7 | Am7 D7 | Gm7 C7 |',
        '| C#m7 | F#7 | Bmaj7 | Bmaj7 | Bm7 | E7 | Amaj7 | Gm7 C7 |',
        '| Fmaj7 | Bb7 | Am7 D7 | Gm7 C7 | Fmaj7 | Bb7 | Am7 D7 | Gm7 C7 |',
      ),
    ],
    [
      'Ab',
      form(
        '| Abmaj7 | Cm7 F7 | Bbm7 | Eb7 | Abmaj7 | Cm7 F7 | Bbm7 Eb7 | Ab6 |',
        '| Emaj7 | Emaj7 | F#m7 | B7 | Emaj7 | Emaj7 | Bbm7 | Eb7 |',
        '| Abmaj7 | Cm7 F7 | Bbm7 | Eb7 | Abmaj7 | Cm7 F7 | Bbm7 Eb7 | Ab6 |',
      ),
    ],
    [
      'C',
      form(
        '| Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | Cmaj7 | C6 |',
        '| F#m7 | B7 | Emaj7 | C#m7 | F#m7 | B7 | Emaj7 | A7 |',
        '| Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | C6 | A7 |',
      ),
    ],
    [
      'Dm',
      form(
        '| Dm7 | Em7b5 A7 | Dm7 | Gm7 | Em7b5 | A7 | Dm6 | A7 |',
        '| Dmaj7 | Em7 A7 | Dmaj7 | Dmaj7 | F#m7 | B7 | Em7 | A7 |',
        '| Dm7 | Em7b5 A7 | Dm7 | Gm7 | Em7b5 | A7 | Dm6 | Dm6 |',
      ),
    ],
    [
      'Bb',
      form(
        '| Bbmaj7 | Gm7 | Cm7 | F7 | Bbmaj7 | Gm7 | Cm7 | F7 |',
        '| Bbmaj7 | Gm7 | Cm7 | F7 | Cm7 | F7 | Bb6 | Bb6 |',
        '| Dmaj7 | Bm7 | Em7 | A7 | Dmaj7 | Bm7 | Em7 | A7 |',
        '| Fmaj7 | Dm7 | Gm7 | C7 | Cm7 | Cm7 | F7 | F7 |',
        '| Bbmaj7 | Gm7 | Cm7 | F7 | Cm7 | F7 | Bb6 | G7 |',
      ),
    ],
    [
      'G',
      form(
        '| Gmaj7 | Gmaj7 | Gm7 | C7 | Fmaj7 | Fmaj7 | Fm7 | Bb7 |',
        '| Ebmaj7 | Ebmaj7 | Am7 | D7 | Bm7 | E7 | Am7 | D7 |',
        '| Gmaj7 | Gmaj7 | Gm7 | C7 | Fmaj7 | Fmaj7 | Fm7 | Bb7 |',
        '| Ebmaj7 | Cm7 | Am7 | D7 | Gmaj7 | Gmaj7 | Am7 | D7 |',
      ),
    ],
    [
      'Am',
      form(
        '| Am7 | Am7 | Dm7 | E7 | Am7 | Am7 | Dm7 E7 | Am7 |',
        '| Gm7 | C7 | Fmaj7 | Fmaj7 | Fm7 | Bb7 | Ebmaj7 | E7 |',
        '| Am7 | Am7 | Dm7 | E7 | Am7 | Am7 | Dm7 E7 | Am7 |',
      ),
    ],
  ],
  'blues, with introductions, tags and minor': [
    [
      'F',
      form(
        'Intro\n| C7 | C7 | C7 | C7 |',
        'A\n| F7 | Bb7 | F7 | F7 | Bb7 | Bdim7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7 |',
      ),
    ],
    [
      'Cm',
      form(
        'Intro\n| Ab7 G7 | Ab7 G7 |',
        'A\n| Cm7 | Fm7 | Cm7 | C7 | Fm7 | Fm7 | Cm7 | Cm7 | Ab7 | G7 | Cm7 | Ab7 G7 |',
      ),
    ],
    [
      'Bb',
      form(
        'A\n| Bb7 | Eb7 | Bb7 | Bb7 | Eb7 | Eb7 | Bb7 | G7 | Cm7 | F7 | Bb7 | F7 |',
        'Coda\n| Cm7 | F7 | Dm7 | G7 | Cm7 | F7 | Bb7 | Bb7 |',
      ),
    ],
    ['G', '| G7 | C7 | G7 | Dm7 G7 | C7 | C#dim7 | G7 | Bm7 E7 | Am7 | D7 | Bm7 E7 | Am7 D7 |'],
    ['Dm', '| Dm7 | Gm7 | Dm7 | D7 | Gm7 | Gm7 | Dm7 | Bm7b5 | Bb7 | A7 | Dm7 | Em7b5 A7 |'],
    [
      'C',
      form(
        '| C7 | C7 | C7 | C7 | F7 | F7 | C7 | C7 | G7 | F7 | C7 | C7 |',
        '| F7 | F7 | C7 | C7 | F7 | F7 | D7 | G7 |',
        '| C7 | C7 | C7 | C7 | F7 | F7 | C7 | C7 | G7 | F7 | C7 | G7 |',
      ),
    ],
    ['Eb', '| Eb7 | Ab7 | Eb7 | Bbm7 Eb7 | Ab7 | Abm7 Db7 | Eb7 | Gm7 C7 | Fm7 | Bb7 | Eb7 C7 | Fm7 Bb7 |'],
    ['Am', '| Am6 | Am6 | Am6 | A7 | Dm7 | Dm7 | Am6 | Am6 | F7 | E7 | Am6 | E7(#9) |'],
    ['F', '| F6 | Em7b5 A7 | Dm7 G7 | Cm7 F7 | Bbmaj7 | Bbm7 Eb7 | Am7 | Abm7 Db7 | Gm7 | C7 | Fmaj7 D7 | Gm7 C7 |'],
    ['A', '| A7 | D7 | A7 | A7 | D7 | D7 | A7 | A7 | E7 | D7 | A7 D7 | A7 E7 |'],
  ],
  'AABA on I–vi–ii–V': [
    [
      'Bb',
      form(
        '| Bb6 G7 | Cm7 F7 | Bb6 G7 | Cm7 F7 | Fm7 Bb7 | Eb7 Ab7 | Dm7 G7 | Cm7 F7 |',
        '| Bb6 G7 | Cm7 F7 | Bb6 G7 | Cm7 F7 | Fm7 Bb7 | Eb7 Ab7 | Cm7 F7 | Bb6 |',
        '| D7 | D7 | G7 | G7 | C7 | C7 | F7 | F7 |',
        '| Bb6 G7 | Cm7 F7 | Bb6 G7 | Cm7 F7 | Fm7 Bb7 | Eb7 Ab7 | Cm7 F7 | Bb6 |',
      ),
    ],
    [
      'Ab',
      form(
        '| Abmaj7 F7 | Bbm7 Eb7 | Cm7 F7 | Bbm7 Eb7 | Ebm7 Ab7 | Db7 Gb7 | Cm7 B7 | Bbm7 A7 |',
        '| Abmaj7 F7 | Bbm7 Eb7 | Cm7 F7 | Bbm7 Eb7 | Ebm7 Ab7 | Db7 Gb7 | Bbm7 Eb7 | Ab6 |',
        '| Gm7 | C7 | Cm7 | F7 | Fm7 | Bb7 | Bbm7 | Eb7 |',
        '| Abmaj7 F7 | Bbm7 Eb7 | Cm7 F7 | Bbm7 Eb7 | Ebm7 Ab7 | Db7 Gb7 | Cm7 B7 | Bbm7 A7 |',
      ),
    ],
    [
      'C',
      form(
        '| C6 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | C7 C7/E | F6 F#dim7 | C/G A7 | Dm7 G7 |',
        '| C6 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | C7 C7/E | F6 F#dim7 | C/G G7 | C6 |',
        '| Gm7 | C7 | Fmaj7 | Fmaj7 | Am7 | D7 | Dm7 | G7 |',
        '| C6 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | C7 C7/E | F6 F#dim7 | C/G A7 | Dm7 G7 |',
      ),
    ],
    [
      'F',
      form(
        '| F6 F#dim7 | Gm7 G#dim7 | Am7 D7 | Gm7 C7 | Cm7 F7 | Bb6 Bbm6 | Am7 D7 | Gm7 C7 |',
        '| F6 F#dim7 | Gm7 G#dim7 | Am7 D7 | Gm7 C7 | Cm7 F7 | Bb6 Bbm6 | Gm7 C7 | F6 |',
        '| A7 | A7 | D7 | D7 | G7 | G7 | Db7 | C7 |',
        '| F6 F#dim7 | Gm7 G#dim7 | Am7 D7 | Gm7 C7 | Cm7 F7 | Bb6 Bbm6 | Gm7 C7 | F6 |',
      ),
    ],
  ],
  'modern charts of slash chords, with few dominants': [
    ['C', '| Cmaj7 | D/C | Cmaj7 | D/C | Ab/C | Bb/C | Cmaj7 | Cmaj7 |'],
    ['Eb', '| Ebmaj9 | Bmaj7 | Ebmaj9 | Bmaj7 | Gbmaj7 | Dbmaj7 | Ebmaj9 | Ebmaj9 |'],
    ['Am', '| Am9 | F/A | Am9 | F/A | Dm9 | Am9 | Fmaj7 Em7 | Am9 |'],
    ['D', '| Dmaj7 | Bbmaj7/D | Dmaj7 | Bbmaj7/D | Gm/D | A/D | Dmaj7 | Dmaj7 |'],
    ['F', '| Fmaj7 | Dbmaj7 | Ebmaj7 | Fmaj7 | Fmaj7 | Dbmaj7 | Ebmaj7 | Fmaj7 |'],
    ['Em', '| Em9 | Cmaj7 | Am9 | Bm7 | Em9 | Cmaj7 | Am9 | Bm7 | Cmaj7 | D | Em9 | Em9 |'],
    ['G', '| Gadd9 | D/F# | Em7 | Cmaj7 | Gadd9 | D/F# | Em7 | Cmaj7 | Am7 | C/D | Gadd9 | Gadd9 |'],
    ['Bb', '| Bbmaj7 | Ab/Bb | Gb/Bb | Ab/Bb | Bbmaj7 | Ab/Bb | Gb/Bb | Bbmaj7 |'],
    ['Dm', '| Dm9 | Bb/D | C/D | Dm9 | Dm9 | Bb/D | C/D | Dm9 | Gm9 | Bbmaj7 | Am7 | Dm9 |'],
    ['A', '| Amaj7 | F#m7 | Dmaj7 | Bm7 | Amaj7 | F#m7 | Dmaj7 | D/E | Amaj7 | F#m7 | Dmaj7 | Amaj7 |'],
    ['Ab', '| Abmaj7 | Bbm7/Ab | Cm7 | Dbmaj7 | Abmaj7 | Bbm7/Ab | Dbmaj7 | Db/Eb |'],
    ['Cm', '| Cm9 | Abmaj7 | Fm9 | Abmaj7/Bb | Cm9 | Abmaj7 | Fm9 | G7sus4 | Cm9 | Abmaj7 | Fm9 | Cm9 |'],
  ],
  'loops of I, V, vi and IV': [
    ['C', '| C | G | Am | F | C | G | Am | F |'],
    ['D', '| D | A | Bm | G | D | A | Bm | G | D | A | Bm | G | G | A | D | D |'],
    ['G Em', '| Em | C | G | D | Em | C | G | D |'],
    ['F Dm', '| Dm | Bb | F | C | Dm | Bb | F | C | Dm | Bb | F | C |'],
    ['A', '| D | A | E | F#m | D | A | E | F#m |'],
    ['Bb', '| Eb | Bb | F | Gm | Eb | Bb | F | Gm | Eb | Bb | F | Bb |'],
    ['C', '| G | Am | F | C | G | Am | F | C |'],
    ['E', '| B | C#m | A | E | B | C#m | A | E |'],
    ['G', '| G | Em | C | D | G | Em | C | D |'],
    ['F', '| F | Bb | C | C | F | Bb | C | C | Dm | Bb | C | C | F | Bb | C | F |'],
    ['Am', '| Am | G | F | G | Am | G | F | G | Am | G | F | G |'],
    ['Em', '| Em | D | C | B7 | Em | D | C | B7 |'],
    ['C', '| F | G | C | Am | F | G | C | Am | F | G | C | C |'],
    ['G', '| C | D | Em | G | C | D | Em | G | C | D | G | G |'],
    ['D', form('| Bm | G | D | A | Bm | G | D | A |', '| D | A | Bm | G | D | A | G | D |')],
    ['Am', form('| Am | F | C | G | Am | F | C | E7 |', '| Am | F | C | G | Dm | E7 | Am | Am |')],
  ],
  'mostly vi, and home at the end': [
    [
      'Ab',
      form(
        '| Fm | Fm(maj7) | Fm7 | Bb7 | Dbmaj7 | Bbm7 | Gm7b5 | C7 |',
        '| Fm | Fm(maj7) | Fm7 | Bb7 | Dbmaj7 | Bbm7 | Bbm7 | Eb7 |',
        '| Abmaj7 Bbm7 | Cm7 Bbm7 | Abmaj7 Bbm7 | Cm7 Bbm7 | Abmaj7 | C7 | Gm7b5 | C7 |',
        '| Fm | Fm(maj7) | Fm7 | Bb7 | Dbmaj7 | Bbm7 Eb7 | Ab6 | Gm7b5 C7 |',
      ),
    ],
    [
      'C',
      form(
        '| Am7 | Bm7b5 E7 | Am7 | A7 | Dm7 | Bm7b5 E7 | Am7 | E7 |',
        '| Am7 | Bm7b5 E7 | Am7 | A7 | Dm7 | Dm7 G7 | C6 | C6 |',
        '| Gm7 | C7 | Fmaj7 | Fmaj7 | Am7 | D7 | Dm7 | E7 |',
        '| Am7 | Bm7b5 E7 | Am7 | A7 | Dm7 | Dm7 G7 | C6 | E7 |',
      ),
    ],
    [
      'F',
      form(
        '| Dm | Em7b5 A7 | Dm | Em7b5 A7 | Dm7 | G7 | Gm7 | C7 |',
        '| Dm | Em7b5 A7 | Dm | Em7b5 A7 | Dm7 G7 | Gm7 C7 | Fmaj7 | Em7b5 A7 |',
      ),
    ],
    [
      'Bb',
      form(
        '| Gm | Gm | Am7b5 | D7 | Gm | C7 | Cm7 | F7 |',
        '| Gm | Gm | Am7b5 | D7 | Gm7 C7 | Cm7 F7 | Bb6 | Am7b5 D7 |',
      ),
    ],
    [
      'Eb',
      '| Cm7 | Abmaj7 | Dm7b5 | G7 | Cm7 | Abmaj7 | Fm7 | Bb7 | Cm7 | Abmaj7 | Dm7b5 | G7 | Cm7 F7 | Fm7 Bb7 | Ebmaj7 | G7 |',
    ],
    [
      'G',
      form(
        '| Em6 | Em6 | Am6 | Am6 | B7 | B7 | Em6 | B7 |',
        '| Em6 | Em6 | Am6 | Am6 | Am7 | D7 | G6 | G6 |',
        '| G6 | G#dim7 | Am7 | D7 | Bm7 | E7 | A7 | B7 |',
        '| Em6 | Em6 | Am6 | Am6 | Am7 | D7 | G6 | B7 |',
      ),
    ],
  ],
  'opens in minor and ends in the parallel major': [
    ['C', '| Cm6 | Cm6 | Dm7b5 | G7 | Cm6 | Cm6 | Dm7b5 | G7 | Fm7 | Bb7 | Ebmaj7 | Ab7 | Dm7 | G7 | C6 | C6 |'],
    [
      'F',
      form(
        '| Fm | Fm | C7 | C7 | Bbm6 | Fm | G7 | C7 |',
        '| Fmaj7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | F6 |',
        '| Fmaj7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | C7 |',
      ),
    ],
    ['D', '| Dm7 | Em7b5 A7 | Dm7 | Gm7 | Em7b5 | A7 | Dm7 | A7 | Dmaj7 | Em7 | F#m7 | B7 | Em7 | A7 | Dmaj7 | D6 |'],
    ['G', '| Gm7 | Cm7 | Am7b5 | D7 | Gmaj7 | Em7 | Am7 | D7 | Gm7 | Cm7 | Am7b5 | D7 | Gmaj7 | Am7 D7 | G6 | G6 |'],
  ],
  'plateaus of one minor seventh after another': [
    [
      'Dm',
      form(
        '| Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 |',
        '| Fm7 | Fm7 | Fm7 | Fm7 | Fm7 | Fm7 | Fm7 | Fm7 |',
        '| Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 | Dm7 |',
      ),
    ],
    [
      'Cm',
      form(
        '| Cm11 | Cm11 | Cm11 | Cm11 | Bbm11 | Bbm11 | Bbm11 | Bbm11 |',
        '| Abm11 | Abm11 | Gm11 | Gm11 | Cm11 | Cm11 | Cm11 | Cm11 |',
      ),
    ],
    ['Fm', '| Fm7 | Fm7 | Ebm7 | Ebm7 | Fm7 | Fm7 | Ebm7 | Ebm7 | Abm7 | Abm7 | Gbm7 | Gbm7 | Fm7 | Fm7 | Fm7 | Fm7 |'],
    ['Am', '| Am7 | Am7 | Am7 | Am7 | Dm7 | Dm7 | Dm7 | Dm7 | Am7 | Am7 | Am7 | Am7 | Fmaj7 | Fmaj7 | Em7 | Am7 |'],
    [
      'Ebm',
      '| Ebm7 | Ebm7 | Ab7 | Ab7 | Ebm7 | Ebm7 | Ab7 | Ab7 | Bmaj7 | Bb7 | Ebm7 | Ab7 | Bmaj7 | Bb7 | Ebm7 | Ebm7 |',
    ],
    [
      'Gm',
      '| Gm7 | Gm7 | Gm7 | Gm7 | Ebmaj7 | Ebmaj7 | Gm7 | Gm7 | Cm7 | Cm7 | Gm7 | Gm7 | Ebmaj7 | D7(#9) | Gm7 | Gm7 |',
    ],
  ],
  'closes without coming to rest': [
    ['C', '| Fmaj7 | Fmaj7 | Em7 | Am7 | Dm7 | G7 | Cmaj7 | C7 | Fmaj7 | F#m7b5 B7 | Em7 | A7 | D7 | D7 | Dm7 | G7 |'],
    ['Bb', '| Cm7 | F7 | Dm7 | G7 | Cm7 | F7 | Bbmaj7 | Bb7 | Ebmaj7 | Ab7 | Dm7 | G7 | C7 | C7 | Cm7 | F7 |'],
    ['Eb', '| Ebmaj7 | Dm7b5 G7 | Cm7 | Bbm7 Eb7 | Abmaj7 | Abm7 Db7 | Gm7 C7 | Fm7 Bb7 |'],
    [
      'Gm',
      '| Gm7 | Gm7/F | Em7b5 | Ebmaj7 | Am7b5 | D7 | Gm7 | D7 | Gm7 | Gm7/F | Em7b5 | Ebmaj7 | Am7b5 | Am7b5 | D7sus4 | D7 |',
    ],
    [
      'F',
      '| Fmaj7 | Eb7 | Fmaj7 | Eb7 | Am7 | D7 | Gm7 | C7 | Fmaj7 | Eb7 | Fmaj7 | Eb7 | Am7 D7 | G7 | Gm7 | C7sus4 |',
    ],
    [
      'Db',
      '| Dbmaj7 | Dbmaj7 | Emaj7 | Emaj7 | Dbmaj7 | Dbmaj7 | Emaj7 | A7 | Ebm7 | Ab7 | Fm7 | Bb7 | Ebm7 | Ebm7 | Ab7sus4 | Ab7 |',
    ],
    ['Am', '| Dm7 | Dm7 | Am7 | Am7 | Bm7b5 | E7 | Am7 | A7 | Dm7 | Dm7 | Am7 | Fmaj7 | Bm7b5 | Bm7b5 | E7 | E7 |'],
    ['G', '| Em7 | A7 | Dm7 | G7 | Cmaj7 | F7 | Bm7 E7 | Am7 D7 |'],
  ],
  'plain triads, as brass bands play them': [
    ['F', '| F | F | C7 | C7 | C7 | C7 | F | F | F | F7 | Bb | Bb | F | C7 | F | F |'],
    ['Bb', '| Bb | D7 | Gm | Gm | C7 | C7 | F7 | F7 | Bb | D7 | Gm | Bb7 | Eb Edim | Bb G7 | C7 F7 | Bb |'],
    ['Eb', '| Eb | Eb | Bb7 | Bb7 | Bb7 | Bb7 | Eb | Bb7 | Eb | Eb7 | Ab | Abm | Eb C7 | F7 Bb7 | Eb | Eb |'],
    ['C', '| E7 | E7 | Am | Am | D7 | D7 | G7 | G7 | C | C7 | F | Fm | C A7 | D7 G7 | C | C |'],
    ['Ab', '| Ab | F7 | Bb7 | Eb7 | Ab | F7 | Bb7 | Eb7 | Fm | C7 | Fm | Ab7 | Db Ddim | Ab F7 | Bb7 Eb7 | Ab |'],
    ['Dm', '| Dm | Dm | A7 | A7 | A7 | A7 | Dm | Dm | Gm | Gm | Dm | Dm | E7 | A7 | Dm | Dm |'],
    ['G', '| G | G7 | C | Cm | G | E7 | A7 | D7 | G | G7 | C | Cm | G E7 | A7 D7 | G C | G D7 |'],
    [
      'F',
      form(
        '| Dm | A7 | Dm | A7 | Dm | Gm | A7 | A7 |',
        '| F | C7 | C7 | F | F7 | Bb Bdim | F/C C7 | F |',
        '| F | C7 | C7 | F | F7 | Bb Bdim | F/C C7 | F |',
      ),
    ],
  ],
  'ballads and waltzes that wander': [
    [
      'Db',
      form(
        '| Dbmaj7 | Gb7 | Fm7 | Edim7 | Ebm7 | Ab7 | Fm7b5 | Bb7 |',
        '| Ebm7 | Gbm7 B7 | Dbmaj7 | Bbm7 | Gm7b5 C7 | Fm7 Bb7 | Ebm7 | Ab7 |',
        '| Dbmaj7 | Gb7 | Fm7 | Edim7 | Ebm7 | Gbm6 | Db6 | Fm7b5 Bb7 |',
      ),
    ],
    [
      'G',
      form(
        '| Gmaj7 | C#m7b5 F#7 | Bm7 | Bbm7 Eb7 | Am7 | Cm7 F7 | Bm7 E7 | Am7 D7 |',
        '| Ebmaj7 | Ab7 | Gmaj7 | Dm7 G7 | Cmaj7 | Bm7 E7 | Am7 D7 | G6 |',
      ),
    ],
    [
      'Eb',
      '| Ebmaj7 | Cm7 | Abmaj7 | Gm7 | Fm7 | Gm7 | Abmaj7 | Bb7sus4 | Bmaj7 | C#m7 | Bmaj7 | Bb7sus4 | Ebmaj7 | Cm7 | Abmaj7 | Ebmaj7 |',
    ],
    [
      'Bb',
      '| Bbmaj7 | Gbmaj7 | Cm7 | F7 | Dm7 | Db7 | Cm7 | B7 | Fm7 | Bb7 | Ebmaj7 | Ab7 | Dm7b5 | G7 | Cm7 F7 | Bb6 |',
    ],
    [
      'Am',
      '| Am(maj7) | F7 | Bm7b5 | E7 | Am(maj7) | F#m7b5 | Fmaj7 | E7 | Am7 | D7 | Gmaj7 | Cmaj7 | F7 | E7 | Am6 | Am6 |',
    ],
    [
      'F',
      form(
        '| Fmaj7 | Dbmaj7 | Gbmaj7 | C7sus4 | Fmaj7 | Dbmaj7 | Gbmaj7 | C7sus4 |',
        '| Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 | C7 | Am7 D7 | Gm7 C7 |',
        '| Fmaj7 | Dbmaj7 | Gbmaj7 | C7sus4 | Bbm7 | Eb7 | Fmaj7 | Fmaj7 |',
      ),
    ],
    [
      'Cm',
      '| Cm(maj7) | Cm7 | Am7b5 | Abmaj7 | Fm7 | Bb7 | Gm7b5 | C7 | Fm7 | Dm7b5 G7 | Cm7 | Ab7 | Dm7b5 | G7 | Cm6 | Dm7b5 G7 |',
    ],
    [
      'Ab',
      '| Abmaj7 | Amaj7 | Abmaj7 | Amaj7 | Bbm7 | Eb7 | Cm7 | F7 | Bbm7 | Dbm7 Gb7 | Cm7 | F7 | Bbm7 | A7 | Abmaj7 | Amaj7 |',
    ],
  ],
  'chords of no one key, from the 1960s on': [
    ['Eb', '| Ebmaj7 | Ebmaj7 | Gbmaj7 | Gbmaj7 | Amaj7 | Amaj7 | Cmaj7 | Cmaj7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |'],
    [
      'Fm',
      '| Fm9 | Dbmaj7(#11) | Fm9 | Dbmaj7(#11) | Ebm9 | Bmaj7(#11) | Gm7b5 | C7(#9) | Fm9 | Dbmaj7(#11) | Fm9 | Fm9 |',
    ],
    [
      'Bb',
      '| Bbmaj7(#11) | Abmaj7(#11) | Bbmaj7(#11) | Abmaj7(#11) | Gm7 | Ebmaj7 | Cm7 | F7sus4 | Bbmaj7(#11) | Abmaj7(#11) | Bbmaj7(#11) | Bbmaj7(#11) |',
    ],
    ['Am', '| Am11 | Cm11 | Ebm11 | Am11 | Fmaj7(#11) | E7alt | Am11 | Am11 |'],
    ['C', '| Cmaj7 | Ebmaj7 | Dmaj7 | Dbmaj7 | Cmaj7 | Ebmaj7 | Dmaj7 | Dbmaj7 |'],
    ['G', '| Gmaj7 | Bbmaj7 | Ebmaj7 | Ab7 | Gmaj7 | Bbmaj7 | Ebmaj7 | D7sus4 | Gmaj7 | Gmaj7 |'],
    ['Dm', '| Dm7 | Bbmaj7(#11) | Dm7 | Bbmaj7(#11) | Gm9 | A7alt | Dm7 | A7alt |'],
    ['E', '| E7(#9) | E7(#9) | G7 | A7 | E7(#9) | E7(#9) | G7 | A7 | C7 | B7 | E7(#9) | E7(#9) |'],
  ],
  'introductions, codas and tags': [
    [
      'Eb',
      form(
        'Intro\n| Fm7 | Bb7 | Gm7 | C7 | Fm7 | Bb7 | Gm7 | C7 |',
        'A\n| Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | Bb7 |',
        'A\n| Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |',
        'Outro\n| Gm7 | C7 | Fm7 | Bb7 | Gm7 | C7 | Fm7 | Bb7 |',
      ),
    ],
    [
      'Dm',
      form(
        'Intro\n| Dm7 | Eb7 | Dm7 | Eb7 |',
        'A\n| Dm7 | Bb7 | A7 | Dm7 | Gm7 | C7 | Fmaj7 | A7 |',
        'A\n| Dm7 | Bb7 | A7 | Dm7 | Gm7 | A7 | Dm7 | Dm7 |',
        'Outro\n| Dm7 | Eb7 | Dm7 | Eb7 | Dm7 | Dm7 |',
      ),
    ],
    [
      'C',
      form(
        'A\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | A7 |',
        'B\n| Fm7 | Bb7 | Cmaj7 | A7 | D7 | D7 | Dm7 | G7 |',
        'A\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Em7 | A7 |',
        'Tag\n| Dm7 | G7 | Em7 | A7 | Dm7 | G7 | Abmaj7 Dbmaj7 | C6 |',
      ),
    ],
    [
      'F',
      form(
        'Intro\n| C7sus4 | C7sus4 | C7sus4 | C7sus4 |',
        'A\n| Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7 | Dm7 | G7 | Gm7 | C7 |',
        'A\n| Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7 | Dm7 G7 | Gm7 C7 | F6 | F6 |',
        'Outro\n| Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7 |',
      ),
    ],
    [
      'G',
      form(
        'Intro\n| Am7 | D7 | Am7 | D7 |',
        'A\n| Gmaj7 | Bbdim7 | Am7 | D7 | Gmaj7 | G7 | Cmaj7 | Cm6 |',
        'A\n| Bm7 | E7 | Am7 | D7 | G6 | E7 | Am7 | D7 |',
      ),
    ],
    [
      'Bb',
      form(
        'Verse\n| Gm | D7 | Gm | D7 | Cm7 | F7 | Bb | D7 | Gm | D7 | Gm | C7 | Cm7 | Cm7 | F7 | F7 |',
        'Chorus\n| Bbmaj7 | G7 | Cm7 | F7 | Dm7 G7 | Cm7 F7 | Bb6 | F7 |',
        '| Bbmaj7 | G7 | Cm7 | F7 | Dm7 G7 | Cm7 F7 | Bb6 | Bb6 |',
      ),
    ],
  ],
}

const half = (parity: number): readonly HomeChart[] =>
  Object.entries(byKind).flatMap(([kind, charts]) =>
    charts.flatMap(([home, bars], i) => (i % 2 === parity ? [{ kind, home, bars }] : [])),
  )

export const teachersJudgedBy: readonly HomeChart[] = half(0)
export const teachersKeptOut: readonly HomeChart[] = half(1)
