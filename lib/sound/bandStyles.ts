/**
 * The styles of the band, each a record: what its drums, bass and chords play over groups of beats (96 ticks are a bar of four, 72 of three
 * quarters, 48 of two, 36 three eighths). Rhythms are common practice.
 */
import type { Feel } from '../choices/practice.ts'
import type { BandStyle, BySize, DrumFigure } from './bandStyle.ts'

/** Even figures for any group: what a style does not say itself is played like this. */
const plainDrums: BandStyle['drums'] = {
  72: [
    [{ hat: '534434' }, { hat: '53443.' }, { hat: '5.4434' }, { hat: '53.434' }],
    [{ kick: '6....4' }, { kick: '6..4..' }, { kick: '6.....' }, { kick: '6...4.' }],
    [{ stick: '..5...' }, { stick: '....5.' }, { stick: '..5.4.' }, { stick: '..5..3' }],
  ],
  48: [
    [{ hat: '5343' }, { hat: '5.43' }, { hat: '534.' }, { hat: '5344' }],
    [{ kick: '6..4' }, { kick: '6...' }, { kick: '6.4.' }, { kick: '6.34' }],
    [{ stick: '..5.' }, { stick: '..5.' }, { stick: '..53' }, { stick: '.35.' }],
  ],
  36: [
    [{ hat: '534' }, { hat: '544' }, { hat: '5.4' }, { hat: '53.' }],
    [{ kick: '6..' }, { kick: '6.4' }, { kick: '6..' }, { kick: '63.' }],
    [{ stick: '..4' }, { stick: '.4.' }, { stick: '.3.' }, { stick: '..5' }],
  ],
  24: [
    [{ hat: '53' }, { hat: '5.' }],
    [{ kick: '5.' }, { kick: '54' }],
    [{ stick: '.4' }, { stick: '4.' }],
  ],
}
const plainBass: BandStyle['bass'] = {
  120: ['1r 2&w 3f 4r 5w', '1r 2f 3w 4r 5w', '1r 3f 4r 5&w', '1r 2&f 4r 5w', '1r 3&f 4w 5w'],
  72: ['1r 3w', '1r 2&f', '1r 2f 3w', '1r 2&f 3w', '1r 3&w'],
  48: ['1r 2&w', '1r 2f', '1r 1&f', '1r', '1r 1&g 2f'],
  36: ['1r 2w', '1r', '1r 1&f 2w', '1r 1&f'],
  24: ['1r', '1r 1&f'],
}
const plainChords: BandStyle['chords'] = {
  96: ['1- 2&- 4&', '1 2& 4', '1&- 3- 4&', '1- 2& 3&-', '1- 3&-', '2- 3& 4&'],
  72: ['1- 2&-', '1- 2 3&', '2- 3&', '1& 2&-', '1 3-'],
  48: ['1- 2&', '1& 2&', '1-', '2-', '1 2&'],
  36: ['1-', '1 2', '1& 2', '1&-', '2'],
  24: ['1', '1&', '1-'],
}

