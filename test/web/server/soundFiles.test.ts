/** Recordings over HTTP: whole, kept, one key or all, and what is refused. */
import { connect, type Socket } from 'node:net'
import { parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import { longestRecording } from '../../../lib/sound/playPasses.ts'
import { startForTests } from '../serve.ts'

const server = await startForTests({ workers: 1 })
const changes = '| Dm7 | G7 | Cmaj7 | A7 |'
const at = (path: string, fields: Record<string, string> = {}) =>
  `${server.address}${path}?${new URLSearchParams({ changes, tempo: '240', ...fields })}`
const bytesOf = async (response: Response) => Buffer.from(await response.arrayBuffer())

describe('recordings', () => {
  test('WAV comes whole, with its length and a name, and can be kept', async () => {
    const response = await fetch(at('sound.wav'))
    expect(response.status).toBe(200)
    expect(response.headers.get('content-type')).toBe('audio/wav')
    expect(response.headers.get('content-disposition')).toBe('attachment; filename="line-alto-sax-C-240.wav"')
    expect(response.headers.get('cache-control')).toBe('public, no-cache')
    const bytes = await bytesOf(response)
    expect(String(bytes.length)).toBe(response.headers.get('content-length'))
    expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8)
    const again = await fetch(at('sound.wav'), { headers: { 'if-none-match': response.headers.get('etag')! } })
    expect(again.status).toBe(304)
    expect((await bytesOf(await fetch(at('sound.wav')))).equals(bytes)).toBe(true)
  })

  test('FLAC is FLAC; the band alone has a name of its own', async () => {
    const response = await fetch(at('sound.flac', { alone: 'yes' }))
    expect(response.headers.get('content-disposition')).toContain('line-alto-sax-C-240-band.flac')
    expect((await bytesOf(response)).toString('latin1', 0, 4)).toBe('fLaC')
  })

  test('Opus is small, and named by tune, instrument, key and tempo', async () => {
    const response = await fetch(at('sound.opus', { keys: 'F#m', title: 'Made up', instrument: 'tenor-sax' }))
    expect(response.headers.get('content-type')).toBe('audio/ogg')
    expect(response.headers.get('content-disposition')).toMatch(/filename="[\w-]+-tenor-sax-F(sharp)?m?-240\.opus"/)
    expect((await bytesOf(response)).toString('latin1', 0, 4)).toBe('OggS')
    const several = await fetch(at('sound.opus', { keys: 'C,F' }), { method: 'HEAD' })
    expect(several.headers.get('content-disposition')).toContain('line-alto-sax-2-keys-240.opus')
  })

  test('MIDI has the whole band in named tracks; alone, without the line', async () => {
    const names = async (fields: Record<string, string>) =>
      parseMidi(await bytesOf(await fetch(at('sound.mid', fields)))).tracks.flatMap((track) =>
        track.flatMap((event) => (event.type === 'trackName' ? [event.text] : [])),
      )
    expect((await names({})).slice(1)).toEqual(['Alto saxophone', 'Bass', 'Chords', 'Drums', 'Count-in'])
    expect((await names({ alone: 'yes' })).slice(1)).toEqual(['Bass', 'Chords', 'Drums', 'Count-in'])
  })

  test('what sounds otherwise than asked is said in the file, and on the page beside its link', async () => {
    const fields = { changes: '| C13(b9,#9,#11) | F |', instrument: 'flugelhorn' }
    const wav = (await bytesOf(await fetch(at('sound.wav', fields)))).toString('latin1')
    const page = await (await fetch(at('', fields))).text()
    // The build of these tests cuts no recorded notes.
    const said = ['here are no recorded notes here: the sound is plain', 'the band leaves out 13']
    for (const each of said) {
      expect(wav.slice(-400)).toContain(each)
      expect(page.slice(page.indexOf('class="recordings"'))).toContain(each)
    }
    const usual = await (await fetch(at('', { sound: 'plain' }))).text()
    for (const each of said) expect(usual).not.toContain(each)
  })

  test('all keys one after another, or one of them', async () => {
    const length = async (fields: Record<string, string>) =>
      Number(
        (await fetch(at('sound.wav', { keys: 'C,F,Bb', ...fields }), { method: 'HEAD' })).headers.get('content-length'),
      )
    const [all, one] = [await length({}), await length({ part: '2' })]
    // Five bars of four at 240 a key and three of its ending, 44,100 frames of four bytes a second; what rings on is there once.
    // The file also names its keys.
    expect(Math.abs(all - one - 2 * 8 * 44_100 * 4)).toBeLessThanOrEqual(32)
  })

  test('long changes are posted', async () => {
    const response = await fetch(`${server.address}sound.mid`, {
      method: 'POST',
      body: new URLSearchParams({ changes }),
    })
    expect(response.status).toBe(200)
    expect(response.headers.get('cache-control')).toBe('no-store')
    expect((await bytesOf(response)).toString('latin1', 0, 4)).toBe('MThd')
  })

  test.each([
    ['changes that cannot be read', { changes: '| Xyz |' }, 422, /This could not be read/],
    ['a key that is not there', { part: '7' }, 422, /no such part/],
    [
      'more than the longest recording',
      { passes: '999', tempo: '40' },
      422,
      new RegExp(`at most ${longestRecording / 60}`),
    ],
  ])('%s', async (_, fields, status, words) => {
    const response = await fetch(at('sound.wav', fields))
    expect(response.status).toBe(status)
    expect(await response.text()).toMatch(words)
  })

  test('an ending that is no sound is not there', async () => {
    expect((await fetch(at('sound.mp5'))).status).toBe(404)
  })

  test('ranges of one, as a player asks for them (RFC 9110, 14.2)', async () => {
    const whole = await bytesOf(await fetch(at('sound.wav')))
    const part = await fetch(at('sound.wav'), { headers: { range: 'bytes=1000-1999' } })
    expect(part.status).toBe(206)
    expect(part.headers.get('content-range')).toBe(`bytes 1000-1999/${whole.length}`)
    expect((await bytesOf(part)).equals(whole.subarray(1_000, 2_000))).toBe(true)
    const beyond = await fetch(at('sound.wav'), { headers: { range: `bytes=${whole.length}-` } })
    expect(beyond.status).toBe(416)
  })

  test('readers who take nothing keep nobody else from theirs', async () => {
    const long = { passes: '20', tempo: '60' }
    const idle = await Promise.all([1, 2, 3].map((seed) => openIdle(at('sound.wav', { ...long, seed: String(seed) }))))
    try {
      const response = await fetch(at('sound.wav', { seed: '9' }))
      expect(response.status).toBe(200)
      expect((await bytesOf(response)).length).toBe(Number(response.headers.get('content-length')))
    } finally {
      for (const socket of idle) socket.destroy()
    }
  })

  test('one asked for and left is given up, and can be asked for again', async () => {
    const leaving = new AbortController()
    const asked = fetch(at('sound.wav', { passes: '60', tempo: '60' }), { signal: leaving.signal })
    setTimeout(() => leaving.abort(), 100)
    await expect(asked).rejects.toThrow()
    expect((await fetch(at('sound.mid'))).status).toBe(200)
    expect((await fetch(at('sound.wav', { passes: '2' }))).status).toBe(200)
  })
})

/** A connection that asks and then reads nothing. */
function openIdle(address: string): Promise<Socket> {
  const { hostname, port, pathname, search } = new URL(address)
  return new Promise((resolve) => {
    const socket = connect(Number(port), hostname, () => {
      socket.pause()
      socket.write(`GET ${pathname}${search} HTTP/1.1\r\nHost: ${hostname}\r\n\r\n`, () => resolve(socket))
    })
  })
}
