/** Lines for tests, made by hand from a compact text of chords and notes. */
import type { Harmony, HarmonyChord } from '../../lib/harmony/harmony.ts'
import { transposeHarmony } from '../../lib/harmony/transposeHarmony.ts'
import type { Line, LineFigure, LineNote, LineTarget, Role } from '../../lib/line/line.ts'
import { spellPart } from '../../lib/line/spellLine.ts'
import type { Chord } from '../../lib/theory/chord.ts'
import { degreeOf } from '../../lib/theory/degree.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { readKey } from '../../lib/theory/key.ts'
import { type Meter, ticksPerBar } from '../../lib/theory/meter.ts'
import { type Interval, midiOf, readPitch, readPitchClass, transposePitch } from '../../lib/theory/pitch.ts'
import { scaleOver } from '../../lib/theory/scale.ts'

const qualities: Readonly<Record<string, string>> = {
  '': '1 3 5',
  m: '1 b3 5',
  '6': '1 3 5 6',
  m6: '1 b3 5 6',
  maj7: '1 3 5 7',
  m7: '1 b3 5 b7',
  '7': '1 3 5 b7',
  m7b5: '1 b3 b5 b7',
  dim7: '1 b3 b5 bb7',
  '7(b9)': '1 3 5 b7 b9',
  '7(#11)': '1 3 5 b7 #11',
  '13(#11)': '1 3 5 b7 9 #11 13',
  '7sus4': '1 4 5 b7',
}

