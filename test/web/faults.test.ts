import { spawn } from 'node:child_process'
import { readdirSync, renameSync, writeFileSync } from 'node:fs'
import { connect, type Socket } from 'node:net'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Pool, PoolOptions } from '../../web/server/pool.ts'
import type { Question } from '../../web/server/workerRequest.ts'
import { buildServer, get, startForTests } from './serve.ts'

let folder = ''
let startPool: (options?: PoolOptions) => Pool
beforeAll(async () => {
  folder = await buildServer()
  startPool = (
    (await import(/* @vite-ignore */ pathToFileURL(join(folder, 'server', 'pool.js')).href)) as {
      startPool: typeof startPool
    }
  ).startPool
})

const page = (seed: number, more: Record<string, string> = {}): Question => ({
  kind: 'page',
  given: { changes: '| Dm7 | G7 | Cmaj7 | Cmaj7 |', seed: String(seed), ...more },
  badLink: false,
  origin: '',
})

describe('the workers', () => {
  test('one killed in the middle of its work, twenty times: every question is answered', async () => {
    const pool = startPool({ workers: 2 })
    try {
      await pool.answer(page(0))
      for (let time = 0; time < 20; time++) {
        const asked = Array.from({ length: 4 }, (_, n) =>
          pool.answer({ kind: 'edit', changes: `| ${'Dm7 G7 | '.repeat(200)} // ${time}.${n}`, edit: 'up' }),
        )
        const threads = pool.threads()
        await threads[time % threads.length]!.terminate()
        for (const each of await Promise.all(asked)) expect(each).toMatchObject({ answer: { status: 200 } })
      }
      expect(await pool.answer(page(1))).toMatchObject({ answer: { status: 200 } })
    } finally {
      await pool.close()
    }
  }, 180_000)

  test('all of them lost before they have begun: who asks is told so, and once others can begin they do', async () => {
    const pool = startPool({ workers: 2, answerTime: 10_000 })
    const [there, away] = ['worker.js', 'worker.away'].map((name) => join(folder, 'server', name))
    try {
      await pool.answer(page(0))
      await expect.poll(() => pool.ready(), { timeout: 40_000 }).toBe(true)
      // As where a disk or a limit of open files gives nothing for a while.
      renameSync(there!, away!)
      for (const thread of pool.threads()) await thread.terminate()
      expect(await pool.answer(page(1))).toBe('died')
      expect(pool.ready()).toBe(false)
      renameSync(away!, there!)
      await expect.poll(() => pool.ready(), { timeout: 40_000 }).toBe(true)
      expect(await pool.answer(page(2))).toMatchObject({ answer: { status: 200 } })
      expect(pool.threads()).toHaveLength(2)
    } finally {
      await pool.close()
    }
  }, 180_000)

  test('one that takes too long is given up, and the next question is answered', async () => {
    const pool = startPool({ workers: 1, longAnswerTime: 1_000 })
    const small = (n: number): Question => ({ kind: 'edit', changes: `| Dm7 | G7 | // ${n}`, edit: 'up' })
    try {
      // Seconds of work: 640 bars, a fresh line in each of twelve keys, by a worker that is started for it.
      const slow = page(1, { changes: '| Dm7 G7 | C6 A7 |\n'.repeat(320), keys: 'fourths', each: 'fresh' })
      expect(await pool.answer(slow)).toBe('slow')
      let answer: unknown = 'slow'
      for (let tries = 0; tries < 10 && typeof answer === 'string'; tries++) answer = await pool.answer(small(tries))
      expect(answer).toMatchObject({ answer: { status: 200 } })
    } finally {
      await pool.close()
    }
  })

  test('one that has grown makes way for a new one, and whoever asks meanwhile is answered', async () => {
    const pool = startPool({ workers: 2, processMemory: 0, workerGrowth: 1 })
    const seen = new Set<number>()
    try {
      for (let round = 0; round < 3; round++) {
        for (const { threadId } of pool.threads()) seen.add(threadId)
        // Longer each time, so that a worker has grown by a byte at least.
        const asked = Array.from({ length: 2 }, (_, n) =>
          pool.answer(page(100 + 2 * round + n, { changes: '| Dm7 | G7 '.repeat(4 * (round + 1)) })),
        )
        for (const each of await Promise.all(asked)) expect(each).toMatchObject({ answer: { status: 200 } })
      }
      for (const { threadId } of pool.threads()) seen.add(threadId)
      // Two to begin with; a worker that makes way is gone for good.
      expect(seen.size).toBeGreaterThan(2)
    } finally {
      await pool.close()
    }
  }, 120_000)

  test('none makes way while the process holds little', async () => {
    const pool = startPool({ workers: 1, processMemory: 2 ** 40, workerGrowth: 1 })
    try {
      await pool.answer(page(200))
      const [first] = pool.threads()
      for (let n = 1; n < 6; n++)
        expect(await pool.answer(page(200 + n, { changes: '| Dm7 '.repeat(10 * n) }))).toMatchObject({ from: 'work' })
      expect(pool.threads()).toEqual([first])
    } finally {
      await pool.close()
    }
  })

  test('what takes long goes aside, and what is short does not wait for it', async () => {
    const pool = startPool({ workers: 1 })
    try {
      await pool.answer(page(0))
      const giants = ['a', 'b'].map((who) =>
        pool.answer(page(1, { changes: `| ${who === 'a' ? 'Dm7' : 'Em7'} G7 |\n`.repeat(320), keys: 'fourths' }), {
          who,
        }),
      )
      const order: string[] = []
      void Promise.race(giants).then(() => order.push('giant'))
      expect(await pool.answer(page(2), { who: 'c' })).toMatchObject({ answer: { status: 200 } })
      order.push('small')
      await Promise.race(giants)
      expect(order[0]).toBe('small')
    } finally {
      await pool.close()
    }
  })

  test('what was not weighed as long goes aside once it has gone on for long', async () => {
    const pool = startPool({ workers: 1, longGoing: 1 })
    try {
      expect(await pool.answer(page(5))).toMatchObject({ answer: { status: 200 } })
    } finally {
      await pool.close()
    }
  })

  test('a line over a wide range, with many targets, takes no more than a worker has', async () => {
    const pool = startPool({ workers: 1, longGoing: 60_000 })
    try {
      const range = { instrument: 'piano', low: 'C2', high: 'C7', land: '1,3,5,7,9,#11,13', every: 'half' }
      const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
      const chords = ['m7', '7', 'maj7', 'm7b5', 'm6'].flatMap((kind) => roots.map((root) => `${root}${kind}`))
      // Two chords a bar, none of which comes round, thirty bars; then sixteen times the same four.
      const bars = chords.map((chord, i) => (i % 2 === 0 ? `| ${chord} ${chords[(7 * i + 25) % 60]} ` : '')).join('')
      for (const changes of [`${bars}|`, '| Dm7 | G7 | Cmaj7 | A7 |\n'.repeat(16)]) {
        const given = { changes, ...range }
        const line: Question = {
          kind: 'download',
          format: 'json',
          given,
          badLink: false,
          part: 1,
          sheet: 1,
          origin: '',
        }
        expect(await pool.answer(line)).toMatchObject({ answer: { status: 200 } })
      }
    } finally {
      await pool.close()
    }
  }, 60_000)

  test('what no answer can hold is refused at once', async () => {
    const pool = startPool({ workers: 1 })
    try {
      const given = { changes: '| Dm7 | G7 '.repeat(1_000), keys: 'fourths' }
      const book: Question = { kind: 'download', format: 'pdf', given, badLink: false, part: 1, sheet: 1, origin: '' }
      expect(await pool.answer(book)).toBe('long')
    } finally {
      await pool.close()
    }
  })

  test('work whose asker left stops, whoever else waits is answered', async () => {
    const pool = startPool({ workers: 1 })
    try {
      await pool.answer(page(0))
      const [leaving, staying] = [new AbortController(), new AbortController()]
      const giant = page(1, { changes: '| Dm7 G7 | C6 A7 |\n'.repeat(320), keys: 'fourths', each: 'fresh' })
      const left = pool.answer(giant, { who: 'a', left: leaving.signal })
      const behind = pool.answer(page(1, { changes: '| Dm7 | G7 |\n'.repeat(160), keys: 'fourths' }), {
        who: 'b',
        left: staying.signal,
      })
      setTimeout(() => leaving.abort(), 300)
      expect(await left).toBe('gone')
      expect(await behind).toMatchObject({ answer: { status: 200 } })
    } finally {
      await pool.close()
    }
  })

  test('one tried again keeps its first deadline', async () => {
    const pool = startPool({ workers: 1, answerTime: 3_000, longAnswerTime: 3_000, longGoing: 60_000 })
    try {
      await pool.answer(page(0))
      // Weighed as nothing, and more than a minute of work wherever this runs.
      const given = { changes: '| Dm7 G7 | C6 A7 |\n'.repeat(500), keys: 'fourths', each: 'fresh', choruses: '2' }
      const asked = pool.answer({ kind: 'choices', given, badLink: false, at: '1.1', chosen: '', bare: true })
      setTimeout(() => pool.threads()[0]!.terminate(), 2_000)
      // A fresh deadline would end a second after this one.
      const later = new Promise<string>((resolve) => setTimeout(resolve, 4_000, 'later'))
      expect(await Promise.race([asked, later])).toBe('slow')
    } finally {
      await pool.close()
    }
  })

  test('the same question asked by a class at once is worked on once', async () => {
    const pool = startPool({ workers: 1, queue: 2 })
    try {
      await pool.answer(page(0))
      const asked = await Promise.all(Array.from({ length: 100 }, () => pool.answer(page(7))))
      for (const each of asked) expect(each).toMatchObject({ answer: { status: 200 } })
      expect(await pool.answer(page(7))).toMatchObject({ from: 'memory' })
    } finally {
      await pool.close()
    }
  })
})