/** Swung figures for three and two, and the 3 + 2 of five. */
const swungDrums: BandStyle['drums'] = {
  120: [
    [
      { ride: '5. 64 5. 5. 64', foot: '.. 6. .. .. 6.' },
      { ride: '5. 64 54 5. 64', foot: '.. 6. .. .. 6.' },
      { ride: '5. 6. 54 5. 64', foot: '.. 6. .. .. 6.' },
      { ride: '5. 64 5. 54 6.', foot: '.. 6. .. .. 6.' },
      { ride: '54 6. 5. 5. 64', foot: '.. 6. .. .. 6.' },
    ],
    [{ kick: '22 2. 2. 3. 2.' }, { kick: '3. .. .3 3. ..' }, { kick: '3. .. 2. 3. ..' }, { kick: '2. 2. 2. 2. .3' }],
    [{ snare: '.. .. .2 .. ..' }, {}, { snare: '.. .2 .. .. .3' }, { snare: '.2 .. .. .. ..' }],
  ],
  72: [
    [
      { ride: '5. 64 5.', foot: '.. 6. ..' },
      { ride: '5. 64 54', foot: '.. 6. 4.' },
      { ride: '5. 6. 5.', foot: '.. 6. ..' },
      { ride: '54 6. 54', foot: '.. 6. ..' },
      { ride: '5. .4 54', foot: '.. 6. 5.' },
    ],
    [{ kick: '3. .. ..' }, { kick: '3. .. .3' }, { kick: '2. 2. 2.' }, { kick: '3. .3 ..' }],
    [{}, { snare: '.. .2 ..' }, { snare: '.. .. .3' }, { snare: '.2 .. ..' }, { snare: '.. .3 .2' }],
  ],
  48: [
    [
      { ride: '5.64', foot: '..6.' },
      { ride: '5.6.', foot: '..6.' },
      { ride: '5464', foot: '..6.' },
      { ride: '546.', foot: '..6.' },
    ],
    [{ kick: '2.2.' }, { kick: '3...' }, { kick: '2.23' }, { kick: '23..' }],
    [{}, { snare: '.2..' }, { snare: '...2' }, { snare: '.3.2' }],
  ],
}
const walking: BySize<readonly string[]> = {
  120: ['1 2 3 4 5', '1 2 2&g 3 4 5', '1 2 3 3&g 4 5', '1 3 4 5', '1 2 3 4 4&g 5', '1 1&g 2 3 4 5'],
  96: [
    '1 2 3 4',
    '1 2 2&g 3 4',
    '1 2 3 4 4&g',
    '1 1&g 2 3 4',
    '1 2 3 3&g 4',
    '1 2 3',
    '1 3 4',
    '1 1&g 2 3 3&g 4',
    '1 2 2&t 3 4',
  ],
  72: ['1 2 3', '1 2 2&g 3', '1 3', '1 2 3 3&g', '1 1&g 2 3', '1 2'],
  48: ['1 2', '1 1&g 2', '1 2 2&g', '1', '1 1&t 2'],
}
const comping: BySize<readonly string[]> = {
  120: ['1- 2&-', '1- 4-', '1& 3 4-', '2&- 4&', '1 2& 4& 5&'],
  96: [
    '1- 2&',
    '1 2&-',
    '1& 3-',
    '2&-',
    '2& 4&',
    '1- 3&',
    '1& 3&-',
    '4&',
    '1-',
    '3&-',
    '1 2& 4&',
    '1& 2& 3& 4&',
    '2 2& 4-',
    '1- 2& 3&',
  ],
  72: ['1- 2&-', '2&-', '2 3', '1- 3&', '1& 2&-', '3&'],
  48: ['1-', '1&', '2&', '1 2&', '2'],
}
const swungFills: readonly DrumFigure[] = [
  { snare: '3456', kick: '...4' },
  { snare: '.5.5', floor: '..56' },
  { snare: '5.5.', high: '.4..', floor: '...6' },
  { snare: '345 456' },
]
const driving: readonly DrumFigure[] = [
  { snare: '4.4. 5566' },
  { snare: '44.. ..66', high: '..55', floor: '...6' },
  { high: '5.5. ....', low: '.... 5.5.', floor: '.... ..66' },
  { snare: '..46 .466', kick: '6.......' },
]
const brushes: readonly DrumFigure[] = [{ brush: '3344' }, { brush: '343 445' }, { brush: '3.45', kick: '...3' }]

