/** Diminished chords that pass within a key, where the key itself holds no such chord: Fdim7 between Fmaj7 and C/E. */
import type { Member } from './substituteReadings.ts'

const tonicOf = ({ event, reading }: Member) => (event.root - reading.above + 12) % 12
const sameKey = (a: Member, b: Member) => a.reading.mode === b.reading.mode && tonicOf(a) === tonicOf(b)

/** The members, with each diminished chord between two chords of one major key heard in that key. */
export function withPassing(members: readonly Member[]): readonly Member[] {
  return members.map((member, i) => {
    const before = members[i - 1]
    const next = members[i + 1]
    if (member.event.kind !== 'dim' || !before || !next || !sameKey(before, next)) return member
    if (before.reading.mode === 'minor' || sameKey(before, member)) return member
    const above = (member.event.root - tonicOf(before) + 12) % 12
    return { ...member, reading: { ...member.reading, mode: before.reading.mode, above } }
  })
}
