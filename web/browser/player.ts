/** The player: chunks from the worker put on the audio clock ahead of time; levels, and what is sounding now. */
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { soften } from '../../lib/sound/synth.ts'
import { barAhead, fadeOut, followRun, isPlaced, loudness, type Run, scheduleChunk, startRun } from './runs.ts'
import type { BarMark, ChunkNews, Fields, News, Order, ReadyNews } from './soundTalk.ts'

/** Seconds of sound kept ready ahead. */
const ahead = 3.2
/** Seconds from a click to the first sample. */
const start = 0.06

export interface PlayerEvents {
  /** Playing has begun, ended or been given up; `message` says why where something is wrong. */
  readonly onState: (state: 'waiting' | 'playing' | 'stopped', message: string | null) => void
  readonly onReady: (news: ReadyNews) => void
  /** Called on each picture frame while playing: the bar and the notes that sound now. */
  readonly onNow: (bar: BarMark | null, sounding: readonly string[]) => void
}

const cannot = {
  none: 'This browser has no way to play sound. The downloads play in any other program.',
  suspended:
    'The browser keeps the sound off. Press Play once more, or let this site play sound in the browser’s settings.',
  device: 'No sound comes out: there seems to be no loudspeaker or headphone to play on.',
  worker: 'The sound broke off. Press Play to start it again.',
  interrupted: 'The sound was interrupted by the system. Press Play to go on.',
}

/** A run that is left, and the place on the audio clock where the next one takes over. */
interface Leaving {
  readonly run: Run
  readonly at: number | null
}

export class Player {
  readonly #workerUrl: URL
  readonly #events: PlayerEvents
  readonly #levels = new Map<Part, number>(parts.map((part) => [part, 1]))
  #context: AudioContext | null = null
  #master: AudioNode | null = null
  #worker: Worker | null = null
  #load = 0
  /** What is being played, from its load on. */
  #run: Run | null = null
  /** What plays on until a change of it is ready to take its place. */
  #leaving: Leaving | null = null
  #ticking = 0
  #frame = 0
  #lastClock = { audio: 0, wall: 0 }