describe('more than it can take', () => {
  test('is told to come back, and what is taken on is answered', async () => {
    const { address } = await startForTests({ workers: 1, queue: 5 })
    const asked = await Promise.all(
      Array.from({ length: 60 }, (_, seed) => get(`${address}?changes=%7C+Dm7+%7C+G7+%7C&seed=${seed}`)),
    )
    const statuses = asked.map(({ status }) => status)
    expect(new Set(statuses)).toEqual(new Set([200, 503]))
    expect(statuses.filter((status) => status === 200).length).toBeGreaterThanOrEqual(5)
    for (const { status, headers, text } of asked)
      if (status === 503) {
        expect(headers.get('retry-after')).toMatch(/^\d+$/)
        expect(text).toContain('try again')
      }
    expect((await get(`${address}?changes=%7C+Dm7+%7C&seed=99`)).status).toBe(200)
  })

  test('an address that asks too often is slowed, health is not, and only a known proxy is believed', async () => {
    const alone = await startForTests({ workers: 1, perMinute: 5 })
    const from = (address: string, who: string) => fetch(`${address}help`, { headers: { 'x-forwarded-for': who } })
    const statuses: number[] = []
    for (let i = 0; i < 7; i++) statuses.push((await from(alone.address, `10.0.0.${i}`)).status)
    expect(statuses).toEqual([200, 200, 200, 200, 200, 429, 429])
    const limited = await from(alone.address, '10.0.0.9')
    expect(limited.headers.get('ratelimit')).toBeTruthy()
    expect(limited.headers.get('retry-after')).toBeTruthy()
    expect((await get(`${alone.address}health`)).status).toBe(200)
    const proxied = await startForTests({ workers: 1, perMinute: 5, proxies: 1 })
    for (let i = 0; i < 7; i++) expect((await from(proxied.address, `10.0.0.${i}`)).status).toBe(200)
  })
})

