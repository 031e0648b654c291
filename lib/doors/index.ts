/** The front door, `throughline`: everything a program needs to go from changes to lines, in Node and in a browser alike. */
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
export { transposeChart } from '../changes/transposeChart.ts'
export { readChart } from '../changes/typed/readChart.ts'
export { type Changes, unrollChart } from '../changes/unrollChart.ts'
export type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
export { readHarmony } from '../harmony/readHarmony.ts'
export type { Alternative } from '../line/alternatives.ts'
export { readGuideTones, type Thread } from '../line/guideTones.ts'
export type { Line, LineFigure, LineNote, LineTarget, Role } from '../line/line.ts'
export { guideTonesJson, linesJson } from '../lineJson.ts'
export { alternatives, differentLines, type Lines, writeLines } from '../lines/write.ts'
export { lineText } from '../lineText.ts'
export { describeProblem, type Problem, placeOf } from '../problem.ts'
export { layScore } from '../score/layScore.ts'
export type { Score } from '../score/score.ts'
export { writeAbc } from '../score/writeAbc.ts'
export { writeMei } from '../score/writeMei.ts'
export { sequenceOf, writeMidi } from '../score/writeMidi.ts'
export { writeMusicXml, writeMxl } from '../score/writeMusicXml.ts'
export type { Degree } from '../theory/degree.ts'
export {
  type Instrument,
  type InstrumentId,
  instrumentOf,
  instruments,
  soundingPitch,
  writtenPitch,
} from '../theory/instrument.ts'
export { type Key, type KeyOrder, keyName, nameOfKey, readKey } from '../theory/key.ts'
export { type Meter, ticksPerQuarter } from '../theory/meter.ts'
export { type Interval, type Letter, midiOf, nameOf, type Pitch, type PitchClass, readPitch } from '../theory/pitch.ts'
