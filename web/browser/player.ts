/** The player: chunks from the worker put on the audio clock ahead of time; levels, and what is sounding now. */
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { soften, usualMix } from '../../lib/sound/synth.ts'
import type { BarMark, ChunkNews, Fields, LitNote, News, Order, ReadyNews } from './soundTalk.ts'

/** Seconds of sound kept ready ahead. */
const ahead = 3.2
/** Seconds that a change is given to be ready for the next bar. */
const ready = 0.3
/** Seconds from a click to the first sample. */
const start = 0.06

export interface PlayerEvents {
  /** Playing has begun, ended or been given up; `message` says why where something is wrong. */
  readonly onState: (state: 'waiting' | 'playing' | 'stopped', message: string | null) => void
  readonly onReady: (news: ReadyNews) => void
  /** Called on each picture frame while playing: the bar and the notes that sound now. */
  readonly onNow: (bar: BarMark | null, sounding: readonly string[]) => void
}

export interface Player {
  play(fields: Fields, from: number | null): Promise<void>
  /** Goes on with other choices from the bar that is played now; in its pass, or from the first pass again. */
  change(fields: Fields, samePass: boolean): void
  stop(message?: string): void
  level(part: Part, level: number): void
  readonly playing: () => boolean
}

const cannot = {
  none: 'This browser has no way to play sound. The downloads play in any other program.',
  suspended:
    'The browser keeps the sound off. Press Play once more, or let this site play sound in the browser’s settings.',
  device: 'No sound comes out: there seems to be no loudspeaker or headphone to play on.',
  worker: 'The sound broke off. Press Play to start it again.',
  interrupted: 'The sound was interrupted by the system. Press Play to go on.',
}

