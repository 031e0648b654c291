/**
 * The front door, `throughline`: everything a program needs to go from changes to lines, in Node and in a browser alike. What is handed
 * over and does not fit is refused with a problem (`isWrongInput`).
 */
import * as moved from '../changes/transposeChart.ts'
import * as unrolled from '../changes/unrollChart.ts'
import * as heard from '../harmony/readHarmony.ts'
import * as threads from '../line/guideTones.ts'
import * as json from '../lineJson.ts'
import * as writing from '../lines/write.ts'
import * as texts from '../lineText.ts'
import * as problems from '../problem.ts'
import * as laid from '../score/layScore.ts'
import * as abc from '../score/writeAbc.ts'
import * as mei from '../score/writeMei.ts'
import * as midi from '../score/writeMidi.ts'
import * as musicXml from '../score/writeMusicXml.ts'
import * as instrumentRoom from '../theory/instrument.ts'
import * as keys from '../theory/key.ts'
import * as pitches from '../theory/pitch.ts'
import * as lineShapes from './lineShapes.ts'
import * as music from './musicShapes.ts'
import * as scores from './scoreShapes.ts'
import { anything, checked, listOf, maybe, number, record, text, whole } from './shapes.ts'

export {
  type Brief,
  type BriefProblem,
  type ChoiceName,
  checkBrief,
  choiceNames,
  choices,
  defaultBrief,
  limits,
  readBrief,
  writeBrief,
} from '../brief.ts'
export type { Bar, Chart, ChartChord } from '../changes/chart.ts'
export { readTyped as readChart } from '../changes/typed/readTyped.ts'
export type { Changes } from '../changes/unrollChart.ts'
export type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
export type { Alternative } from '../line/alternatives.ts'
export type { Thread } from '../line/guideTones.ts'
export type { Line, LineFigure, LineNote, LineTarget, Role } from '../line/line.ts'
export { type Lines, writeLines } from '../lines/write.ts'
export type { Problem } from '../problem.ts'
export type { Score } from '../score/score.ts'
export type { Degree } from '../theory/degree.ts'
export { type Instrument, type InstrumentId, instrumentOf, instruments } from '../theory/instrument.ts'
export type { Key, KeyOrder } from '../theory/key.ts'
export { type Meter, ticksPerQuarter } from '../theory/meter.ts'
export { type Interval, type Letter, type Pitch, type PitchClass, readPitch } from '../theory/pitch.ts'
export { isWrongInput, type WrongInput } from './shapes.ts'

/** The chart in another key, an interval up. */
export const transposeChart = checked('transposeChart', moved.transposeChart, [
  ['chart', music.chart],
  ['interval', music.interval],
])

/** A chart as it is played: repeats, endings and jumps followed, so many choruses. */
export const unrollChart = checked('unrollChart', unrolled.unrollChart, [
  ['chart', music.chart],
  ['choruses', maybe(whole(1, 64))],
])

/** The changes as heard: each chord with its local key, function, chord scale and a reason in words. */
export const readHarmony = checked('readHarmony', heard.readHarmony, [
  ['changes', music.changes],
  ['choices', maybe(lineShapes.someChoices([], ['minorDominant', 'halfDiminished', 'sharpNine', 'bebop', 'scales']))],
])

/** The two smoothest threads of guide tones: the first from the first chord’s third, the second from its seventh. */
export const readGuideTones = checked('readGuideTones', threads.readGuideTones, [['harmony', music.chordsAlone]])

/** The threads as the command line prints them. */
export const guideTonesJson = checked(
  'guideTonesJson',
  json.guideTonesJson,
  [
    ['threads', listOf(listOf(lineShapes.guideTone))],
    ['bars', listOf(record<{ readonly start: number }>('a bar, { start }', { start: music.ticks }))],
    ['problems', listOf(anything)],
  ],
  (given, bars) => lineShapes.tonesInBars(given, bars.length),
)

/** The lines as the command line prints them, by the contract of its JSON. */
export const linesJson = checked('linesJson', json.linesJson, [
  ['written', lineShapes.writtenOrNot],
  ['typed', maybe(lineShapes.typedChoices)],
])

/** A line as text: chords over note names. */
export const lineText = checked('lineText', texts.lineText, [
  ['line', lineShapes.line],
  ['brief', scores.textChoices],
])

/** What could stand instead at a target of a brief’s line: landings, approaches and cells; empty where no target waits. */
export const alternatives = checked('alternatives', writing.alternatives, [
  ['brief', anything],
  ['bar', number(-1e6, 1e6)],
  ['beat', number(-1e6, 1e6)],
])

/** Seeds of so many lines that differ, likeliest first, the brief’s own first of all; at most a hundred. */
export const differentLines = checked('differentLines', writing.differentLines, [
  ['brief', anything],
  ['count', number(0, 1e9)],
])

/** A problem in the one line that the command line prints. */
export const describeProblem = checked('describeProblem', problems.describeProblem, [
  ['name', text],
  ['text', text],
  ['problem', music.problem],
])

/** Line and column of a span in a text, from 1. */
export const placeOf = checked('placeOf', problems.placeOf, [
  ['text', text],
  ['span', music.span],
])

/** A line laid out as a part, for one of the writers. */
export const layScore = checked('layScore', laid.layScore, [
  ['line', lineShapes.line],
  ['brief', scores.layChoices],
  ['layout', maybe(scores.layout)],
])

/** A score as ABC. */
export const writeAbc = checked('writeAbc', abc.writeAbc, [['score', scores.score]])

/** A score as MEI. */
export const writeMei = checked('writeMei', mei.writeMei, [
  ['score', scores.score],
  ['options', maybe(scores.meiOptions)],
])

/** A line as a sequence of one track at sounding pitch. */
export const sequenceOf = checked('sequenceOf', midi.sequenceOf, [
  ['line', lineShapes.line],
  ['options', maybe(scores.midiOptions)],
])

/** A sequence as the bytes of a MIDI file. */
export const writeMidi = checked('writeMidi', midi.writeMidi, [['sequence', scores.sequence]])

/** A score as MusicXML. */
export const writeMusicXml = checked('writeMusicXml', musicXml.writeMusicXml, [
  ['score', scores.score],
  ['options', maybe(scores.musicXmlOptions)],
])

/** A score as zipped MusicXML. */
export const writeMxl = checked('writeMxl', musicXml.writeMxl, [
  ['score', scores.score],
  ['options', maybe(scores.musicXmlOptions)],
])

/** What sounds when a player reads a written pitch. */
export const soundingPitch = checked('soundingPitch', instrumentRoom.soundingPitch, [
  ['instrument', music.instrument],
  ['written', music.pitch],
])

/** What a player reads for a sounding pitch. */
export const writtenPitch = checked('writtenPitch', instrumentRoom.writtenPitch, [
  ['instrument', music.instrument],
  ['sounding', music.pitch],
])

/** `Eb major`. */
export const keyName = checked('keyName', keys.keyName, [['key', music.key]])

/** `Eb`, `F#m`. */
export const nameOfKey = checked('nameOfKey', keys.nameOfKey, [['key', music.key]])

/** A key as people write it; null where it is none. */
export const readKey = checked('readKey', keys.readKey, [
  ['text', anything],
  ['signs', maybe(whole(0, 14))],
])

/** The MIDI number of a pitch: C4 is 60. */
export const midiOf = checked('midiOf', pitches.midiOf, [['pitch', music.pitch]])

/** A note’s name in ASCII, with its octave where it has one. */
export const nameOf = checked('nameOf', pitches.nameOf, [['note', music.noteOrPitch]])
