/** The door to the engraver, `throughline/engrave`: lines as pictures, on paper and in every file format. Node-side. */
export { classSet, lineBook, worksheetBook, zipClassSet } from '../engrave/book.ts'
export { engraveSvg } from '../engrave/engraver.ts'
export { type Book, writePdf } from '../engrave/pdf/writePdf.ts'
export { writePng } from '../engrave/png.ts'
export { type Export, exportOf, exportOfFile, exports, type LineFile, writeFiles } from '../exports.ts'
export type { Refused } from '../exportWriters.ts'
export { loadSamples } from '../sampleFiles.ts'
