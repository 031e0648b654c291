/** The files that a line can be taken away as: the ending in the address, what it is, and what it is good for. */

export interface Format {
  readonly type: string
  /** What its link is called. */
  readonly name: string
  readonly compressed: boolean
  /** Whether one file holds all keys. */
  readonly book: boolean
}

export const formats: Readonly<Record<string, Format>> = {
  musicxml: { type: 'application/vnd.recordare.musicxml+xml', name: 'MusicXML', compressed: false, book: false },
  mxl: { type: 'application/vnd.recordare.musicxml', name: 'MusicXML, zipped', compressed: true, book: false },
  mid: { type: 'audio/midi', name: 'MIDI', compressed: false, book: false },
  svg: { type: 'image/svg+xml', name: 'SVG', compressed: false, book: false },
  mei: { type: 'application/xml', name: 'MEI', compressed: false, book: false },
  abc: { type: 'text/vnd.abc', name: 'ABC', compressed: false, book: false },
  json: { type: 'application/json', name: 'JSON', compressed: false, book: true },
}