function chordOf(symbol: string) {
  if (symbol === 'N.C.') return { symbol, root: null, chord: null, bass: null }
  const [, letter = '', named = '', bass] = /^([A-G][b#]?)([^/]*)(?:\/([A-G][b#]?))?$/.exec(symbol) ?? []
  const degrees = qualities[named]
  if (degrees === undefined) throw new Error(`no quality ${named} in the fixture`)
  const chord: Chord = { degrees: degrees.split(' '), alt: false, named }
  return { symbol, root: readPitchClass(letter)!, chord, bass: bass === undefined ? null : readPitchClass(bass)! }
}

export interface LineText {
  readonly key?: string
  readonly instrument?: string
  readonly meter?: string
  readonly title?: string | null
  readonly composer?: string | null
  readonly style?: string | null
  /** Bars apart by `|`; chords of a bar share it evenly; `A:` before the first opens a section. Meters: `(3/4)`; keys: `{Eb}`. */
  readonly chords: string
  /** What each chord is heard as, in order; `ii` where it does not say. */
  readonly heard?: string
  /**
   * Notes in a row, sounding: `F4` goes on with the ticks last given (12 at first), `F4/24` sets them, `-` is a rest, `*F4` a
   * target, `[A4 G4]` an approach into the next target, `(D4 E4)` a cell that the target before it starts.
   */
  readonly notes: string
}

/** A line of the notes written down; the bars that the notes leave over are filled with rests. */
export function makeLine(text: LineText): Line {
  const key = readKey(text.key ?? 'C')!
  const bars: Harmony['bars'][number][] = []
  const chords: HarmonyChord[] = []
  let meter = meterOf(text.meter ?? '4/4')
  const heard = (text.heard ?? '').split(' ')
  let start = 0
  for (const [index, bar] of text.chords.split('|').entries()) {
    let section: string | null = null
    let barKey = bars.at(-1)?.key ?? null
    const symbols: string[] = []
    for (const word of bar.trim().split(/\s+/)) {
      if (/^\(\d+\/\d+\)$/.test(word)) meter = meterOf(word.slice(1, -1))
      else if (/^\{.*\}$/.test(word)) barKey = readKey(word.slice(1, -1))
      else if (word.endsWith(':')) section = word.slice(0, -1)
      else if (word !== '') symbols.push(word)
    }
    const ticks = ticksPerBar(meter)
    bars.push({ bar: index + 1, written: index, chorus: 1, start, ticks, meter, section, key: barKey })
    symbols.forEach((symbol, at) => {
      const each = ticks / symbols.length
      const read = chordOf(symbol)
      chords.push({
        ...read,
        bar: index + 1,
        start: start + at * each,
        ticks: each,
        span: { start: 0, end: 0 },
        localKey: read.root && key,
        function: read.root && (heard[chords.length] || 'ii'),
        scale: read.root && scaleOver(read.root, 'dorian'),
        reason: '',
      })
    })
    start += ticks
  }
  const { title = 'A tune', composer = null, style = 'Medium swing' } = text
  const harmony: Harmony = { title, composer, style, tempo: 140, key, bars, chords }
  return {
    key,
    instrument: instrumentOf(text.instrument ?? 'flute')!,
    harmony,
    bars: [1, bars.length],
    relaxed: [],
    ...readNotes(text.notes, harmony, start),
  }
}

function meterOf(text: string): Meter {
  const [beats, unit] = text.split('/').map(Number)
  return { beats: beats!, unit: unit! }
}

function readNotes(text: string, harmony: Harmony, end: number): Pick<Line, 'notes' | 'targets' | 'figures'> {
  const notes: LineNote[] = []
  const targets: LineTarget[] = []
  const figures: { kind: LineFigure['kind']; from: number; to: number }[] = []
  let [start, ticks] = [0, 12]
  let role: Role = 'connect'
  let opened = 0
  const barAt = (tick: number) => harmony.bars.findLast((bar) => bar.start <= tick)!.bar
  for (const word of text.trim().split(/\s+/)) {
    const [, open = '', star = '', name = '', length, close = ''] =
      /^([[(]?)(\*?)([A-G][b#]*\d|-)(?:\/(\d+))?([\])]?)$/.exec(word) ?? []
    if (name === '') throw new Error(`cannot read ${word}`)
    if (length !== undefined) ticks = Number(length)
    const pitch = name === '-' ? null : readPitch(name)
    if (open === '[') role = 'approach'
    if (open === '(') role = 'cell'
    if (open !== '') opened = notes.length
    const own: Role = pitch === null ? 'rest' : star ? 'target' : role
    const chord = harmony.chords.findLastIndex((each) => each.start <= start)
    const root = harmony.chords[chord]?.root
    const degree = pitch && root ? degreeOf(pitch, root) : null
    const inFigure = own === 'approach' || own === 'cell'
    notes.push({ bar: barAt(start), start, ticks, pitch, role: own, degree, figure: inFigure ? figures.length : null })
    if (star && pitch && degree) targets.push({ bar: barAt(start), start, pitch, degree, chord, reason: '' })
    if (close !== '') {
      figures.push({ kind: close === ']' ? 'approach' : 'cell', from: opened, to: notes.length })
      role = 'connect'
    }
    start += ticks
  }
  for (const bar of harmony.bars) {
    const from = Math.max(start, bar.start)
    const left = bar.start + bar.ticks - from
    if (left > 0)
      notes.push({ bar: bar.bar, start: from, ticks: left, pitch: null, role: 'rest', degree: null, figure: null })
  }
  if (start > end) throw new Error('more notes than bars')
  return { notes, targets, figures: figures.map((figure) => describe(figure, notes, targets)) }
}

function describe(
  { kind, from, to }: { kind: LineFigure['kind']; from: number; to: number },
  notes: readonly LineNote[],
  targets: readonly LineTarget[],
): LineFigure {
  const first = notes[from]!
  const target =
    kind === 'approach'
      ? targets.findIndex((each) => each.start >= notes[to - 1]!.start)
      : targets.findLastIndex((each) => each.start <= first.start)
  const to0 = targets[target]?.pitch
  const offsets = notes.slice(from, to).map(({ pitch }) => (pitch && to0 ? midiOf(pitch) - midiOf(to0) : 0))
  return { kind, name: kind, bar: first.bar, start: first.start, offsets, count: 1, target }
}

/** The same line in another key, spelled anew. */
export function transposeLine(line: Line, up: Interval): Line {
  const harmony = transposeHarmony(line.harmony, up)
  const spelled = spellPart(line, up, { spelling: 'easy' })
  return {
    ...line,
    key: harmony.key,
    harmony,
    notes: line.notes.map((note, index) => ({ ...note, pitch: spelled[index]! })),
    targets: line.targets.map((target) => ({ ...target, pitch: transposePitch(target.pitch, up) })),
  }
}
