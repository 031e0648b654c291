/** The teacher's side of a plan: students' exported records, read in the browser and set side by side. */

import { titleOfPlan } from '../../lib/practice/planText.ts'
import { readRecord } from '../../lib/practice/readRecord.ts'
import { type PlanSummary, type StudentRecord, summarise } from '../../lib/practice/summary.ts'
import { withSigns } from '../../lib/theory/signs.ts'

const cell = (kind: 'td' | 'th', text: string, scope?: 'col' | 'row'): HTMLTableCellElement => {
  const made = document.createElement(kind)
  made.textContent = text
  if (scope) made.scope = scope
  return made
}

/** A table of a plan: a row a student, a column a key, in it the quickest tempo at which all bars held, else any. */
function tableOf({ plan, students }: PlanSummary): HTMLTableElement {
  const table = document.createElement('table')
  table.className = 'counts'
  const caption = table.createCaption()
  caption.textContent = `${titleOfPlan(plan)}, to ${plan.goal}: the quickest tempo at which all bars held; in brackets, some of them`
  const head = table.createTHead().insertRow()
  const names = ['Student', 'Minutes', 'Days', 'Last', ...plan.keys.map(withSigns)]
  head.append(...names.map((name) => cell('th', name, 'col')))
  const body = table.createTBody()
  for (const { name, minutes, days, last, keys } of students) {
    const held = keys.map(({ whole, quickest, times }) =>
      whole !== null ? String(whole) : quickest !== null ? `(${quickest})` : times > 0 ? '–' : '',
    )
    const row = body.insertRow()
    row.append(cell('th', name, 'row'))
    row.append(...[String(minutes), String(days), last ?? '', ...held].map((text) => cell('td', text)))
  }
  return table
}

async function show(files: readonly File[]): Promise<void> {
  const said: string[] = []
  const students: StudentRecord[] = []
  for (const file of files) {
    const { record, problems } = readRecord(await file.text())
    for (const { found, expected, hint } of problems)
      said.push(`${file.name}: found ${found}; expected ${expected}; ${hint}.`)
    if (record) students.push({ name: record.player || file.name.replace(/\.json$/i, ''), record })
  }
  const summaries = summarise(students)
  if (students.length > 0) said.unshift(`${students.length} of ${files.length} files read.`)
  if (students.length > 0 && summaries.length === 0) said.push('No plan is in them.')
  document.querySelector('#plan-said')!.textContent = said.join(' ')
  document.querySelector('#plan-tables')!.replaceChildren(...summaries.map(tableOf))
}

document.querySelector<HTMLInputElement>('#plan-files')?.addEventListener('change', (event) => {
  show([...((event.target as HTMLInputElement).files ?? [])]).catch(() => {
    document.querySelector('#plan-said')!.textContent = 'A file could not be read: choose the files once more.'
  })
})