export function makePlayer(workerUrl: URL, events: PlayerEvents): Player {
  const levels = new Map<Part, number>(parts.map((part) => [part, 1]))
  let context: AudioContext | null = null
  let master: AudioNode | null = null
  let worker: Worker | null = null
  let load = 0
  /** What is being played, from its load on. */
  let run: Run | null = null
  /** What plays on until a change of it is ready to take its place. */
  let leaving: Leaving | null = null
  let ticking = 0
  let frame = 0

  interface Run {
    readonly load: number
    readonly output: GainNode
    readonly gains: ReadonlyMap<Part, GainNode>
    /** The audio clock at frame 0; unknown until the first chunk is there. */
    zero: number | null
    until: number
    asked: boolean
    last: boolean
    notes: LitNote[]
    marks: BarMark[]
    bar: BarMark | null
  }

  /** A run that is left, and the place on the audio clock where the next one takes over. */
  interface Leaving {
    readonly run: Run
    readonly at: number | null
  }

  function makeContext(): AudioContext | null {
    if (context && context.state !== 'closed') return context
    const Context = window.AudioContext
    if (!Context) return null
    try {
      context = new Context({ latencyHint: 'interactive' })
    } catch {
      return null
    }
    // Loud sums are bent as they are in the files: the curve covers sums up to 2.
    const half = new GainNode(context, { gain: 0.5 })
    const curve = Float32Array.from({ length: 4097 }, (_, i) => soften((i - 2048) / 1024))
    const shaper = new WaveShaperNode(context, { curve })
    half.connect(shaper).connect(context.destination)
    master = half
    context.onstatechange = () => {
      if (run && context && context.state !== 'running' && context.state !== 'closed') stop(cannot.interrupted)
    }
    return context
  }

  function makeWorker(): Worker {
    if (worker) return worker
    const made = new Worker(workerUrl, { type: 'module' })
    made.onmessage = ({ data }: MessageEvent<News>) => hear(data)
    const broken = (event: Event) => {
      event.preventDefault()
      made.terminate()
      if (worker !== made) return
      worker = null
      if (run) stop(cannot.worker)
    }
    made.onerror = broken
    made.onmessageerror = broken
    worker = made
    return made
  }

  const tell = (order: Order): void => makeWorker().postMessage(order)

  function begin(made: AudioContext, fields: Fields, from: number | null, pass: number, goOn: boolean): void {
    load += 1
    const output = new GainNode(made, { gain: 1 })
    output.connect(master!)
    const gains = new Map(
      parts.map((part) => {
        const { level, pan } = usualMix[part]
        const gain = new GainNode(made, { gain: loudness(part, level) })
        gain.connect(new StereoPannerNode(made, { pan })).connect(output)
        return [part, gain]
      }),
    )
    run = {
      load,
      output,
      gains,
      zero: null,
      until: 0,
      asked: false,
      last: false,
      notes: [],
      marks: [],
      bar: null,
    }
    try {
      tell({ kind: 'load', load, fields, rate: made.sampleRate, from, pass, goOn })
    } catch {
      stop(cannot.worker)
      return
    }
    window.clearInterval(ticking)
    ticking = window.setInterval(tick, 150)
    cancelAnimationFrame(frame)
    frame = requestAnimationFrame(show)
    ask()
  }

  const loudness = (part: Part, level: number): number => Math.SQRT2 * level * levels.get(part)!

  async function play(fields: Fields, from: number | null): Promise<void> {
    const made = makeContext()
    if (!made) {
      events.onState('stopped', cannot.none)
      return
    }
    events.onState('waiting', null)
    // Not awaited without end: where sound is not allowed, some browsers never answer.
    const woken = await Promise.race([
      made.resume().then(
        () => true,
        () => false,
      ),
      new Promise<boolean>((done) => window.setTimeout(() => done(made.state === 'running'), 1500)),
    ])
    if (!woken || made.state !== 'running') {
      events.onState('stopped', cannot.suspended)
      return
    }
    silence()
    begin(made, fields, from, 0, false)
  }

  function hear(news: News): void {
    if (!run || news.load !== run.load) return
    if (news.kind === 'fail') stop(news.message)
    else if (news.kind === 'ready') events.onReady(news)
    else schedule(news, run)
  }

  function schedule(chunk: ChunkNews, now: Run): void {
    const made = context!
    now.asked = false
    if (now.zero === null) {
      // On a whole sample, so that chunks meet exactly.
      const soonest = made.currentTime + start
      now.zero = Math.ceil(Math.max(soonest, leaving?.at ?? 0) * made.sampleRate) / made.sampleRate
      if (leaving) fadeOut(leaving.run, now.zero)
      if (leaving) now.bar = leaving.run.bar
      leaving = null
      lastClock = { audio: made.currentTime, wall: performance.now() }
      events.onState('playing', null)
    }
    // Too late, after a long freeze: the rest is moved on as one.
    const late = made.currentTime + 0.02 - (now.zero + chunk.at / made.sampleRate)
    if (late > 0) now.zero += Math.ceil(late * made.sampleRate) / made.sampleRate
    const when = now.zero + chunk.at / made.sampleRate
    for (const part of parts) {
      const samples = chunk.parts[part]
      if (!samples) continue
      const buffer = new AudioBuffer({ length: samples.length, numberOfChannels: 1, sampleRate: made.sampleRate })
      buffer.copyToChannel(samples, 0)
      const source = new AudioBufferSourceNode(made, { buffer })
      source.connect(now.gains.get(part)!)
      source.start(when)
    }
    now.until = chunk.at + chunk.frames
    now.last = chunk.last
    now.notes.push(...chunk.notes)
    now.marks.push(...chunk.marks)
    ask()
  }

  /** Asks for the next chunk where less than enough is ready. */
  function ask(): void {
    if (!run || run.asked || run.last || !context) return
    const held = run.zero === null ? 0 : run.zero + run.until / context.sampleRate - context.currentTime
    if (held > ahead) return
    run.asked = true
    tell({ kind: 'next', load: run.load })
  }

  let lastClock = { audio: 0, wall: 0 }

  function tick(): void {
    if (!run || !context) return
    ask()
    if (run.zero === null) return
    if (run.last && context.currentTime > run.zero + run.until / context.sampleRate) {
      stop()
      return
    }
    const wall = performance.now()
    if (context.currentTime > lastClock.audio) lastClock = { audio: context.currentTime, wall }
    // The audio clock stands still where there is nothing to play on.
    else if (wall - lastClock.wall > 2500) stop(cannot.device)
  }

  function show(): void {
    if (!run || !context) return
    frame = requestAnimationFrame(show)
    const heard = leaving?.run ?? run
    if (heard.zero === null) return
    const now = (context.currentTime - (context.outputLatency || 0) - heard.zero) * context.sampleRate
    while (heard.marks.length > 0 && heard.marks[0]!.at <= now) heard.bar = heard.marks.shift()!
    heard.notes = heard.notes.filter((note) => note.end > now)
    const sounding = heard.notes.filter((note) => note.start <= now).map((note) => note.id)
    events.onNow(heard.bar, sounding)
  }

  /** Fades a run out at a moment of the audio clock, so that it makes no click. */
  function fadeOut({ output }: Run, at: number): void {
    const now = context!.currentTime
    output.gain.setValueAtTime(1, Math.max(now, at))
    output.gain.linearRampToValueAtTime(0, Math.max(now, at) + 0.03)
    window.setTimeout(() => output.disconnect(), 1000 * Math.max(0, at - now) + 120)
  }

  /** Fades out whatever sounds. */
  function silence(): void {
    if (!context) return
    for (const each of [leaving?.run, run]) if (each) fadeOut(each, context.currentTime)
    leaving = null
    run = null
  }

  /** The first bar that begins late enough for a change to be ready by then. */
  function barAhead({ zero, marks }: Run): { readonly at: number; readonly mark: BarMark } | null {
    if (zero === null) return null
    const { currentTime, sampleRate } = context!
    const mark = marks.find(({ at, bar }) => bar > 0 && zero + at / sampleRate > currentTime + ready)
    return mark ? { at: zero + mark.at / sampleRate, mark } : null
  }

  function stop(message: string | null = null): void {
    silence()
    window.clearInterval(ticking)
    cancelAnimationFrame(frame)
    events.onNow(null, [])
    events.onState('stopped', message)
  }

  // A page that is put away plays nothing; the browser may bring it back.
  window.addEventListener('pagehide', () => {
    if (run) stop()
    void context?.close()
    context = null
    worker?.terminate()
    worker = null
  })

  return {
    play,
    stop,
    change(fields, samePass) {
      if (!run || !context) return
      // What was asked for a moment ago and does not sound yet gives way; what sounds plays on.
      const old = leaving?.run ?? run
      if (leaving) run.output.disconnect()
      const next = barAhead(old)
      const place = next?.mark ?? old.bar
      leaving = { run: old, at: next?.at ?? null }
      begin(context, fields, place?.bar || null, place && samePass ? place.pass - 1 : 0, old.zero !== null)
    },
    level(part, level) {
      levels.set(part, level)
      const gain = run?.gains.get(part)
      if (gain && context) gain.gain.setTargetAtTime(loudness(part, usualMix[part].level), context.currentTime, 0.015)
    },
    playing: () => run !== null,
  }
}
