/**
 * Changes of tempo while it plays, in a real Chromium: every sound that is put on the audio clock is caught with its time, so that what is
 * measured is what the loudspeaker gets, however busy the machine.
 */
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { stage } from './browser.ts'

const it = stage()

const changes = 'Title: Eight\n| Dm7 | G7 | Cmaj7 | A7 |\n| Dm7 | G7 | Cmaj7 | A7 |'

interface Caught {
  /** Where clicks begin, in seconds of the audio clock, and how loud each is. */
  readonly clicks: readonly { readonly at: number; readonly loud: number }[]
  /** Seconds by which the tardiest sound was told after its time; at most 0 where all were in time. */
  readonly late: number
  /** The bars that were shown, in order. */
  readonly bars: readonly number[]
}
const caughtOn = (page: Page) => page.evaluate(() => (window as unknown as { caught: () => Caught }).caught())

/** Catches sources as they are scheduled, and the bars that are shown. */
function catchAll(): void {
  const sounds: { told: number; when: number; stop: number; source: AudioBufferSourceNode; to: GainNode }[] = []
  const bars: number[] = []
  const to = new WeakMap<AudioNode, GainNode>()
  const { connect } = AudioNode.prototype
  const { start, stop } = AudioBufferSourceNode.prototype
  AudioNode.prototype.connect = function (this: AudioNode, ...given: unknown[]) {
    if (this instanceof AudioBufferSourceNode) to.set(this, given[0] as GainNode)
    return (connect as (...all: unknown[]) => AudioNode).apply(this, given)
  } as typeof connect
  AudioBufferSourceNode.prototype.start = function (when = 0) {
    const told = this.context.currentTime
    sounds.push({ told, when, stop: Number.POSITIVE_INFINITY, source: this, to: to.get(this)! })
    start.call(this, when)
  }
  AudioBufferSourceNode.prototype.stop = function (when = 0) {
    const sound = sounds.find(({ source }) => source === this)
    if (sound) sound.stop = Math.max(when, this.context.currentTime)
    stop.call(this, when)
  }
  document.addEventListener('bar', (event) => {
    const { bar } = (event as CustomEvent<{ bar: number }>).detail
    bars.push(bar)
  })
  /** What was caught, laid on one clock; a part that is turned down sounds nothing, and the last 30 ms before a stop fade out. */
  const caught = (): Caught => {
    const heard = sounds.filter((sound) => sound.to.gain.value > 0.01)
    const rate = heard[0]!.source.buffer!.sampleRate
    const first = Math.min(...heard.map(({ when }) => when))
    const last = Math.max(...heard.map(({ when, source }) => when + source.buffer!.duration))
    const clock = new Float32Array(Math.ceil((last - first) * rate) + 2)
    for (const { when, stop, source } of heard) {
      const samples = source.buffer!.getChannelData(0)
      const end = Math.min(samples.length, Math.max(0, Math.round((stop - 0.03 - when) * rate)))
      const at = Math.round((when - first) * rate)
      for (let i = 0; i < end; i++) clock[at + i]! += samples[i]!
    }
    const clicks: { at: number; loud: number }[] = []
    let quiet = rate
    for (let i = 0; i < clock.length; i++) {
      const loud = Math.abs(clock[i]!)
      if (loud > 0.02) {
        if (quiet > 0.05 * rate) clicks.push({ at: i / rate, loud: 0 })
        quiet = 0
        clicks.at(-1)!.loud = Math.max(clicks.at(-1)!.loud, loud)
      } else quiet += 1
    }
    return { bars, clicks, late: Math.max(...heard.map(({ told, when }) => told - when)) }
  }
  Object.assign(window, { caught, bars })
}

const shownTempo = (page: Page, tempo: number) =>
  page.waitForFunction(
    (tempo) => document.querySelector('#sound .now')?.textContent?.includes(`♩ = ${tempo} `),
    tempo,
    { polling: 50 },
  )

test.each([
  // tempo, milliseconds between the changes, and for how long the page is busy after each
  ['slow', 160, 450, 0],
  ['quick', 300, 400, 0],
  ['on a busy page', 240, 450, 350],
])('%s: four changes within two seconds keep the place and the beat', async (_, tempo, between, busy) => {
  const page = await it.open('about:blank', { bypassCSP: true })
  await page.addInitScript(catchAll)
  const asked = { changes, tempo: String(tempo), hear: 'click', click: 'beats', passes: '0', sound: 'plain' }
  await page.goto(new URL(`?${new URLSearchParams(asked)}`, it.address).href)
  await page.waitForSelector('html.scripted')
  await page.locator('#sound [data-do="play"]').click()
  await page.waitForFunction(() => document.querySelector('#sound .now')?.textContent?.startsWith('Bar 2'))
  await page.evaluate(
    async ({ between, busy }) => {
      for (let i = 0; i < 4; i++) {
        document.querySelector<HTMLElement>('.standbar [data-do="tempo-up"]')!.click()
        const end = performance.now() + busy
        while (performance.now() < end);
        await new Promise((done) => setTimeout(done, between - busy))
      }
    },
    { between, busy },
  )
  await shownTempo(page, tempo + 16)
  // Two bars more, in which anything that came late would be heard.
  await page.evaluate(async () => {
    const { bars } = window as unknown as { bars: number[] }
    const enough = bars.length + 2
    while (bars.length < enough) await new Promise((done) => document.addEventListener('bar', done, { once: true }))
  })
  const { bars, clicks, late } = await caughtOn(page)
  await page.locator('#sound [data-do="stop"]').click()

  // Bar after bar, round the eight, and never back.
  expect(bars.length).toBeGreaterThan(4)
  expect(bars).toEqual(bars.map((_, i) => (i % 8) + 1))
  expect(late).toBeLessThanOrEqual(0)
  const tempos = [0, 4, 8, 12, 16].map((more) => tempo + more)
  const steps = clicks.slice(1).map(({ at }, i) => at - clicks[i]!.at)
  const heard = steps.map((step) => {
    const off = tempos.map((each) => Math.abs(step - 60 / each))
    return { tempo: tempos[off.indexOf(Math.min(...off))]!, gap: 1000 * Math.min(...off) }
  })
  // Milliseconds by which a beat comes off its place.
  expect(Math.max(...heard.map(({ gap }) => gap))).toBeLessThan(20)
  // A tempo lasts whole bars, and none comes back.
  const played = heard.map(({ tempo }) => tempo)
  expect(played).toEqual([...played].sort((a, b) => a - b))
  expect(played.at(-1)).toBe(tempo + 16)
  const before = played.filter((each) => each < tempo + 16)
  for (const each of before) expect(before.filter((other) => other === each).length % 4, `${each}`).toBe(0)
  // The first of each bar is louder, from the count-in on.
  const loudest = Math.max(...clicks.map(({ loud }) => loud))
  expect(clicks.map(({ loud }) => loud > 0.9 * loudest)).toEqual(clicks.map((_, i) => i % 4 === 0))
})