// `/proc` tells which files a process has open (proc(5)).
describe.skipIf(process.platform !== 'linux')('open files', () => {
  const openFiles = (process: string) => readdirSync(`/proc/${process}/fd`).length

  test('recordings asked for and left at any moment leave none behind', async () => {
    const { address } = await startForTests({ workers: 1 }, folder)
    const leave = async (n: number) => {
      const asked = fetch(`${address}sound.wav?changes=%7C+Dm7+%7C&seed=${n}`, { signal: AbortSignal.timeout(25 * n) })
      await asked.then((response) => response.arrayBuffer()).catch(() => undefined)
    }
    await leave(100)
    const before = openFiles('self')
    for (let n = 1; n <= 24; n++) await leave(n)
    await expect.poll(() => openFiles('self') - before, { timeout: 40_000 }).toBeLessThanOrEqual(4)
  }, 60_000)

  // Node never closes what a thread was opening when it was ended from outside, as work is that nobody waits for.
  test('a worker loads nothing once it has begun, but for the engraver with its first music', async () => {
    const entry = 'web/server/worker.ts'
    const { metafile } = await build({
      absWorkingDir: fileURLToPath(new URL('../../', import.meta.url)),
      entryPoints: [entry],
      outdir: folder,
      bundle: true,
      splitting: true,
      write: false,
      metafile: true,
      platform: 'node',
      format: 'esm',
      packages: 'external',
    })
    const loaded = new Set([entry])
    for (const file of loaded)
      for (const { kind, path } of metafile.inputs[file]?.imports ?? [])
        if (kind === 'import-statement') loaded.add(path)
    const later = [...loaded].flatMap((file) =>
      (metafile.inputs[file]?.imports ?? []).flatMap(({ kind, path }) =>
        kind === 'dynamic-import' && !loaded.has(path) ? [path] : [],
      ),
    )
    // Recordings and packets are made by workers of their own, which end by themselves.
    const others = ['lib/sound/recordSound.ts', 'lib/opus.ts', 'lib/packet.ts', 'lib/engrave/pdf/packetCover.ts']
    expect(later.filter((path) => !others.includes(path)).sort()).toEqual(['verovio/esm', 'verovio/wasm'])
  })

  test('connections leave so many that work goes on, where few may be open', async () => {
    const main = join(folder, 'few.js')
    writeFileSync(main, "import { serve } from './server/server.js'\nawait serve({ port: 0, workers: 1 })\n")
    const child = spawn('sh', ['-c', 'ulimit -n 290; exec "$@"', 'sh', process.execPath, main], {
      stdio: ['ignore', 'pipe', 'ignore'],
    })
    const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
    const said = await new Promise<string>((resolve) => child.stdout.once('data', (piece) => resolve(String(piece))))
    const sockets: Socket[] = []
    for (let n = 0; n < 250; n++) {
      const socket = connect(Number(new URL(said).port), 'localhost')
      socket.on('error', () => undefined)
      sockets.push(socket)
      await new Promise((resolve) => socket.once('connect', resolve))
    }
    // 60 bars in twelve keys go to a worker that is begun for them.
    const giant = new URLSearchParams({ changes: '| Dm7 G7 '.repeat(60), keys: 'fourths' })
    const answered = new Promise<string>((resolve) => {
      sockets[0]!.once('data', (piece) => resolve(String(piece)))
      sockets[0]!.once('close', () => resolve('closed'))
    })
    sockets[0]!.write(`GET /line.pdf?${giant} HTTP/1.1\r\nHost: localhost\r\n\r\n`)
    expect(await answered).toMatch(/^HTTP\/1\.1 200 /)
    for (const socket of sockets) socket.destroy()
    child.kill('SIGTERM')
    expect(await ended).toBe(0)
  }, 60_000)
})

