import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { RelaxNGValidator, XmlDocument } from 'libxml2-wasm'
import { beforeAll, describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { type Engraver, loadEngraver } from '../../lib/engrave/engraver.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'
import { notesOfMidi, soundingNotes } from './soundingNotes.ts'

const schema = fileURLToPath(new URL('../data/schemas/mei-CMN-5.1.rng', import.meta.url))

/** Invented changes: a minor and a major cadence, a tritone substitute, a backdoor, no-chord, slash chords, sus. */
const tunes: Readonly<Record<string, string>> = {
  '4/4': '[A] Dm7 G7 | Cmaj7 | Bm7b5 E7(b9) | Am6 | Fm7 Bb13 | C/E Ebdim7 | Dm7 Db7(#11) | C6 N.C. |',
  '3/4': 'Time: 3/4\n| Ebmaj7 | Cm7 | Fm7 | Bb7sus4 | Gm7 C7(#9) | Fm7/Bb | Eb6 | Bb7alt |',
  '6/8': 'Time: 6/8\n| F#m7 | B7(b9) | Emaj7 | C#7 | F#m7b5 | B7 | Em | Em |',
  '5/4': 'Time: 5/4\n| Bbm7 | Eb7 | Abmaj7 | Dbmaj7 | Gm7b5 | C7(b9) | Fm6 | Fm6 |',
}
const rhythms = ['eighths', 'phrased', 'triplets']
const places = ['1', '4&', '3']

let engraver: Engraver
let validator: RelaxNGValidator
beforeAll(async () => {
  engraver = await loadEngraver()
  validator = RelaxNGValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(schema)))
})

describe.each(['alto-sax', 'trombone', 'horn'])('lines in twelve keys for %s', (instrument) => {
  test.each(
    Object.entries(tunes).map(([meter, changes], i) => [meter, changes, rhythms[i % 3]!, places[i % 3]!, i] as const),
  )(
    `%s: full bars, no double accidental, the MIDI of the engraving is the line's, valid MEI`,
    (_, changes, rhythm, on, tune) => {
      const { brief } = readBrief({ changes, instrument, keys: 'fourths', rhythm, on, every: 'chord' })
      const { lines } = writeLines(brief)
      expect(lines).toHaveLength(12)
      // Three of the twelve keys for each of the four tunes.
      for (const line of lines.filter((_, i) => i % 4 === tune)) {
        const part = layScore(line, brief)
        for (const bar of part.bars)
          expect(bar.events.reduce((sum, { ticks }) => sum + ticks, 0)).toBe(ticksPerBar(bar.meter))
        const events = part.bars.flatMap((bar) => bar.events)
        expect(events.filter(({ pitch }) => pitch && Math.abs(pitch.alter) > 1)).toEqual([])
        expect(Math.max(...part.bars.map(({ signature }) => Math.abs(signature)))).toBeLessThanOrEqual(6)
        const mei = writeMei(part, { show: brief.show })
        const doc = XmlDocument.fromString(mei)
        validator.validate(doc)
        doc.dispose()
        engraver.toolkit.loadData(mei)
        const midi = notesOfMidi(Buffer.from(engraver.toolkit.renderToMIDI(), 'base64'))
        const played = midi.map((note) => ({ ...note, start: Math.round(note.start), ticks: Math.round(note.ticks) }))
        expect(played).toEqual(soundingNotes(part))
      }
    },
  )
})
