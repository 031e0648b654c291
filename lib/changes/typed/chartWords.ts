/** What the words around the music say: title, composer, style, tempo, and by way of the drafting key and meter. */
import type { HeaderItem } from './chartHeader.ts'
import { readHeaderMeter, readTempo, saysStyle } from './chartHeader.ts'
import type { ChartLine } from './chartLines.ts'
import { type Drafting, setKey, setMeter } from './drafting.ts'

export interface ChartWords {
  title: string | null
  composer: string | null
  style: string | null
  tempo: number | null
}

export function hearHeader(words: ChartWords, d: Drafting, item: HeaderItem, lineAt: number): void {
  const { value } = item
  const at = lineAt + item.at
  const end = lineAt + item.end
  switch (item.name) {
    case 'title':
      words.title ??= value || null
      break
    case 'composer':
      words.composer ??= value || null
      break
    case 'style':
      words.style ??= value || null
      break
    case 'tempo': {
      const read = readTempo(value)
      words.tempo ??= read
      if (read === null) words.style ??= value || null
      break
    }
    case 'key':
      setKey(d, value, item.german, at, end)
      break
    case 'meter': {
      const read = readHeaderMeter(value)
      if (read) setMeter(d, read, at + Math.max(0, value.search(/\d/)), end)
      else if (value) d.problems.say('error', 'unknown-meter', at, end, 'a meter such as 4/4', '4/4', '4/4')
    }
  }
}

const tempoLine = /^(.{0,60}?)[\s,(]*(?:(?:♩|𝅘𝅥|q|quarter)\s*=\s*(\d{2,3})|(\d{2,3})\s*bpm)\)?\.?$/i
const letterLine = /[:,.;?!]$|https?:|@|^(?:hi|hello|hey|dear|from|to|subject)\b/i

/** A line of words before the music: a tempo, a style, or, the first of all, the title. */
export function hearWords(words: ChartWords, d: Drafting, { line }: ChartLine, first: boolean): void {
  if (d.drafts.length > 0 || line.quoted) return
  const said = line.text.length <= 80 ? tempoLine.exec(line.text) : null
  if (said) {
    words.tempo ??= Number(said[2] ?? said[3])
    const rest = said[1]!.replace(/[,:(\s-]+$/, '').trim()
    if (rest) words.style ??= rest
    return
  }
  const bare = line.text.length <= 60 ? (/^\((.*)\)$/.exec(line.text)?.[1] ?? line.text) : line.text
  if (saysStyle(bare) && (words.title !== null || bare !== line.text)) {
    words.style ??= bare
    return
  }
  if (bare !== line.text || words.title !== null || !first) return
  if (line.text.length <= 60 && !letterLine.test(line.text) && /^[^a-z]/.test(line.text))
    words.title = line.text.replace(/^["'*_\s]+|["'*_\s]+$/g, '') || null
}

/** The first line as a heading of the first rank, where others of the second rank follow, is the title. */
export function hearHeading(words: ChartWords, lines: readonly ChartLine[], n: number): void {
  const { text } = lines[n]!.line
  if (words.title !== null || !/^# \S.{0,60}$/.test(text)) return
  if (lines.some((line) => line.line.text.startsWith('## '))) words.title = text.slice(2).trim()
}
