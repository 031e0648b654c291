/** Marking files in one call: from a file's bytes to its marked line, or what is wrong with it. */

import type { Chart } from '../changes/chart.ts'
import { decodeText } from '../changes/readChanges.ts'
import { readHarmony } from '../harmony/readHarmony.ts'
import type { Problem } from '../problem.ts'
import { fitChanges } from './fitChanges.ts'
import { type MarkedLine, type Marking, markLine } from './markLine.ts'
import { type PlayedLine, problem } from './played.ts'
import { readLine } from './readLine.ts'

export interface MarkChoices extends Marking {
  /** The part to read, by number or name; null for the first that holds notes. */
  readonly part: string | null
  /** The changes that the line was played over; null for those of the file. */
  readonly changes: Chart | null
}

export const usualMarking: MarkChoices = { part: null, changes: null, instrument: null, tidy: false, byRules: false }

export interface LineFile {
  readonly name: string
  readonly bytes: Uint8Array
}

/** A marked line with the file it came from. */
export interface MarkedFile extends MarkedLine {
  readonly source: string
  readonly played: PlayedLine
}

/** What is wrong with a file, and its text to find the place in. */
export interface FaultyFile {
  readonly source: string
  readonly text: string
  readonly problems: readonly Problem[]
}

/**
 * Marks the line in a file over its changes.
 *
 * @example
 * markFile({ name: 'a.abc', bytes: new TextEncoder().encode('X:1\nL:1/8\nK:C\n"Dm7"fedc "G7"BAGF|') }, usualMarking).line.targets.map((target) => target.degree)
 * // => ['b3', '3']
 */
export function markFile({ name, bytes }: LineFile, choices: MarkChoices): MarkedFile | FaultyFile {
  const faulty = (problems: readonly Problem[]): FaultyFile => ({ source: name, text: textOf(bytes), problems })
  const { played, problems } = readLine(bytes, choices.part)
  if (!played) return faulty(problems)
  const fitted = fitChanges(played, choices.changes)
  if ('problems' in fitted) return faulty(fitted.problems)
  const harmony = readHarmony(fitted.changes)
  if (harmony.bars.length === 0)
    return faulty([problem('no-bars', 'no bars', 'at least one', 'give the line with its bars')])
  return { ...markLine(played, harmony, choices), source: name, played }
}

export const isFaulty = (file: MarkedFile | FaultyFile): file is FaultyFile => 'problems' in file

/** The text that places are found in; none for packed files and MIDI, whose problems stand at their start. */
const textOf = (bytes: Uint8Array): string =>
  bytes.length > 16_000_000 ||
  bytes.subarray(0, 200).some((byte) => byte === 0) ||
  (bytes[0] === 0x50 && bytes[1] === 0x4b)
    ? ''
    : decodeText(bytes)
