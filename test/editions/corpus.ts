/** What today's edition draws for a corpus of addresses: invented tunes and drills by briefs of every kind, and the sums of their notes. */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { readBrief } from '../../lib/brief.ts'
import { namedDrills } from '../../lib/drill/drills.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { midiOf } from '../../lib/theory/pitch.ts'

const tunes: Readonly<Record<string, string>> = {
  turnarounds:
    '| Fmaj7 D7 | Gm7 C7 | Am7 D7b9 | Gm7 C7 | Cm7 | F7 | Bbmaj7 | Eb9#11 | Fmaj7 Dm7 | Gm7 C7 | F6 | Gm7 C7 |',
  minor: '| Cm7 | Fm7 | Cm7 | C7alt | Fm7 | Fm7 | Cm7 | Cm7 | Ab7 | G7#9 | Cm7 | Dm7b5 G7b9 |',
  waltz: 'Time: 3/4\n| Ebmaj7 | Abm7 / Db7 | Gbmaj7 | F#m7 / B7 | Emaj7 | Fm7 | Bb7sus4 / Bb7 | Eb6 |',
  vamp: '| D7sus4 | D7sus4 | F7sus4 | F7sus4 |',
}
const slashBasses =
  '| Cmaj7 | C/Bb | F/A | Fm/Ab | C/G | Am7 D7/F# | Eb/F | F9sus4 F7/A | Bb6 | Bb/C C7 | Fmaj7 | G7/B |'
const briefs: readonly Readonly<Record<string, string>>[] = [
  {},
  { seed: '7', instrument: 'tenor-sax', land: '1,3,5,7', every: 'half' },
  { rhythm: 'phrased', approach: 'enclosure,chromatic,scale,arpeggio', tempo: '180', choruses: '2' },
  { rhythm: 'phrased', approach: 'enclosure,chromatic,scale,arpeggio', tempo: '60', instrument: 'flute' },
  { rhythm: 'triplets', instrument: 'trombone', keys: 'C,F#,Bb' },
  { exact: 'yes', different: 'yes', heard: '1', every: 'bar', notes: '3' },
  { level: '3', instrument: 'guitar', pins: '2.1=E4' },
  { again: '2-3:9', cells: '1-2-3-5', bebop: 'yes' },
]

/** Every address of the corpus, as fields. */
export const corpus: readonly Readonly<Record<string, string>>[] = [
  ...Object.values(tunes).flatMap((changes) => briefs.map((brief) => ({ changes, ...brief }))),
  ...namedDrills.map(({ choices }) => ({ ...choices })),
  { changes: slashBasses },
  { changes: slashBasses, ...briefs[2] },
]

export const addressOf = (fields: Readonly<Record<string, string>>): string => `/?${new URLSearchParams(fields)}`

/** The sum of an address's notes: of each key, when each note begins, how long it lasts and what sounds. */
export function sumOf(fields: Readonly<Record<string, string>>): string {
  const { lines } = writeLines(readBrief(fields).brief)
  const said = lines.map(({ notes }) =>
    notes.map(({ start, ticks, pitch }) => `${start} ${ticks} ${pitch ? midiOf(pitch) : '-'}`).join(','),
  )
  return said.length === 0 ? 'none' : createHash('sha256').update(said.join(';')).digest('base64url').slice(0, 22)
}

/** Where the sums of an edition stand. */
export const fileOf = (edition: number): string => `test/data/editions/${edition}.json`

export const keptSums = (edition: number): Readonly<Record<string, string>> =>
  JSON.parse(readFileSync(fileOf(edition), 'utf8')) as Readonly<Record<string, string>>
