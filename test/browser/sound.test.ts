/** The sound of the page in a real Chromium: what comes out of it, caught and compared; and what is said when none can. */
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { usualMix } from '../../lib/sound/synth.ts'
import { loadPiece, startSession } from '../../web/browser/soundSession.ts'
import { cents, growth, hertz, onsetNear, pitchNear } from '../sound/listen.ts'
import { findBarriers, stage } from './browser.ts'

const it = stage()

const changes = '| Dm7 | G7 | Cmaj7 A7 | Dm7 G7 |'
const path = (fields: Record<string, string>) => `?${new URLSearchParams({ changes, ...fields })}`

/** Opens a page with something of its own put in place before its scripts run. */
async function openWith(script: () => void, to: string): Promise<Page> {
  const page = await it.open('about:blank', { bypassCSP: true })
  await page.addInitScript(script)
  await page.goto(new URL(to, it.address).href)
  await page.waitForSelector('html.scripted')
  return page
}

const press = (page: Page, deed: string) => page.locator(`#sound [data-do="${deed}"]`).click()
const status = (page: Page) => page.locator('#sound .now')

/** An audio context that renders at once instead of playing; its clock goes as the test sets it, and tells until when sound is laid ready. */
function renderOffline(): void {
  const clock = { now: 0, laid: 0 }
  const begin = AudioBufferSourceNode.prototype.start
  AudioBufferSourceNode.prototype.start = function (at = 0, offset = 0, ...rest) {
    clock.laid = Math.max(clock.laid, at + (this.buffer?.duration ?? 0) - offset)
    return begin.call(this, at, offset, ...rest)
  }
  class Offline extends OfflineAudioContext {
    constructor() {
      super(2, 44_100 * 16, 44_100)
      Object.assign(window, { caught: this, clock })
    }
    override get currentTime() {
      return clock.now
    }
    override get state() {
      return 'running' as const
    }
    override resume() {
      return Promise.resolve()
    }
    close() {
      return Promise.resolve()
    }
  }
  Object.assign(window, { AudioContext: Offline })
}

/** Keeps whatever goes to the loudspeaker, from the audio thread, where a busy page cannot delay it. */
function recordAll(): void {
  const blocks: { at: number; samples: Float32Array }[] = []
  Object.assign(window, { blocks })
  const recorder = `registerProcessor('recorder', class extends AudioWorkletProcessor {
    constructor() { super(); this.kept = [] }
    process([input]) {
      if (input[0]) this.kept.push({ at: currentFrame, samples: input[0].slice() })
      if (this.kept.length >= 300) { this.port.postMessage(this.kept); this.kept = [] }
      return true
    }
  })`
  const resume = AudioContext.prototype.resume
  const taps = new WeakMap<BaseAudioContext, AudioWorkletNode>()
  AudioContext.prototype.resume = async function () {
    if (!taps.has(this)) {
      await this.audioWorklet.addModule(URL.createObjectURL(new Blob([recorder], { type: 'text/javascript' })))
      const tap = new AudioWorkletNode(this, 'recorder')
      tap.port.onmessage = ({ data }) => blocks.push(...data)
      taps.set(this, tap)
      tap.connect(this.destination)
      sources.get(this)?.connect(tap)
    }
    return resume.call(this)
  }
  const sources = new WeakMap<BaseAudioContext, AudioNode>()
  const connect = AudioNode.prototype.connect as (this: AudioNode, to: AudioNode) => AudioNode
  AudioNode.prototype.connect = function (this: AudioNode, to: AudioNode) {
    if (to instanceof AudioDestinationNode && !(this instanceof AudioWorkletNode)) sources.set(this.context, this)
    return connect.call(this, to)
  } as typeof AudioNode.prototype.connect
}

/** The left side of everything recorded, as one run of samples; where nothing sounded there is silence. */
async function recorded(page: Page): Promise<Float32Array> {
  await page.waitForTimeout(1200)
  const text = await page.evaluate(async () => {
    const { blocks } = window as unknown as { blocks: { at: number; samples: Float32Array }[] }
    const first = blocks[0]!.at
    const whole = new Float32Array(blocks.at(-1)!.at - first + 128)
    for (const { at, samples } of blocks) whole.set(samples, at - first)
    const reader = new FileReader()
    return new Promise<string>((done) => {
      reader.onload = () => done((reader.result as string).split(',')[1]!)
      reader.readAsDataURL(new Blob([whole]))
    })
  })
  const bytes = Buffer.from(text, 'base64')
  return new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4)
}

