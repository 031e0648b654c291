/** The files that a line can be taken away as: the ending in the address, what it is, and what it is good for. */

export interface Format {
  readonly type: string
  /** What its link is called. */
  readonly name: string
  readonly compressed: boolean
  /** Whether most people want it, so that it stands in the first row. */
  readonly usual: boolean
  /** Whether one file holds all keys. */
  readonly book: boolean
}

export const formats: Readonly<Record<string, Format>> = {
  pdf: { type: 'application/pdf', name: 'PDF', usual: true, compressed: true, book: true },
  musicxml: {
    type: 'application/vnd.recordare.musicxml+xml',
    name: 'MusicXML',
    usual: true,
    compressed: false,
    book: false,
  },
  mxl: {
    type: 'application/vnd.recordare.musicxml',
    name: 'MusicXML, zipped',
    usual: false,
    compressed: true,
    book: false,
  },
  mid: { type: 'audio/midi', name: 'MIDI', usual: true, compressed: false, book: false },
  svg: { type: 'image/svg+xml', name: 'SVG', usual: false, compressed: false, book: false },
  png: { type: 'image/png', name: 'PNG', usual: false, compressed: true, book: false },
  mei: { type: 'application/xml', name: 'MEI', usual: false, compressed: false, book: false },
  abc: { type: 'text/vnd.abc', name: 'ABC', usual: false, compressed: false, book: false },
  zip: { type: 'application/zip', name: 'class set, zipped', usual: false, compressed: true, book: true },
  worksheet: { type: 'application/pdf', name: 'guide-tone worksheet', usual: false, compressed: true, book: true },
  json: { type: 'application/json', name: 'JSON', usual: false, compressed: false, book: true },
}

/** The path and the ending of a format's files. */
export const pathOf = (format: string): string => (format === 'worksheet' ? '/worksheet.pdf' : `/line.${format}`)
export const endingOf = (format: string): string => (format === 'worksheet' ? 'worksheet.pdf' : format)
