/** What is used of packages that bring no types of their own. */
declare module 'abcjs/src/parse/abc_parse.js' {
  interface AbcNote {
    readonly el_type: string
    readonly type?: string
    readonly title?: string
    readonly startChar?: number
    readonly endChar?: number
    readonly duration?: number
    readonly pitches?: readonly {
      readonly pitch: number
      readonly accidental?: string
      readonly startTie?: unknown
      readonly endTie?: unknown
    }[]
    readonly rest?: { readonly type: string; readonly text?: number | string }
    readonly chord?: readonly { readonly name: string; readonly position: string }[]
    readonly decoration?: readonly string[]
    readonly gracenotes?: unknown
    readonly startTriplet?: number
    readonly endTriplet?: boolean
    readonly tripletMultiplier?: number
    readonly startEnding?: string
    readonly endEnding?: boolean
    readonly value?: readonly { readonly num: string; readonly den?: string }[]
    readonly accidentals?: readonly { readonly acc: string; readonly note: string }[]
    readonly root?: string
    readonly acc?: string
    readonly mode?: string
  }
  interface AbcStaff {
    readonly voices: readonly (readonly AbcNote[])[]
    readonly clef?: { readonly type?: string; readonly transpose?: number }
    readonly key?: Pick<AbcNote, 'accidentals' | 'root' | 'acc' | 'mode'>
    readonly meter?: Pick<AbcNote, 'type' | 'value'>
    readonly title?: readonly (string | { readonly name?: string })[]
  }
  interface AbcTune {
    readonly lines?: readonly { readonly staff?: readonly AbcStaff[] }[]
    readonly metaText?: {
      readonly title?: string
      readonly composer?: string
      readonly tempo?: { readonly bpm?: number; readonly duration?: readonly number[] }
    }
  }
  export default class Parse {
    parse(text: string): void
    getTune(): AbcTune
    getWarnings(): readonly string[] | undefined
  }
}
