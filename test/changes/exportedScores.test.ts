/**
 * Score files as notation programs export them, invented here: what each holds, and what a player reads in it. Meanings: MusicXML 4.0 (W3C Music
 * Notation Community Group), MEI 5.1, ABC 2.1; what the specifications leave open, common practice. No chord goes without a word, and the
 * text that a link carries reads to the same chart.
 */
import { strToU8, zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { printChart } from '../../lib/changes/printChart.ts'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { marksIn } from '../../lib/changes/xml/scoreMeasure.ts'
import { keyName } from '../../lib/theory/key.ts'
import { barsText, signsText } from './chartText.ts'

interface Row {
  readonly name: string
  readonly file: string
  readonly bars: string
  readonly signs?: string
  readonly order?: readonly number[]
  readonly key?: string
  readonly style?: string
  readonly tempo?: number
  readonly said?: readonly string[]
}

const note = (duration: number, more = '') =>
  `<note default-x="80.0"><pitch><step>G</step><octave>4</octave></pitch><duration>${duration}</duration><voice>1</voice><type>quarter</type>${more}</note>`
const rest = (duration: number) => `<note><rest/><duration>${duration}</duration><voice>1</voice></note>`
const harmony = (root: string, kind: string, more = '', attributes = '') => {
  const [step, sign] = [root[0], root[1]]
  const alter = sign ? `<root-alter>${sign === 'b' ? -1 : 1}</root-alter>` : ''
  return `<harmony print-frame="no"${attributes}><root><root-step>${step}</root-step>${alter}</root>${kind}${more}</harmony>`
}
const kind = (value: string, text?: string) =>
  `<kind${text === undefined ? '' : ` text="${text}"`} use-symbols="no">${value}</kind>`
const degree = (value: number, alter: number, type: string) =>
  `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`
const C = harmony('C', kind('major', ''))
const F = harmony('F', kind('major', ''))
const G7 = harmony('G', kind('dominant', '7'))
const Dm7 = harmony('D', kind('minor-seventh', 'm7'))
const attributes = (more = '', divisions = 4) =>
  `<attributes><divisions>${divisions}</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>${more}</attributes>`
const words = (text: string, sound = '') =>
  `<direction placement="above"><direction-type><words relative-y="40">${text}</words></direction-type>${sound}</direction>`
const sign = (name: string, sound = '') =>
  `<direction placement="above"><direction-type><${name}/></direction-type>${sound}</direction>`
const bar = (location: string, inside: string) => `<barline location="${location}">${inside}</barline>`
const part = (id: string, ...measures: readonly string[]) =>
  `<part id="${id}">${measures.map((inside, i) => (inside.startsWith('<measure') ? inside : `<measure number="${i + 1}" width="240">${inside}</measure>`)).join('')}</part>`
const score = (...parts: readonly string[]) =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n<score-partwise version="4.0"><part-list>${parts
    .map((_, i) => `<score-part id="P${i + 1}"><part-name>Part ${i + 1}</part-name></score-part>`)
    .join('')}</part-list>${parts.join('')}</score-partwise>`
const one = (...measures: readonly string[]) => score(part('P1', ...measures))
const a = attributes()

const musicXml: readonly Row[] = [
  {
    name: 'kinds with their text, degrees added, altered and taken away',
    file: one(
      a +
        harmony('G', kind('dominant', '7b9'), degree(9, -1, 'add')) +
        note(8) +
        harmony('G', kind('dominant', '7#9#5'), degree(9, 1, 'add') + degree(5, 1, 'alter')) +
        note(8),
      harmony('C', kind('major-sixth', '6/9'), degree(9, 0, 'add')) +
        note(8) +
        harmony('C', kind('suspended-fourth', '7sus4'), degree(7, 0, 'add')) +
        note(8),
      harmony('C', kind('major', 'add9'), degree(9, 0, 'add')) +
        note(8) +
        harmony('C', kind('minor-seventh', 'm7(b5)'), degree(5, -1, 'alter')) +
        note(8),
      harmony('C', kind('major', '5'), degree(3, 0, 'subtract')) +
        note(8) +
        harmony('C', kind('dominant-ninth', '9sus4'), degree(3, 0, 'subtract') + degree(4, 0, 'add')) +
        note(8),
    ),
    bars: 'G7(b9):2 G7(#5,#9):2 | C69:2 C7sus4:2 | Cadd9:2 Cm7b5:2 | C5:2 C9sus4:2',
  },
  {
    name: 'an altered dominant said in its text alone',
    file: one(a + harmony('G', kind('other', '7alt')) + note(8) + harmony('G', kind('dominant', '7alt')) + note(8)),
    bars: 'G7alt:2 G7alt:2',
  },
  {
    name: 'a kind in other words than the standard has',
    file: one(a + harmony('C', kind('maj7')) + note(16), harmony('D', kind('min7')) + note(16)),
    bars: 'Cmaj7:4 | Dm7:4',
  },
  {
    name: 'functional and odd kinds',
    file: one(
      a + harmony('A', kind('German')) + note(8) + harmony('C', kind('power', '5')) + note(8),
      harmony('C', kind('none', 'N.C.')) + note(8) + C + note(8),
    ),
    bars: 'A7:2 C5:2 | N.C.:2 C:2',
  },
  {
    name: 'no chord said by its text',
    file: one(a + C + note(8) + harmony('C', kind('none', '')) + note(8)),
    bars: 'C:2 N.C.:2',
  },
  {
    name: 'a chord over one note, moved on by its offset',
    file: one(
      a + C + harmony('F', kind('major', ''), '<offset sound="yes">8</offset>') + note(16),
      Dm7 + harmony('G', kind('dominant', '7'), '<offset>12</offset>') + rest(16),
    ),
    bars: 'C:2 F:2 | Dm7:3 G7:1',
  },
  {
    name: 'an offset back before its note',
    file: one(a + C + note(8) + note(8) + harmony('F', kind('major', ''), '<offset>-4</offset>'), G7 + note(16)),
    bars: 'C:3 F:1 | G7:4',
  },
  {
    name: 'three chords stacked over a whole note and four over a rest',
    file: one(a + C + F + G7 + note(16), Dm7 + G7 + C + F + rest(16)),
    bars: 'C:1.33 F:1.33 G7:1.33 | Dm7:1 G7:1 C:1 F:1',
  },
  {
    name: 'chords over slashes and tied notes',
    file: one(
      a +
        C +
        note(8, '<notehead>slash</notehead>') +
        Dm7 +
        note(4, '<tie type="start"/>') +
        G7 +
        note(4, '<tie type="stop"/>'),
    ),
    bars: 'C:2 Dm7:1 G7:1',
  },
  {
    name: 'chords before grace notes and in a second voice',
    file: one(
      `${a + C}<note><grace/><pitch><step>A</step><octave>4</octave></pitch><voice>1</voice></note>${note(16)}<backup><duration>16</duration></backup><forward><duration>8</duration></forward>${G7 + note(8)}`,
    ),
    bars: 'C:2 G7:2',
  },
  {
    name: 'the same chords over both staves of a piano',
    file: one(
      `${attributes('<staves>2</staves>') + C + note(8) + G7 + note(8)}<backup><duration>16</duration></backup>${C.replace('</harmony>', '<staff>2</staff></harmony>') + note(8) + G7.replace('</harmony>', '<staff>2</staff></harmony>') + note(8)}`,
    ),
    bars: 'C:2 G7:2',
  },
  {
    name: 'hidden chords, alone: they are chords',
    file: one(
      a + harmony('C', kind('major', ''), '', ' print-object="no"') + note(16),
      harmony('G', kind('dominant', '7'), '', ' print-object="no"') + note(16),
    ),
    bars: 'C:4 | G7:4',
  },
  {
    name: 'a hidden chord under one that is shown: the one shown, and what is hidden is said',
    file: one(
      a + harmony('G', kind('dominant', '7b9'), degree(9, -1, 'add'), ' print-object="no"') + G7 + note(16),
      C + note(16),
    ),
    bars: 'G7:4 | C:4',
    said: ['lost-chord: G7(b9) in measure 1'],
  },
  {
    name: 'frames and guitar parts',
    file: one(
      a +
        harmony(
          'C',
          kind('major', ''),
          '<frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>5</string><fret>3</fret></frame-note></frame>',
        ) +
        note(16),
      F + note(16),
    ),
    bars: 'C:4 | F:4',
  },
  {
    name: 'inversions and basses, with a separator',
    file: one(
      a +
        harmony('C', kind('major', ''), '<inversion>2</inversion>') +
        note(8) +
        harmony(
          'D',
          kind('minor-seventh', 'm7'),
          '<bass><bass-separator>/</bass-separator><bass-step>G</bass-step></bass>',
        ) +
        note(8),
      harmony('E', kind('major', ''), '<bass><bass-step>A</bass-step><bass-alter>-1</bass-alter></bass>') + note(16),
    ),
    bars: 'C/G:2 Dm7/G:2 | E/Ab:4',
  },
  {
    name: 'numerals in the key, and functions',
    file: one(
      a +
        '<harmony><numeral><numeral-root>2</numeral-root></numeral><kind>minor-seventh</kind></harmony>' +
        note(8) +
        '<harmony><numeral><numeral-root>5</numeral-root></numeral><kind>dominant</kind></harmony>' +
        note(8),
      '<harmony><function>I</function><kind>major</kind></harmony>' +
        note(8) +
        '<harmony><function>bVII</function><kind>dominant</kind></harmony>' +
        note(8),
    ),
    bars: 'Dm7:2 G7:2 | C:2 Bb7:2',
  },
  {
    name: 'kinds and roots that nothing knows, each with its measure; the rest is read',
    file: one(
      a + C + note(16),
      harmony('H', kind('major')) + note(8) + F + note(8),
      harmony('G', kind('superlocrian')) + note(16),
      C + note(16),
    ),
    bars: 'C:4 | N.C.:2 F:2 | N.C.:4 | C:4',
    said: ['unknown-root: major in measure 2', 'unknown-quality: G superlocrian in measure 3'],
  },
  {
    name: 'a transposing part with its chords as it reads them',
    file: one(
      attributes('<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>').replace(
        '<fifths>0</fifths>',
        '<fifths>2</fifths>',
      ) +
        harmony('D', kind('major-seventh', 'maj7')) +
        note(16),
      harmony('F#', kind('half-diminished', 'm7b5'), '<bass><bass-step>C</bass-step></bass>') + note(16),
    ),
    bars: 'Cmaj7:4 | Em7b5/Bb:4',
    key: 'C major',
  },
  {
    name: 'an alto and a piano: the piano has the chords',
    file: score(
      part(
        'P1',
        attributes('<transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose>').replace(
          '<fifths>0</fifths>',
          '<fifths>3</fifths>',
        ) + note(16),
        note(16),
      ),
      part('P2', a + C + rest(16), G7 + rest(16)),
    ),
    bars: 'C:4 | G7:4',
    key: 'C major',
  },
  {
    name: 'the same chords in two transposing parts',
    file: score(
      part(
        'P1',
        attributes('<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>') +
          harmony('D', kind('major', '')) +
          note(16),
        note(16),
      ),
      part('P2', a + C + note(16), F + note(16)),
    ),
    bars: 'C:4 | F:4',
  },
  {
    name: 'rests for four bars in one sign, each a measure',
    file: one(
      a + C + note(16),
      `<attributes><measure-style><multiple-rest>3</multiple-rest></measure-style></attributes>${rest(16)}`,
      rest(16),
      rest(16),
      F + note(16),
    ),
    bars: 'C:4 | C:4 | C:4 | C:4 | F:4',
  },
  {
    name: 'bars repeated by a sign',
    file: one(
      a + C + note(8) + F + note(8),
      `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>${rest(16)}`,
      `<attributes><measure-style><measure-repeat type="stop"/></measure-style></attributes>${G7 + note(16)}`,
    ),
    bars: 'C:2 F:2 | C:2 F:2 | G7:4',
  },
  {
    name: 'a repeat with endings, 1. and 2. together',
    file: one(
      a + bar('left', '<bar-style>heavy-light</bar-style><repeat direction="forward"/>') + C + note(16),
      bar('left', '<ending number="1, 2" type="start" default-y="30">1.-2.</ending>') +
        F +
        note(16) +
        bar(
          'right',
          '<bar-style>light-heavy</bar-style><ending number="1, 2" type="stop"/><repeat direction="backward" times="3"/>',
        ),
      bar('left', '<ending number="3" type="start"/>') +
        G7 +
        note(16) +
        bar('right', '<ending number="3" type="discontinue"/>'),
    ),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 0, 1, 0, 2],
  },
  {
    name: 'D.S. al Coda, its signs with what a player program is told',
    file: one(
      a + C + note(16),
      sign('segno', '<sound segno="1"/>') + F + note(16),
      Dm7 + note(16) + words('To Coda', '<sound tocoda="1"/>'),
      G7 + note(16) + words('D.S. al Coda', '<sound dalsegno="1"/>'),
      sign('coda', '<sound coda="1"/>') + C + note(16),
    ),
    bars: 'C:4 | F:4 | Dm7:4 | G7:4 | C:4',
    signs: '4/4 / Segno / To Coda / D.S. al Coda / Coda',
    order: [0, 1, 2, 3, 1, 2, 4],
  },
  {
    name: 'Da Capo al Fine in full, Fine in a second part',
    file: score(
      part('P1', a + C + note(16), F + note(16), G7 + note(16) + words('Da Capo al Fine')),
      part('P2', a + rest(16), rest(16) + words('FINE', '<sound fine="yes"/>'), rest(16)),
    ),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 2, 0, 1],
  },
  {
    name: 'Dal Segno said by sound alone',
    file: one(a + C + note(16), `<sound segno="a"/>${F}${note(16)}`, `${G7 + note(16)}<sound dalsegno="a"/>`),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 2, 1, 2],
  },
  {
    name: 'Coda as a word over its bar, To Coda as word and sign',
    file: one(
      a +
        C +
        note(16) +
        '<direction><direction-type><words>To Coda </words></direction-type><direction-type><coda/></direction-type></direction>',
      F + note(16) + words('D.C. al Coda'),
      words('CODA') + G7 + note(16),
    ),
    bars: 'C:4 | F:4 | G7:4',
    signs: '4/4 To Coda / D.C. al Coda / [CODA] Coda',
    order: [0, 1, 0, 2],
  },
  {
    name: 'rehearsal marks and names of sections',
    file: one(
      a +
        '<direction><direction-type><rehearsal enclosure="square">A</rehearsal></direction-type></direction>' +
        C +
        note(16),
      words('Bridge') + F + note(16),
      `<direction><direction-type><rehearsal>B2</rehearsal></direction-type></direction>${G7}${note(16)}`,
    ),
    bars: 'C:4 | F:4 | G7:4',
    signs: '[A] 4/4 / [Bridge] / [B2]',
  },
  {
    name: 'swing, said in words with a metronome',
    file: one(
      a +
        '<direction><direction-type><words>Medium Swing</words></direction-type><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>144</per-minute></metronome></direction-type></direction>' +
        C +
        note(16),
    ),
    bars: 'C:4',
    style: 'Medium Swing',
    tempo: 144,
  },
  {
    name: 'swing by its element inside a direction',
    file: one(
      a +
        '<direction><direction-type><words> </words></direction-type><sound tempo="132"><swing><first>2</first><second>1</second><swing-type>eighth</swing-type></swing></sound></direction>' +
        C +
        note(16),
    ),
    bars: 'C:4',
    style: 'Swing',
    tempo: 132,
  },
  {
    name: 'a pickup numbered 0, one in implicit, and one with neither',
    file: one(`<measure number="0" implicit="yes">${a + note(4)}</measure>`, C + note(16), F + note(16)),
    bars: 'C:4 | F:4',
  },
  {
    name: 'a bar that a repeat splits, the parts numbered alike',
    file: one(
      `<measure number="1">${a + C + note(16)}</measure>`,
      `<measure number="2">${F + note(12) + bar('right', '<repeat direction="backward"/>')}</measure>`,
      `<measure number="2" implicit="yes">${G7 + note(4)}</measure>`,
      `<measure number="3">${C + note(16)}</measure>`,
    ),
    bars: 'C:4 | F:3 G7:1 | C:4',
    order: [0, 1, 0, 1, 2],
  },
  {
    name: 'a key in a mode',
    file: one(a.replace('<fifths>0</fifths>', '<fifths>0</fifths><mode>dorian</mode>') + Dm7 + note(16), G7 + note(16)),
    bars: 'Dm7:4 | G7:4',
    key: 'D minor',
  },
  {
    name: 'changes of key and meter within',
    file: one(
      a + C + note(16),
      `<attributes><key><fifths>-3</fifths><mode>minor</mode></key><time><beats>3</beats><beat-type>4</beat-type></time></attributes>${harmony('C', kind('minor', 'm')) + note(12)}`,
    ),
    bars: 'C:4 | Cm:3',
    signs: '4/4 / 3/4 key Cm',
  },
  {
    name: 'cut and common time by their signs',
    file: one(
      a
        .replace('<time>', '<time symbol="cut">')
        .replace('<beats>4</beats><beat-type>4</beat-type>', '<beats>2</beats><beat-type>2</beat-type>') +
        C +
        note(8) +
        G7 +
        note(8),
    ),
    bars: 'C:1 G7:1',
    signs: '2/2',
  },
  {
    name: 'no meter at all',
    file: one(a.replace(/<time>.*<\/time>/, '<time><senza-misura/></time>') + C + note(8) + G7 + note(8)),
    bars: 'C:2 G7:2',
  },
  {
    name: 'timewise',
    file: `<score-timewise><measure number="1"><part id="P1">${a + C + note(16)}</part><part id="P2">${a + rest(16)}</part></measure><measure number="2"><part id="P1">${G7 + note(16)}</part><part id="P2">${rest(16)}</part></measure></score-timewise>`,
    bars: 'C:4 | G7:4',
  },
  {
    name: 'character references and signs in text',
    file: one(
      a +
        harmony('B', kind('dominant', '7(&#9837;9)'), degree(9, -1, 'add')) +
        note(8) +
        harmony('C', kind('major-seventh', '&#916;7')) +
        note(8),
    ),
    bars: 'B7(b9):2 Cmaj7:2',
  },
  {
    name: 'many divisions and uneven chords',
    file: one(attributes('', 10080) + C + note(15120) + F + note(5040) + G7 + note(20160)),
    bars: 'C:1.5 F:0.5 G7:2',
  },
  {
    name: 'a measure left empty, and one with a chord and no notes',
    file: one(a + C + note(16), '', F, G7 + note(16)),
    bars: 'C:4 | C:4 | F:4 | G7:4',
  },
  {
    name: 'degrees that no symbol has, with the measure',
    file: one(a + C + note(16), harmony('C', kind('dominant'), degree(17, 0, 'add')) + note(16), F + note(16)),
    bars: 'C:4 | N.C.:4 | F:4',
    said: ['unknown-quality: C dominant in measure 2'],
  },
]

const mei = (inside: string, definition = '<scoreDef meter.count="4" meter.unit="4"/>') =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<?xml-model href="https://music-encoding.org/schema/5.1/mei-all.rng" type="application/xml"?>\n<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1"><meiHead><fileDesc><titleStmt><title>Study</title></titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score>${definition}<section>${inside}</section></score></mdiv></body></music></mei>`
const layer = (inside: string) => `<staff n="1"><layer n="1">${inside}</layer></staff>`

const meiRows: readonly Row[] = [
  {
    name: 'chords in rend, with musical signs',
    file: mei(
      `<measure n="1">${layer('<mRest/>')}<harm tstamp="1"><rend fontfam="smufl">B\ue260</rend>7</harm><harm tstamp="3">E<rend rend="sup">♭maj7</rend></harm></measure>`,
    ),
    bars: 'Bb7:2 Ebmaj7:2',
  },
  {
    name: 'a definition with signatures as elements, and a part that transposes',
    file: mei(
      `<measure n="1">${layer('<mRest/>')}<harm tstamp="1">D7</harm></measure>`,
      '<scoreDef><staffGrp><staffDef n="1" trans.diat="-1" trans.semi="-2"><keySig sig="2s"/><meterSig count="3" unit="4"/></staffDef></staffGrp></scoreDef>',
    ),
    bars: 'C7:3',
    key: 'C major',
  },
  {
    name: 'endings, repeats and a sign to go back to',
    file: mei(
      `<measure n="1" left="rptstart">${layer('<mRest/>')}<harm tstamp="1">C</harm></measure><ending n="1"><measure n="2" right="rptend">${layer('<mRest/>')}<harm tstamp="1">F</harm></measure></ending><ending n="2"><measure n="3">${layer('<mRest/>')}<harm tstamp="1">G7</harm></measure></ending>`,
    ),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 0, 2],
  },
  {
    name: 'chords by their sounds only start where their notes do, several to a note',
    file: mei(
      `<measure n="1">${layer('<note xml:id="n1" dur="2"/><rest xml:id="n2" dur="2"/>')}<harm startid="#n2">F</harm><harm startid="#n2">G7</harm><harm startid="#n1">C</harm></measure>`,
    ),
    bars: 'C:2 F:1 G7:1',
  },
  {
    name: 'chords without a place, in a row',
    file: mei(
      `<measure n="1">${layer('<mRest/>')}<harm>C</harm></measure><measure n="2">${layer('<mRest/>')}<harm>G7</harm></measure>`,
    ),
    bars: 'C:4 | G7:4',
  },
  {
    name: 'a pickup that does not say so',
    file: mei(
      `<measure n="0">${layer('<note dur="4"/>')}</measure><measure n="1">${layer('<mRest/>')}<harm tstamp="1">C</harm></measure>`,
    ),
    bars: 'C:4',
  },
  {
    name: 'No chord, and text that is no chord, with its measure',
    file: mei(
      `<measure n="1">${layer('<mRest/>')}<harm tstamp="1">N.C.</harm><harm tstamp="3">C</harm></measure><measure n="2">${layer('<mRest/>')}<harm tstamp="1">as before</harm></measure>`,
    ),
    bars: 'N.C.:2 C:2 | N.C.:4',
    said: ['as before in measure 2'],
  },
  {
    name: 'D.S. al Coda as directions',
    file: mei(
      `<measure n="1">${layer('<mRest/>')}<repeatMark func="segno" tstamp="1"/><harm tstamp="1">C</harm></measure><measure n="2">${layer('<mRest/>')}<harm tstamp="1">F</harm><dir tstamp="5">To Coda</dir></measure><measure n="3">${layer('<mRest/>')}<harm tstamp="1">G7</harm><dir tstamp="5">D.S. al Coda</dir></measure><measure n="4">${layer('<mRest/>')}<repeatMark func="coda" tstamp="1"/><harm tstamp="1">C</harm></measure>`,
    ),
    bars: 'C:4 | F:4 | G7:4 | C:4',
    order: [0, 1, 2, 0, 1, 3],
  },
]

