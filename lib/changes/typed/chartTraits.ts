/** What holds for a whole chart, judged before its bars are built: bar lines or none, German letters, labels, words sung under. */

import { isGermanName } from '../symbol/otherNotations.ts'
import { readPlainSymbol, readsAsSymbol } from '../symbol/readSymbol.ts'
import type { ChartLine } from './chartLines.ts'
import type { ChartProblems } from './chartProblems.ts'
import type { Token } from './chartTokens.ts'
import { countTokens } from './looksLikeMusic.ts'

export type MusicLine = Extract<ChartLine, { kind: 'music' }>

/** A directive of our own for charts whose bars are not known, though none of them can be written among words. */
export const barsUnknown = '{x_bars: unknown}'

export interface ChartTraits {
  readonly barred: boolean
  readonly german: boolean
  /** No bar lines, but tabs between bars. */
  readonly tabbed: boolean
  /** Bare letters before the first bar line are labels. */
  readonly letterLabels: boolean
  /** Lines of one bare letter head the lines of chords under them. */
  readonly letterLines: boolean
  /** Whether chords stand over or among words, and the music lines that do. */
  readonly sung: boolean
  readonly overWords: ReadonlySet<ChartLine>
}

/** One letter, perhaps with a remark in parentheses. */
const bareLetter = /^[A-H](?:\s*\([^()|]*[a-z]{3,}[^()|]*\))?$/

export function readTraits(lines: readonly ChartLine[], problems: ChartProblems): ChartTraits {
  const music = lines.filter((line): line is MusicLine => line.kind === 'music')
  const barred = music.some((line) => line.barred)
  const overWords = linesOverWords(lines, barred)
  return {
    barred,
    german: isGerman(lines, problems),
    tabbed: !barred && music.some((line) => line.tokens.some((token) => token.kind === 'tab')),
    letterLabels: barred && lettersAreLabels(music),
    letterLines: barred || lettersHeadLines(lines),
    sung: overWords.size > 0 || lines.some((line) => line.kind === 'sung' || line.line.text === barsUnknown),
    overWords,
  }
}

/** Whether a symbol's root is named as only Germans do: H, Es, Fis; Asus is an A. */
function isGermanRoot(text: string): boolean {
  if (/^\(?H/.test(text)) return readsAsSymbol(text) !== null
  return isGermanName(text.replace(/^\(/, '')) && (readPlainSymbol(text).symbol?.root?.alter ?? 0) !== 0
}

/** H anywhere makes a chart German, as do Es or Fis, and a key given in German. */
function isGerman(lines: readonly ChartLine[], problems: ChartProblems): boolean {
  let h = false
  let b: Extract<Token, { kind: 'symbol' }> | null = null
  let said = false
  for (const line of lines) {
    if (line.kind === 'headers') said ||= line.items.some((item) => item.german && item.name === 'key')
    if (line.kind !== 'music' && line.kind !== 'sung') continue
    for (const token of line.tokens) {
      if (token.kind !== 'symbol') continue
      if (isGermanRoot(token.text)) h = true
      if (/^\(?B(?![b#])/.test(token.text)) b ??= token
    }
  }
  if (h && b) {
    const flat = b.text.replace(/^(\(?)B/, '$1Bb')
    problems.say('warning', 'german-letters', b.at, b.end, 'H for B natural, B for B flat; B read as B flat', flat)
  }
  return h || said
}

/** Whether bare letters before the first bar line are labels: other lines open with a bar line, or the letters run A, B, C. */
function lettersAreLabels(music: readonly MusicLine[]): boolean {
  const barred = music.filter((line) => line.barred)
  const lettered = barred.filter((line) => line.letter)
  if (lettered.length === 0) return false
  const others = barred.filter((line) => !line.letter && !line.label)
  if (others.length > 0) return others.every((line) => line.tokens[0]?.kind === 'bar')
  const names = [...new Set(lettered.map((line) => line.letter!.name))]
  const inOrder = names.every((name, i) => name === String.fromCharCode(65 + i))
  const closed = lettered.every((line) => line.tokens[line.tokens.length - 1]?.kind === 'bar')
  return closed && inOrder && (names.length > 1 || barred.some((line) => line.label !== null))
}

/** Without bar lines: whether lines of one letter run A, B, C, each over a line of chords. */
function lettersHeadLines(lines: readonly ChartLine[]): boolean {
  const names: string[] = []
  for (let n = 0; n < lines.length; n++) {
    const line = lines[n]!
    if (line.kind !== 'music' || !bareLetter.test(line.line.text)) continue
    names.push(line.line.text[0]!)
    const next = lines.slice(n + 1, n + 6).find((other) => other.kind !== 'blank')
    if (next?.kind !== 'music' || countTokens(next.tokens).chords < 2) return false
  }
  return names.length > 1 && [...new Set(names)].every((name, i) => name === String.fromCharCode(65 + i))
}

/** Whether a line is one bare letter. */
export const isBareLetter = (line: MusicLine): boolean => bareLetter.test(line.line.text)

/** The lines of chords with words right under them. */
function linesOverWords(lines: readonly ChartLine[], barred: boolean): ReadonlySet<ChartLine> {
  const over = new Set<ChartLine>()
  for (let n = 0; n + 1 < lines.length; n++) {
    const line = lines[n]!
    if (line.kind !== 'music' || line.barred || lines[n + 1]!.kind !== 'text') continue
    if (barred && isBareLetter(line)) continue
    if (countTokens(line.tokens).chords > 0) over.add(line)
  }
  return over
}
