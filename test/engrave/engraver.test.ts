import { beforeAll, describe, expect, test } from 'vitest'
import { type Brief, defaultBrief, marks, readBrief } from '../../lib/brief.ts'
import { type Engraver, loadEngraver } from '../../lib/engrave/engraver.ts'
import { roomOn, type Sheet } from '../../lib/engrave/sheet.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import type { Score } from '../../lib/score/score.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keyAt } from '../../lib/theory/key.ts'
import { intervalBetween } from '../../lib/theory/pitch.ts'
import { type LineText, makeLine, transposeLine } from '../score/lineFixture.ts'
import { notesOfMidi, soundingNotes } from '../score/soundingNotes.ts'

const tune: LineText = {
  title: 'Low & <high>',
  chords: 'A: Dm7 | G7 | Cmaj7 | A7(b9) | B: Dm7 | G13(#11) | Em7 Ebm7 | Dm7 G7',
  notes: `*F4 E4 D4 C4 [A4 G4 D#4 C#4] *B4 (D5 F5 A5) [F#5 F5 Eb5 D5] *E5/8 D5 B4 G4/12 A4 [C#5/24] *C#5/12 E5 G5 Bb5 [A5 F#5 E5 Eb5]
    *F5/36 E5/12 D5 C5 Bb4 A4 *B4/72 [F#5/12 F5] *G5/60 F#5/12 Gb5/6 F5 E5 Eb5 *F5/48 -/12 D5 *B4/24`,
}
const everything: Brief = { ...defaultBrief, show: [...marks] }
const score = (text: LineText = tune, brief: Brief = defaultBrief) => layScore(makeLine(text), brief)
const mei = (text: LineText = tune, brief: Brief = defaultBrief) => writeMei(score(text, brief), { show: brief.show })

let engraver: Engraver
beforeAll(async () => {
  engraver = await loadEngraver()
})
const A4: Sheet = { paper: 'A4' }

describe('what is engraved sounds as the line does', () => {
  const cases = instruments.flatMap(({ id }, i) =>
    [0, 7].map((up) => [id, (i * 5 + up) % 12, i % 2 === 0 ? 'written' : 'concert'] as const),
  )
  // Verovio plays what it engraved and `midi-file` reads that: transposition, signature and every accidental must hold.
  test.each(cases)('%s, %s semitones up, %s pitch', (instrument, up, pitch) => {
    const base = makeLine({ ...tune, instrument })
    const line = transposeLine(base, intervalBetween(base.key.tonic, keyAt(up, 'major').tonic))
    const part = layScore(line, { ...defaultBrief, pitch })
    expect(played(part)).toEqual(soundingNotes(part))
  })

  test.each(['2/4', '3/4', '4/4', '5/4', '6/4', '7/4', '6/8', '9/8', '12/8'])('in %s', (meter) => {
    const notes = 'C4/12 E4 G4/24 -/12 B4/8 A4 G4 C5/24 - E4/18 F4/6 G4/60 A4/12'
    const part = score({ meter, chords: Array(6).fill('C6').join(' | '), notes })
    expect(played(part)).toEqual(soundingNotes(part))
  })

  const played = (part: Score) => {
    engraver.engrave(writeMei(part), A4)
    const bytes = Buffer.from(engraver.toolkit.renderToMIDI(), 'base64')
    return notesOfMidi(bytes).map((note) => ({ ...note, start: Math.round(note.start), ticks: Math.round(note.ticks) }))
  }
})

