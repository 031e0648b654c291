/** Diminished chords that pass within a key, where the key itself holds no such chord: Fdim7 between Fmaj7 and C/E. */
import { tonicOf } from './events.ts'
import type { Member } from './substituteReadings.ts'

const sameKey = (a: Member, b: Member) =>
  a.reading.mode === b.reading.mode && tonicOf(a.event, a.reading) === tonicOf(b.event, b.reading)

/** The members, with each diminished chord between two chords of one major key heard in that key. */
export function withPassing(members: readonly Member[]): readonly Member[] {
  return members.map((member, i) => {
    const before = members[i - 1]
    const next = members[i + 1]
    if (member.event.kind !== 'dim' || !before || !next || !sameKey(before, next)) return member
    if (before.reading.mode === 'minor' || sameKey(before, member)) return member
    const above = (member.event.root - tonicOf(before.event, before.reading) + 12) % 12
    return { ...member, reading: { ...member.reading, mode: before.reading.mode, above } }
  })
}
