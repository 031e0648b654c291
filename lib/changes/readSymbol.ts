/** One chord symbol: root or Roman numeral, suffix, bass. The same symbol in any spelling reads to the same chord. */
import type { Problem } from '../problem.ts'
import type { Chord } from '../theory/chord.ts'
import { degreeNote } from '../theory/degree.ts'
import { type Key, nameOfKey } from '../theory/key.ts'
import { fifthsOf, type Letter, nameOf, noteAtFifths, type PitchClass } from '../theory/pitch.ts'
import { plainText, spanAsTyped } from './characters.ts'
import type { ChordSymbol } from './chart.ts'
import { chordItems, type Remark, type SuffixFault } from './chordItems.ts'
import { chordMeaning } from './chordMeaning.ts'
import { canonicalSuffix } from './chordName.ts'
import { nearestSymbol } from './nearestSymbol.ts'

/** How the chart around a symbol is to be read. */
export interface SymbolHabits {
  /** Roman numerals count from this key's tonic; null where the chart has none. */
  readonly key: Key | null
  /** A German chart: H is B natural, B is B flat. */
  readonly german: boolean
  /** Digits run together with the accidental after them, the habit of one beat-track data set. */
  readonly dialect: boolean
  /** Whether a small letter may be a root. */
  readonly smallRoots: boolean
}

export const plainHabits: SymbolHabits = { key: null, german: false, dialect: false, smallRoots: true }

/** A symbol read: what it is, whether it may be left out, and what there is to say about it. */
export interface SymbolReading {
  /** Null where it does not read; the problems say why. */
  readonly symbol: ChordSymbol | null
  readonly optional: boolean
  /** Where two chords stand joined, the second and those after it. */
  readonly joined: readonly ChordSymbol[]
  readonly numeral: boolean
  readonly problems: readonly Problem[]
}

export const noChord: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }

/** Symbols kept after reading, by their text; beyond this many the memory starts again. */
const remembered = 4_096
/** A longer run of characters is no chord symbol. */
const longestSymbol = 64
const memory = new Map<string, SymbolReading>()
const suffixMemory = new Map<string, SuffixReading>()

/**
 * Reads one chord symbol in any usual spelling; offsets in its problems count in the text given.
 *
 * @example
 * readSymbol('C-7b5/Gb').symbol.symbol // => 'Cm7b5/Gb'
 * readSymbol('E♭∆7(♯11)').symbol.symbol // => 'Ebmaj7(#11)'
 * readSymbol('Cmja7').problems[0].hint // => 'Cmaj7'
 */
export function readSymbol(text: string, habits: SymbolHabits = plainHabits): SymbolReading {
  const plain = plainText(text)
  const reading = readPlainSymbol(plain.text, habits)
  if (plain.starts === null || reading.problems.length === 0) return reading
  const problems = reading.problems.map((problem) => {
    const span = spanAsTyped(plain, problem.span.start, problem.span.end)
    return { ...problem, span, found: text.slice(span.start, span.end) || problem.found }
  })
  return { ...reading, problems }
}

/** The same for a text already made plain. */
export function readPlainSymbol(text: string, habits: SymbolHabits = plainHabits): SymbolReading {
  const usual = habits === plainHabits
  if (usual) {
    const known = memory.get(text)
    if (known) return known
  }
  const reading = readWhole(text, habits, false)
  if (usual && text.length <= 32) {
    if (memory.size >= remembered) memory.clear()
    memory.set(text, reading)
  }
  return reading
}

const readable = new Map<string, 'chord' | 'numeral' | null>()

/** Whether a text is a chord symbol as it stands, by letter or by numeral, joined chords not counted; null where it is none. */
export function readsAsSymbol(text: string): 'chord' | 'numeral' | null {
  const known = readable.get(text)
  if (known !== undefined) return known
  const { symbol, numeral, problems } = readWhole(text, plainHabits, true)
  const keyless =
    numeral && problems.every((problem) => problem.code === 'numeral-without-key' || problem.severity === 'warning')
  const answer = symbol ? 'chord' : keyless && problems.length > 0 ? 'numeral' : null
  if (text.length <= 32) {
    if (readable.size >= remembered) readable.clear()
    readable.set(text, answer)
  }
  return answer
}

interface SuffixReading {
  readonly chord: Chord | null
  readonly remarks: readonly Remark[]
  readonly fault: SuffixFault | null
}

