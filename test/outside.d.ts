/** Outside readers of chord symbols that ship without types of their own. */
declare module 'chord-symbol/lib/chord-symbol-esm.js' {
  export function chordParserFactory(): (symbol: string) => {
    readonly error?: readonly unknown[]
    readonly normalized: { readonly semitones: readonly number[]; readonly bassNote: string }
  }
}

declare module 'daccord' {
  /** The intervals of a suffix, such as `['P1', 'm3', 'P5']`; throws where it does not read. */
  export default function daccord(suffix: string): readonly string[]
}
