/** The list of figures as music: each in a bar of its own, in the player's key and range, under its offsets and its count. */
import type { Brief } from '../brief.ts'
import { readChart } from '../changes/typed/readChart.ts'
import { unrollChart } from '../changes/unrollChart.ts'
import { inWords } from '../choices/choices.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { readHarmony } from '../harmony/readHarmony.ts'
import { scaleOffset } from '../line/chordMasks.ts'
import { type Draft, soundingRange } from '../line/draftLine.ts'
import type { ListedFigure } from '../line/figureList.ts'
import { finishLine } from '../line/finishLine.ts'
import type { Line } from '../line/line.ts'
import type { Moment } from '../line/planRhythm.ts'
import { type Degree, degreeChroma, numberOf } from '../theory/degree.ts'
import { instrumentOf } from '../theory/instrument.ts'
import { type Key, nameOfKey } from '../theory/key.ts'
import { chromaOf, modulo, nameOf } from '../theory/pitch.ts'

/** Figures that stand under one heading, as a line: a bar a figure, of the length that it needs. */
export interface FigureGroup {
  readonly name: string
  readonly figures: readonly ListedFigure[]
  readonly line: Line
}

/** The meters in which so many eighths and a quarter fill a bar; a cell's four eighths do in two. */
const meters: Readonly<Record<number, string>> = { 1: '3/8', 2: '2/4', 3: '5/8', 4: '3/4' }

/** The figures in groups: approaches by their number of notes, then the cells; each in the brief's key, C unless it says another. */
export function groupFigures(
  figures: readonly ListedFigure[],
  brief: Pick<Brief, 'key' | 'instrument' | 'low' | 'high' | 'compass' | 'spelling'>,
): readonly FigureGroup[] {
  const lengths = [1, 2, 3, 4].map((notes) => ({
    name: `Approaches of ${inWords('notes', String(notes))}`,
    figures: figures.filter(({ kind, offsets }) => kind === 'approach' && offsets.length === notes),
  }))
  const cells = { name: 'Cells', figures: figures.filter(({ kind }) => kind === 'cell') }
  return [...lengths, cells]
    .filter((group) => group.figures.length > 0)
    .map((group) => ({ ...group, line: lineOf(group.figures, brief) }))
}

const usualKey: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' }

function lineOf(
  figures: readonly ListedFigure[],
  brief: Pick<Brief, 'key' | 'instrument' | 'low' | 'high' | 'compass' | 'spelling'>,
): Line {
  const key = brief.key ?? usualKey
  const instrument = instrumentOf(brief.instrument)!
  const range = soundingRange(instrument, brief)
  const [{ kind, offsets }] = figures as [ListedFigure]
  const meter = kind === 'cell' ? '2/4' : meters[offsets.length]!
  const chord = `${nameOf(key.tonic)}${key.mode === 'major' ? 'maj7' : 'm6'}`
  const chart = `Key: ${nameOfKey(key)}\nTime: ${meter}\n| ${figures.map(() => chord).join(' | ')} |`
  const harmony = readHarmony(unrollChart(readChart(chart), 1))
  const draft = draftFigures(figures, harmony, range)
  return finishLine(harmony, instrument, draft, brief.spelling)
}

function draftFigures(figures: readonly ListedFigure[], harmony: Harmony, range: readonly [number, number]): Draft {
  const targets: Draft['targets'][number][] = []
  const moments: Moment[] = []
  const notes: Draft['notes'][number][] = []
  const drawn: Draft['figures'][number][] = []
  figures.forEach((figure, f) => {
    const { bar, start, ticks } = harmony.bars[f]!
    const chord = harmony.chords[f]!
    const degree = homeDegree(figure, chord.chord?.degrees ?? ['1'])
    const steps = (midi: number) =>
      figure.kind === 'approach' ? figure.offsets : figure.offsets.map((step) => scaleOffset(chord, midi, step) ?? step)
    const midi = placeOf(modulo(chromaOf(chord.root!) + degreeChroma(degree), 12), steps, range)
    const offsets = steps(midi)
    const index = targets.length
    const led = figure.kind === 'approach' ? offsets : []
    const lands = start + 12 * led.length
    targets.push({ bar, start: lands, chord: f, degree, midi })
    drawn.push({ kind: figure.kind, target: index, offsets, forced: false })
    const add = (at: number, length: number, pitch: number, target: boolean) => {
      const moment: Moment = {
        bar,
        start: at,
        ticks: length,
        chord: f,
        rest: false,
        target: target ? index : null,
        weight: 'off',
      }
      notes.push({ moment: moments.push(moment) - 1, midi: pitch, figure: target ? null : f })
    }
    led.forEach((offset, i) => {
      add(start + 12 * i, 12, midi + offset, false)
    })
    if (figure.kind === 'approach') add(lands, start + ticks - lands, midi, true)
    else
      offsets.forEach((offset, i) => {
        add(start + 12 * i, 12, midi + offset, i === 0)
      })
  })
  return { targets, moments, notes, figures: drawn, relaxed: [], cost: 0 }
}

/** The chord's degree on which a figure is heard most; the root where nothing says. */
function homeDegree({ degrees }: ListedFigure, own: readonly Degree[]): Degree {
  const best = Object.entries(degrees)
    .sort(([, a], [, b]) => b - a)
    .map(([number]) => own.find((degree) => numberOf(degree) === Number(number)))
    .find((degree) => degree !== undefined)
  return best ?? own[0] ?? '1'
}

/** The pitch of a class nearest the middle of the range at which all of a figure's notes lie inside it. */
function placeOf(
  chroma: number,
  steps: (midi: number) => readonly number[],
  [low, high]: readonly [number, number],
): number {
  const middle = (low + high) / 2
  const pitches = Array.from({ length: 128 }, (_, midi) => midi).filter((midi) => midi % 12 === chroma)
  const outside = (midi: number) =>
    steps(midi).reduce((sum, offset) => sum + Math.max(0, low - midi - offset, midi + offset - high), 0)
  const cost = (midi: number) => 100 * outside(midi) + Math.abs(midi - middle)
  return pitches.reduce((best, midi) => (cost(midi) < cost(best) ? midi : best))
}
