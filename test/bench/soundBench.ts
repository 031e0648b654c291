/** How long sound takes: to arrange, to render against real time, to encode, and from a click to the first sample. */
import { existsSync, statSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'
import { defaultBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { parts } from '../../lib/sound/arrangement.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { sampledPrograms } from '../../lib/sound/recordings.ts'
import { planRecording, recordSound, type SoundFormat } from '../../lib/sound/recordSound.ts'
import { type BandSamples, sampleFilesFor } from '../../lib/sound/sampledTones.ts'
import { mixChunk, renderChunk } from '../../lib/sound/synth.ts'

export interface SoundRow {
  readonly name: string
  readonly value: number
  readonly unit: 'ms' | '×' | '× real time' | 'KB'
  /** The aim, where there is one. */
  readonly least?: number
  readonly most?: number
}

/** 32 bars with the usual turns, invented. */
const chorus = [
  'Dm7 | G7 | Cmaj7 | A7(b9) | Dm7 | G7 | Cmaj7 | Cmaj7',
  'Fm7 | Bb7 | Ebmaj7 | Ebmaj7 | Am7b5 | D7(b9) | Gm7 | G7',
  'Cmaj7 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | Cmaj7 C7 | F6 Bdim7 | Em7 A7 | Dm7 G7',
  'Cmaj7 | C7/E | Fmaj7 | Fm6 | Em7 | A13 | Dm7 Db7 | C6/9',
].join(' | ')

const rate = 44_100
const tempo = 160

function median(times: number, run: () => void): number {
  const taken = Array.from({ length: times }, () => {
    const start = performance.now()
    run()
    return performance.now() - start
  })
  return taken.sort((a, b) => a - b)[times >> 1]!
}

/** Arranging and rendering 32 bars at 160, all parts, mixed to stereo; the first time tones are worked out too. */
export async function benchSound(): Promise<readonly SoundRow[]> {
  const brief = { ...defaultBrief, changes: `| ${chorus} |`, tempo }
  const line = writeLines(brief).lines[0]!
  const long = writeLines({ ...brief, choruses: 64 }).lines[0]!
  const performed = playTime(arrange(line, { tempo, looseness: 'light' }))
  const render = (samples: BandSamples = {}) => {
    const frames = Math.ceil(performed.seconds * rate)
    // Two bars at a time, as the page asks for them.
    for (let from = 0; from < frames; from += 3 * rate)
      mixChunk(renderChunk(performed, from, Math.min(frames, from + 3 * rate), rate, parts, samples))
  }
  const started = performance.now()
  render()
  const first = performance.now() - started
  const again = median(5, () => render())
  const short = median(9, () => playTime(arrange(line, { tempo })))
  const tall = median(3, () => playTime(arrange(long, { tempo })))
  const realTime = (ms: number) => (1000 * performed.seconds) / ms
  const rows: SoundRow[] = [
    { name: 'arrange 32 bars', value: short, unit: 'ms' },
    { name: 'arrange 2,048 bars', value: tall, unit: 'ms' },
    { name: 'arranging, growth a bar from 32 to 2,048 bars', value: tall / (64 * short), unit: '×', most: 1.5 },
    { name: 'render 32 bars, tones and all', value: realTime(first), unit: '× real time' },
    { name: 'render 32 bars, tones known', value: realTime(again), unit: '× real time' },
  ]
  rows.push(...(await benchRecorded(line.instrument.program, render, realTime)))
  const recording = planRecording([line], brief)!
  for (const format of ['wav', 'flac'] satisfies SoundFormat[]) {
    const start = performance.now()
    let bytes = 0
    for await (const piece of recordSound(recording, format)) bytes += piece.length
    rows.push({ name: `32 bars as ${format}`, value: performance.now() - start, unit: 'ms' })
    rows.push({ name: `32 bars as ${format}`, value: bytes / 1024, unit: 'KB' })
  }
  return rows
}

/** The same on recorded notes as the build cut them, and what of them is fetched for a band; no rows where it cut none. */
async function benchRecorded(
  program: number,
  render: (samples: BandSamples) => void,
  realTime: (ms: number) => number,
): Promise<readonly SoundRow[]> {
  const folder = new URL('dist/web/browser/', `file://${process.cwd()}/`)
  const samples = await loadSamples(program, folder)
  if (!samples) return []
  const started = performance.now()
  render(samples)
  const first = performance.now() - started
  const again = median(5, () => render(samples))
  const bytes = (of: number) =>
    Object.values(sampleFilesFor(of)).reduce((sum, file) => sum + statSync(new URL(file, folder)).size, 0)
  return [
    { name: 'render 32 bars on recorded notes, new', value: realTime(first), unit: '× real time', least: 40 },
    { name: 'render 32 bars on recorded notes, known', value: realTime(again), unit: '× real time', least: 40 },
    { name: 'recorded notes of a band with alto saxophone', value: bytes(program) / 1024, unit: 'KB' },
    {
      name: 'recorded notes of the largest band',
      value: Math.max(...sampledPrograms.map(bytes)) / 1024,
      unit: 'KB',
      most: 2_000_000 / 1024,
    },
  ]
}

/** Run in the page: clicks, and waits for the first sound to be put on the audio clock. */
const clickToSound = `new Promise((done) => {
  const start = AudioBufferSourceNode.prototype.start
  const before = performance.now()
  AudioBufferSourceNode.prototype.start = function (when) {
    AudioBufferSourceNode.prototype.start = start
    done(performance.now() - before + 1000 * (when - this.context.currentTime))
    return start.call(this, when)
  }
  document.querySelector('#sound [data-do="play"]').click()
})`

const executable = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((path) => existsSync(path))

/**
 * From a click on Play to the first sample in Chromium, at the address of a running server: cold with nothing fetched, warm the
 * second time. Until the first chunk is on the audio clock, and from there the moment it starts. No rows without a Chromium.
 */
export async function benchClick(address: string): Promise<readonly SoundRow[]> {
  if (!executable) return []
  const browser: Browser = await chromium.launch({
    executablePath: executable,
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'],
  })
  try {
    const cold: number[] = []
    const warm: number[] = []
    for (let i = 0; i < 5; i++) {
      const page = await (await browser.newContext()).newPage()
      await page.goto(address)
      await page.waitForSelector('html.scripted')
      for (const kept of [cold, warm]) {
        kept.push(await page.evaluate<number>(clickToSound))
        await page.locator('#sound [data-do="stop"]').click()
        await page.waitForTimeout(300)
      }
      await page.context().close()
    }
    const middle = (all: number[]) => all.sort((a, b) => a - b)[all.length >> 1]!
    return [
      { name: 'click to sound, cold', value: middle(cold), unit: 'ms' },
      { name: 'click to sound, warm', value: middle(warm), unit: 'ms' },
    ]
  } finally {
    await browser.close()
  }
}
