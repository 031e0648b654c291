/**
 * Meters whose groups the chart says, in every file: MusicXML 4.0 adds beats up in `beats` ("The beats element indicates the number of beats …
 * 3+2"), MEI 5.1 in `meter.count` (an expression such as 2+3), ABC 2.1 in parentheses (section 3.1.6). Valid by the schemas, engraved, and read
 * back with the same groups.
 */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { RelaxNGValidator, XmlDocument, XsdValidator } from 'libxml2-wasm'
import { xmlRegisterFsInputProviders } from 'libxml2-wasm/lib/nodejs.mjs'
import { beforeAll, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { type Engraver, loadEngraver } from '../../lib/engrave/engraver.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { isFaulty, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { writeMusicXml } from '../../lib/score/writeMusicXml.ts'
import { bytesOf } from '../mark/writtenLine.ts'

const schemas = new URL('../data/schemas/', import.meta.url)
let engraver: Engraver
let musicXml: XsdValidator
let mei: RelaxNGValidator
beforeAll(async () => {
  engraver = await loadEngraver()
  xmlRegisterFsInputProviders()
  const path = fileURLToPath(new URL('musicxml.xsd', schemas))
  musicXml = XsdValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(path), { url: path }))
  mei = RelaxNGValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(new URL('mei-CMN-5.1.rng', schemas))))
})

function engraved(encoded: string): string {
  engraver.toolkit.loadData(encoded)
  return engraver.toolkit.renderToSVG(1)
}

const rows: readonly (readonly [
  changes: string,
  upper: readonly string[],
  groups: readonly (readonly number[] | undefined)[],
])[] = [
  [
    'Time: 5/4 (2+3)\n| Dm7 G7 | Cmaj7 |',
    ['2+3'],
    [
      [2, 3],
      [2, 3],
    ],
  ],
  [
    'Time: 7/8 (2+2+3)\n| Dm7 G7 | Cmaj7 |',
    ['2+2+3'],
    [
      [2, 2, 3],
      [2, 2, 3],
    ],
  ],
  ['Time: 5/4\n| Dm7 G7 | Cmaj7 |', ['5'], [undefined, undefined]],
  [
    'Time: 4/4\n| Dm7 | 7/8 (3+2+2) G7 | 7/8 (2+2+3) Cmaj7 |',
    ['4', '3+2+2', '2+2+3'],
    [undefined, [3, 2, 2], [2, 2, 3]],
  ],
]

test.each(rows)('%j', (changes, upper, groups) => {
  const { brief } = readBrief({ changes, instrument: 'guitar', tablature: 'yes' })
  const [line] = writeLines(brief).lines
  const score = layScore(line!, brief)
  const xml = writeMusicXml(score)
  const doc = XmlDocument.fromString(xml)
  expect(() => musicXml.validate(doc)).not.toThrow()
  expect([...xml.matchAll(/<beats>(.*?)<\/beats>/g)].map((found) => found[1])).toEqual(upper)
  const encoded = writeMei(score)
  expect(() => mei.validate(XmlDocument.fromString(encoded))).not.toThrow()
  expect([...encoded.matchAll(/meter\.count="(.*?)"/g)].map((found) => found[1])).toEqual(upper)
  expect(engraved(encoded)).toContain('class="meterSig')
  for (const text of [xml, encoded]) expect(readChanges(text).bars.map(({ meter }) => meter.groups)).toEqual(groups)
  for (const format of ['musicxml', 'mei', 'abc', 'text'] as const) {
    const bytes = bytesOf(line!, brief, format)
    const marked = markFile({ name: `line.${format === 'text' ? 'txt' : format}`, bytes }, usualMarking)
    if (isFaulty(marked)) throw new Error(JSON.stringify(marked.problems))
    expect(
      marked.line.harmony.bars.map(({ meter }) => meter.groups),
      format,
    ).toEqual(groups)
  }
})

/** MEI 5.1: signatures side by side, mixed ones added up, others by the first. */
test.each([
  [
    '<meterSigGrp func="mixed"><meterSig count="2" unit="4"/><meterSig count="3" unit="8"/></meterSigGrp>',
    { beats: 7, unit: 8, groups: [4, 3] },
  ],
  [
    '<meterSigGrp func="mixed"><meterSig count="3" unit="4"/><meterSig count="2" unit="4"/></meterSigGrp>',
    { beats: 5, unit: 4, groups: [3, 2] },
  ],
  [
    '<meterSigGrp func="interchanging"><meterSig count="6" unit="8"/><meterSig count="3" unit="4"/></meterSigGrp>',
    { beats: 6, unit: 8 },
  ],
  ['<meterSig count="2+3" unit="4"/>', { beats: 5, unit: 4, groups: [2, 3] }],
])('%s', (sign, meter) => {
  const text = `<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef>${sign}</scoreDef><section><measure n="1"><staff n="1"><layer><mRest/></layer></staff><harm tstamp="1">C7</harm></measure></section></score></mdiv></body></music></mei>`
  expect(readChanges(text).bars.map((bar) => bar.meter)).toEqual([meter])
})
