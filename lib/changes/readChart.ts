/** A typed chart to its bars: headers, sections, bar lines, repeats, endings, and the chords with their beats. */
import type { Problem } from '../problem.ts'
import { type Key, readKey } from '../theory/key.ts'
import { commonTime, type Meter, meterName } from '../theory/meter.ts'
import { plainText, spanAsTyped } from './characters.ts'
import type { Bar, Chart, ChartChord } from './chart.ts'
import { readPlainSymbol } from './readSymbol.ts'

/**
 * Reads a typed chart. Never throws; what does not read is reported and the rest is read on.
 *
 * @example
 * readChart('| Dm7 G7 | Cmaj7 |').bars.map((bar) => bar.chords.map((chord) => chord.symbol)) // => [['Dm7', 'G7'], ['Cmaj7']]
 */
export function readChart(typed: string): Chart {
  const plain = plainText(typed)
  const problems: Problem[] = []
  const bars: Bar[] = []
  let title: string | null = null
  let composer: string | null = null
  let style: string | null = null
  let tempo: number | null = null
  let key: Key | null = null
  let meter: Meter = commonTime
  let chartMeter: Meter | null = null
  let section: string | null = null
  let nextKey: Key | null = null
  let ending: number[] | null = null
  let repeatStart = false
  const say = (code: string, start: number, end: number, expected: string, hint: string) => {
    const span = spanAsTyped(plain, start, end)
    problems.push({ severity: 'error', code, span, found: typed.slice(span.start, span.end), expected, hint })
  }

  let offset = 0
  for (const line of plain.text.split('\n')) {
    const lineAt = offset
    offset += line.length + 1
    const header = /^\s*(Title|Key|Time|Meter|Tempo|Feel|Style|Composer)\s*:\s*(.*)$/i.exec(line)
    if (header) {
      const value = header[2]!.trim()
      switch (header[1]!.toLowerCase()) {
        case 'title':
          title = value
          break
        case 'composer':
          composer = value
          break
        case 'feel':
        case 'style':
          style = value
          break
        case 'tempo':
          tempo = Number(/\d+/.exec(value)?.[0] ?? Number.NaN) || null
          break
        case 'key': {
          const read = readKey(value)
          if (read && bars.length) nextKey = read
          else key = read
          break
        }
        default: {
          const found = /(\d+)\s*\/\s*(\d+)/.exec(value)
          if (found) meter = { beats: Number(found[1]), unit: Number(found[2]) }
          chartMeter ??= meter
        }
      }
      continue
    }
    if (/^\s*#/.test(line)) continue
    const label = /^\s*(?:\[([^\]]+)\]|([A-Za-z][\w' ]*):(?!\|))\s*/.exec(line)
    let at = 0
    if (label) {
      section = (label[1] ?? label[2])!
      at = label[0].length
    }
    if (!line.includes('|')) continue
    const bits = line.slice(at).matchAll(/(:?\|\|?:?|:\|)(?:\s*(\d)\.)?|[^|:]+/g)
    for (const bit of bits) {
      const bitAt = lineAt + at + bit.index
      if (bit[0].includes('|')) {
        if (bit[0].startsWith(':') && bars.length) {
          bars[bars.length - 1] = { ...bars[bars.length - 1]!, repeatEnd: true }
          ending = null
        }
        if (bit[0].endsWith(':')) repeatStart = true
        if (bit[2]) ending = [Number(bit[2])]
        continue
      }
      if (bit[0].trim() === '') continue
      const chords: ChartChord[] = []
      const beats: number[] = []
      for (const word of bit[0].matchAll(/(\d+)\/(1|2|4|8|16|32)(?=\s)|\S+/g)) {
        const start = bitAt + word.index
        const end = start + word[0].length
        if (word[1]) {
          meter = { beats: Number(word[1]), unit: Number(word[2]) }
          continue
        }
        if (word[0] === '/' || word[0] === '.') {
          if (beats.length) beats[beats.length - 1]! += 1
          continue
        }
        if (word[0] === '%') {
          for (const chord of bars[bars.length - 1]?.chords ?? []) {
            chords.push({ ...chord, span: spanAsTyped(plain, start, end) })
            beats.push(chord.beats)
          }
          continue
        }
        const reading = readPlainSymbol(word[0])
        for (const problem of reading.problems)
          if (problem.severity === 'error')
            say(problem.code, start + problem.span.start, start + problem.span.end, problem.expected, problem.hint)
        const span = spanAsTyped(plain, start, end)
        chords.push({
          ...(reading.symbol ?? { symbol: word[0], root: null, chord: null, bass: null }),
          beats: 0,
          span,
          optional: reading.optional,
        })
        beats.push(1)
      }
      if (chords.length === 0) {
        const last = bars[bars.length - 1]?.chords.at(-1)
        if (!last) continue
        chords.push(last)
        beats.push(meter.beats)
      }
      const total = beats.reduce((sum, b) => sum + b, 0)
      const timed = chords.map((chord, i) => ({
        ...chord,
        beats: total === meter.beats ? beats[i]! : (beats[i]! * meter.beats) / total,
      }))
      bars.push({
        index: bars.length,
        section,
        meter,
        key: nextKey,
        ending,
        repeatStart,
        repeatEnd: false,
        chords: timed,
      })
      nextKey = null
      repeatStart = false
    }
    if (ending && !ending.includes(1)) ending = null
  }
  if (bars.length === 0) say('no-chords', 0, 0, 'at least one chord or N.C.', '| Dm7 | G7 | Cmaj7 |')

  const playOrder: number[] = []
  let from = 0
  for (let i = 0; i < bars.length; ) {
    if (bars[i]!.repeatStart) from = i
    playOrder.push(i)
    if (!bars[i]!.repeatEnd) {
      i += 1
      continue
    }
    const skip = bars.slice(from, i + 1).findIndex((bar) => bar.ending?.includes(1))
    const upTo = skip < 0 ? i + 1 : from + skip
    for (let j = from; j < upTo; j++) playOrder.push(j)
    i += 1
    from = i
  }
  void meterName
  return {
    title,
    composer,
    style,
    tempo,
    key,
    meter: chartMeter ?? bars[0]?.meter ?? commonTime,
    barsKnown: true,
    bars,
    playOrder,
    problems,
  }
}