/** What the page should play, rendered here: one part at its usual level on the left side, until a frame. */
function expectedSound(fields: Record<string, string>, part: 'line' | 'bass' | 'click', rate: number, frames: number) {
  const session = sessionOf(fields, rate)
  const whole = new Float32Array(frames)
  const { level, pan } = usualMix[part]
  // Equal power, as the Web Audio standard pans a single channel.
  const left = Math.SQRT2 * level * Math.cos(((pan + 1) * Math.PI) / 4)
  const count = Math.SQRT2 * usualMix.count.level * Math.cos(Math.PI / 4)
  for (let chunk = session.next(); chunk && chunk.at < frames; chunk = session.next())
    for (let i = 0; i < Math.min(chunk.frames, frames - chunk.at); i++)
      whole[chunk.at + i] = left * (chunk.parts[part]?.[i] ?? 0) + count * (chunk.parts.count?.[i] ?? 0)
  return whole
}

const firstSound = (samples: Float32Array) => samples.findIndex((sample) => Math.abs(sample) > 1e-5)

/**
 * How far a stretch of what was recorded lies from where it should, in milliseconds, once the two are put in line at their first
 * sounds: the shift, up to 40 ms either way, at which they differ least. Not a number where they do not fit at all.
 */
function shiftOf(heard: Float32Array, wanted: Float32Array, rate: number, from: number, to: number): number {
  const line = firstSound(heard) - firstSound(wanted)
  let best = Number.NaN
  let least = 0.1
  let power = 0
  for (let i = from; i < to; i++) power += wanted[i]! * wanted[i]!
  for (let shift = -Math.round(0.04 * rate); shift <= 0.04 * rate; shift++) {
    let sum = 0
    for (let i = from; i < to && sum < least * power; i++) sum += ((heard[i + line + shift] ?? 0) - wanted[i]!) ** 2
    if (sum >= least * power) continue
    least = sum / power
    best = (1000 * shift) / rate
  }
  return best
}