describe('the picture', () => {
  const page = (brief: Brief = everything, sheet: Sheet & { title?: string; description?: string } = A4) =>
    engraver.engrave(mei(tune, brief), sheet)[0]!

  test('fetches nothing, runs nothing, and needs no style from a security policy', () => {
    for (const sheet of [A4, { paper: 'screen', width: 500 }] as const) {
      const svg = page(everything, sheet)
      const addresses = [...svg.matchAll(/(?:href|src)="([^"]*)"/g)].map(([, address]) => address!)
      expect(addresses.filter((address) => !address.startsWith('#'))).toEqual([])
      expect(addresses.length).toBeGreaterThan(50)
      expect(svg.match(/<style|<script|<foreignObject|<image|@font-face|url\(|\sstyle=|\son[a-z]+=/i)).toBeNull()
      expect(svg.match(/https?:[^"]*/g)).toEqual(['http://www.w3.org/2000/svg', 'http://www.w3.org/1999/xlink'])
    }
  })

  test('says what it is, its words escaped', () => {
    const svg = page(everything, { ...A4, title: 'Low & <high>', description: 'Alto "part"' })
    expect(svg).toMatch(
      /^<svg [^>]*role="img" aria-labelledby="(\w+)-title \1-desc"><title id="\1-title">Low &amp; &lt;high&gt;<\/title><desc id="\1-desc">Alto &quot;part&quot;<\/desc>/,
    )
    expect(svg).toContain('Low &amp; &lt;high&gt;</tspan>')
  })

  test('addresses every note, and holds its role', () => {
    const svg = page()
    for (const { id, role, pitch } of score().bars.flatMap((bar) => bar.events)) {
      if (pitch === null) continue
      expect(svg).toContain(`<g id="${id}" class="note ${role}"`)
    }
    expect(svg).toContain('class="dir target"')
    expect(svg).toContain('class="bracketSpan approach"')
  })

  test('words hold no private characters', () => {
    const words = [...page().matchAll(/<tspan[^>]*>([^<]+)/g)].map(([, text]) => text).join('')
    expect(words).toContain('7(♭9)')
    expect(words).not.toMatch(/[\ue000-\uf8ff]/)
  })

  test('a ring and a bracket stand for colour in black and white', () => {
    const targets = score()
      .bars.flatMap((bar) => bar.events)
      .filter(({ role, tie }) => role === 'target' && tie !== 'end')
    const svg = page(defaultBrief)
    expect(svg.match(/<g [^>]*class="dir target"[^>]*><ellipse/g)).toHaveLength(targets.length)
    const plain = page({ ...defaultBrief, show: [] })
    expect(plain.match(/<g [^>]*class="dir|color="#|class="bracketSpan/g)).toBeNull()
  })

  test('section letters stand on the line of the chords, over the clef', () => {
    const svg = page(defaultBrief)
    const letters = [
      ...svg.matchAll(
        /class="reh"[^>]* transform="translate\((-?\d+), (-?\d+)\)"[^>]*><rect [^>]*x="(-?\d+)"[^>]*><text [^>]*y="(-?\d+)"/g,
      ),
    ]
    expect(letters).toHaveLength(2)
    const chordLines = [...svg.matchAll(/class="harm"><text [^>]*y="(-?\d+)"/g)].map(([, y]) => Number(y))
    for (const [, dx, dy, x, y] of letters) {
      expect(Number(x) + Number(dx)).toBe(0)
      expect(chordLines).toContain(Number(y) + Number(dy))
    }
  })

  test('bars are numbered where lines start', () => {
    const numbers = [
      ...page(defaultBrief).matchAll(/class="mNum[^"]*"[^>]*><text [^>]*><tspan[^>]*><tspan[^>]*>(\d+)</g),
    ]
    expect(numbers.map(([, number]) => number)).toEqual(['5'])
  })
})

describe('sheets', () => {
  const long: LineText = {
    chords: Array(64).fill('Dm7').join(' | '),
    notes: Array(64 * 8)
      .fill('D5')
      .join(' '),
  }
  test('32 bars of eighths go on one page of A4 or Letter, 64 on two', () => {
    const bars = 'A: Dm7 | G7 | Cmaj7 | A7(b9) | Dm7 | G7 | Cmaj7 | C6'
    const text = {
      chords: [bars, bars.replace('A', 'B'), bars, bars].join(' | '),
      notes: Array(32).fill('*F4/12 E4 D4 C4 [A4 G4 D#4 C#4]').join(' '),
    }
    for (const paper of ['A4', 'Letter'] as const) {
      expect(engraver.engrave(mei(text), { paper })).toHaveLength(1)
      expect(engraver.engrave(mei(long), { paper })).toHaveLength(2)
    }
  })
  test('music taller than most goes on to a second page, not over the edge of the first', () => {
    const tall = (high: string, low: string) =>
      mei({
        chords: Array(36).fill('Dm7').join(' | '),
        notes: Array(36 * 4)
          .fill(`${high} ${low}`)
          .join(' '),
      })
    const lowest = (svg: string) =>
      Math.max(...[...svg.matchAll(/<path d="M-?\d+ (\d+) L-?\d+ \1"/g)].map(([, y]) => Number(y)))
    for (const [high, low, pages] of [
      ['D5', 'C5', 1],
      ['C7', 'C3', 2],
    ] as const) {
      const engraved = engraver.engrave(tall(high, low), { paper: 'A4' })
      expect(engraved).toHaveLength(pages)
      // A page of 297 mm less its margins, in hundredths of a millimetre.
      for (const page of engraved) expect(lowest(page)).toBeLessThanOrEqual(29_700 - 2 * 1_500)
    }
  })
  test('a screen is one strip however long, its width as asked', () => {
    const pages = engraver.engrave(mei(long), { paper: 'screen', width: 700 })
    expect(pages).toHaveLength(1)
    expect(pages[0]).toMatch(/^<svg viewBox="0 0 1400 \d+"/)
  })
  test('a narrow screen holds fewer bars a line', () => {
    const lines = (width: number) => {
      const part = layScore(makeLine(long), defaultBrief, { room: roomOn({ paper: 'screen', width }) })
      return part.bars.filter(({ systemStart }) => systemStart).length
    }
    expect([900, 460, 300].map(lines)).toEqual([16, 32, 64])
  })
})

test('the same bytes, whatever was engraved before', () => {
  const drawn = (given: Readonly<Record<string, string>>) => {
    const { brief } = readBrief({ changes: '| Dm7 | G7 | Cmaj7 | A7 |', ...given })
    return writeMei(layScore(writeLines(brief).lines[0]!, brief), { show: brief.show })
  }
  const others = [{ instrument: 'tuba' }, { instrument: 'guitar', tablature: 'yes' }, { print: 'large' }].map(drawn)
  expect(others[1]).toContain('notationtype="tab')
  const sheets: readonly Sheet[] = [{ paper: 'screen', width: 800 }, A4]
  const each = () => sheets.map((sheet) => engraver.engrave(drawn({}), sheet))
  const first = each()
  for (const other of others) {
    engraver.engrave(other, A4)
    expect(each()).toEqual(first)
  }
})

test('what is not MEI is refused', () => {
  expect(() => engraver.engrave('<mei', A4)).toThrow()
  expect(engraver.engrave(mei(), A4)).toHaveLength(1)
})