describe('closing', () => {
  test('SIGTERM under load: all that was begun is answered, then it ends with 0', async () => {
    const main = join(folder, 'main.js')
    writeFileSync(main, "import { serve } from './server/server.js'\nawait serve({ port: 0, workers: 2 })\n")
    const child = spawn(process.execPath, [main], { stdio: ['ignore', 'pipe', 'pipe'] })
    let out = ''
    let log = ''
    child.stderr.on('data', (chunk: Buffer) => {
      log += chunk.toString()
    })
    const address = await new Promise<string>((resolve, reject) => {
      child.once('exit', (code) => reject(new Error(`ended with ${code}: ${log}`)))
      child.stdout.on('data', (chunk: Buffer) => {
        out += chunk.toString()
        if (out.includes('\n')) resolve(out.trim())
      })
    })
    expect(address).toMatch(/^http:\/\/localhost:\d+\/$/)
    expect((await get(`${address}?changes=%7C+Dm7+%7C`)).status).toBe(200)
    const asked = Array.from({ length: 12 }, (_, seed) =>
      get(`${address}?changes=%7C+Dm7+%7C+G7+%7C&seed=${seed}&title=secret-word`),
    )
    // Once the first is answered the others have been begun.
    await Promise.race(asked)
    const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
    child.kill('SIGTERM')
    for (const { status, text } of await Promise.all(asked)) {
      expect(status).toBe(200)
      expect(text).toContain('</html>')
    }
    expect(await ended).toBe(0)
    await expect(get(address)).rejects.toThrow()
    // The log is one JSON object a line and says nothing that was typed.
    const lines = log
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>)
    expect(lines.map(({ event }) => event)).toEqual(
      expect.arrayContaining(['listening', 'request', 'closing', 'closed']),
    )
    expect(log).not.toContain('secret-word')
    expect(log).not.toContain('Dm7')
  })
})