describe('what the page plays', () => {
  test.each(['line', 'bass'] as const)(
    'caught offline, the %s holds the right notes at the right times',
    async (part) => {
      const fields = { tempo: '160', hear: part, looseness: 'strict' }
      const page = await openWith(renderOffline, path(fields))
      await press(page, 'play')
      await page.waitForFunction(() => ((window as unknown as { clock?: { laid: number } }).clock?.laid ?? 0) > 0)
      const bytes = await page.evaluate(async () => {
        const { clock, caught } = window as unknown as {
          clock: { now: number; laid: number }
          caught: OfflineAudioContext
        }
        // Up to shortly before the end, so that everything is laid ready but nothing taken down again; never past what is laid.
        while (clock.now < 7.2) {
          clock.now += 0.4
          while (clock.laid < Math.min(clock.now + 1.5, 7.4)) await new Promise((done) => setTimeout(done, 50))
        }
        const buffer = await caught.startRendering()
        const left = buffer.getChannelData(0)
        const reader = new FileReader()
        return new Promise<string>((done) => {
          reader.onload = () => done((reader.result as string).split(',')[1]!)
          reader.readAsDataURL(new Blob([left.slice()]))
        })
      })
      const raw = Buffer.from(bytes, 'base64')
      const samples = new Float32Array(raw.buffer, raw.byteOffset, raw.length / 4)
      const rate = 44_100
      const notes = sessionOf(fields, rate)
        .notes()
        .filter((note) => note.part === part)
      const zero = firstSound(samples) / rate
      const grown = growth(samples, rate)
      expect(notes.length).toBeGreaterThan(14)
      for (const [i, { start, end, midi }] of notes.entries()) {
        // A ghosted note has hardly a beginning or a pitch to hear.
        if (end - start <= 0.15) continue
        const before = notes[i - 1]?.start ?? -1
        const after = notes[i + 1]?.start ?? Number.POSITIVE_INFINITY
        const reach = Math.min(0.045, (start - before) / 2, (after - start) / 2)
        const onset = onsetNear(grown, zero + start, reach)
        expect(1000 * Math.abs(onset.time - zero - start), `${midi} at ${start}`).toBeLessThan(20)
        const from = Math.round((zero + start + 0.025) * rate)
        const to = Math.round((zero + Math.min(end, start + 0.17) - 0.005) * rate)
        const heard = pitchNear(samples.subarray(from, to), rate, hertz(midi))
        expect(Math.abs(cents(heard, hertz(midi))), `${midi} at ${start}`).toBeLessThan(15)
      }
    },
  )

  test('ten passes of a loop run on without a gap, each within 2 ms of its place', async () => {
    const fields = { tempo: '320', loop: '2-2', passes: '10', hear: 'bass' }
    const page = await openWith(recordAll, path(fields))
    await press(page, 'play')
    await page.waitForFunction(() => /pass 10/.test(document.querySelector('#sound .now')?.textContent ?? ''))
    await page.waitForTimeout(900)
    const heard = await recorded(page)
    const rate = await sampleRate(page)
    const wanted = expectedSound(fields, 'bass', rate, Math.round(11 * 0.75 * rate))
    // A bar of count-in, then each pass by itself.
    for (let bar = 0; bar < 11; bar++) {
      const [from, to] = [bar, bar + 1].map((n) => Math.round(n * 0.75 * rate)) as [number, number]
      expect(Math.abs(shiftOf(heard, wanted, rate, from, to)), `bar ${bar}`).toBeLessThanOrEqual(2)
    }
  })

  test('a page that stalls for 400 ms again and again plays no note late', async () => {
    const fields = { tempo: '240', hear: 'line', passes: '2' }
    const page = await openWith(recordAll, path(fields))
    await press(page, 'play')
    await page.waitForFunction(() => document.querySelector('#sound .now')?.textContent?.startsWith('Bar'))
    await page.evaluate(async () => {
      for (let i = 0; i < 9; i++) {
        const end = performance.now() + 400
        while (performance.now() < end);
        await new Promise((done) => setTimeout(done, 150))
      }
    })
    const heard = await recorded(page)
    const rate = await sampleRate(page)
    const wanted = expectedSound(fields, 'line', rate, Math.round(6 * rate))
    for (let beat = 0; beat < 24; beat++) {
      const [from, to] = [beat, beat + 1].map((n) => Math.round(n * 0.25 * rate)) as [number, number]
      expect(Math.abs(shiftOf(heard, wanted, rate, from, to)), `beat ${beat}`).toBeLessThanOrEqual(2)
    }
  })
})

const sampleRate = (page: Page): Promise<number> => page.evaluate(() => new AudioContext().sampleRate)

/** What the page plays from the beginning. */
function sessionOf(fields: Record<string, string>, rate: number) {
  const piece = loadPiece({ changes, ...fields })
  if ('message' in piece) throw new Error(piece.message)
  return startSession(piece, { from: null, pass: 0, climb: 0, goOn: false }, rate)!
}

