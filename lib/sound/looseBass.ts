/**
 * What the bass plays besides where it need not be strict: more rhythms of each style, and runs into a new section. The strict ones of
 * `bandStyles.ts` keep their bytes. All common practice: root and fifth, octaves, arpeggios, pushes, ghosts, scale runs.
 */
import type { Feel } from '../choices/practice.ts'
import type { BySize } from './bandStyle.ts'

const rock: BySize<readonly string[]> = {
  96: [
    '1r 1&r 2r 2&r 3r 3&r 4r 4&w',
    '1r 1&o 2r 2&o 3r 3&o 4r 4&w',
    '1r 2f 3r 4w',
    '1r 1&r 2f 2&f 3o 3&o 4f 4&w',
    '1r 1&t 2f 2&t 3o 3&t 4f 4&w',
    '1r 2&f 3o 4&p',
    '1r 1&g 2t 3f 3&g 4w',
    '1r 2&r 3f 4&p',
    '1r 2&o 3f 4&w',
    '1r 2r 2&t 3f 3&t 4w',
    '1r 3f 3&t 4p',
    '1r 1&f 2o 2&f 3r 3&f 4t 4&w',
    '1r 2t 3w 4w',
    '1r 2&t 3r 4f 4&p',
  ],
  72: [
    '1r 1&r 2r 2&r 3f 3&w',
    '1r 1&o 2r 2&o 3f 3&w',
    '1r 2f 2&t 3o 3&w',
    '1r 2&f 3o 3&p',
    '1r 1&t 2f 2&t 3o 3&t',
    '1r 1&r 2t 3t 3&p',
    '1r 1&f 2o 2&f 3t 3&w',
    '1r 1&o 2f 3t 3&w',
    '1r 2t 3f 3&t',
    '1r 1&f 2r 2&t 3f 3&w',
  ],
}

const bossa: BySize<readonly string[]> = {
  96: [
    '1r 2&f 3f 4&p',
    '1r 2&f 3o 4&w',
    '1r 2&t 3f 4&p',
    '1r 2&o 3f 4&w',
    '1r 3f 4&p',
    '1r 2&f 3t 4&w',
    '1r 2&r 3f 3&t 4&p',
    '1r 1&g 2&f 3f 4w',
    '1r 2&w 3f 4&p',
    '1r 2&t 3o 4w',
    '1r 2t 3f 4&w',
    '1r 2&t 3t 3&g 4&w',
  ],
  72: [
    '1r 2&f 3f',
    '1r 2&f 3&p',
    '1r 2&f 3f 3&w',
    '1r 2&t 3o',
    '1r 2&t 3&w',
    '1r 2&o 3f 3&p',
    '1r 1&g 2&f 3t',
    '1r 2&r 3t',
  ],
}

const samba: BySize<readonly string[]> = {
  96: [
    '1r 1ar 2f 2af 3r 3ar 4f 4aw',
    '1r 1af 2o 2af 3r 3af 4o 4aw',
    '1r 2f 2at 3r 4f 4ap',
    '1r 1at 2f 2at 3o 4f 4aw',
    '1r 1ao 2f 3r 3ao 4f 4ap',
    '1r 2&t 3f 4&p',
    '1r 1ag 2f 2ao 3r 4w',
    '1r 1ar 2t 2af 3r 4f 4aw',
    '1r 2t 2aw 3f 4t 4aw',
    '1r 1af 2t 3r 3af 4w',
    '1r 2o 2af 3r 4f 4aw',
    '1r 1at 2o 3f 3at 4f 4ap',
  ],
  72: [
    '1r 1af 2f 2at 3r 3aw',
    '1r 1ar 2f 2af 3o 3ap',
    '1r 1at 2f 3r 3aw',
    '1r 2t 2af 3f 3ap',
    '1r 1ao 2f 2af 3t 3aw',
    '1r 1af 2t 2af 3r 3aw',
    '1r 1at 2o 2af 3f 3aw',
    '1r 1ar 2t 2ao 3f 3aw',
    '1r 1af 2o 3t 3aw',
    '1r 2o 2at 3f 3aw',
  ],
}

