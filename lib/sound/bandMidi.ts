/** The whole arrangement as MIDI: named tracks for the line, the bass, the chords, the drums and the clicks. */
import type { Brief } from '../brief.ts'
import type { Line } from '../line/line.ts'
import { type MidiSequence, type MidiTrack, writeMidi } from '../score/writeMidi.ts'
import { signatureOf } from '../theory/key.ts'
import { type Arrangement, type Part, parts, type Track } from './arrangement.ts'
import { heardParts } from './clicks.ts'
import { playedNotes } from './loosen.ts'
import { arrangePass, type Playing, recordedPasses } from './playPasses.ts'

/** Kits as programs of channel 9, from 0 (General MIDI 2: jazz and brush; a player that knows one kit leaves them be). */
const kits = { jazz: 32, brush: 40 } as const

/** A channel each; 9 is the kit's, which the clicks share (General MIDI). */
const channels: Record<Part, number> = { line: 0, bass: 1, chords: 2, drums: 9, click: 9, count: 9 }

/** Arrangements one after another as one sequence, at their tempos, swung and loose as they are; markers name the chords. */
function sequenceBand(arrangements: readonly Arrangement[], heard: readonly Part[]): MidiSequence {
  let start = 0
  const starts = arrangements.map(({ bars }) => {
    const here = start
    const last = bars.at(-1)
    start += last ? last.start + last.ticks : 0
    return here
  })
  const each = <T>(of: (arrangement: Arrangement, from: number) => readonly T[]): readonly T[] =>
    arrangements.flatMap((arrangement, i) => of(arrangement, starts[i]!))
  const first = arrangements[0]
  const tempos = each(({ tempo }, from) => [{ start: from, tempo }])
  return {
    title: first?.title ?? '',
    tempo: first?.tempo ?? 120,
    tempos: tempos.slice(1).filter(({ tempo }, i) => tempo !== tempos[i]!.tempo),
    ticks: start,
    bars: each(({ bars, key }, from) =>
      bars.map((bar) => {
        const own = bar.key ?? key
        return { start: bar.start + from, meter: bar.meter, signature: signatureOf(own), mode: own.mode }
      }),
    ),
    markers: each(({ chords }, from) => chords.map((chord) => ({ start: chord.start + from, text: chord.symbol }))),
    tracks: parts.flatMap((part): readonly MidiTrack[] => {
      if (!heard.includes(part)) return []
      const trackIn = ({ tracks }: Arrangement): Track | undefined => tracks.find((track) => track.part === part)
      const named = first && trackIn(first)
      const notes = each((arrangement, from) => {
        const track = trackIn(arrangement)
        return (track ? playedNotes(arrangement, track) : []).map((note) => ({
          start: note.start + from,
          ticks: note.ticks,
          midi: note.midi,
          velocity: Math.max(1, Math.min(127, Math.round(127 * note.velocity))),
        }))
      })
      const kit = part === 'drums' ? (first?.feel === 'ballad' ? kits.brush : kits.jazz) : null
      return named && notes.length > 0
        ? [{ name: named.name, channel: channels[part], program: named.program ?? kit, notes }]
        : []
    }),
  }
}

/**
 * A Standard MIDI File of what a recording of the brief would hold: line and band, of each key where there are several. Null
 * where it would last longer than a recording may.
 */
export function writeBandMidi(lines: readonly Line[], brief: Playing & Pick<Brief, 'hear'>): Uint8Array | null {
  const passes = recordedPasses(lines, brief)
  if (!passes) return null
  const arrangements = passes.map((pass) => arrangePass(lines, brief, pass))
  return writeMidi(sequenceBand(arrangements, heardParts(brief)))
}
