/** What is read from a drawn page, against the same page read as a tree by an XML parser. */
import { SaxesParser } from 'saxes'
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { engraveScore } from '../../lib/engrave/engraver.ts'
import { readDrawn, readSection } from '../../lib/engrave/readDrawn.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'

/** The same by every element and attribute of a page. */
function readAsTree(svg: string) {
  let [width, height, systems, lowest] = [0, 0, 0, 0]
  const parser = new SaxesParser({ xmlns: false, position: false })
  parser.on('opentag', ({ name, attributes: a }) => {
    if (name === 'svg' && width === 0)
      [, , width, height] = a.viewBox!.split(' ').map(Number) as [number, number, number, number]
    if (name === 'g' && a.class?.split(' ').includes('system')) systems += 1
    const y = name === 'text' ? a.y : name === 'path' ? /^M\S+ (\S+) L/.exec(a.d ?? '')?.[1] : undefined
    if (y !== undefined) lowest = Math.max(lowest, Number(y))
  })
  parser.write(svg).close()
  return { width, height, systems, lowest }
}

test.each([
  ['alto-sax', 'targets,degrees,brackets', 'A4'],
  ['tuba', 'targets,names,analysis,scales', 'Letter'],
  ['guitar', 'none', 'screen'],
] as const)('%s, %s, on %s', async (instrument, show, paper) => {
  const changes = '| Dm7 | G7 | Cmaj7 | A7(b9) |'.repeat(20)
  const { brief } = readBrief({ changes, instrument, show })
  const score = layScore(writeLines(brief).lines[0]!, brief)
  const pages = await engraveScore(score, { show: brief.show }, { paper })
  expect(pages.length).toBeGreaterThan(paper === 'screen' ? 0 : 1)
  for (const page of pages) expect(readDrawn(page)).toEqual(readAsTree(page))
})

test('a bar with a section letter, and none without', () => {
  const line = (y: number) => `<path d="M120 ${y} L900 ${y}" stroke-width="13"/>`
  const chord = '<g class="harm"><text x="300" y="-90" font-size="405px">'
  const letter =
    '<g class="reh"><rect fill="none" x="10" y="-400" height="300" width="250"/><text x="135" y="-160" text-anchor="middle">'
  expect(readSection(`${line(40)}${line(220)}${line(400)}<use href="#E050-a"/>${chord}${letter}`)).toEqual({
    box: { x: 10, y: -400, height: 300, width: 250 },
    baseline: -160,
    chord: { x: 300, y: -90 },
    staff: { left: 120, top: 40, space: 180 },
    treble: true,
  })
  expect(readSection(`${line(40)}${line(220)}${letter}`)).toBeNull()
  expect(readSection(`${line(40)}${line(220)}${chord}`)).toBeNull()
})
