/** Whether signs are music: chords counted against words, look-alikes of bar lines, chords that were meant. */

import { meantAsSymbol } from '../symbol/meantAsSymbol.ts'
import { readsAsSymbol } from '../symbol/readSymbol.ts'
import type { Token } from './chartTokens.ts'

const lookAlike = new Set(['l', 'I', '1', '!'])

/** Whether a token is a look-alike of a bar line. */
export const looksLikeBar = (token: Token): boolean => token.kind === 'symbol' && lookAlike.has(token.text)

interface Count {
  chords: number
  /** Chords longer than a letter. */
  strong: number
  numerals: number
  meant: number
  words: number
  looks: number
  signs: number
}

export function countTokens(tokens: readonly Token[]): Count {
  const count: Count = { chords: 0, strong: 0, numerals: 0, meant: 0, words: 0, looks: 0, signs: 0 }
  for (const token of tokens) {
    if (token.kind === 'simile' || token.kind === 'bass') count.chords++
    else if (token.kind === 'beat') count.signs++
    if (token.kind !== 'symbol') continue
    const reads = readsAsSymbol(token.text)
    if (token.text === 'I' || (!reads && looksLikeBar(token))) count.looks++
    if (reads === 'chord') {
      count.chords++
      if (token.text.length > 1 && !/^[a-z]/.test(token.text)) count.strong++
    } else if (reads === 'numeral') {
      if (token.text !== 'I') count.numerals++
    } else if (!looksLikeBar(token)) {
      if (meantAsSymbol(token.text) || (/^\(?[A-H].*\/?[A-H]/.test(token.text) === true && joinedChords(token.text)))
        count.meant++
      else count.words++
    }
  }
  return count
}

const joinedChords = (text: string): boolean => {
  for (let i = 2; i < text.length && i < 16; i++)
    if (/[A-H]/.test(text[i]!) && readsAsSymbol(text.slice(0, i).replace(/[-/,]$/, '')) && readsAsSymbol(text.slice(i)))
      return true
  return false
}

/** Whether a line without bar lines is music all the same. */
export function isMusic(tokens: readonly Token[]): boolean {
  const { chords, strong, numerals, meant, words, looks, signs } = countTokens(tokens)
  if (chords + numerals + meant + looks === 0) return false
  if (words === 0 && meant === 0) {
    if (numerals > 0) return chords === 0 || signs > 0 || numerals + looks >= chords
    if (looks > 0) return chords >= 2 || chords + looks === tokens.length
    // One small letter alone is a word.
    const symbols = tokens.filter((token) => token.kind === 'symbol')
    if (symbols.length > 0 && symbols.every((token) => /^[a-h]$/.test(token.text))) return symbols.length > 2
    return true
  }
  if (words === 0) return true
  if (meant > 0) return chords + meant > words && (chords > 0 || meant > 1)
  return strong >= 2 && strong > words
}
