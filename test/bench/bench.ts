/** `npm run bench`: one table, ratios in one run. Wants the build in dist/ for start-up and server, and a machine left alone. */
import { spawnSync } from 'node:child_process'
import { cpus } from 'node:os'
import { benchBook } from './bookBench.ts'
import { measureChanges } from './changes.ts'
import { benchHarmony } from './harmonyBench.ts'
import { benchLines } from './lineBench.ts'
import { benchMark } from './markBench.ts'
import { benchPage } from './pageBench.ts'
import { benchPractice } from './practiceBench.ts'
import { benchServer } from './serverBench.ts'
import { benchSolver } from './solverBench.ts'
import { benchSound } from './soundBench.ts'
import { benchView } from './viewBench.ts'

interface Row {
  readonly what: string
  readonly found: string
  /** The aim, and whether it is met; absent where the row only informs. */
  readonly aim?: string
  readonly met?: boolean
}
const rows: Row[] = []
const n = (value: number, digits = 1) => value.toFixed(digits)
const under = (what: string, value: number, most: number, unit: string, digits = 1): void => {
  rows.push({ what, found: `${n(value, digits)} ${unit}`, aim: `under ${most} ${unit}`, met: value < most })
}
const over = (what: string, value: number, least: number): void => {
  rows.push({ what, found: n(value), aim: `${least} and more`, met: value >= least })
}
const tell = (what: string, found: string): void => {
  rows.push({ what, found })
}

function startUp(): void {
  const time = (args: readonly string[]) => {
    const taken = [1, 2, 3].map(() => {
      const start = performance.now()
      const run = spawnSync(process.execPath, ['dist/lib/cli.js', ...args], { input: '| Dm7 | G7 | Cmaj7 |' })
      if (run.status !== 0) throw new Error('build first: npm run build')
      return performance.now() - start
    })
    return taken.sort((a, b) => a - b)[1]!
  }
  tell('start-up: chart', `${n(time(['chart']), 0)} ms`)
  tell('start-up: line as JSON', `${n(time(['line']), 0)} ms`)
  tell('start-up: line as SVG, engraver and all', `${n(time(['line', '--format', 'svg']), 0)} ms`)
}

const changes = measureChanges()
under('one chord symbol, met before', changes.warm, 3, 'µs', 2)
tell('one chord symbol, met first', `${n(changes.cold, 2)} µs`)
tell(
  '  chord-symbol 4.0.0, tonal 6.4.3, daccord 1.1.0',
  [changes.chordSymbol, changes.tonal, changes.daccord].map((v) => `${n(v, 1)} µs`).join(', '),
)
under('a chart of 1,000 bars', changes.thousandBars, 20, 'ms')
under('reading, growth a bar from 256 to 2,048 bars', changes.growth, 1.5, '×', 2)

for (const { name, milliseconds } of benchHarmony()) tell(name, `${n(milliseconds)} ms`)

const marking = benchMark()
under('32 bars of MusicXML marked', marking.short, 10, 'ms')
under('marking, growth a bar from 32 to 1,024 bars', marking.growth, 1.5, '×', 2)
under('200 files of 32 bars marked and counted', marking.many, 10, 's', 1)

const practice = benchPractice()
under('a record of 10,000 entries read and looked at', practice.open, 300, 'ms')
tell('two of them put together', `${n(practice.merge)} ms`)

const solver = benchSolver()
tell(
  'target solver beside HiGHS on the same problems',
  `${n(solver.ours, 2)} ms, ${n(solver.highs, 1)} ms (${n(solver.highs / solver.ours, 0)} × faster)`,
)

const lines = await benchLines()
under('line over 32 bars', lines.plain, 50, 'ms')
under('line over 32 bars at the fullest', lines.fullest, 100, 'ms')
under('32 bars in phrases at 72', lines.slow, 20, 'ms')
under('32 bars in phrases at 180', lines.fast, 20, 'ms')
under('phrases, growth a bar from 32 to 2,048 bars', lines.phrasedGrowth, 1.5, '×', 2)
under('alternatives at one place', lines.alternatives, 10, 'ms', 2)
under('line, growth a bar from 32 to 2,048 bars', lines.growth, 1.5, '×', 2)
under('paste to SVG beside the same Verovio alone', lines.pasteRatio, 1.3, '×', 2)
tell('  paste to SVG, Verovio', `${n(lines.pasteToSvg)} ms, ${n(lines.verovio)} ms`)

const page = await benchPage()
under('page after a change beside Verovio as it comes', page.page / page.usual, 1.2, '×', 2)
tell('  beside Verovio told where lines break, as here', `${n(page.page / page.own, 2)} ×`)
tell(
  '  page, Verovio so told, Verovio as it comes',
  [page.page, page.own, page.usual].map((v) => `${n(v)} ms`).join(', '),
)

const book = await benchBook()
under('book of twelve keys beside the same Verovio alone', book.book / book.engraver, 2, '×', 2)
tell('  book, Verovio', `${n(book.book, 0)} ms, ${n(book.engraver, 0)} ms`)
under('  its size', book.bytes / 1_000, 300, 'KB', 0)

for (const { name, value, unit, least, most } of await benchSound()) {
  if (least !== undefined) over(`${name}, ${unit}`, value, least)
  else if (most !== undefined) under(name, value, most, unit, unit === '×' ? 2 : 0)
  else tell(name, `${n(value)} ${unit}`)
}
startUp()
tell('memory of this process after all this', `${n(process.memoryUsage().rss / 1e6, 0)} MB`)

const server = await benchServer()
under('server: start to first page', server.start / 1_000, 2, 's', 2)
over('server: new 32-bar SVGs a second', server.fresh, 15)
under('  the slowest hundredth at half that load', server.freshLate, 1_000, 'ms', 0)
under('  a plain answer meanwhile, the slowest hundredth', server.held, 50, 'ms', 0)
over('server: known 32-bar SVGs a second', server.known, 500)
under('  the slowest hundredth at half that load', server.knownLate, 1_000, 'ms', 0)
under('server: memory at most', server.memory, 400, 'MB', 0)

const view = await benchView()
if (view === null) tell('first view of the page in a browser', 'no Chromium here')
else {
  under('first view: the example stands on the staff', view.music, 1_000, 'ms', 0)
  tell('  and every note can be chosen', `${n(view.scripted, 0)} ms`)
}

const date = new Date().toISOString().slice(0, 10)
console.log(`${date}, Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown'}\n`)
console.log('| what | found | aim | |\n|---|---|---|---|')
for (const { what, found, aim, met } of rows)
  console.log(`| ${what} | ${found} | ${aim ?? ''} | ${met === undefined ? '' : met ? 'met' : 'missed'} |`)
