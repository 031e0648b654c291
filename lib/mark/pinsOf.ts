/** The bars of a marked line as pins, so that `line` keeps some of them and writes the rest anew around them. */
import type { Line } from '../line/line.ts'
import { plainPitch } from '../line/pins.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { midiOf, nameOf } from '../theory/pitch.ts'

/**
 * A pin for each bar that holds a note: `5=F4 E4/24 -`, sounding, eighths unless ticks follow. A note held over a bar line is cut
 * there, and what is left of it is a rest.
 */
export function pinsOf({ harmony, notes }: Pick<Line, 'harmony' | 'notes'>): readonly string[] {
  let next = 0
  return harmony.bars.flatMap(({ bar, start, ticks }): string[] => {
    const end = start + ticks
    while (notes[next] && notes[next]!.start + notes[next]!.ticks <= start) next++
    const words: string[] = []
    let sounds = false
    for (let i = next; i < notes.length && notes[i]!.start < end; i++) {
      const { start: from, ticks: long, pitch } = notes[i]!
      const length = Math.min(from + long, end) - Math.max(from, start)
      const name = pitch && from >= start ? nameOf(plainPitch(midiOf(pitch))) : '-'
      sounds ||= name !== '-'
      words.push(length === ticksPerQuarter / 2 ? name : `${name}/${length}`)
    }
    return sounds ? [`${bar}=${words.join(' ')}`] : []
  })
}
