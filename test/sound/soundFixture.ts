/** Small invented tunes and lines to be played in these tests, made without the rest of the house. */
import type { Changes, PlayedBar, PlayedChord } from '../../lib/changes/unrollChart.ts'
import type { Harmony } from '../../lib/harmony/harmony.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { randomFrom } from '../../lib/lattice/lattice.ts'
import type { Line, LineNote } from '../../lib/line/line.ts'
import type { Chord } from '../../lib/theory/chord.ts'
import { instrumentOf, soundingPitch } from '../../lib/theory/instrument.ts'
import { commonTime, type Meter, ticksPerBar } from '../../lib/theory/meter.ts'
import {
  chromaOf,
  midiOf,
  nameOf,
  type Pitch,
  pitchAt,
  readPitchClass,
  transposeClass,
} from '../../lib/theory/pitch.ts'

/** Qualities by their suffix, as degrees; chord theory as any of the cited books has it. */
export const qualities: Readonly<Record<string, string>> = {
  '': '1 3 5',
  m: '1 b3 5',
  maj7: '1 3 5 7',
  m7: '1 b3 5 b7',
  '7': '1 3 5 b7',
  '6': '1 3 5 6',
  m6: '1 b3 5 6',
  'm(maj7)': '1 b3 5 7',
  '9': '1 3 5 b7 9',
  '7(b9)': '1 3 5 b7 b9',
  '13': '1 3 5 b7 9 13',
  '7(#11)': '1 3 5 b7 #11',
  '7sus4': '1 4 5 b7',
  m7b5: '1 b3 b5 b7',
  dim7: '1 b3 b5 bb7',
  aug: '1 3 #5',
  '7#5': '1 3 #5 b7',
  '5': '1 5',
  '6/9': '1 3 5 6 9',
}

export function chordOf(symbol: string): Pick<PlayedChord, 'symbol' | 'root' | 'chord' | 'bass'> {
  if (symbol === 'N.C.') return { symbol, root: null, chord: null, bass: null }
  const [, root = '', suffix = '', bass] = /^([A-G][#b]?)(.*?)(?:\/([A-G][#b]?))?$/.exec(symbol) ?? []
  const chord: Chord = { degrees: qualities[suffix]!.split(' '), alt: false, named: suffix }
  return { symbol, root: readPitchClass(root), chord, bass: bass ? readPitchClass(bass) : null }
}

export interface TuneOptions {
  readonly meter?: Meter
  readonly style?: string
  /** Semitones up. */
  readonly up?: number
}

const upNames = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']

/** Changes from bars divided by `|`, chords of a bar sharing it evenly. */
export function tune(text: string, { meter = commonTime, style, up = 0 }: TuneOptions = {}): Harmony {
  const bars: PlayedBar[] = []
  const chords: PlayedChord[] = []
  const ticks = ticksPerBar(meter)
  const span = { start: 0, end: 0 }
  const move = (note: PlayedChord['root']) => note && readPitchClass(upNames[(chromaOf(note) + up) % 12]!)
  for (const [index, symbols] of text.split('|').entries()) {
    const start = index * ticks
    const bar = index + 1
    bars.push({ bar, written: index, chorus: 1, start, ticks, meter, section: null, key: null })
    const names = symbols.trim().split(/\s+/)
    // Shares in whole beats, the first ones longer.
    const beats = names.map((_, i) => Math.floor((meter.beats + names.length - 1 - i) / names.length))
    let at = start
    names.forEach((name, i) => {
      const length = (beats[i]! * ticks) / meter.beats
      const { root, chord, bass } = chordOf(name)
      const moved = { root: move(root), bass: move(bass) }
      const symbol = root ? nameOf(moved.root!) + name.slice(nameOf(root).length) : name
      chords.push({ symbol, chord, ...moved, span, bar, start: at, ticks: length })
      at += length
    })
  }
  const changes: Changes = {
    title: 'Made up',
    composer: null,
    style: style ?? null,
    tempo: null,
    key: null,
    bars,
    chords,
  }
  return readHarmony(changes)
}

/** A line of chord and scale notes in even eighths (the last of each bar a quarter), inside the comfortable range. */
export function lineOver(harmony: Harmony, instrumentId = 'alto-sax', seed = 1): Line {
  const instrument = instrumentOf(instrumentId)!
  const [low, high] = instrument.comfortable.map((pitch) => midiOf(soundingPitch(instrument, pitch))) as [
    number,
    number,
  ]
  const random = randomFrom(seed)
  const notes: LineNote[] = []
  let midi = Math.round((low + high) / 2)
  for (const bar of harmony.bars) {
    let at = bar.start
    const end = bar.start + bar.ticks
    while (at < end) {
      const ticks = end - at === 24 ? 24 : 12
      const chord = harmony.chords.findLast((each) => each.start <= at)!
      const names = chord.scale?.notes ?? [transposeClass({ letter: 'C', alter: 0 }, { steps: 0, semitones: 0 })]
      const options: Pitch[] = []
      for (let m = Math.max(low, midi - 5); m <= Math.min(high, midi + 5); m++) {
        const name = names.find((each) => chromaOf(each) === m % 12)
        if (name && m !== midi) options.push(pitchAt(name, m))
      }
      const pitch = chord.root ? options[Math.floor(random() * options.length)]! : null
      if (pitch) midi = midiOf(pitch)
      const role = pitch === null ? 'rest' : at === bar.start ? 'target' : 'connect'
      notes.push({ bar: bar.bar, start: at, ticks, pitch, role, degree: null, figure: null })
      at += ticks
    }
  }
  const bars = [1, harmony.bars.length] as const
  return { key: harmony.key, instrument, harmony, bars, targets: [], figures: [], notes, relaxed: [] }
}

/** A form of 32 bars with the usual turns, for anything that needs a whole chorus. */
export const form = [
  'Dm7 | G7 | Cmaj7 | A7(b9) | Dm7 | G7 | Cmaj7 | Cmaj7',
  'Fm7 | Bb7 | Ebmaj7 | Ebmaj7 | Am7b5 | D7(b9) | Gm7 | G7',
  'Cmaj7 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | Cmaj7 C7 | F6 Bdim7 | Em7 A7 | Dm7 G7',
  'Cmaj7 | C7/E | Fmaj7 | Fm6 | Em7 | A13 | Dm7 Db7(#11) | C6/9',
].join(' | ')
