/** The meter of a MusicXML measure: of its time signature, or of several, or of none (MusicXML 4.0: time, senza-misura). */
import { goodMeter, type Meter, ticksPerBar, ticksPerBeat } from '../../theory/meter.ts'
import { meterLasting } from './scoreMeasure.ts'
import { childrenOf, type XmlNode } from './xmlTree.ts'

/** What holds from a time signature on. */
export interface Signature {
  meter: Meter
  /** Meters beside it in the same signature, of which a measure may have the length. */
  others: readonly Meter[]
  /** Whether no meter holds (senza misura). */
  free: boolean
}

/** A meter; one put together of several has the finest of their beats. */
export function meterOf(time: XmlNode): Meter {
  const units = childrenOf(time, 'beat-type').map((node) => Number(node.text()))
  const unit = units.length > 0 ? units.reduce((finest, each) => Math.max(finest, each)) : 4
  const groups = childrenOf(time, 'beats').flatMap((node, i) =>
    node
      .text()
      .split('+')
      .map((part) => (Number(part) * unit) / (units[i] ?? unit)),
  )
  const beats = groups.reduce((sum, size) => sum + size, 0)
  return groups.length > 1 ? { beats, unit, groups } : { beats, unit }
}

/**
 * A measure's meter: the one that it opens with, or of several beside it the one as long as its music, or where none holds its music's own.
 * A change within it divides its beats in two groups; one at its end counts from the next measure on.
 */
export function meterWithin({ meter, others, free }: Signature, length: number, shift: number): Meter {
  if (length === 0 || length === ticksPerBar(meter)) return meter
  const lasting = meterLasting(length, meter.unit)
  if (free) return lasting ?? meter
  if (shift > 0 && shift < length && lasting) {
    const first = shift / ticksPerBeat(lasting)
    const grouped = { ...lasting, groups: [first, lasting.beats - first] }
    return Number.isInteger(first) && goodMeter(grouped) ? grouped : lasting
  }
  return others.find((other) => ticksPerBar(other) === length) ?? meter
}
