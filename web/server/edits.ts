/** What the editor's buttons do to the changes as typed: bars lined up, everything a semitone up or down, all hints put in. The rest stays as it is. */
import { defaultBrief, limits } from '../../lib/brief.ts'
import type { Chart, ChartChord } from '../../lib/changes/chart.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { decodeText, isScore, readChanges } from '../../lib/changes/readChanges.ts'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { homeOf } from '../../lib/lines/write.ts'
import { intervalToKey, keyAt, nameOfKey } from '../../lib/theory/key.ts'
import { chromaOf, modulo, nameOf } from '../../lib/theory/pitch.ts'
import { type Answer, bytesAnswer } from './answer.ts'
import { mendAll } from './problems.ts'
import type { EditQuestion, ReadQuestion } from './workerRequest.ts'

/** The changes after an edit, as plain text. */
export function answerEdit({ changes, edit }: EditQuestion): Answer {
  const text =
    edit === 'align'
      ? alignBars(changes)
      : edit === 'mend'
        ? mendAll(changes)
        : moveChanges(changes, edit === 'up' ? 1 : -1)
  return bytesAnswer(200, 'text/plain; charset=utf-8', Buffer.from(text, 'utf8'), true)
}

/** A dropped file's changes as text: typed text as it is, a score printed; 422 and a sentence where it cannot be read. */
export function answerRead({ bytes }: ReadQuestion): Answer {
  const plain = (status: number, text: string) =>
    bytesAnswer(status, 'text/plain; charset=utf-8', Buffer.from(text, 'utf8'), true)
  const text = decodeText(bytes)
  const typed = !isScore(text) && !/^(?:PK|%PDF)/.test(text) && !text.includes('\0')
  if (typed)
    return text.length > limits.changes
      ? plain(422, `Changes may have up to ${limits.changes} characters.`)
      : plain(200, text)
  const chart = readChanges(bytes)
  const [wrong] = chart.problems.filter(({ severity }) => severity === 'error')
  if (chart.bars.length > 0) return plain(200, printChart(chart))
  return plain(422, wrong ? `Found ${wrong.found}; expected ${wrong.expected}.` : 'There are no chords in this file.')
}

/** What a chart says, so that two texts can be compared for meaning the same. */
const meaning = ({ bars, playOrder }: Chart): string =>
  JSON.stringify([
    bars.map((bar) => [bar.section, bar.meter, bar.chords.map(({ symbol, beats }) => [symbol, beats])]),
    playOrder,
  ])

const barLine = /(\|\||:?\|[:\].]?|\[\||:\|:)/
const isMusic = (line: string): boolean => line.includes('|')

/**
 * Lines up the bar lines of lines that follow each other. Where that would change what the text says, it stays as it is.
 *
 * @example
 * alignBars('| Dm7 | G7 |\n| Cmaj7 | Cmaj7 |') // => '| Dm7   | G7    |\n| Cmaj7 | Cmaj7 |'
 */
export function alignBars(text: string): string {
  const lines = text.split('\n')
  const out: string[] = []
  for (let i = 0; i < lines.length; ) {
    let end = i
    while (end < lines.length && isMusic(lines[end]!)) end += 1
    if (end === i) {
      out.push(lines[i]!)
      i += 1
      continue
    }
    out.push(...alignBlock(lines.slice(i, end)))
    i = end
  }
  const aligned = out.join('\n')
  return meaning(readChart(aligned)) === meaning(readChart(text)) ? aligned : text
}

function alignBlock(lines: readonly string[]): readonly string[] {
  // Cells at even places, bar lines at odd ones.
  const rows = lines.map((line) => line.split(barLine).map((cell) => cell.trim().replace(/[ \t]+/g, ' ')))
  const most = Math.max(...rows.map((row) => row.length))
  const widths = Array.from({ length: most }, (_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)))
  return rows.map((row) =>
    row
      .map((cell, column) => {
        const last = column === row.length - 1
        const width = widths[column]!
        if (column % 2 === 1) return last ? cell : cell.padEnd(width)
        if (column === 0) return width === 0 ? '' : `${cell.padEnd(width)} `
        return last ? (cell === '' ? '' : ` ${cell}`) : ` ${cell.padEnd(width)} `
      })
      .join('')
      .trimEnd(),
  )
}

/**
 * Puts every chord and the key line up or down by semitones, each under the name that the new key asks for; what else is typed
 * stays.
 *
 * @example
 * moveChanges('Key: C\n| Dm7 G7 | C/E |', 1) // => 'Key: Db\n| Ebm7 Ab7 | Db/F |'
 */
export function moveChanges(text: string, semitones: number): string {
  const chart = readChart(text)
  if (chart.bars.length === 0) return text
  const key = chart.key ?? homeOf(chart, { ...defaultBrief, changes: text }).harmony.key
  const interval = intervalToKey(key, keyAt(modulo(chromaOf(key.tonic) + semitones, 12), key.mode))
  const moved = transposeChart({ ...chart, key }, interval)
  const edits = new Map<number, { readonly end: number; readonly by: string }>()
  chart.bars.forEach((bar, b) => {
    bar.chords.forEach((chord, c) => {
      const by = renamed(text.slice(chord.span.start, chord.span.end), chord, moved.bars[b]!.chords[c]!)
      if (by !== null) edits.set(chord.span.start, { end: chord.span.end, by })
    })
  })
  for (const match of text.matchAll(
    /^([ \t]*(?:\{?\s*key|tonart)[ \t]*:[ \t]*)([A-Ga-g](?:[#b♯♭]|[ -]?(?:flat|sharp))?)/gim,
  )) {
    const start = match.index + match[1]!.length
    edits.set(start, { end: start + match[2]!.length, by: moved.key ? nameOf(moved.key.tonic) : nameOfKey(key) })
  }
  let out = ''
  let at = 0
  for (const [start, { end, by }] of [...edits].sort((a, b) => a[0] - b[0])) {
    if (start < at) continue
    out += text.slice(at, start) + by
    at = end
  }
  return out + text.slice(at)
}

/** A chord as typed under its new names; null where nothing but a sign stands there. */
function renamed(typed: string, from: ChartChord, to: ChartChord): string | null {
  if (!from.root || !to.root) return null
  const match = /^(\(?\s*)([A-Ha-h])(.*)$/s.exec(typed)
  if (!match) return null
  const [, open = '', , rest = ''] = match
  const signs =
    /^(?:𝄫|𝄪)/u.exec(rest)?.[0].length ??
    (/^x/.test(rest) && Math.abs(from.root.alter) === 2 ? 1 : Math.abs(from.root.alter))
  let suffix = rest.slice(signs)
  if (from.bass && to.bass)
    suffix = suffix.replace(/([/⁄∕／]\s*)[A-Ha-h](?:[#b♯♭]{0,2})(\)?\s*)$/, `$1${nameOf(to.bass)}$2`)
  return open + nameOf(to.root) + suffix
}
