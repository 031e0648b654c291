/**
 * Twenty tunes written and labelled as a teacher would before they were first heard by the analysis, in the classes of `homeCharts.ts`: openings
 * off the tonic with a turnaround, ends on VI7 or III7, vamps, loops of I, flat VII and IV, suspended chords. No cost was judged by any.
 */
export const freshCharts: readonly (readonly [home: string, bars: string])[] = [
  ['G', '| Am7 | D7 | Gmaj7 | Bm7 E7 | Am7 | D7 | G6 | Bm7 E7 |'],
  ['Ab', '| Fm7 | Bbm7 Eb7 | Abmaj7 | Cm7 F7 | Bbm7 | Eb7 | Ab6 | Cm7 F7 |'],
  ['F', '| Bbmaj7 | Bbm6 | Am7 | D7 | Gm7 | C7 | F6 Abdim7 | Gm7 C7 |'],
  ['D', '| E7 | E7 | A7 | A7 | Dmaj7 | Bm7 | Em7 A7 | D6 B7 |'],
  ['Eb', '| Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Cm7 F7 | Gm7 C7 | Fm7 Bb7 | Eb6 | Dm7b5 G7 |'],
  ['Dm', '| Em7b5 | A7(b9) | Dm6 | Bb7 A7 | Em7b5 | A7(b9) | Dm6 | Bm7b5 E7 |'],
  ['Db', '| Dbmaj7 | Ebm7 Ab7 | Fm7 Bb7 | Ebm7 Ab7 | Dbmaj7 Db7 | Gbmaj7 Gbm6 | Fm7 Bb7 | Ebm7 Ab7 Db6 Bb7 |'],
  ['C', '| Cmaj7 | E7 | Am7 | C7 | Fmaj7 | Fm6 | Dm7 G7 | C6 E7 |'],
  ['D', '| Em7 | A7 | Dmaj7 | F#7 | Bm7 | E7 | Em7 A7 | D6 F#7 |'],
  ['Bb', '| Bbmaj7 G7 | Cm7 F7 | Dm7 G7 | Cm7 F7 | Fm7 Bb7 | Ebmaj7 Ab7 | Dm7 G7 | Cm7 F7 Bb6 G7 |'],
  ['Gm', '| Gm7 | C7 | Gm7 | C7 | Gm7 | C7 | Gm7 | C7 |'],
  ['Fm', '| Fm7 | Fm7 | Fm7 | Fm7 | Gbm7 | Gbm7 | Fm7 | Fm7 |'],
  ['G', '| G7 | F/G | G7 | F/G | G7 | F/G | C/G | G7 |'],
  ['A', '| A7 | G | D | A7 | A7 | G | D | A7 |'],
  ['Em', '| Em7 | A/E | Em7 | A/E | Cmaj7 | D | Em7 | Em7 |'],
  ['E', '| E | D | A | E | E | D | A | E |'],
  ['C', '| Bb | F | C | C | Bb | F | C | C |'],
  ['F', '| F | Eb | Bb | F | Db | Eb | F | F |'],
  ['G', '| G7sus4 | G7sus4 | Bb7sus4 | Bb7sus4 | G7sus4 | G7sus4 | Bb7sus4 | Bb7sus4 |'],
  ['E', '| E9sus4 | D9sus4 | E9sus4 | D9sus4 | C9sus4 | D9sus4 | E9sus4 | E9sus4 |'],
]