const abc = (body: string, head = 'M:4/4\nL:1/8\nK:C') => `X:1\nT:Study\n${head}\n${body}\n`
const abcRows: readonly Row[] = [
  {
    name: 'chords with basses and minor signs',
    file: abc('"A-7"c4 "C/E"f4|"Dm7b5"c4 "G7(b9)"f4|'),
    bars: 'Am7:2 C/E:2 | Dm7b5:2 G7(b9):2',
  },
  {
    name: 'endings in short and long form',
    file: abc('|:"C"c8|1 "F"f8:|2 "G7"g8|]'),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 0, 2],
  },
  { name: 'double repeats', file: abc('|:"C"c8::"F"f8:|'), bars: 'C:4 | F:4', order: [0, 0, 1, 1] },
  {
    name: 'jumps as decorations',
    file: abc('!segno!"C"c8|"F"f8!fine!|"G7"g8!D.S.alfine!|'),
    bars: 'C:4 | F:4 | G7:4',
    order: [0, 1, 2, 0, 1],
  },
  { name: 'parts and their names', file: abc('P:A\n"C"c8|\nP:B\n"F"f8|'), bars: 'C:4 | F:4', signs: '[A] 4/4 / [B]' },
  { name: 'chords in the second voice only', file: abc('V:1\nc8|d8|\nV:2\n"C"c8|"F"f8|'), bars: 'C:4 | F:4' },
  {
    name: 'fields within a line, comments, lines that go on',
    file: abc('"C"c8|[M:3/4][K:G]"G"g6|\\\n"D7"d6| % the end'),
    bars: 'C:4 | G:3 | D7:3',
  },
  {
    name: 'rests for several bars, spacers, no chord',
    file: abc('"C"Z2|"N.C."z4 y "F"f4|'),
    bars: 'C:4 | C:4 | N.C.:2 F:2',
  },
  {
    name: 'Windows lines and free text before the tune',
    file: `Collected by hand\r\n\r\n${abc('"C"c8|"F"f8|').replaceAll('\n', '\r\n')}`,
    bars: 'C:4 | F:4',
  },
  {
    name: 'a key in a mode',
    file: abc('"Dm7"d8|"G7"g8|', 'M:4/4\nL:1/8\nK:Ddor'),
    bars: 'Dm7:4 | G7:4',
    key: 'D minor',
  },
  {
    name: 'a symbol gone wrong, with its bar; the rest is read',
    file: abc('"C"c8|"Fmja7"f4 "G7"g4|'),
    bars: 'C:4 | N.C.:2 G7:2',
    said: ['Fmja7 in measure 2'],
  },
]