describe('the controls', () => {
  test('nothing of the sound is fetched until it is wanted, and then little', async () => {
    const page = await it.open()
    const sizes: Record<string, number> = {}
    page.on('response', async (response) => {
      sizes[new URL(response.url()).pathname.replace(/.*\//, '')] = (await response.body()).length
    })
    await page.waitForTimeout(300)
    expect(Object.keys(sizes).filter((name) => name.includes('sound'))).toEqual([])
    await press(page, 'play')
    await page.waitForSelector('.sounding')
    expect(Object.keys(sizes)).toEqual(expect.arrayContaining(['sound.js', 'soundWorker.js']))
    expect(Object.values(sizes).reduce((sum, size) => sum + size, 0)).toBeLessThan(2_000_000)
  })

  test('the note that sounds is lit, in order; Stop puts it out', async () => {
    const page = await it.open(path({ tempo: '200', countIn: '0' }))
    await press(page, 'play')
    const seen: string[] = []
    for (let i = 0; i < 4; i++) {
      await page.waitForFunction(
        (before) => {
          const id = document.querySelector('.sounding')?.id
          return id !== undefined && !before.includes(id)
        },
        seen,
        { polling: 'raf' },
      )
      seen.push((await page.locator('.sounding').first().getAttribute('id'))!)
    }
    const places = seen.map((id) => id.split('-').slice(1).map(Number)).map(([bar, tick]) => bar! * 96 + tick!)
    expect(places).toEqual([...places].sort((a, b) => a - b))
    await page.locator('#sound [data-do="stop"]').click()
    await expect.poll(() => page.locator('.sounding').count()).toBe(0)
    expect(await page.locator('#sound [data-do="play"]').textContent()).toBe('Play')
  })

  test('what is practised goes into the address, and comes back from it', async () => {
    const page = await it.open(path({}))
    await press(page, 'practise')
    const practice = page.locator('#practice')
    await practice.getByLabel('How many times').selectOption('4')
    await practice.getByLabel('Tempo after each pass').selectOption('5%')
    await practice.getByText('Leave the line to me').click()
    await practice.getByText('drums').click()
    const fields = new URL(page.url()).searchParams
    expect(Object.fromEntries(fields)).toMatchObject({
      passes: '4',
      faster: '5%',
      lineOut: 'yes',
      hear: 'line,bass,chords',
    })
    // Another line keeps it.
    await page.getByRole('button', { name: 'Another line' }).click()
    await page.waitForURL(/seed=/)
    expect(Object.fromEntries(new URL(page.url()).searchParams)).toMatchObject({
      passes: '4',
      faster: '5%',
      lineOut: 'yes',
    })
    const again = await it.open(new URL(page.url()).search)
    await press(again, 'practise')
    expect(await again.locator('#practice').getByLabel('How many times').inputValue()).toBe('4')
    expect(await again.locator('#practice').getByRole('checkbox', { name: 'drums' }).isChecked()).toBe(false)
  })

  test('what cannot be read is said in its field', async () => {
    const page = await it.open(path({}))
    await press(page, 'practise')
    await page.locator('#practice').waitFor()
    const swing = page.locator('#practice').getByLabel('Swing, long eighth to short')
    await swing.fill('9')
    await swing.blur()
    expect(await swing.getAttribute('aria-invalid')).toBe('true')
    expect(new URL(page.url()).searchParams.has('swing')).toBe(false)
  })

  test('down on request: a step slower, in the same pass, in the link', async () => {
    const page = await it.open(path({ tempo: '200', faster: '10', passes: '0', loop: '1-1', countIn: '0' }))
    await press(page, 'practise')
    await press(page, 'play')
    await page.waitForFunction(() => /pass 3 · ♩ = 220/.test(document.querySelector('#sound .now')?.textContent ?? ''))
    await press(page, 'slower')
    await page.waitForFunction(() =>
      /pass (3 · ♩ = 210|4 · ♩ = 220)/.test(document.querySelector('#sound .now')?.textContent ?? ''),
    )
    expect(new URL(page.url()).searchParams.get('tempo')).toBe('190')
    // What the stand says is what a tap notes of an item, and what the sheet says is what is printed.
    expect(await page.locator('#stand-tempo').inputValue()).toBe('190')
    await page.locator('.engraved', { hasText: '= 190' }).first().waitFor()
  })

  test('a bar to begin at', async () => {
    const page = await it.open(path({ tempo: '300' }))
    await press(page, 'practise')
    const from = page.locator('#practice').getByLabel('Bar to begin at')
    await from.fill('3')
    await from.blur()
    await press(page, 'play')
    await page.waitForSelector('.sounding')
    expect(await page.locator('.sounding').first().getAttribute('id')).toMatch(/^n-3-/)
  })

  test('a new line while it plays: the sound goes on with it', async () => {
    const page = await it.open(path({ tempo: '240', passes: '0' }))
    await press(page, 'play')
    await page.waitForSelector('.sounding')
    await page.getByRole('button', { name: 'Another line' }).click()
    await page.waitForURL(/seed=/)
    await page.waitForSelector('.sounding')
    expect(await page.locator('#sound [data-do="stop"]').textContent()).toBe('Stop')
  })

  test.each([
    ['light', 1280],
    ['dark', 360],
  ] as const)('no barrier in %s at %d pixels, and nothing wider than the screen', async (colorScheme, width) => {
    const page = await it.open(path({}), { colorScheme, viewport: { width, height: 900 }, bypassCSP: true })
    await press(page, 'practise')
    await page.locator('.recordings summary').click()
    await page.waitForSelector('#practice')
    expect(await findBarriers(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width)
  })

  test('a word on volume and pauses is said once', async () => {
    const page = await it.open(path({}))
    await press(page, 'practise')
    expect(await page.locator('#sound .word').textContent()).toMatch(/softly.*Rest/)
    await page.getByRole('button', { name: 'I will' }).click()
    await page.reload()
    await press(page, 'practise')
    await page.waitForSelector('#practice')
    expect(await page.locator('#sound .word').count()).toBe(0)
  })
})

describe('what goes wrong is said, and the page keeps working', () => {
  const stillWorks = async (page: Page) => {
    await page.getByRole('button', { name: 'Another line' }).click()
    await page.waitForURL(/seed=/)
    expect(await page.locator('.engraved g.measure').count()).toBe(4)
  }

  test('a browser that cannot play', async () => {
    const page = await openWith(() => Object.assign(window, { AudioContext: undefined }), path({}))
    await press(page, 'play')
    await expect.poll(() => status(page).textContent()).toMatch(/no way to play sound/)
    await stillWorks(page)
  })

  test('no audio device: the context cannot be made', async () => {
    const page = await openWith(() => {
      Object.assign(window, {
        AudioContext: class {
          constructor() {
            throw new DOMException('no device', 'NotSupportedError')
          }
        },
      })
    }, path({}))
    await press(page, 'play')
    await expect.poll(() => status(page).textContent()).toMatch(/no way to play sound/)
    await stillWorks(page)
  })

  test('a context that stays suspended', async () => {
    const page = await openWith(() => {
      AudioContext.prototype.resume = () => new Promise(() => {})
      Object.defineProperty(AudioContext.prototype, 'state', { get: () => 'suspended' })
    }, path({}))
    await press(page, 'play')
    await expect.poll(() => status(page).textContent(), { timeout: 5000 }).toMatch(/keeps the sound off/)
    await stillWorks(page)
  })

  test('a clock that stands still: nothing to play on', async () => {
    const page = await openWith(() => {
      Object.defineProperty(AudioContext.prototype, 'currentTime', { get: () => 0 })
    }, path({}))
    await press(page, 'play')
    await expect.poll(() => status(page).textContent(), { timeout: 8000 }).toMatch(/no loudspeaker/)
    await stillWorks(page)
  })

  test('a context that the system interrupts', async () => {
    const page = await openWith(
      () => {
        const Real = AudioContext
        Object.assign(window, {
          AudioContext: class extends Real {
            constructor() {
              super()
              Object.assign(window, { made: this })
            }
          },
        })
      },
      path({ passes: '0' }),
    )
    await press(page, 'play')
    await page.waitForSelector('.sounding')
    await page.evaluate(() => (window as unknown as { made: AudioContext }).made.suspend())
    await expect.poll(() => status(page).textContent()).toMatch(/interrupted/)
    await press(page, 'play')
    await page.waitForSelector('.sounding')
  })

  test('a worker that dies, and then comes back', async () => {
    // What a service worker fetches, a route does not see.
    const page = await it.open('about:blank', { serviceWorkers: 'block' })
    let dead = true
    await page.route('**/soundWorker.js', (route) =>
      dead
        ? route.fulfill({ contentType: 'text/javascript', body: 'onmessage = () => { throw new Error("gone") }' })
        : route.continue(),
    )
    await page.goto(new URL(path({}), it.address).href)
    await page.waitForSelector('html.scripted')
    await press(page, 'play')
    await expect.poll(() => status(page).textContent()).toMatch(/broke off/)
    await stillWorks(page)
    dead = false
    await press(page, 'play')
    await page.waitForSelector('.sounding')
  })

  test('a server that is away when the sound is first wanted', async () => {
    // What a service worker fetches, a route does not see.
    const page = await it.open('about:blank', { serviceWorkers: 'block' })
    let away = true
    await page.route('**/sound.js', (route) => (away ? route.fulfill({ status: 503 }) : route.continue()))
    await page.goto(new URL(path({}), it.address).href)
    await page.waitForSelector('html.scripted')
    await press(page, 'play')
    await expect.poll(() => page.locator('#teller').textContent()).toMatch(/could not be fetched/)
    await stillWorks(page)
    away = false
  })

  test('changes that cannot be read have nothing to play, and no button for it', async () => {
    const page = await it.open(`?${new URLSearchParams({ changes: '| Xyz |' })}`)
    expect(await page.locator('#sound').count()).toBe(0)
  })
})