const funk: BySize<readonly string[]> = {
  96: [
    '1r. 1ar. 2&o. 3&t. 4w. 4aw.',
    '1r. 1&r. 2at. 3&f. 4w.',
    '1r 2&t. 2ao. 3ar. 4&w.',
    '1r. 1ag 2o. 3&r. 3af. 4&w.',
    '1r. 1eg 1&f. 2ao. 3&t. 4aw.',
    '1r. 2eo. 2&t. 3ar. 4&p.',
    '1r. 1af. 2&r. 3ao. 4f. 4aw.',
    '1r 2&f. 2ao. 3&g 3ar. 4w.',
    '1r. 1at. 2f. 3ag 3ar. 4&w.',
    '1r. 1ao. 2t. 2&f. 3&t. 4aw.',
    '1r. 2at. 3w. 3af. 4ap.',
    '1r. 1&t. 1at. 2&g 3&o. 4&p.',
  ],
  72: [
    '1r. 1ar. 2&o. 3&w.',
    '1r. 1ag 2o. 3&f. 3aw.',
    '1r. 1eg 1&f. 2ao. 3&w.',
    '1r. 2at. 3w. 3ap.',
    '1r. 1&t. 2eo. 3at.',
    '1r. 1af. 2&r. 3o. 3aw.',
    '1r. 1ao. 2t. 2&f. 3aw.',
  ],
}

const waltz: BySize<readonly string[]> = {
  72: [
    '1r',
    '1r 3w',
    '1 2 3',
    '1r 2&f',
    '1r 2f 3o',
    '1r 2 3 3&g',
    '1r 2t 3w',
    '1r 1&t 2f 3w',
    '1r 2&t 3w',
    '1r 2f 3t',
    '1r 2w 2&w 3w',
  ],
}

/** Two in a bar of three are dotted quarters. */
const two: BySize<readonly string[]> = {
  72: ['1r 2&f', '1r 2&t', '1r 2&f 3w', '1r 2&t 3&g', '1r 2&o', '1r 2&w 3&w', '1r', '1r 1&g 2&f'],
}

const ballad: BySize<readonly string[]> = {
  96: ['1r 4&w', '1r 2&f 3t', '1r 4w', '1r 2&t 4w', '1r 3&f', '1r 2&f 4&w', '1r 2t 2&f', '1r 3t 4w 4&w'],
  72: ['1r', '1r 3w', '1r 3t 3&w', '1r 3f', '1r 3&p', '1r 2t 3&w', '1r 1&f 3t'],
}

const mambo: BySize<readonly string[]> = {
  72: [
    '1r 1&f 2&o 3w',
    '1r 1&o 2&f 3&w',
    '1r 1&f 2&t',
    '1r 1&t 2&f 3&p',
    '1r 1&f 2f 3w',
    '1r 1&t 2&o 3&w',
    '1r 1&o 2f 2&t 3w',
  ],
}

const shuffle: BySize<readonly string[]> = {
  72: [
    '1r 1&r 2t 2&t 3f 3&w',
    '1r 2t 2&t 3f 3&w',
    '1r 1&t 2f 3t 3&w',
    '1r 1&o 2t 2&f 3w',
    '1r 1&f 2o 2&f 3w 3&w',
    '1r 2f 2&t 3w 3&w',
    '1r 1&g 2t 3f 3&w',
    '1r 1&o 2f 2&f 3t 3&w',
    '1r 1&t 2t 2&f 3f 3&w',
  ],
}

const runs: BySize<readonly string[]> = {
  96: ['1r 2t 3f 3&w 4w 4&w', '1r 3w 3&w 4w 4&w', '1r 1&g 2f 3o 3&t 4f 4&w', '1r 2&f 3t 3&t 4t 4&w'],
  72: ['1r 2t 2&w 3w 3&w', '1r 2w 3w 3&w', '1r 1&t 2f 2&t 3w 3&w'],
}
const walks: BySize<readonly string[]> = { 96: ['1 2 3 4', '1 2 3 4 4&g', '1 2 3 3&t 4'], 72: ['1 2 3', '1 2 3 3&t'] }

/** Rhythms that stand in place of a style's own where it is not strict. */
export const looseBass: Readonly<Partial<Record<Feel, BySize<readonly string[]>>>> = {
  rock,
  bossa,
  samba,
  funk,
  waltz,
  two,
  ballad,
  mambo,
  shuffle,
}

/** What the bass plays in the last bar of a section; walking styles walk on, so they have none. */
export const bassFills: Readonly<Partial<Record<Feel, BySize<readonly string[]>>>> = {
  rock: runs,
  even: runs,
  bossa: runs,
  mambo: runs,
  samba: {
    ...runs,
    96: ['1r 2f 3t 3aw 4w 4aw', '1r 1ar 2t 2at 3f 3aw 4w 4aw', '1r 2f 3o 3&t 3at 4f 4aw'],
  },
  funk: {
    ...runs,
    96: ['1r. 2&o. 3t. 3&t. 4w. 4&w. 4aw', '1r. 1ag 2f. 3o. 3at. 4f. 4aw', '1r. 2at. 3t 3&w 3aw 4w 4&w'],
  },
  two: walks,
  ballad: walks,
}