const swing: BandStyle = {
  eighths: 'swung',
  drums: {
    ...plainDrums,
    ...swungDrums,
    96: [
      [
        { ride: '5. 64 5. 64', foot: '.. 6. .. 6.' },
        { ride: '5. 64 5. 6.', foot: '.. 6. .. 6.' },
        { ride: '5. 6. 5. 64', foot: '.. 6. .. 6.' },
        { ride: '5. 64 54 6.', foot: '.. 6. .. 6.' },
        { ride: '54 6. 5. 64', foot: '.. 6. .. 6.' },
        { ride: '5. 64 .4 64', foot: '.. 6. .. 6.' },
        { ride: '5. 6. 54 64', foot: '.. 6. .. 65' },
      ],
      [
        { kick: '2. 2. 2. 2.' },
        { kick: '2. 2. 2. 23' },
        { kick: '3. .. 2. ..' },
        { kick: '2. .3 2. 2.' },
        { kick: '2. 2. .3 2.' },
      ],
      [
        {},
        { snare: '.. .. .2 ..' },
        { snare: '.. .3 .. ..' },
        { snare: '.. .. .. .3' },
        { snare: '.2 .. .3 ..' },
        { stick: '.. .. .. 4.' },
      ],
    ],
  },
  bass: { ...plainBass, ...walking },
  chords: { ...plainChords, ...comping },
  held: false,
  pushes: true,
  fills: swungFills,
  ending: 'tag',
  opens: 'crash',
}

const even: BandStyle = {
  eighths: 'even',
  drums: {
    ...plainDrums,
    96: [
      [
        { ride: '53 43 53 43', foot: '.. 4. .. 4.' },
        { ride: '53 43 5. 43', foot: '.. 4. .. 4.' },
        { ride: '5. 43 53 44', foot: '.. 4. .. 4.' },
        { ride: '53 4. 54 43', foot: '.. 4. .. 4.' },
        { ride: '54 .3 53 43', foot: '.. 4. .. 4.' },
      ],
      [{ kick: '6. .. .4 ..' }, { kick: '6. .4 .. ..' }, { kick: '6. .. .. .4' }, { kick: '6. .4 4. ..' }],
      [{ stick: '.. .5 .. 5.' }, { stick: '.. 5. .. .5' }, { stick: '.. .. 5. ..' }, { stick: '.. 5. .4 ..' }],
    ],
  },
  bass: {
    ...plainBass,
    96: ['1r 2&f 3r 4&w', '1r 2&w 3f 4w', '1r 3f 4&w', '1r 2f 2&r 4w', '1r 2&f 4w', '1r 3&t 4w'],
  },
  chords: plainChords,
  held: false,
  pushes: true,
  fills: driving,
  ending: 'hold',
  opens: 'crash',
}

const ballad: BandStyle = {
  eighths: 'swung',
  drums: {
    ...plainDrums,
    96: [
      [
        { brush: '3. 5. 3. 5.', foot: '.. 4. .. 4.' },
        { brush: '3. 5. 3. 53', foot: '.. 4. .. 4.' },
        { brush: '3. 53 3. 5.', foot: '.. 4. .. 4.' },
        { brush: '33 5. 3. 5.', foot: '.. 4. .. 4.' },
        { brush: '3. 5. 33 5.', foot: '.. 4. .. 4.' },
      ],
      [{ kick: '3. .. 2. ..' }, { kick: '3. .. .. ..' }, { kick: '2. .. .. .2' }, { kick: '3. .2 .. ..' }],
    ],
    72: [
      [
        { brush: '3. 5. 3.', foot: '.. 4. ..' },
        { brush: '3. 53 3.', foot: '.. 4. ..' },
        { brush: '3. 5. 53', foot: '.. 4. ..' },
        { brush: '33 5. 3.', foot: '.. 4. ..' },
      ],
      [{ kick: '3. .. ..' }, { kick: '2. .. .2' }],
    ],
    48: [
      [
        { brush: '3.5.', foot: '..4.' },
        { brush: '3.53', foot: '..4.' },
        { brush: '335.', foot: '..4.' },
        { brush: '3.4.', foot: '..4.' },
      ],
      [{ kick: '3...' }, { kick: '2...' }],
    ],
    36: [
      [{ brush: '3.4' }, { brush: '334' }, { brush: '3.5' }, { brush: '34.' }],
      [{ kick: '3..' }, {}],
    ],
  },
  bass: {
    ...plainBass,
    96: ['1r 3f', '1r 3t 4w', '1r 3f 4&w', '1r 2&f 3t', '1r 4w'],
    48: ['1r', '1r 2w', '1r 2&w', '1r 1&g 2f'],
  },
  chords: {},
  held: true,
  pushes: false,
  fills: brushes,
  ending: 'hold',
  opens: 'ride',
}

