/** What golden lines and the gallery are written of: tunes, and briefs for each. */

/** Invented tunes: turnarounds, a minor blues, a waltz that wanders, a vamp. */
export const tunes: Readonly<Record<string, string>> = {
  turnarounds:
    'Key: F\n[A] | Fmaj7 D7 | Gm7 C7 | Am7 D7b9 | Gm7 C7 |\n[B] | Cm7 | F7 | Bbmaj7 | Eb9#11 | Fmaj7 Dm7 | Gm7 C7 | F6 | Gm7 C7 |',
  'minor-blues': '| Cm7 | Fm7 | Cm7 | C7alt | Fm7 | Fm7 | Cm7 | Cm7 | Ab7 | G7#9 | Cm7 | Dm7b5 G7b9 |',
  waltz: 'Time: 3/4\n| Ebmaj7 | Abm7 Db7 | Gbmaj7 | F#m7 B7 | Emaj7 | Fm7 | Bb7sus4 Bb7 | Eb6 |',
  vamp: '| D7sus4 | D7sus4 | F7sus4 | F7sus4 |',
}
/** Choices of each. */
export const briefs: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  usual: {},
  solo: { approach: 'enclosure,chromatic,scale,arpeggio', rhythm: 'phrased', tempo: '180', choruses: '2' },
  'tenor-in-five-keys': { instrument: 'tenor-sax', keys: 'C,F,Bb,Eb,F#', seed: '3' },
  'trombone-triplets': { instrument: 'trombone', rhythm: 'triplets', land: '1,3,5,7', seed: '5' },
  'level-one': { level: '1', instrument: 'trumpet' },
}
