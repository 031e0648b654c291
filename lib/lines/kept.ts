/** Lines that are kept: packed for a link, and had back in whatever key and range the tune stands in now. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { packLine, type Unpackable, unpackLine } from '../kept/packLine.ts'
import { isWholeLine } from '../kept/wholeLine.ts'
import type { Draft, Relaxed } from '../line/draftLine.ts'
import { carryLine, foldsOf, moveDraft } from '../line/transposeLine.ts'

const reasons: Readonly<Record<Unpackable, string>> = {
  damaged: 'the kept notes cannot be read: part of the link is missing or changed; a line is drawn in their place',
  unknown: 'the kept notes were packed by a later version of this program; a line is drawn in their place',
  'other-changes': 'the kept notes belong to other changes than these; a line is drawn in their place',
}

/** The line that a brief keeps, moved by octaves where its range asks for it; what gave way where it cannot be had. */
export function readKept(
  { kept }: Pick<Brief, 'kept'>,
  harmony: Harmony,
  range: readonly [number, number],
  wide: readonly [number, number],
): Draft | Relaxed {
  const unpacked = unpackLine(kept, harmony)
  const refused = (why: Unpackable): Relaxed => ({ rule: 'kept-line', bar: 1, why: reasons[why] })
  if (typeof unpacked === 'string') return refused(unpacked)
  const { draft, up } = unpacked
  if (!isWholeLine(draft, harmony)) return refused('damaged')
  const shifts = carryLine(draft, up, range, wide)
  if (!shifts)
    return {
      rule: 'kept-line',
      bar: 1,
      why: 'the kept notes have no place in this range; a line is drawn in their place',
    }
  const folds = foldsOf(draft, shifts).map((bar) => ({
    rule: 'same-octave',
    bar,
    why: 'the kept line changes octave here to stay in range',
  }))
  return { ...moveDraft(draft, shifts), relaxed: folds }
}

/**
 * The notes of a line in the tune's own key, packed for a link: some 250 to 350 characters for 32 bars. Null where it cannot be
 * packed.
 */
export const keepLine = (draft: Draft, harmony: Harmony): string | null => packLine(draft, harmony)
