/** The gallery as one page of HTML that needs nothing beside it. */

/** A line as notes and as pictures. */
export interface Shown {
  readonly text: string
  readonly pictures: readonly string[]
}

export interface Case {
  readonly name: string
  readonly changes: string
  readonly before: Shown
  readonly after: Shown
}

const plain = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

/** A text whose rows are marked where the other's row of that number is another. */
const marked = (text: string, other: string): string => {
  const rows = other.split('\n')
  return text
    .split('\n')
    .map((row, i) => (row === rows[i] ? plain(row) : `<mark>${plain(row)}</mark>`))
    .join('\n')
}

const pictures = (shown: readonly string[]): string =>
  shown.map((svg) => `<img alt="" src="data:image/svg+xml;base64,${Buffer.from(svg).toString('base64')}">`).join('\n')

const column = (heading: string, { text, pictures: drawn }: Shown, other: string): string =>
  `<div><h3>${heading}</h3><pre>${marked(text, other)}</pre>${pictures(drawn)}</div>`

/** Whether anything of a case is other than before, in its notes or in its picture. */
export const changed = ({ before, after }: Case): boolean =>
  before.text !== after.text || before.pictures.join() !== after.pictures.join()

/** One page: each case before and after, side by side where they differ, folded away where they do not. */
export function galleryPage(revision: string, cases: readonly Case[]): string {
  const different = cases.filter(changed)
  const said = `${different.length} of ${cases.length} differ from ${plain(revision)}.`
  const shown = cases.map((each) =>
    changed(each)
      ? `<h2>${plain(each.name)}</h2><pre>${plain(each.changes)}</pre><div class="both">${column('Before', each.before, each.after.text)}${column('After', each.after, each.before.text)}</div>`
      : `<details><summary>${plain(each.name)}: as before</summary><pre>${plain(each.changes)}</pre>${column('Both', each.after, each.after.text)}</details>`,
  )
  return `<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Lines before and after</title>
<style>body{font:1rem/1.4 serif;margin:1rem}pre{font-size:.8rem;overflow-x:auto}.both{display:grid;grid-template-columns:1fr 1fr;gap:1rem}.both>div{min-width:0}img{width:100%;border:1px solid #ccc}mark{background:#fe9}</style>
<h1>Lines before and after</h1><p>${said}</p>
${shown.join('\n')}
</html>
`
}
