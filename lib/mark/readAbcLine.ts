/** The line in a tune of ABC notation: one voice, as it sounds. The tune is parsed by abcjs. */

import { chartOfMeasures } from '../changes/xml/scoreBars.ts'
import { carriedName } from '../score/carriedRoles.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { type Head, headOf, type Parsed } from './abcFields.ts'
import { readMeasures } from './abcMeasures.ts'
import Parse from './abcParser.ts'
import { choosePart } from './choosePart.ts'
import { playMeasures, problem, type Reading, withoutPickup } from './played.ts'

/** Whether a text is ABC notation: it has the two fields that every tune has. */
export const isAbc = (text: string): boolean => /^X:\s*\d/m.test(text) && /^K:/m.test(text)

/** The longest tune that is read, in characters. */
const longestAbc = 400_000
/** The longest of its lines: what is read of a line grows with its square where braces or brackets stay open. Remarks are passed over. */
const longestAbcLine = 2_000

/** Reads the line of the first tune of a text; `part` by number, else the first voice with notes. */
export function readAbcLine(text: string, part: string | null): Reading {
  if (text.length > longestAbc)
    return {
      played: null,
      problems: [problem('too-large', `${text.length} characters of ABC`, `at most ${longestAbc}`, 'give one tune')],
    }
  const long = /^[^%\r\n][^\r\n]*/gm
  const over = [...text.matchAll(long)].find(([line]) => line.length > longestAbcLine)
  if (over) {
    const found = `${over[0].length} characters in one line of ABC`
    const hint = 'begin a new line after every few bars'
    return { played: null, problems: [problem('too-large', found, `at most ${longestAbcLine}`, hint, over.index)] }
  }
  const parser = new Parse()
  try {
    parser.parse(text)
  } catch {
    return {
      played: null,
      problems: [
        problem('unreadable-file', 'ABC that its reader stops at', 'a tune', 'check its fields, X: first and K: last'),
      ],
    }
  }
  const tune = parser.getTune()
  const voices = new Map<string, { name: string; elements: Parsed[]; head: Head }>()
  for (const { staff = [] } of tune.lines ?? [])
    for (const [s, each] of staff.entries())
      for (const [v, elements] of each.voices.entries()) {
        const id = `${s}.${v}`
        const voice = voices.get(id) ?? { name: `Voice ${voices.size + 1}`, elements: [], head: headOf(each) }
        voices.set(id, voice)
        voice.elements.push(...elements)
      }
  const chosen = choosePart(
    [...voices.values()].filter(({ elements }) => elements.some(({ pitches }) => pitches)),
    part,
  )
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const { elements, head } = chosen.part
  const { measures, written, problems, lengths } = readMeasures(elements, head)
  if (problems.length > 0) return { played: null, problems }
  const { title, composer, tempo } = tune.metaText ?? {}
  const bpm = tempo?.bpm && tempo.bpm > 0 ? tempo.bpm * 4 * (tempo.duration?.[0] ?? 0.25) : null
  const words = { title: title || null, composer: composer || null, style: null, tempo: bpm && Math.round(bpm) }
  const whole = chartOfMeasures(measures, words, [])
  const carried = new RegExp(`^%\\s*${carriedName} (\\S+)`, 'm').exec(text)?.[1] ?? null
  // A pickup as long as a bar looks like one; in a file of ours every bar has a chord, and a pickup none.
  const full = carried !== null && measures[0]?.chords.length === 0 && measures[1]?.chords[0]?.at === 0
  const isPickup = measures.length > 1 && (lengths[0]! < ticksPerBar(whole.meter) || full)
  const chart = isPickup ? withoutPickup(whole) : whole
  const pickup = isPickup ? { measure: written[0]!, ticks: lengths[0]! } : null
  return {
    played: {
      chart,
      notes: playMeasures(isPickup ? written.slice(1) : written, chart, pickup),
      name: null,
      program: programIn(text),
      transposition: head.transposition,
      parts: [...voices.values()].map(({ name }) => name),
      spelled: true,
      carried,
    },
    problems: [],
  }
}

/** The General MIDI program that a tune asks for; null where it asks for none. */
function programIn(text: string): number | null {
  const program = Number(/^%%MIDI program (?:\d+ )?(\d+)/m.exec(text)?.[1] ?? Number.NaN)
  return program >= 0 && program <= 127 ? program : null
}