const two: BandStyle = {
  ...swing,
  drums: {
    ...swing.drums,
    96: [
      [
        { hat: '5. 64 5. 64', foot: '.. 5. .. 5.' },
        { hat: '5. 64 5. 6.', foot: '.. 5. .. 5.' },
        { hat: '5. 6. 5. 64', foot: '.. 5. .. 5.' },
        { hat: '5. 64 54 64', foot: '.. 5. .. 5.' },
        { hat: '54 64 5. 64', foot: '.. 5. .. 5.' },
      ],
      [{ kick: '4. .. 3. ..' }, { kick: '4. .. 3. .2' }, { kick: '4. .2 3. ..' }, { kick: '3. .. 3. ..' }],
      [{}, { stick: '.. .. .. 4.' }, { snare: '.. .. .2 ..' }, { snare: '.. .2 .. ..' }],
    ],
  },
  bass: {
    ...plainBass,
    96: ['1r 3f', '1r 3f 4&w', '1r 2&g 3f', '1r 3t 4w', '1r 3f 3&g 4w', '1r 2&f 3f'],
    72: ['1r', '1r 3w', '1r 3&w', '1r 2&f'],
    48: ['1r', '1r 2&w', '1r 2f', '1r 1&g 2f'],
  },
  ending: 'tag',
}

const waltz: BandStyle = {
  ...swing,
  bass: {
    ...swing.bass,
    72: ['1r', '1r 3w', '1 2 3', '1r 2&f', '1r 2f', '1r 2 3 3&g', '1r 3&w'],
  },
  chords: { ...swing.chords, 72: ['2 3', '1- 2&', '2&-', '1& 2&-', '2- 3&', '3', '1& 3'] },
  ending: 'hold',
}

const shuffle: BandStyle = {
  ...swing,
  eighths: 'triplets',
  drums: {
    ...swing.drums,
    96: [
      [
        { hat: '53 53 53 53' },
        { hat: '53 53 53 5.', open: '.. .. .. .4' },
        { ride: '53 53 53 53' },
        { hat: '53 5. 53 53' },
        { ride: '53 53 5. 53' },
      ],
      [{ kick: '6. .. 6. ..' }, { kick: '6. .4 6. ..' }, { kick: '6. .. 6. .4' }, { kick: '6. .. .4 ..' }],
      [{ snare: '.. 62 .. 62' }, { snare: '.2 6. .2 6.' }, { snare: '.. 6. .. 6.' }, { snare: '.2 62 .2 62' }],
    ],
  },
  bass: {
    ...swing.bass,
    96: ['1r 1&r 2t 2&t 3f 3&f 4w 4&w', '1r 2t 3f 4w', '1r 1&r 2t 3f 3&f 4w', '1r 2t 2&t 3f 4w 4&w', '1r 2t 3f 3&g 4w'],
  },
  chords: {
    ...swing.chords,
    96: ['1& 2& 3& 4&', '2 4', '2 2& 4 4&', '1& 3&', '2 3& 4', '2& 4&', '1& 2 3& 4'],
  },
  fills: driving,
  ending: 'tag',
}

