/** What is said for running the server elsewhere agrees with the server: its start, its port, its limits. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { webLimits } from '../../web/server/limits.ts'
import { madeLimits } from '../../web/server/madeFiles.ts'
import { readSettings } from '../../web/server/settings.ts'
import { serverFlags, serverMemory } from '../../web/server/starter.ts'

const read = (name: string) => readFileSync(`web/deploy/${name}`, 'utf8')
/** What `npm start` runs in the end (`start.ts`). */
const start = [...serverFlags, 'dist/lib/cli.js', 'serve']

describe('web/deploy', () => {
  test('the container starts what `npm start` starts, from what a build leaves', () => {
    const file = read('Containerfile')
    const command = JSON.parse(/^CMD (\[.*\])$/m.exec(file)![1]!) as string[]
    expect(command).toEqual(['node', ...start])
    for (const folder of ['dist', 'templates', 'node_modules', 'package.json'])
      expect(file).toMatch(new RegExp(`^COPY --from=build /build/${folder} `, 'm'))
    for (const [name, value] of Object.entries(serverMemory))
      expect(file).toMatch(new RegExp(`^ENV .*\\b${name}=${value}\\b`, 'm'))
    expect(file).toContain('USER node')
  })

  test('the service starts the same, with settings that are understood, and waits as long as an answer may take', () => {
    const file = read('throughline.service')
    expect(/^ExecStart=\S+\/node (.*)$/m.exec(file)![1]!.split(' ')).toEqual(start)
    const settings = [...file.matchAll(/^Environment=(.*)$/gm)].flatMap(([, said]) => said!.split(' '))
    const given = Object.fromEntries(settings.map((each) => each.split('=') as [string, string]))
    expect(given).toMatchObject(serverMemory)
    expect(readSettings(given)).toEqual({ host: '127.0.0.1', proxies: 1, origin: 'https://lines.example.org' })
    expect(Number(/^TimeoutStopSec=(\d+)$/m.exec(file)![1]) * 1_000).toBeGreaterThan(webLimits.closingTime)
  })

  test('the proxy lets through what the server takes, and waits for its longest answer', () => {
    const file = read('proxy.conf')
    expect(Number(/client_max_body_size (\d+)m;/.exec(file)![1]) * 1_048_576).toBeGreaterThanOrEqual(webLimits.file)
    const patience = Number(/proxy_read_timeout (\d+)s;/.exec(file)![1]) * 1_000
    expect(patience).toBeGreaterThan(
      Math.max(madeLimits.recording.whole, madeLimits.packet.whole, webLimits.longAnswerTime),
    )
    expect(file).toContain('proxy_set_header X-Forwarded-For $proxy_add_x_forwarded_for;')
    // The path that is shown is the one that the setting beside it says (what holds below it: subPath.test.ts).
    const [, origin] = /ORIGIN=(https:\/\/\S+\w)\./.exec(file)!
    const [, below] = /location (\/\w+)\/ \{ proxy_pass http:\/\/127\.0\.0\.1:3000\/; \}/.exec(file)!
    expect(readSettings({ ORIGIN: origin })).toEqual({ origin: `https://example.org${below}` })
  })
})
