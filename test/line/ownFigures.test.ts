/** A table of one's own: read by rows, refused by its cells, and drawn from. */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { readOwnFigures } from '../../lib/line/ownFigures.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { countFigures, countsCsv } from '../../lib/mark/countFigures.ts'
import { isFaulty, markFile, usualMarking } from '../../lib/mark/mark.ts'

const head = 'kind,class,offsets,degree,quality,count\n'

describe('a table of figures', () => {
  test('rows of one figure add up, whatever the degree; columns may be named', () => {
    const { figures, problems } = readOwnFigures(
      `${head}approach,enclosure,2 -1,3,dom,4\napproach,enclosure,2 -1,7,major,1\ncell,1-2-3-5,0 1 2 4,1,minor,2\n`,
    )
    expect(problems).toEqual([])
    expect(figures.map(({ kind, offsets, count }) => [kind, offsets, count])).toEqual([
      ['approach', [2, -1], 5],
      ['cell', [0, 1, 2, 4], 2],
    ])
    expect(figures[0]!.places.get('dom 3')).toBe(4)
  })

  test.each([
    ['a kind that is none', 'lick,enclosure,2 -1,3,dom,4', 'lick'],
    ['offsets that are none', 'approach,enclosure,2 x,3,dom,4', '2 x'],
    ['too many offsets', 'approach,enclosure,1 2 3 2 1,3,dom,4', '1 2 3 2 1'],
    ['a class that they are not', 'approach,chromatic,2 -1,3,dom,4', 'chromatic'],
    ['a degree that is none', 'approach,enclosure,2 -1,9,dom,4', '9'],
    ['a quality that is none', 'approach,enclosure,2 -1,3,funny,4', 'funny'],
    ['a count of nothing', 'approach,enclosure,2 -1,3,dom,0', '0'],
    ['a cell that is no cell', 'cell,1-2,0 1,1,minor,2', '0 1'],
  ])('refuses %s, and says where', (_, row, found) => {
    const csv = `${head}approach,enclosure,1 -1,3,dom,2\n${row}\n`
    const { figures, problems } = readOwnFigures(csv)
    expect(figures).toEqual([])
    expect(problems).toHaveLength(1)
    expect(csv.slice(problems[0]!.span.start, problems[0]!.span.end)).toBe(found)
  })

  test('a row of too few cells is refused whole', () => {
    expect(readOwnFigures('approach,enclosure,2 -1\n').problems[0]!.found).toBe('approach,enclosure,2 -1')
  })
})

describe('drawn from', () => {
  const own = `${head}approach,enclosure,2 -1,3,dom,4\napproach,enclosure,1 -1,3,dom,2\napproach,chromatic,-2 -1,5,major,1\n`
  const asked = new Set(['2 -1', '1 -1', '-2 -1'])
  const changes = 'Key: F\n| Fmaj7 D7 | Gm7 C7 | Am7 D7b9 | Gm7 C7 | Fmaj7 | Gm7 C7 | F6 | Gm7 C7 |'
  const lineOf = (given: Record<string, string>) => {
    const written = writeLines(readBrief({ changes, own, ...given }).brief)
    expect(written.choiceProblems).toEqual([])
    return written.lines
  }
  const approachesOf = (given: Record<string, string>) =>
    lineOf(given).flatMap(({ figures }) =>
      figures.flatMap(({ kind, offsets }) => (kind === 'approach' ? [offsets.join(' ')] : [])),
    )

  test('alone: a line takes no other approach but where none fits, which it says', () => {
    const drawn = lineOf({ every: 'bar' })
    const others = drawn.flatMap(({ figures }) =>
      figures.filter(({ kind, offsets }) => kind === 'approach' && !asked.has(offsets.join(' '))),
    )
    const bent = drawn.flatMap(({ relaxed }) => relaxed.filter(({ rule }) => rule === 'approach-kinds'))
    expect(others.length).toBe(bent.length)
    expect(approachesOf({ every: 'bar' }).filter((each) => asked.has(each)).length).toBeGreaterThan(4)
  })

  test('alone: an exact drill in twelve keys takes these and no others', () => {
    const drawn = approachesOf({ every: 'bar', exact: 'yes', notes: '2', keys: 'chromatic' })
    expect(drawn.length).toBeGreaterThan(80)
    expect(drawn.filter((each) => !asked.has(each))).toEqual([])
    expect(new Set(drawn).size).toBe(3)
  })

  test('mixed: counted ones stand beside them', () => {
    const drawn = approachesOf({ mixOwn: 'yes', choruses: '4' })
    expect(drawn.some((each) => asked.has(each))).toBe(true)
    expect(drawn.some((each) => !asked.has(each))).toBe(true)
  })

  test('a bad table gives no line, but its row', () => {
    const { lines, choiceProblems } = writeLines(readBrief({ changes, own: 'approach,enclosure,2 x,3,dom,4' }).brief)
    expect(lines).toEqual([])
    expect(choiceProblems[0]).toMatchObject({ choice: 'own', found: '2 x' })
  })

  test('what mark counts of a line is such a table', () => {
    const text =
      'C major concert, Flute, written\n1  Dm7  A4:2 -:0.5 A4 G4 E4\n2  G7  F4:2 -:0.5 C5 Bb4 A#4\n3  Cmaj7  B4:4\n'
    const marked = markFile({ name: 'x', bytes: new TextEncoder().encode(text) }, usualMarking)
    if (isFaulty(marked)) throw new Error(JSON.stringify(marked.problems))
    const csv = countsCsv(countFigures([marked]))
    expect(readOwnFigures(csv).problems).toEqual([])
    expect(csv).toContain('approach,enclosure,2 -1,7,dom,1')
  })
})