const bossa: BandStyle = {
  ...even,
  drums: {
    ...plainDrums,
    96: [
      [
        { hat: '43 43 43 43', foot: '.. 3. .. 3.' },
        { shaker: '34 34 34 34', foot: '.. 3. .. 3.' },
        { hat: '43 43 4. 43', foot: '.. 3. .. 3.' },
        { hat: '44 43 44 43', foot: '.. 3. .. 3.' },
        { hat: '43 4. 43 43', foot: '.. 3. .. 3.' },
      ],
      [{ kick: '5. .4 5. .4' }, { kick: '5. .4 5. ..' }, { kick: '5. .. 5. .4' }],
      [
        { stick: '5. .5 .. 5. | .. 5. .5 ..' },
        { stick: '5. .5 .. .5 | .. 5. .5 ..' },
        { stick: '5. .5 .. 5. | .. 5. 5. ..' },
      ],
    ],
  },
  bass: {
    ...plainBass,
    96: ['1r 2&f 3f 4&w', '1r 2&f 3f', '1r 3f 4&w', '1r 2&f 3f 4w', '1r 2f 3f 4&w', '1r 2&r 3f 3&f 4&w'],
  },
  chords: {
    ...plainChords,
    96: ['1- 2& 4- | 2- 3&-', '1- 2&- 4&- | 2 3&-', '1 2& 4& | 1& 2& 4-', '1- 2&- 4- | 1& 3-', '2- 3& 4& | 1- 2& 3&'],
  },
  fills: [{ stick: '5.55 .5.5' }, { snare: '3.3. 4445' }, { stick: '5..5 ..5.', kick: '4...4...' }],
  ending: 'hold',
  opens: 'bell',
}

const samba: BandStyle = {
  ...even,
  drums: {
    ...plainDrums,
    96: [
      [
        { hat: '5334 5334 5334 5334', foot: '.. 5. .. 5.' },
        { shaker: '5346 5346 5346 5346', foot: '.. 5. .. 5.' },
        { ride: '5.34 5.34 5.34 5.34', foot: '.. 5. .. 5.' },
        { hat: '53.4 5334 53.4 5334', foot: '.. 5. .. 5.' },
        { shaker: '5.46 5346 5.46 5346', foot: '.. 5. .. 5.' },
      ],
      [{ kick: '4..4 6..4 4..4 6..4' }, { kick: '4..4 6... 4..4 6..4' }, { kick: '...4 6..4 4..4 6...' }],
      [
        { snare: '3.3. .3.3 3.3. 3.3. | .3.3 3.3. .3.3 .3..' },
        { snare: '3..3 ..3. 3..3 ..3.' },
        { stick: '5.5. .5.5 .5.5 .5.. | 5.5. .5.5 .5.5 .5..' },
        { snare: '..3. 3..3 ..3. 3.3.' },
      ],
    ],
  },
  bass: {
    ...plainBass,
    96: [
      '1r 1af 2f 2af 3r 3ar 4f 4aw',
      '1r 2f 2af 3r 4f 4aw',
      '1r 1ar 2f 3f 3af 4w',
      '1r 2f 3r 4w',
      '1r 1af 2f 3r 4f 4aw',
    ],
  },
  chords: {
    ...plainChords,
    96: ['1 1a 2& 3& 4 | 1& 2 2a 3& 4&', '1& 2 3& 4a', '1 1a 2& 3a 4& | 1 2& 3 3a 4&', '1& 2& 3 3a 4&', '1a 2& 3a 4&'],
  },
  fills: [{ snare: '4445 5566' }, { snare: '5.55 .555', floor: '.......6' }, { high: '5.5.', floor: '.5.6' }],
  ending: 'stop',
}

const mambo: BandStyle = {
  ...even,
  drums: {
    ...plainDrums,
    96: [
      [
        { cow: '6. 54 64 54 | 6. 5. 64 54' },
        { cow: '64 54 6. 54' },
        { bell: '6. 54 .4 5. | 54 .4 54 .4' },
        { cow: '6. 54 6. 54' },
        { bell: '6. 5. 54 .4 | .4 54 .4 54' },
      ],
      [{ kick: '.. .5 .. 4.' }, { kick: '.. .5 .. ..' }, { kick: '5. .5 .. 4.' }],
      [
        { stick: '5. .5 .. 5. | .. 5. 5. ..', high: '.. .. .. 44' },
        { stick: '5. .5 .. .5 | .. 5. 5. ..', high: '.. .. .. 44' },
        { stick: '5. .5 .. 5. | .. 5. 5. ..', high: '.. .. .. 45', floor: '.. .5 .. ..' },
      ],
    ],
  },
  bass: {
    ...plainBass,
    96: ['1r 2&f 4w', '1r 2&o 4&w', '1r 2&f 3&o 4w', '1r 2f 2&t 4w', '1r 2&t 3&w', '1r 2&f 3&o 4&w'],
  },
  chords: {
    ...plainChords,
    96: [
      '1 2 2& 3& 4& | 1& 2& 3& 4&',
      '1 1& 2& 3& 4& | 1& 2 3& 4',
      '1 2& 3 3& 4& | 1& 2& 3& 4&',
      '1& 2& 3& 4& | 1 2 2& 3& 4&',
      '1 2 2& 4 4& | 1& 2& 3 4&',
    ],
  },
  fills: [{ high: '6.66 .6..', floor: '......66' }, { snare: '6..6 6.66' }, { cow: '6.6.', high: '.5.5' }],
  ending: 'stop',
  opens: 'crash',
}

