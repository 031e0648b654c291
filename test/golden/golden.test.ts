/** Golden lines: whole lines as text, committed, so that a diff of this folder reads as music. `vitest -u` writes them anew. */
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { lineText } from '../../lib/lineText.ts'
import { briefs, tunes } from './cases.ts'

for (const [tune, changes] of Object.entries(tunes))
  for (const [name, given] of Object.entries(briefs))
    test(`${tune}, ${name}`, async () => {
      const { brief, problems } = readBrief({ changes, ...given })
      expect(problems).toEqual([])
      const { lines, problems: wrong } = writeLines(brief)
      expect(wrong.filter(({ severity }) => severity === 'error')).toEqual([])
      const text = lines.map((line) => lineText(line, brief)).join('\n')
      await expect(text).toMatchFileSnapshot(`${tune}.${name}.txt`)
    })