/** Reads a suffix, the part between root and bass. */
function readSuffix(suffix: string, dialect: boolean, lowerCase: boolean): SuffixReading {
  const name = (lowerCase ? '<' : '>') + (dialect ? 'd' : '') + suffix
  const known = suffixMemory.get(name)
  if (known) return known
  const { items, remarks, fault } = chordItems(suffix, dialect)
  let reading: SuffixReading
  if (fault) reading = { chord: null, remarks, fault }
  else {
    const { degrees, alt, remarks: more, contradiction } = chordMeaning(items, lowerCase)
    reading = contradiction
      ? { chord: null, remarks, fault: { code: 'contradiction', ...contradiction } }
      : {
          chord: { degrees, alt, named: canonicalSuffix({ degrees, alt }) },
          remarks: [...remarks, ...more],
          fault: null,
        }
  }
  if (suffix.length <= 32) {
    if (suffixMemory.size >= remembered) suffixMemory.clear()
    suffixMemory.set(name, reading)
  }
  return reading
}

const bassAtEnd = /\/ ?([A-Ha-h])(##|#|bb|b|x|n|B(?=$))?$/
const footnote = /[*†‡,;]+$/
const numeralStart = /^([b#]?)(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)(?![IVX])/
const noChordWords = /^(n\.? ?c\.?|no[ -]?chord)$/i

/** `quiet` asks only whether the text reads, without hints, which are themselves found by reading. */
function readWhole(typed: string, habits: SymbolHabits, quiet: boolean): SymbolReading {
  const problems: Problem[] = []
  const leading = typed.length - typed.trimStart().length
  let text = typed.trim()
  let at = leading
  const say = (
    severity: Problem['severity'],
    code: string,
    start: number,
    end: number,
    expected: string,
    hint: string,
    replacement?: string,
  ): void => {
    const found = typed.slice(start, end) || 'nothing'
    problems.push({
      severity,
      code,
      span: { start, end },
      found,
      expected,
      hint,
      ...(replacement === undefined ? {} : { replacement }),
    })
  }
  const done = (
    symbol: ChordSymbol | null,
    optional = false,
    numeral = false,
    joined: readonly ChordSymbol[] = [],
  ): SymbolReading => ({ symbol, optional, joined, numeral, problems })

  if (noChordWords.test(text)) return done(noChord)
  if (text.length > longestSymbol) {
    say('error', 'unknown-root', at, at + text.length, 'a chord symbol, N.C. or a bar sign', 'a space between chords')
    return done(null)
  }
  const note = footnote.exec(text)
  if (note) {
    say(
      'warning',
      'dropped-mark',
      at + note.index,
      at + text.length,
      'a chord symbol alone',
      text.slice(0, note.index),
      '',
    )
    text = text.slice(0, note.index).trimEnd()
    if (noChordWords.test(text)) return done(noChord)
  }
  let optional = false
  if (text[0] === '(') {
    if (text.length > 2 && closesAtEnd(text)) {
      optional = true
      const inner = text.slice(1, -1)
      at += 1 + inner.length - inner.trimStart().length
      text = inner.trim()
    } else {
      const rest = text.slice(1)
      say(
        'error',
        'unmatched-parenthesis',
        at,
        at + 1,
        '")" after the chord',
        rest.includes(')') ? rest : `(${rest})`,
        rest.includes(')') ? '' : undefined,
      )
      return done(null)
    }
    if (noChordWords.test(text)) return done(noChord, true)
  }
  if (text === '') {
    say('error', 'unknown-root', leading, typed.length, 'a note A to G, N.C. or a bar sign', 'C7')
    return done(null)
  }
  const numeral = numeralStart.exec(text)
  if (numeral) return readNumeral(numeral)

  // Root.
  const first = text[0]!
  const upper = first.toUpperCase()
  const small = first !== upper
  const reads = upper >= 'A' && upper <= 'H' && upper.length === 1
  if (!reads || (small && !habits.smallRoots) || (small && /^b ?(5|9|11|13)/.test(text))) {
    if (quiet) return done(null, optional)
    const guess = nearestSymbol(text, readsAlone)
    say(
      'error',
      'unknown-root',
      at,
      at + text.length,
      'a note A to G, N.C. or a bar sign',
      guess ?? 'C7',
      guess ?? undefined,
    )
    return done(null, optional)
  }
  let length = 1
  let alter = 0
  let signs = ''
  const capitals = text === text.toUpperCase()
  const sign = text[1]
  let capsFlat = false
  if (sign === '#' || sign === 'b') {
    const twice = text[2] === sign
    const fifth = twice && text[3] === '5' && !/\d/.test(text[4] ?? '')
    if (twice && fifth)
      say(
        'warning',
        'ambiguous-symbol',
        at,
        at + 4,
        'the root apart from its fifth',
        `${upper}${sign}(${sign}5)`,
        `${upper}${sign}(${sign}5)`,
      )
    signs = twice && !fifth ? sign + sign : sign
    alter = (sign === '#' ? 1 : -1) * signs.length
    length += signs.length
    const extra = text[length]
    if (!fifth && (extra === '#' || extra === 'b')) {
      if (quiet) return done(null, optional)
      const number = /^[#b]+(\d+)/.exec(text.slice(length))
      const rest = text.slice(length + 1)
      const fixed =
        number && signs.length === 1
          ? `${upper}${signs}(${text.slice(length)})`
          : `${upper}${signs}${rest.replace(/^[#b]+/, '')}`
      const hint = readsAlone(fixed) ? fixed : upper + signs
      say('error', 'mixed-accidentals', at, at + text.length, 'one of # b ## bb after the letter', hint, hint)
      return done(null, optional)
    }
  } else if (sign === 'x') {
    signs = 'x'
    alter = 2
    length = 2
  } else if (sign === 'n' && !/^no ?[35]/i.test(text.slice(1))) {
    signs = 'n'
    length = 2
  } else if (sign === 'B' && capitals && upper !== 'H') {
    capsFlat = true
    alter = -1
    length = 2
    say('warning', 'caps-lock-flat', at, at + 2, 'a flat as b', `${upper}b`, `${upper}b`)
  }
  if (
    signs.length > 0 &&
    (signs === 'x' || signs === 'n') &&
    /[#b]/.test(text[length] ?? '') &&
    !/^[#b]\d/.test(text.slice(length))
  ) {
    say('error', 'mixed-accidentals', at, at + text.length, 'one of # b ## bb after the letter', upper, upper)
    return done(null, optional)
  }
  if (small) say('warning', 'small-root', at, at + length, 'a capital letter', upper + text.slice(1), undefined)
  const root = noteOf(upper, alter, habits.german)

  // Bass, then the suffix between.
  let end = text.length
  let bass: PitchClass | null = null
  const slash = text.lastIndexOf('/')
  if (slash >= length) {
    const match = bassAtEnd.exec(text.slice(slash))
    if (match) {
      const letter = match[1]!
      const signsOf = match[2] ?? ''
      if (letter !== letter.toUpperCase())
        say(
          'warning',
          'small-root',
          at + slash + 1,
          at + text.length,
          'a capital letter',
          letter.toUpperCase() + signsOf,
          letter.toUpperCase() + signsOf,
        )
      const bassAlter =
        signsOf === 'x' || signsOf === '##'
          ? 2
          : signsOf === '#'
            ? 1
            : signsOf === 'bb'
              ? -2
              : signsOf === 'b' || signsOf === 'B'
                ? -1
                : 0
      bass = noteOf(letter.toUpperCase(), bassAlter, habits.german)
      end = slash
    }
  }
  const suffix = text.slice(length, end)
  const { chord, remarks, fault } = readSuffix(suffix, habits.dialect, false)
  if (fault) return refuse(fault, suffix, length, root, upper, alter, capsFlat)
  for (const remark of remarks) sayRemark(remark, suffix, length, nameOf(root), chord!)
  return done({ symbol: nameOf(root) + chord!.named + (bass ? `/${nameOf(bass)}` : ''), root, chord, bass }, optional)

  function readsAlone(candidate: string): boolean {
    return readWhole(candidate, habits, true).symbol !== null
  }

  function sayRemark(remark: Remark, suffixText: string, offset: number, rootName: string, read: Chord): void {
    const start = at + offset + remark.at
    const stop = at + offset + remark.end
    if (remark.code === 'zero-for-diminished') {
      const fixed = `${text.slice(0, offset + remark.at)}dim${text.slice(offset + remark.end)}`
      say('warning', remark.code, at, at + text.length, 'dim or °', fixed, fixed)
    } else
      say(
        'warning',
        'ambiguous-symbol',
        start,
        stop,
        `a spelling with one meaning; read as ${rootName}${read.named}`,
        rewording(suffixText, rootName, read),
      )
  }

  function refuse(
    found: SuffixFault,
    suffixText: string,
    offset: number,
    rootNote: PitchClass,
    letter: string,
    alteration: number,
    caps: boolean,
  ): SymbolReading {
    const start = offset + found.at
    if (quiet) return done(null, optional)
    const rootText = letter + (caps ? 'b' : alteration ? text.slice(1, offset) : '')
    switch (found.code) {
      case 'missing-bass': {
        const bare = text.slice(0, start).trimEnd()
        say(
          'error',
          'missing-bass',
          at + start,
          at + start + 1,
          'a bass note after the slash',
          readsAlone(bare) ? bare : 'Dm7/C',
          '',
        )
        return done(null, optional)
      }
      case 'unknown-bass': {
        const rest = text.slice(start).trim()
        const second = readPlainSymbol(rest, { ...habits, smallRoots: false })
        const firstText = text.slice(0, start - 1)
        if (rest.length > 1 && second.symbol && readsAlone(firstText))
          return joinedAt(start - 1, start, firstText, second)
        say(
          'error',
          'unknown-bass',
          at + start,
          at + text.length,
          'a bass note A to G',
          `${firstText}/${letter}`,
          letter,
        )
        return done(null, optional)
      }
      case 'unmatched-parenthesis': {
        const inside = text.slice(offset)
        let fixed: string
        if (found.why === 'not closed')
          fixed = `${text.slice(0, offset)}${suffixText})${text.slice(offset + suffixText.length)}`
        else if (found.why === 'empty') fixed = text.slice(0, start) + text.slice(offset + found.end)
        else fixed = text.slice(0, offset) + inside.replace(/[()]/g, '')
        if (!readsAlone(fixed)) fixed = rootText
        say(
          'error',
          'unmatched-parenthesis',
          at + start,
          at + offset + found.end,
          found.why === 'not closed'
            ? '")" before the bar line'
            : found.why === 'empty'
              ? 'something inside the parentheses'
              : 'parentheses in pairs',
          fixed,
        )
        return done(null, optional)
      }
      case 'contradiction': {
        const without = (text.slice(0, start) + text.slice(offset + found.end))
          .replace(/\(\s*,?\s*\)/g, '')
          .replace(/\(\s*,/, '(')
          .replace(/,\s*\)/, ')')
        const hint = readsAlone(without) ? without : (nearestSymbol(text, readsAlone) ?? rootText)
        wholeOrTail(start, 'contradiction', `a chord without contradiction: ${found.why}`, hint)
        return done(null, optional)
      }
      default: {
        // Two chords without a space: the rest reads as a chord of its own.
        const joint = jointIn(text, offset, start)
        if (joint) {
          const firstText = text.slice(0, joint).replace(/[-,/ ]+$/, '')
          return joinedAt(joint, joint, firstText, readPlainSymbol(text.slice(joint), { ...habits, smallRoots: false }))
        }
        const hint = nearestSymbol(text, readsAlone) ?? longestReading(text, offset, start) ?? nameOf(rootNote)
        wholeOrTail(
          start,
          'unknown-quality',
          start > offset ? `a quality or number after ${text.slice(0, start)}` : 'a quality or number',
          hint,
        )
        return done(null, optional)
      }
    }
  }

  /** Points at the whole symbol, or, where the cause stands far into it, at what follows from there on. */
  function wholeOrTail(start: number, code: string, expected: string, hint: string): void {
    if (start <= 6) say('error', code, at, at + text.length, expected, hint, hint)
    else if (hint.startsWith(text.slice(0, start)))
      say('error', code, at + start, at + text.length, expected, hint, hint.slice(start))
    else say('error', code, at + start, at + text.length, expected, hint)
  }

  function jointIn(whole: string, offset: number, from: number): number | null {
    for (let i = Math.max(from, offset); i < whole.length && i <= from + 1; i++) {
      const c = whole[i]!
      if (c < 'A' || c > 'H') continue
      const before = whole.slice(0, i).replace(/[-,/ ]+$/, '')
      const after = readPlainSymbol(whole.slice(i), { ...habits, smallRoots: false })
      if (after.symbol?.root && readsAlone(before)) return i
    }
    return null
  }

  function joinedAt(start: number, second: number, firstText: string, rest: SymbolReading): SymbolReading {
    const head = readPlainSymbol(firstText, { ...habits })
    const secondText = text.slice(second)
    const apart = `${firstText} ${rest.joined.length ? secondText : secondText}`
    say('error', 'joined-chords', at + second, at + text.length, `a space after ${firstText}`, apart, ` ${secondText}`)
    void start
    return done(head.symbol, optional, head.numeral, rest.symbol ? [rest.symbol, ...rest.joined] : [])
  }

  function readNumeral(match: RegExpExecArray): SymbolReading {
    const [all, accidental = '', figure = ''] = match
    const { key } = habits
    let endOf = text.length
    let applied: PitchClass | null = null
    let bassOf: PitchClass | null = null
    const slashAt = text.lastIndexOf('/')
    const lowerCase = figure === figure.toLowerCase()
    if (slashAt >= all.length) {
      const rest = text.slice(slashAt + 1).trim()
      const over = numeralStart.exec(rest)
      const letter = /^([A-H])(##|#|bb|b)?$/.exec(rest)
      if (over && over[0].length === rest.length) {
        endOf = slashAt
        if (key) {
          const target = degreeNote(key.tonic, over[1]! + numeralNumber(over[2]!))
          // V, VII and II of a chord are applied to it; any other numeral has it for its bass.
          if ([2, 5, 7].includes(numeralNumber(figure))) applied = target
          else bassOf = target
        }
      } else if (letter) {
        endOf = slashAt
        bassOf = noteOf(letter[1]!, (letter[2] ?? '').length * (letter[2]?.[0] === '#' ? 1 : -1) || 0, habits.german)
      } else if (/^\d$/.test(rest) && rest !== '9' && rest !== '6') {
        say(
          'error',
          'unknown-bass',
          at + slashAt + 1,
          at + text.length,
          'a numeral or a note after the slash',
          text.slice(0, slashAt),
          undefined,
        )
        return done(null, optional, true)
      }
    }
    const suffix = text.slice(all.length, endOf)
    const { chord, remarks, fault } = readSuffix(suffix, habits.dialect, lowerCase)
    if (fault) {
      if (quiet) return done(null, optional, true)
      const start = all.length + fault.at
      const hint = longestReading(text, all.length, start) ?? all
      if (fault.code === 'missing-bass')
        say('error', 'missing-bass', at + start, at + start + 1, 'a numeral or a note after the slash', hint, '')
      else wholeOrTail(start, fault.code, `a quality or number after ${text.slice(0, start)}`, hint)
      return done(null, optional, true)
    }
    if (!key) {
      say('error', 'numeral-without-key', at, at + text.length, 'a key for the numerals, such as "Key: C"', 'Key: C')
      return done(null, optional, true)
    }
    const root = plainNote(degreeNote(applied ?? key.tonic, accidental + numeralNumber(figure)))
    const bassNote = bassOf && plainNote(bassOf)
    for (const remark of remarks) sayRemark(remark, suffix, all.length, nameOf(root), chord!)
    const symbol = nameOf(root) + chord!.named + (bassNote ? `/${nameOf(bassNote)}` : '')
    return done({ symbol, root, chord, bass: bassNote }, optional, true)
  }

  function longestReading(whole: string, offset: number, from: number): string | null {
    for (let cut = from; cut >= offset; cut--) {
      const candidate = whole.slice(0, cut).replace(/[(,/ ]+$/, '')
      if (candidate && readsAlone(candidate)) return candidate
    }
    return null
  }
}

/** What to write for a symbol that could be taken two ways. */
function rewording(suffix: string, root: string, chord: Chord): string {
  if (chord.alt) return `${root}7(b5,b9,#9,b13)`
  if (/^(dim|°|o)/i.test(suffix)) return `${root}${suffix.startsWith('dim') ? 'dim7' : 'dim'}`
  return root + chord.named
}

function closesAtEnd(text: string): boolean {
  let depth = 0
  for (let i = 0; i < text.length; i++) {
    if (text[i] === '(') depth++
    else if (text[i] === ')' && --depth === 0) return i === text.length - 1
  }
  return false
}

function noteOf(letter: string, alter: number, german: boolean): PitchClass {
  if (letter === 'H') return { letter: 'B', alter }
  if (german && letter === 'B') return { letter: 'B', alter: alter < 0 ? alter : alter - 1 }
  return { letter: letter as Letter, alter }
}

const numeralNumber = (figure: string): number =>
  ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'].indexOf(figure.toUpperCase()) + 1

/** A root with two signs under its plainer name. */
function plainNote(note: PitchClass): PitchClass {
  if (Math.abs(note.alter) < 2) return note
  return noteAtFifths(fifthsOf(note) + (note.alter < 0 ? 12 : -12))
}

/** The key as a header would say it. */
export const keyHeader = (key: Key): string => `Key: ${nameOfKey(key)}`