const funk: BandStyle = {
  ...even,
  drums: {
    ...plainDrums,
    96: [
      [
        { hat: '5353 5353 5353 5353' },
        { hat: '5.43 5.43 5.43 5.4.', open: '.... .... .... ...5' },
        { hat: '5.5. 5.53 5.5. 5.53' },
        { hat: '5353 5.53 5353 5.5.' },
        { hat: '5.4. 5.4. 5.43 5.4.', open: '..5. .... .... ....' },
      ],
      [
        { kick: '7..5 .... ..6. .5..' },
        { kick: '7... ..5. .56. ....' },
        { kick: '7.5. ...5 ..6. ..5.' },
        { kick: '7..5 ..5. .... .5..' },
      ],
      [
        { snare: '.... 7..2 .2.. 7..2' },
        { snare: '..2. 7..2 .2.2 7...' },
        { snare: '.... 7..3 .... 7.3.' },
        { snare: '...2 7... .2.. 7..3' },
      ],
    ],
  },
  bass: {
    ...plainBass,
    96: [
      '1r. 1ar. 2&o. 3&t. 4w. 4aw.',
      '1r 2ag 3r. 3at. 4&w.',
      '1r. 1&r. 2at. 3&f. 4w.',
      '1r 2&t. 2ao. 3ar. 4&w.',
      '1r. 1ag 2o. 3&r. 3af. 4&w.',
    ],
  },
  chords: {
    ...plainChords,
    96: ['1& 2a 4', '1a 2& 3& 4a', '2 2a 3& 4&', '1& 1a 3a 4&', '2& 2a 4a', '1 2a 3& 4'],
  },
  ending: 'stop',
}

const rock: BandStyle = {
  ...even,
  drums: {
    ...plainDrums,
    96: [
      [
        { hat: '64 54 64 54' },
        { hat: '64 54 64 5.', open: '.. .. .. .5' },
        { ride: '64 54 64 54' },
        { hat: '6. 5. 6. 5.' },
        { ride: '6. 54 6. 54' },
      ],
      [{ kick: '7. .. 7. ..' }, { kick: '7. .6 7. ..' }, { kick: '7. .. 76 ..' }, { kick: '7. .6 .6 ..' }],
      [{ snare: '.. 7. .. 7.' }, { snare: '.. 7. .. 7.' }, { snare: '.. 7. .. 73' }],
    ],
  },
  bass: {
    ...plainBass,
    96: [
      '1r 1&r 2r 2&r 3r 3&r 4r 4&w',
      '1r 2&r 3r 4&w',
      '1r 1&r 2&r 3r 4f 4&w',
      '1r 2r 2&r 3r 3&f 4w',
      '1r 1&r 2r 3r 3&r 4w',
    ],
  },
  chords: { ...plainChords, 96: ['1- 3-', '1 2 3 4', '1- 2&- 4', '1 1& 2 3 3& 4', '1- 2&-', '1 2 3- 4&'] },
  ending: 'stop',
}

const click: BandStyle = { ...even, drums: {}, bass: {}, chords: {}, fills: [] }

export const bandStyles: Readonly<Record<Feel, BandStyle>> = {
  swing,
  two,
  shuffle,
  ballad,
  waltz,
  bossa,
  samba,
  mambo,
  funk,
  rock,
  even,
  click,
}
