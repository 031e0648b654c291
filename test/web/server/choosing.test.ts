import { describe, expect, test } from 'vitest'
import { limits } from '../../../lib/brief.ts'
import { edition } from '../../../lib/edition.ts'
import { another, pinned, readBars, unpinned, withLevel, withoutPin } from '../../../web/server/choosing.ts'

describe('pins', () => {
  test.each([
    // pins before, the pin, pins after
    ['', '3.1=F4', '3.1=F4'],
    ['3.1=F4', '3.1=G4', '3.1=G4'],
    ['3.1=F4', '3.1=+2 -1', '3.1=+2 -1,3.1=F4'],
    ['3.1=+2 -1,3.1=F4', '3.1=-1', '3.1=-1,3.1=F4'],
    ['3.1=F4', '3.1=1-2-3-5', '3.1=1-2-3-5,3.1=F4'],
    ['10.1=F4', '2.1=F4', '2.1=F4,10.1=F4'],
    ['5=F4 E4', '5=G4 -', '5=G4 -'],
    ['5.1=F4', '5=G4 -', '5.1=F4,5=G4 -'],
  ])('%s with %s is %s', (pins, pin, expected) => {
    expect(pinned({ pins }, pin).pins).toBe(expected)
  })

  test('are let go one by one, by bars, or all', () => {
    const given = { pins: '1.1=F4,3.1=F4,5=G4 -,9.1=A4' }
    expect(withoutPin(given, '3.1=F4').pins).toBe('1.1=F4,5=G4 -,9.1=A4')
    expect(unpinned(given, [3, 5]).pins).toBe('1.1=F4,9.1=A4')
    expect(unpinned(given, 'all').pins).toBe('')
  })
})

describe('another line', () => {
  test.each([
    [{}, 'all', { seed: '2', again: '' }],
    [{ seed: '7', again: '1-2:3', pins: '1.1=F4' }, 'all', { seed: '8', again: '', pins: '1.1=F4' }],
    [{ seed: String(limits.seed) }, 'all', { seed: '0', again: '' }],
    [{ seed: 'x' }, 'all', { seed: '2', again: '' }],
    [{}, '5-8', { again: '5-8:2' }],
    [{ again: '5-8:2' }, '5-8', { again: '5-8:3' }],
    [{ again: '5-8:2' }, '6', { again: '5-8:2,6-6:2' }],
  ])('%j for %s', (given, where, expected) => {
    expect(another(given, where)).toMatchObject(expected)
  })

  test.each([
    ['5', [5, 5]],
    ['5-8', [5, 8]],
    ['8-5', null],
    ['0', null],
    ['', null],
    ['1-2-3', null],
    ['99999999', null],
  ])('bars %j', (text, expected) => {
    expect(readBars(text)).toEqual(expected)
  })
})

test('a new step of difficulty sets what stood as the step before had it', () => {
  const form = { changes: 'Dm7', land: '3,7', notes: '4', instrument: 'trumpet', level: '1' }
  expect(withLevel(form, '')).toEqual({ changes: 'Dm7', instrument: 'trumpet', level: '1', edition: String(edition) })
  expect(withLevel({ ...form, notes: '2' }, '')).toEqual({
    changes: 'Dm7',
    instrument: 'trumpet',
    notes: '2',
    level: '1',
    edition: String(edition),
  })
  expect(withLevel(form, '1')).toBe(form)
  expect(withLevel(form, undefined)).toBe(form)
})