function expectRow({ file, bars, signs, order, key, style, tempo, said = [] }: Row) {
  const chart = readChanges(file)
  expect(barsText(chart)).toBe(bars)
  if (signs !== undefined) expect(signsText(chart)).toBe(signs)
  expect(chart.playOrder).toEqual(order ?? chart.bars.map((_, i) => i))
  if (key) expect(chart.key && keyName(chart.key)).toBe(key)
  if (style) expect(chart.style).toBe(style)
  if (tempo) expect(chart.tempo).toBe(tempo)
  const found = chart.problems.map(({ code, found }) =>
    said.some((each) => /^[a-z-]+: /.test(each)) ? `${code}: ${found}` : found,
  )
  expect(found).toEqual(said)
  expect(chart.problems.every(({ severity }) => severity === 'warning')).toBe(true)
  const typed = readChart(printChart(chart))
  expect([barsText(typed), signsText(typed), typed.playOrder]).toEqual([
    barsText(chart),
    signsText(chart),
    chart.playOrder,
  ])
}

describe('MusicXML', () => test.each(musicXml)('$name', expectRow))
describe('MEI', () => test.each(meiRows)('$name', expectRow))
describe('ABC', () => test.each(abcRows)('$name', expectRow))

/** Words that steer, as scores have them; the glyphs of segno and coda are those of SMuFL 1.4 and of Unicode. */
describe('words that steer', () => {
  test.each([
    ['D.S. al Coda', ['D.S. al Coda']],
    ['D. S. al \ue048', ['D.S. al Coda']],
    ['D.S. \u{1d10b} al \u{1d10c}', ['D.S. al Coda']],
    ['D.S.S. al Coda', ['D.S. al Coda']],
    ['DC al Fine (no repeat)', ['D.C. al Fine']],
    ['dal segno al fine', ['D.S. al Fine']],
    ['Da Capo', ['D.C.']],
    ['To \ue048', ['To Coda']],
    ['2nd time to Coda', ['To Coda']],
    ['(Fine)', ['Fine']],
    ['Fine (last time)', ['Fine']],
    ['\ue047', ['Segno']],
    ['Fine tuning needed before we begin', []],
    ['to the bridge', []],
    ['decresc.', []],
    ['D', []],
  ])('%j', (text, marks) => {
    expect(marksIn(text)).toEqual(marks)
  })
})

