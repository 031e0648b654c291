/** The player: chunks from the worker put on the audio clock ahead of time; levels, and what is sounding now. */
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { soften } from '../../lib/sound/synth.ts'
import {
  clockAt,
  type Entry,
  endRun,
  entryAfter,
  followRun,
  isPlaced,
  loudness,
  type PlacedRun,
  type Run,
  scheduleChunk,
  startRun,
} from './runs.ts'
import type { BarMark, Fields, News, Order, Place, ReadyNews } from './soundTalk.ts'

/** Seconds of sound kept ready ahead. */
const ahead = 3.2
/** Seconds from a click to the first sample. */
const start = 0.06
/** Seconds that the first sound of a change is given to be ready; twice as long after each bar line that it missed. */
const lead = 0.2
/** Seconds before a bar line up to which what is ready can still take over there. */
const latest = 0.01

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

/** A change that is being made ready, or the first of playing. */
interface Coming {
  readonly run: Run
  /** Whether a climb begins anew with it. */
  readonly climbsAnew: boolean
  /** Written, and ready to begin anywhere. */
  loaded: boolean
  /** Where it was asked to begin; null until that is known. */
  entry: Entry | null
  lead: number
}

export class Player {
  readonly #workerUrl: URL
  readonly #events: PlayerEvents
  readonly #levels = new Map<Part, number>(parts.map((part) => [part, 1]))
  #context: AudioContext | null = null
  #master: AudioNode | null = null
  #worker: Worker | null = null
  #load = 0
  /** What sounds, and what will take over from it, each at a bar line of the one before; the last goes on. */
  #runs: PlacedRun[] = []
  #coming: Coming | null = null
  /** What was asked for while the sound wakes up, which may take a moment. */
  #waking: { fields: Fields } | null = null
  #ticking = 0
  #frame = 0
  #lastClock = { audio: 0, wall: 0 }

  constructor(workerUrl: URL, events: PlayerEvents) {
    this.#workerUrl = workerUrl
    this.#events = events
    // A page that is put away plays nothing; the browser may bring it back.
    window.addEventListener('pagehide', () => {
      if (this.playing) this.stop()
      void this.#context?.close()
      this.#context = null
      this.#worker?.terminate()
      this.#worker = null
    })
  }

  get playing(): boolean {
    return this.#waking !== null || this.#isUnderWay()
  }

