import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { engraveSvg } from '../../lib/engrave/engraver.ts'
import { writePng } from '../../lib/engrave/png.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { makeLine } from '../score/lineFixture.ts'

const page = async (title: string) => {
  const line = makeLine({ title, chords: 'Bbmaj7 | Gm7b5', notes: '*D5 Bb4 A4 F4 *Db5/48' })
  const [svg] = await engraveSvg(writeMei(layScore(line, defaultBrief)), { paper: 'A4' })
  return svg!
}
const sizeOf = (png: Uint8Array) => {
  const bytes = new DataView(png.buffer, png.byteOffset)
  return [bytes.getUint32(16), bytes.getUint32(20)]
}

describe('a page as a picture', () => {
  test.each([620, 1654])('%s dots wide, as tall as the paper is', async (width) => {
    const png = await writePng(await page('Study'), width)
    // The signature of every PNG (W3C PNG, section 5).
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10])
    // A4 is 210 by 297 mm (ISO 216).
    expect(sizeOf(png)).toEqual([width, Math.round((width * 297) / 210)])
  })
  test('is the same bytes every time', async () => {
    expect(await writePng(await page('Study'), 620)).toEqual(await writePng(await page('Study'), 620))
  })
  test('shows its words, in other letters too', async () => {
    const plain = await writePng(await page(''), 620)
    for (const title of ['Study', 'Żółw', 'Ωδή', 'Песня']) {
      const png = await writePng(await page(title), 620)
      expect(png, title).not.toEqual(plain)
    }
    expect(await writePng(await page('Ωδή'), 620)).not.toEqual(await writePng(await page('Ωδα'), 620))
  })
})