describe('the same file in other wrappings', () => {
  const tune = one(a + C + note(16), G7 + note(16))
  test.each([
    ['a byte order mark', strToU8(`\ufeff${tune}`)],
    [
      'Latin-1 without saying so',
      new Uint8Array(
        [...tune.replace('Part 1', 'Fl\u00fbte').replace(' encoding="UTF-8"', '')].map((c) => c.charCodeAt(0)),
      ),
    ],
    [
      'an archive as the standard asks: mimetype first, a picture, a container of two files',
      zipSync({
        mimetype: strToU8('application/vnd.recordare.musicxml'),
        'META-INF/container.xml': strToU8(
          '<?xml version="1.0"?><container><rootfiles><rootfile full-path="score.xml" media-type="application/vnd.recordare.musicxml+xml"/><rootfile full-path="score.pdf" media-type="application/pdf"/></rootfiles></container>',
        ),
        'score.pdf': strToU8('%PDF-1.4'),
        'score.xml': strToU8(tune),
      }),
    ],
    [
      'an archive whose container names a folder that is not there',
      zipSync({
        'META-INF/container.xml': strToU8(
          '<container><rootfiles><rootfile full-path="L\'&#233;t&#233;/score.xml"/></rootfiles></container>',
        ),
        'score.xml': strToU8(tune),
      }),
    ],
    [
      'a prefix before every name',
      strToU8(
        tune.replace(/<(\/?)([a-z])/g, '<$1m:$2').replace('<m:score-partwise', '<m:score-partwise xmlns:m="urn:x"'),
      ),
    ],
  ])('%s', (_, bytes) => {
    expect(barsText(readChanges(bytes))).toBe('C:4 | G7:4')
  })
})
