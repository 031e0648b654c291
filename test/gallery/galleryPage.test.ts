import { expect, test } from 'vitest'
import { type Case, changed, galleryPage } from './galleryPage.ts'

const same: Case = {
  name: 'vamp, usual',
  changes: '| C |',
  before: { text: '1  C  E4*\n2  C  G4\n', pictures: ['<svg/>'] },
  after: { text: '1  C  E4*\n2  C  G4\n', pictures: ['<svg/>'] },
}
const notes = { ...same, after: { ...same.after, text: '1  C  E4*\n2  C  <A4>\n' } }
const drawn = { ...same, after: { ...same.after, pictures: ['<svg></svg>'] } }

test('a row that is another is marked on both sides, and nothing else', () => {
  const page = galleryPage('main', [notes])
  expect(page.match(/<mark>.*?<\/mark>/g)).toEqual(['<mark>2  C  G4</mark>', '<mark>2  C  &lt;A4&gt;</mark>'])
  expect(page).toContain('1 of 1 differ from main.')
})

test('what is the same is folded away; another picture is a difference', () => {
  expect([same, notes, drawn].map(changed)).toEqual([false, true, true])
  expect(galleryPage('main', [same])).toMatch(/<details><summary>vamp, usual: as before/)
  expect(galleryPage('main', [drawn])).toContain('<div class="both">')
})