  #isUnderWay(): boolean {
    return this.#runs.length > 0 || this.#coming !== null
  }

  async play(fields: Fields, from: number | null): Promise<void> {
    const made = this.#makeContext()
    if (!made) {
      this.#events.onState('stopped', cannot.none)
      return
    }
    const asked = { fields }
    this.#waking = asked
    this.#events.onState('waiting', null)
    // Not awaited without end: where sound is not allowed, some browsers never answer.
    const woken = await Promise.race([
      made.resume().then(
        () => true,
        () => false,
      ),
      new Promise<boolean>((done) => window.setTimeout(() => done(made.state === 'running'), 1500)),
    ])
    // Stopped meanwhile, or begun anew.
    if (this.#waking !== asked) return
    this.#waking = null
    if (!woken || made.state !== 'running') {
      this.#events.onState('stopped', cannot.suspended)
      return
    }
    this.#silence()
    this.#prepare(made, asked.fields, { from, pass: 0, climb: 0, goOn: false }, false)
  }

  /** Goes on with other choices from the next bar line on, in the same pass; a climb goes on too, or begins anew from there. */
  change(fields: Fields, climbsAnew: boolean): void {
    if (this.#waking) this.#waking.fields = fields
    if (!this.#isUnderWay() || !this.#context) return
    // What was asked for a moment ago and is not ready yet gives way; what sounds plays on.
    const { run, climbsAnew: climbs } = this.#coming ?? { run: this.#runs.at(-1)!, climbsAnew: false }
    if (this.#coming) this.#drop(run)
    this.#prepare(this.#context, fields, run.place, climbsAnew || climbs)
  }

  stop(message: string | null = null): void {
    this.#waking = null
    this.#silence()
    window.clearInterval(this.#ticking)
    cancelAnimationFrame(this.#frame)
    this.#events.onNow(null, [])
    this.#events.onState('stopped', message)
  }

  level(part: Part, level: number): void {
    this.#levels.set(part, level)
    // What a change leaves behind sounds on as it is until then.
    for (const { gains } of this.#coming ? [this.#coming.run] : this.#runs)
      if (this.#context) gains.get(part)?.gain.setTargetAtTime(loudness(part, level), this.#context.currentTime, 0.015)
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
      if (this.#isUnderWay() && now && now.state !== 'running' && now.state !== 'closed') this.stop(cannot.interrupted)
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
      if (this.#isUnderWay()) this.stop(cannot.worker)
    }
    made.onerror = broken
    made.onmessageerror = broken
    this.#worker = made
    return made
  }

  #tell(order: Order): void {
    this.#makeWorker().postMessage(order)
  }

  /** Has something written to be played, at a place where nothing plays yet. */
  #prepare(made: AudioContext, fields: Fields, place: Place, climbsAnew: boolean): void {
    this.#load += 1
    const run = startRun(made, this.#master!, this.#load, this.#levels)
    run.place = place
    this.#coming = { run, climbsAnew, loaded: false, entry: null, lead }
    try {
      this.#tell({ kind: 'load', load: this.#load, fields })
    } catch {
      this.stop(cannot.worker)
      return
    }
    window.clearInterval(this.#ticking)
    this.#ticking = window.setInterval(() => this.#tick(), 150)
    cancelAnimationFrame(this.#frame)
    this.#frame = requestAnimationFrame(() => this.#show())
  }

  #hear(news: News): void {
    const context = this.#context
    const coming = this.#coming?.run.load === news.load ? this.#coming : null
    const run = coming?.run ?? this.#runs.find(({ load }) => load === news.load)
    if (!run || !context) return
    if (news.kind === 'fail') this.stop(news.message)
    else if (news.kind === 'ready') {
      this.#events.onReady(news)
      if (coming) coming.loaded = true
    } else if (news.kind === 'over') this.#giveUp()
    else {
      run.asked = false
      if (coming) this.#takeOver(context, coming)
      if (isPlaced(run)) scheduleChunk(context, run, news)
    }
    this.#aim()
    this.#ask()
  }

  /** Says where a change is to begin, once that can be known. */
  #aim(): void {
    const [coming, context] = [this.#coming, this.#context]
    if (!coming?.loaded || coming.entry || !context) return
    const { run, climbsAnew } = coming
    const before = this.#runs.at(-1)
    const entry = before ? entryAfter(context, before, coming.lead, climbsAnew) : { place: run.place, at: null }
    if (entry === 'never') this.#giveUp()
    if (typeof entry === 'string') return
    coming.entry = entry
    run.place = entry.place
    run.asked = true
    this.#tell({ kind: 'start', load: run.load, rate: context.sampleRate, place: entry.place })
    this.#tell({ kind: 'next', load: run.load })
  }

  /** Puts a change on the audio clock where it was meant to begin; where it comes too late for that, it aims at a later bar line. */
  #takeOver(context: AudioContext, coming: Coming): void {
    const { run, entry } = coming
    const { currentTime, sampleRate } = context
    if (!entry) return
    if (entry.at !== null && entry.at < currentTime + latest) {
      coming.entry = null
      coming.lead *= 2
      return
    }
    // On a whole sample, so that chunks meet exactly.
    const zero = Math.ceil((entry.at ?? currentTime + start) * sampleRate - 1e-3) / sampleRate
    const placed: PlacedRun = Object.assign(run, { zero })
    for (const each of this.#runs) endRun(context, each, zero)
    for (const each of this.#runs.filter((each) => each.zero >= zero)) this.#drop(each)
    this.#runs = [...this.#runs.filter((each) => each.zero < zero), placed]
    this.#coming = null
    this.#lastClock = { audio: currentTime, wall: performance.now() }
    this.#events.onState('playing', null)
  }

  /** A change comes to nothing: what plays is at its end. */
  #giveUp(): void {
    if (this.#coming) this.#drop(this.#coming.run)
    this.#coming = null
    if (this.#runs.length === 0) this.stop()
  }

  #drop(run: Run): void {
    run.output.disconnect()
    if (this.#worker) this.#tell({ kind: 'drop', load: run.load })
  }

  /** Asks for the next chunk where less than enough is ready. */
  #ask(): void {
    const [run, context] = [this.#runs.at(-1), this.#context]
    if (!run || run.asked || run.last || !context) return
    if (clockAt(context, run, run.until) - context.currentTime > ahead) return
    run.asked = true
    this.#tell({ kind: 'next', load: run.load })
  }

  #tick(): void {
    const [run, context] = [this.#runs.at(-1), this.#context]
    if (!run || !context) return
    this.#ask()
    this.#aim()
    const { currentTime } = context
    if (run.last && currentTime > clockAt(context, run, run.until)) {
      this.stop()
      return
    }
    const gone = this.#runs.filter(({ ends }) => ends !== null && ends + 0.2 < currentTime)
    for (const each of gone) this.#drop(each)
    if (gone.length > 0) this.#runs = this.#runs.filter((each) => !gone.includes(each))
    const wall = performance.now()
    if (currentTime > this.#lastClock.audio) this.#lastClock = { audio: currentTime, wall }
    // The audio clock stands still where there is nothing to play on.
    else if (wall - this.#lastClock.wall > 2500) this.stop(cannot.device)
  }

  #show(): void {
    const context = this.#context
    if (!this.#isUnderWay() || !context) return
    this.#frame = requestAnimationFrame(() => this.#show())
    const now = context.currentTime - (context.outputLatency || 0)
    const heard = this.#runs.findLast(({ zero }) => zero <= now) ?? this.#runs[0]
    if (!heard) return
    const sounding = followRun(context, heard)
    this.#events.onNow(heard.bar, sounding)
  }

  /** Fades out whatever sounds, and lets go what is being made ready. */
  #silence(): void {
    const context = this.#context
    if (!context) return
    for (const run of this.#runs) {
      endRun(context, run, context.currentTime)
      if (this.#worker) this.#tell({ kind: 'drop', load: run.load })
    }
    if (this.#coming) this.#drop(this.#coming.run)
    this.#runs = []
    this.#coming = null
  }
}