  constructor(workerUrl: URL, events: PlayerEvents) {
    this.#workerUrl = workerUrl
    this.#events = events
    // A page that is put away plays nothing; the browser may bring it back.
    window.addEventListener('pagehide', () => {
      if (this.#run) this.stop()
      void this.#context?.close()
      this.#context = null
      this.#worker?.terminate()
      this.#worker = null
    })
  }

  get playing(): boolean {
    return this.#run !== null
  }

  async play(fields: Fields, from: number | null): Promise<void> {
    const made = this.#makeContext()
    if (!made) {
      this.#events.onState('stopped', cannot.none)
      return
    }
    this.#events.onState('waiting', null)
    // Not awaited without end: where sound is not allowed, some browsers never answer.
    const woken = await Promise.race([
      made.resume().then(
        () => true,
        () => false,
      ),
      new Promise<boolean>((done) => window.setTimeout(() => done(made.state === 'running'), 1500)),
    ])
    if (!woken || made.state !== 'running') {
      this.#events.onState('stopped', cannot.suspended)
      return
    }
    this.#silence()
    this.#begin(made, fields, from, 0, false)
  }

  /** Goes on with other choices from the bar that is played now; in its pass, or from the first pass again. */
  change(fields: Fields, samePass: boolean): void {
    if (!this.#run || !this.#context) return
    // What was asked for a moment ago and does not sound yet gives way; what sounds plays on.
    const old = this.#leaving?.run ?? this.#run
    if (this.#leaving) this.#run.output.disconnect()
    const next = barAhead(this.#context, old)
    const place = next?.mark ?? old.bar
    this.#leaving = { run: old, at: next?.at ?? null }
    this.#begin(this.#context, fields, place?.bar || null, place && samePass ? place.pass - 1 : 0, isPlaced(old))
  }

  stop(message: string | null = null): void {
    this.#silence()
    window.clearInterval(this.#ticking)
    cancelAnimationFrame(this.#frame)
    this.#events.onNow(null, [])
    this.#events.onState('stopped', message)
  }

  level(part: Part, level: number): void {
    this.#levels.set(part, level)
    const gain = this.#run?.gains.get(part)
    if (gain && this.#context) gain.gain.setTargetAtTime(loudness(part, level), this.#context.currentTime, 0.015)
  }

  #makeContext(): AudioContext | null {
    if (this.#context && this.#context.state !== 'closed') return this.#context
    const Context = window.AudioContext
    if (!Context) return null
    let made: AudioContext
    try {
      made = new Context({ latencyHint: 'interactive' })
    } catch {
      return null
    }
    // Loud sums are bent as they are in the files: the curve covers sums up to 2.
    const half = new GainNode(made, { gain: 0.5 })
    const curve = Float32Array.from({ length: 4097 }, (_, i) => soften((i - 2048) / 1024))
    const shaper = new WaveShaperNode(made, { curve })
    half.connect(shaper).connect(made.destination)
    this.#context = made
    this.#master = half
    made.onstatechange = () => {
      const now = this.#context
      if (this.#run && now && now.state !== 'running' && now.state !== 'closed') this.stop(cannot.interrupted)
    }
    return made
  }

  #makeWorker(): Worker {
    if (this.#worker) return this.#worker
    const made = new Worker(this.#workerUrl, { type: 'module' })
    made.onmessage = ({ data }: MessageEvent<News>) => this.#hear(data)
    const broken = (event: Event) => {
      event.preventDefault()
      made.terminate()
      if (this.#worker !== made) return
      this.#worker = null
      if (this.#run) this.stop(cannot.worker)
    }
    made.onerror = broken
    made.onmessageerror = broken
    this.#worker = made
    return made
  }

  #tell(order: Order): void {
    this.#makeWorker().postMessage(order)
  }

  #begin(made: AudioContext, fields: Fields, from: number | null, pass: number, goOn: boolean): void {
    this.#load += 1
    this.#run = startRun(made, this.#master!, this.#load, this.#levels)
    try {
      this.#tell({ kind: 'load', load: this.#load, fields, rate: made.sampleRate, from, pass, goOn })
    } catch {
      this.stop(cannot.worker)
      return
    }
    window.clearInterval(this.#ticking)
    this.#ticking = window.setInterval(() => this.#tick(), 150)
    cancelAnimationFrame(this.#frame)
    this.#frame = requestAnimationFrame(() => this.#show())
    this.#ask()
  }

  #hear(news: News): void {
    if (!this.#run || news.load !== this.#run.load) return
    if (news.kind === 'fail') this.stop(news.message)
    else if (news.kind === 'ready') this.#events.onReady(news)
    else this.#schedule(news, this.#context!, this.#run)
  }

  #schedule(chunk: ChunkNews, made: AudioContext, now: Run): void {
    now.asked = false
    if (!isPlaced(now)) this.#takeOver(made, now)
    if (isPlaced(now)) scheduleChunk(made, now, chunk)
    this.#ask()
  }

  /** Places a run on the audio clock, where the one before it ends. */
  #takeOver(made: AudioContext, now: Run): void {
    // On a whole sample, so that chunks meet exactly.
    const soonest = made.currentTime + start
    now.zero = Math.ceil(Math.max(soonest, this.#leaving?.at ?? 0) * made.sampleRate) / made.sampleRate
    if (this.#leaving) fadeOut(made, this.#leaving.run, now.zero)
    if (this.#leaving) now.bar = this.#leaving.run.bar
    this.#leaving = null
    this.#lastClock = { audio: made.currentTime, wall: performance.now() }
    this.#events.onState('playing', null)
  }

  /** Asks for the next chunk where less than enough is ready. */
  #ask(): void {
    const run = this.#run
    if (!run || run.asked || run.last || !this.#context) return
    const held = isPlaced(run) ? run.zero + run.until / this.#context.sampleRate - this.#context.currentTime : 0
    if (held > ahead) return
    run.asked = true
    this.#tell({ kind: 'next', load: run.load })
  }

  #tick(): void {
    const [run, context] = [this.#run, this.#context]
    if (!run || !context) return
    this.#ask()
    if (!isPlaced(run)) return
    if (run.last && context.currentTime > run.zero + run.until / context.sampleRate) {
      this.stop()
      return
    }
    const wall = performance.now()
    if (context.currentTime > this.#lastClock.audio) this.#lastClock = { audio: context.currentTime, wall }
    // The audio clock stands still where there is nothing to play on.
    else if (wall - this.#lastClock.wall > 2500) this.stop(cannot.device)
  }

  #show(): void {
    if (!this.#run || !this.#context) return
    this.#frame = requestAnimationFrame(() => this.#show())
    const heard = this.#leaving?.run ?? this.#run
    if (!isPlaced(heard)) return
    const sounding = followRun(this.#context, heard)
    this.#events.onNow(heard.bar, sounding)
  }

  /** Fades out whatever sounds. */
  #silence(): void {
    if (!this.#context) return
    for (const each of [this.#leaving?.run, this.#run])
      if (each) fadeOut(this.#context, each, this.#context.currentTime)
    this.#leaving = null
    this.#run = null
  }
}
