/** How far a score in MEI reaches on paper, for who has no part but its MEI: what `extentOf` tells of the part itself. */
import { SaxesParser } from 'saxes'
import { type BarContent, type Extent, type Said, type SystemExtent, widthOfLine } from '../score/extent.ts'
import type { ScoreEvent } from '../score/score.ts'

type Writable<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer E)[] ? E[] : T[K] }

/** A line of music being read. */
interface Reading {
  readonly bars: Writable<BarContent>[]
  readonly rows: Set<string>
  twoFive: boolean
}

/** Reads the MEI that `writeMei` writes; of other MEI as much as is written alike. */
export function readExtent(mei: string): Extent {
  const systems: Reading[] = [{ bars: [], rows: new Set(), twoFive: false }]
  const rows = new Set<string>()
  let [head, strings] = [false, 0]
  let said: Writable<Said> | null = null

  const read = (name: string, a: Readonly<Record<string, string>>): void => {
    const system = systems.at(-1)!
    const bar = system.bars.at(-1)
    if (name === 'sb') systems.push({ bars: [], rows: new Set(), twoFive: false })
    else if (name === 'measure') system.bars.push({ notes: [], said: [] })
    else if (name === 'pgHead') head = true
    else if (name === 'staffDef' && a.notationtype?.startsWith('tab')) strings = Number(a.lines ?? 0)
    else if (name === 'bracketSpan') system.twoFive ||= a.type === 'two-five'
    else if (a.vgrp !== undefined) rows.add(a.vgrp)
    else if ((name === 'note' || name === 'rest') && a.dur)
      bar?.notes.push({ value: Number(a.dur) as ScoreEvent['value'], accidental: null })
    else if (name === 'accid' && a.accid && bar && bar.notes.length > 0)
      bar.notes.push({ ...bar.notes.pop()!, accidental: a.func === 'caution' ? 'cautionary' : 'shown' })
    else if (name === 'harm') {
      said = { at: Number(a.tstamp ?? 1), letters: 0, below: a.place === 'below' }
      bar?.said.push(said)
      if (a.n !== undefined) system.rows.add(a.n)
    }
  }
  const parser = new SaxesParser({ xmlns: false, position: false })
  parser.on('opentag', ({ name, attributes }) => read(name, attributes))
  parser.on('closetag', ({ name }) => {
    if (name === 'harm') said = null
  })
  parser.on('text', (text) => {
    if (said) said.letters += text.length
  })
  // What is no XML is for the engraver to refuse.
  parser.on('error', () => {})
  parser.write(mei).close()
  return {
    systems: systems.map(
      ({ bars, rows: own, twoFive }): SystemExtent => ({
        bars: bars.length,
        width: widthOfLine(bars),
        rows: own.size,
        twoFive,
      }),
    ),
    head,
    noteRows: rows.size,
    strings,
  }
}
