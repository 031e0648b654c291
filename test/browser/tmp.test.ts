import { writeFileSync } from 'node:fs'
import { test } from 'vitest'
import { stage } from './browser.ts'

const s = stage()
const changes = (await import('node:fs')).readFileSync('/tmp/tune.txt', 'utf8')
const long =
  'Title: Long One\n' +
  Array.from({ length: 10 }, (_, i) => `[${'ABCDEFGHIJ'[i]}]\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | C6 |`).join(
    '\n',
  )
test('look', async () => {
  for (const [name, q, view] of [
    ['twelve', { changes, keys: 'fourths' }, 1280],
    ['letter', { changes, keys: 'fourths', paper: 'Letter' }, 1280],
    ['long', { changes: long }, 1280],
    ['longkeys', { changes: long, keys: 'C,F' }, 820],
    ['phone', { changes, keys: 'C,F' }, 360],
    ['short', { changes: 'Title: Short\n| Dm7 | G7 | Cmaj7 | A7 |', keys: 'fourths' }, 1280],
  ] as const) {
    const page = await s.open(`/?${new URLSearchParams({ edition: '4', instrument: 'alto-sax', ...q })}`, {
      viewport: { width: view, height: 900 },
    })
    await page.waitForLoadState('networkidle')
    writeFileSync(`/tmp/pr-${name}.pdf`, await page.pdf({ preferCSSPageSize: true }))
    await page.close()
  }
}, 300000)
