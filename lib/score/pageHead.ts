/** The head of an engraved page in MEI: title, instrument, style and composer, broken into lines that fit over the music. */
import { linesOf } from './extent.ts'
import type { Score } from './score.ts'
import { xml } from './xml.ts'

/**
 * How many letters of a title stand over the music: it is as wide as its fullest line, and a bar takes about as much as sixteen
 * of them.
 */
function lettersOver(score: Score): number {
  const most = Math.max(1, ...linesOf(score.bars).map(([, bars]) => bars.length))
  return Math.max(24, 16 * Math.min(4, most))
}

/**
 * Breaks a text into lines of so many letters at most, between words; a longer word is cut, a no-break space kept.
 *
 * @example
 * breakWords('A walk along the river', 12) // => ['A walk along', 'the river']
 */
export function breakWords(text: string, most: number): readonly string[] {
  const lines: string[] = []
  for (const word of text.split(/[^\S\u00a0]+/).filter((each) => each !== '')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + 1 + word.length <= most) lines[lines.length - 1] = `${last} ${word}`
    else for (let from = 0; from < word.length; from += most) lines.push(word.slice(from, from + most))
  }
  return lines
}

/** The heads of the first page and of those that follow. */
export function pageHead(score: Score): string[] {
  const wide = lettersOver(score)
  // A title too long for one line is set smaller; what stands beside something else has half the width.
  const [size, letters] = score.title.length <= wide ? [170, wide] : [125, Math.floor(1.35 * wide)]
  const half = Math.floor(0.75 * wide)
  const set = (text: string, most: number) => breakWords(text, most).map(xml).join('<lb/>')
  const part = score.concert ? `${score.instrument.name}, concert pitch` : score.instrument.name
  const tempoKept = score.styleLine.replace('♩ = ', '♩\u00a0=\u00a0')
  const running = [score.title, part].filter((words) => words !== '').join(' · ')
  const [shortened = ''] = breakWords(running, Math.floor(1.3 * wide))
  return [
    '<pgHead func="first">',
    `<rend halign="center" valign="top" fontsize="${size}%">${set(score.title, letters)}</rend>`,
    `<rend halign="left" valign="bottom"><rend fontweight="bold">${xml(part)}</rend><lb/>${set(tempoKept, half)}</rend>`,
    score.composer === null ? '' : `<rend halign="right" valign="bottom">${set(score.composer, half)}</rend>`,
    '</pgHead>',
    '<pgHead func="all">',
    `<rend halign="left" valign="bottom">${xml(shortened)}</rend>`,
    '<rend halign="right" valign="bottom"><num label="page">#</num></rend>',
    '</pgHead>',
  ].filter((line) => line !== '')
}
