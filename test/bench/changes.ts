/** How fast changes are read, against three public readers of chord symbols in the same run. Plain functions for the bench. */
import { chordParserFactory } from 'chord-symbol/lib/chord-symbol-esm.js'
import daccord from 'daccord'
import { Chord as TonalChord } from 'tonal'
import { forgetSuffixes } from '../../lib/changes/symbol/parseSymbol.ts'
import { readAnew, readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'

/** Symbols that every one of the readers understands, over every root. */
const suffixes = [
  '',
  'm',
  '7',
  'm7',
  'maj7',
  'm7b5',
  'dim7',
  '6',
  'm6',
  '9',
  'm9',
  'maj9',
  '13',
  '7b9',
  '7#9',
  'sus4',
  'aug',
]
const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
export const benchSymbols: readonly string[] = roots.flatMap((root) => suffixes.map((suffix) => root + suffix))

/** The median of several runs of a job over all the symbols, in microseconds a symbol. */
function perSymbol(job: (symbol: string) => unknown, runs = 15): number {
  const times: number[] = []
  for (let run = 0; run < runs; run++) {
    const start = performance.now()
    for (const symbol of benchSymbols) job(symbol)
    times.push(((performance.now() - start) * 1000) / benchSymbols.length)
  }
  times.sort((a, b) => a - b)
  return times[Math.floor(runs / 2)]!
}

export interface ChangesMeasures {
  /** Microseconds a symbol. */
  readonly warm: number
  readonly cold: number
  readonly chordSymbol: number
  readonly tonal: number
  readonly daccord: number
  /** Milliseconds for a thousand bars of distinct lines. */
  readonly thousandBars: number
  /** Time for 2,048 bars over the time for 256, divided by 8: 1 where time grows linearly. */
  readonly growth: number
}

/** A chart of so many bars, four a line, its chords walking through all the symbols. */
export function longChart(bars: number): string {
  let text = ''
  for (let bar = 0; bar < bars; bar++) {
    const first = benchSymbols[(bar * 7) % benchSymbols.length]!
    const second = benchSymbols[(bar * 11 + 5) % benchSymbols.length]!
    text += `| ${bar % 3 === 0 ? `${first} ${second}` : first} ${bar % 4 === 3 ? '|\n' : ''}`
  }
  return text
}

function median(job: () => unknown, runs = 15): number {
  const times: number[] = []
  for (let run = 0; run < runs; run++) {
    const start = performance.now()
    job()
    times.push(performance.now() - start)
  }
  times.sort((a, b) => a - b)
  return times[Math.floor(runs / 2)]!
}

/** Everything measured in one run, after a first round that warms the machine. */
export function measureChanges(): ChangesMeasures {
  const parse = chordParserFactory()
  const short = longChart(256)
  const long = longChart(2048)
  const thousand = longChart(1000)
  for (let i = 0; i < 20; i++) readChart(short)
  return {
    warm: perSymbol(readSymbol),
    cold: perSymbol((symbol) => {
      forgetSuffixes()
      readAnew(symbol)
    }),
    chordSymbol: perSymbol(parse),
    tonal: perSymbol((symbol) => TonalChord.get(symbol)),
    daccord: perSymbol((symbol) => daccord(symbol.replace(/^[A-G][#b]?/, ''))),
    thousandBars: median(() => readChart(thousand)),
    growth: median(() => readChart(long)) / median(() => readChart(short)) / 8,
  }
}
