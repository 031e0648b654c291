/**
 * Flats, sharps and naturals in text: typed as `b` and `#`, as charts, addresses and JSON have them; printed as ♭ and ♯, as paper and page
 * do; said in words; and in names of files, which have none of them.
 */

/** Printed signs as they are typed. A natural has no letter that all rooms agree on. */
export const typedAs: Readonly<Record<string, string>> = { '♭': 'b', '♯': '#', '𝄫': 'bb', '𝄪': '##' }

/**
 * The typed signs of an alteration in semitones.
 *
 * @example
 * signsOf(-2) // => 'bb'
 * signsOf(1) // => '#'
 * signsOf(0) // => ''
 */
export const signsOf = (alter: number): string => (alter < 0 ? 'b' : '#').repeat(Math.abs(alter))

/**
 * The alteration of typed signs, in semitones.
 *
 * @example
 * alterOfSigns('bb') // => -2
 * alterOfSigns('') // => 0
 */
export const alterOfSigns = (signs: string): number => (signs.startsWith('b') ? -signs.length : signs.length)

/**
 * Typed signs in print, in a text whose every `b` is a flat: the signs alone, a degree, a note.
 *
 * @example
 * printSigns('bb') // => '♭♭'
 * printSigns('#11') // => '♯11'
 */
export const printSigns = (text: string): string => text.replaceAll('b', '♭').replaceAll('#', '♯')

/**
 * A text in print: its notes, keys, chords, degrees and numerals get their flats and sharps; a word keeps its letters.
 *
 * @example
 * withSigns('Bb minor, bars 1 to 4 over Ebm7b5/Bbb') // => 'B♭ minor, bars 1 to 4 over E♭m7♭5/B♭♭'
 * withSigns('bVII7 and subV7/bII by a bebop scale: b3, #11, bb7') // => '♭VII7 and subV7/♭II by a bebop scale: ♭3, ♯11, ♭♭7'
 */
export const withSigns = (text: string): string =>
  text.replace(/(?<![A-Za-z])[A-G](?:b+|#+)|[b#]+(?=\d)|(?<![A-Za-z])[b#](?=[IViv])/g, printSigns)

/**
 * A printed text as it is typed; a natural stays as it is.
 *
 * @example
 * typedSigns('F♯ B♭ 𝄫7') // => 'F# Bb bb7'
 */
export const typedSigns = (text: string): string => text.replace(/[♭♯𝄫𝄪]/gu, (sign) => typedAs[sign]!)

/**
 * The name of a note or key as people write it, words and all, in typed signs.
 *
 * @example
 * typedName('E flat minor') // => 'Eb minor'
 * typedName('F-Sharp') // => 'F#'
 * typedName('B♭') // => 'Bb'
 */
export const typedName = (text: string): string =>
  typedSigns(text)
    .replace(/[\s-]*\bflat\b/i, 'b')
    .replace(/[\s-]*\bsharp\b/i, '#')

const words = ['double flat', 'flat', '', 'sharp', 'double sharp'] as const

/**
 * An alteration in semitones as it is said.
 *
 * @example
 * sayAlter(-1) // => 'flat'
 * sayAlter(0) // => ''
 */
export const sayAlter = (alter: number): string => words[alter + 2] ?? ''

/**
 * A name that every file system takes: small letters of any script, and digits. Latin ones go without accents, since some systems and
 * programs that unpack archives still spell those their own way.
 *
 * @example
 * nameForFile('Trumpet in B♭') // => 'trumpet-in-b-flat'
 * nameForFile('F# minor') // => 'f-sharp-minor'
 * nameForFile("Ana's café, bar 5") // => 'anas-cafe-bar-5'
 * nameForFile('Тихий вечер') // => 'тихий-вечер'
 */
export const nameForFile = (name: string): string =>
  name
    .replace(/♭|(?<=^[A-G])b\b/g, ' flat')
    .replace(/♯|(?<=^[A-G])#/g, ' sharp')
    .normalize('NFKD')
    .replace(/(\p{Script=Latin})\p{M}+/gu, '$1')
    .normalize('NFC')
    .toLowerCase()
    .replace(/(?<=\p{L})['’](?=\p{L})/gu, '')
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, '-')
    .slice(0, 60)
    .replace(/^-|-?\p{Cs}?-?$/gu, '')

/** The name of a tune in names of files; one without a title, or with none that can be written there, is a line. */
export const tuneForFile = (title: string): string => nameForFile(title) || 'line'

/** Signs of a music font in text, in print: accidentals, those of figured bass and those of chord symbols (SMuFL 1.4). */
export const signsOfFonts: ReadonlyMap<string, string> = new Map([
  ['\ue260', '♭'],
  ['\ue261', '♮'],
  ['\ue262', '♯'],
  ['\ue263', '𝄪'],
  ['\ue264', '𝄫'],
  ['\uea63', '𝄫'],
  ['\uea64', '♭'],
  ['\uea65', '♮'],
  ['\uea66', '♯'],
  ['\uea67', '𝄪'],
  ['\ued60', '♭'],
  ['\ued61', '♮'],
  ['\ued62', '♯'],
])
