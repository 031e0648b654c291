import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { limits, readBrief, writeBrief } from '../../../lib/brief.ts'
import { edition } from '../../../lib/edition.ts'
import { addressOf, fieldsOf, pack, readFields, unpack } from '../../../web/server/address.ts'
import { webLimits } from '../../../web/server/limits.ts'

const fields = (query: string) => readFields(new URLSearchParams(query)).given

describe('fields of a form or an address', () => {
  test.each([
    // query, name, the text it becomes
    ['land=&land=3&land=7', 'land', '3,7'],
    ['land=', 'land', ''],
    ['show=', 'show', 'none'],
    ['show=&show=names', 'show', 'names'],
    ['bebop=no&bebop=yes', 'bebop', 'yes'],
    ['bebop=no', 'bebop', 'no'],
    ['keys=list&keyList=C, F', 'keys', 'C, F'],
    ['keys=fourths&keyList=C, F', 'keys', 'fourths'],
    ['changes=Dm7%0D%0AG7%0DC', 'changes', 'Dm7\nG7\nC'],
    ['seed=3&seed=4', 'seed', '4'],
  ])('%s gives %s=%s', (query, name, expected) => {
    expect((fields(query) as Record<string, string>)[name]).toBe(expected)
  })

  test.each(['nonsense=1', '__proto__=1', 'constructor=x', 'utm_source=mail'])('%s is left out', (query) => {
    expect(Object.keys(fields(query))).toEqual([])
  })
})

describe('packed changes', () => {
  test('come back as they were, whatever they are', () => {
    fc.assert(fc.property(fc.string({ unit: 'grapheme', maxLength: 400 }), (text) => unpack(pack(text)) === text))
  })

  test.each(['', '!!!', 'AAAA', 'a b', '%%%', pack('x').slice(0, -1)])('%j is refused', (packed) => {
    expect(unpack(packed)).toBeNull()
  })

  test('a bomb is refused before it grows', () => {
    const bomb = pack('A'.repeat(limits.changes * 3 + 1))
    expect(bomb.length).toBeLessThan(1_000)
    expect(unpack(bomb)).toBeNull()
  })
})

describe('the address of a state', () => {
  test.each([
    [{}, './'],
    [{ notes: '4', instrument: 'alto-sax' }, './'],
    [{ instrument: 'trumpet', changes: 'Dm7' }, `./?changes=Dm7&instrument=trumpet&edition=${edition}`],
    [{ changes: '' }, `./?changes=&edition=${edition}`],
    [{ notes: '9' }, './?notes=9'],
    [{ tone: 'dark', ink: 'blue' }, './?tone=dark'],
    [{ tone: 'nonsense' }, './'],
  ])('%j is %s', (given, address) => {
    expect(addressOf(given)).toBe(address)
  })

  test('leads back to the same brief', () => {
    const texts = fc.record(
      {
        changes: fc.string({ maxLength: 2_000 }),
        title: fc.string({ maxLength: 60 }),
        instrument: fc.constantFrom('trumpet', 'flute', 'no such thing'),
        seed: fc.nat().map(String),
        land: fc.constantFrom('3', '3,7', '1,5', ''),
        keys: fc.constantFrom('', 'fourths', 'C,F,Bb', 'X'),
        notes: fc.constantFrom('1', '4', '5', 'many'),
      },
      { requiredKeys: [] },
    )
    fc.assert(
      fc.property(texts, (given) => {
        const address = addressOf(given)
        if (address === null) return
        const again = readFields(new URLSearchParams(address.split('?')[1] ?? '')).given
        expect(fieldsOf(again)).toEqual(
          fieldsOf(readFields(new URLSearchParams(given as Record<string, string>)).given),
        )
        expect(readBrief(again).problems.map((p) => p.choice)).toEqual(
          readBrief(readFields(new URLSearchParams(given as Record<string, string>)).given).problems.map(
            (p) => p.choice,
          ),
        )
      }),
    )
  })

  test('stays readable for a tune, packs a long one, and gives up on noise', () => {
    const tune = '| Dm7 | G7 | Cmaj7 | Cmaj7 |\n'.repeat(8)
    expect(addressOf({ changes: tune })).toMatch(/^\.\/\?changes=/)
    const long = addressOf({ changes: tune.repeat(40) })!
    expect(long).toMatch(/^\.\/\?z=/)
    expect(long.length).toBeLessThan(300)
    expect(readFields(new URLSearchParams(long.slice(3))).given.changes).toBe(tune.repeat(40))
    let noise = ''
    for (let i = 1; noise.length < webLimits.address * 2; i++)
      noise += String.fromCharCode(33 + ((i * i * 7_919) % 9_001))
    expect(addressOf({ changes: noise })).toBeNull()
  })

  test('a packed one with any character changed, lost or added is damaged, and one given out before sums were is read', () => {
    const tune = `${'| Dm7 | G7 | Cmaj7 A7alt |\n'.repeat(40)}Title: Half Past Rain`
    const packed = pack(tune)
    const changed = [...packed].flatMap((own, i) =>
      [...'Aaz09_-'].filter((sign) => sign !== own).map((sign) => packed.slice(0, i) + sign + packed.slice(i + 1)),
    )
    const lost = [...packed].map((_, i) => packed.slice(0, i) + packed.slice(i + 1))
    // Of the bits of the last character some mean nothing.
    expect([...changed, ...lost, `${packed}AA`].map(unpack).filter((text) => text !== null && text !== tune)).toEqual(
      [],
    )
    expect(unpack(packed)).toBe(tune)
    expect(unpack('q1FwyTVXqFFwBxHOuYlZINrRXKGGq4YMGQA')).toBe('| Dm7 | G7 | Cmaj7 | A7 |\n'.repeat(3))
  })

  test('a brief written out is shorter than its defaults', () => {
    expect(writeBrief(readBrief({}).brief)).toEqual({})
  })
})
