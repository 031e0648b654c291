/** A chart in another key: the letters' intervals kept, then names made plain where nothing asks for the hard ones. */
import { tonesOf } from '../theory/chord.ts'
import { type Key, keyAt, signatureOf, signOfLetter, transposeKey } from '../theory/key.ts'
import {
  chromaOf,
  fifthsOf,
  type Interval,
  nameOf,
  noteAtFifths,
  type PitchClass,
  sameNote,
  transposeClass,
} from '../theory/pitch.ts'
import type { Bar, Chart, ChordSymbol } from './chart.ts'
import { symbolName } from './symbol/chordName.ts'

/**
 * A key an interval up; where its signature would need more than seven signs, its usual name on the same pitch.
 */
export function keyUp(key: Key, interval: Interval): Key {
  const up = transposeKey(key, interval)
  return Math.abs(signatureOf(up)) > 7 ? keyAt(chromaOf(up.tonic), key.mode) : up
}

const asksFor = (key: Key | null, note: PitchClass): boolean =>
  key !== null && signOfLetter(signatureOf(key), note.letter) === note.alter

/** Whether a root's name is one that players read without a second thought. */
const plain = (note: PitchClass): boolean =>
  Math.abs(note.alter) <= 1 && !['B#', 'E#', 'Cb', 'Fb'].includes(nameOf(note))

/**
 * A root an interval up, under the name that the key or ease asks for.
 *
 * @example
 * nameOf(rootUp({ letter: 'E', alter: 0 }, { steps: 3, semitones: 6 }, null)) // => 'A#'
 * nameOf(rootUp({ letter: 'B', alter: 0 }, { steps: 0, semitones: 1 }, null)) // => 'C'
 */
export function rootUp(root: PitchClass, interval: Interval, key: Key | null): PitchClass {
  const up = transposeClass(root, interval)
  if (plain(up) || asksFor(key, up)) return up
  const fifths = fifthsOf(up)
  for (const shift of fifths > 0 ? [-12, -24] : [12, 24]) {
    const other = noteAtFifths(fifths + shift)
    if (plain(other)) return other
  }
  return up
}

/** A chord symbol an interval up, re-spelled and re-named, the bass following its root. */
export function transposeSymbol<T extends ChordSymbol>(symbol: T, interval: Interval, key: Key | null): T {
  const { root, chord, bass } = symbol
  if (!root || !chord) return symbol
  const to = rootUp(root, interval, key)
  let under: PitchClass | null = null
  if (bass) {
    // The bass keeps its letter against the root, however the root came to be named.
    const moved = transposeClass(bass, interval)
    const beside = noteAtFifths(fifthsOf(moved) + fifthsOf(to) - fifthsOf(transposeClass(root, interval)))
    const held = tonesOf(to, chord).some((tone) => sameNote(tone, beside))
    under = held && Math.abs(beside.alter) < 2 ? beside : rootUp(beside, { steps: 0, semitones: 0 }, key)
  }
  return { ...symbol, symbol: symbolName(to, chord.named, under), root: to, bass: under }
}

/**
 * The whole chart an interval up; problems and spans still point into the text as typed.
 *
 * @example
 * transposeChart(emptyChart, { steps: 1, semitones: 2 }).bars // => []
 */
export function transposeChart(chart: Chart, interval: Interval): Chart {
  let key = chart.key && keyUp(chart.key, interval)
  const first = key
  const bars = chart.bars.map((bar): Bar => {
    const change = bar.key && keyUp(bar.key, interval)
    if (change) key = change
    return { ...bar, key: change, chords: bar.chords.map((chord) => transposeSymbol(chord, interval, key)) }
  })
  return { ...chart, key: first, bars }
}

/** A chart with nothing in it. */
export const emptyChart: Chart = {
  title: null,
  composer: null,
  style: null,
  tempo: null,
  key: null,
  meter: { beats: 4, unit: 4 },
  barsKnown: true,
  bars: [],
  playOrder: [],
  problems: [],
}
