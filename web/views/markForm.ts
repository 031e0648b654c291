/** The form that takes lines already written, empty; and the address of the drill that is drawn from figures ticked beneath them. */
import { instruments } from '../../lib/theory/instrument.ts'
import { addressOf, type Given } from '../server/address.ts'
import { type Answer, pageAnswer } from '../server/answer.ts'
import { placed } from '../server/assets.ts'
import { readView } from './display.ts'
import { fill } from './templates.ts'

/** What the form shows again: the fields as they were sent, but for the files, which a browser does not send back. */
export interface MarkForm {
  readonly changes: string
  readonly part: string
  readonly instrument: string
  readonly tidy: boolean
}

const emptyForm: MarkForm = { changes: '', part: '', instrument: '', tidy: false }

/** What was read, as the template shows it. */
export interface MarkRead {
  readonly lines: readonly object[]
  readonly problems: readonly { readonly where: string; readonly text: string }[]
  readonly tables: readonly object[]
  readonly drill: { readonly changes: string; readonly instrument: string } | null
  readonly summary: string
}

/** The page around the form, with whatever was read. */
export function markPage(status: number, form: MarkForm, read: MarkRead): Answer {
  const html = fill('mark', {
    title: 'Mark a line – Throughline',
    ...placed(),
    view: readView({}),
    form,
    instruments: instruments.map(({ id, name }) => ({ id, name, chosen: id === form.instrument })),
    ...read,
  })
  return pageAnswer(status, html)
}

export const nothingRead: MarkRead = { lines: [], problems: [], tables: [], drill: null, summary: '' }

export const emptyMarkPage = (): Answer => markPage(200, emptyForm, nothingRead)

/**
 * The address of a drill in twelve keys from the figures ticked: every one is taken, whatever its length, so the number of notes
 * is one that would leave none of them out.
 */
export function drillAddress(given: Given): string {
  const lengths = new Set((given.figures ?? '').split(/[,;]/).map((figure) => figure.trim().split(/\s+/).length))
  const notes = lengths.size === 1 ? [...lengths][0]! : ([4, 3, 2, 1].find((each) => !lengths.has(each)) ?? 4)
  return (
    addressOf({ keys: 'chromatic', exact: 'yes', different: 'yes', every: 'bar', notes: String(notes), ...given }) ??
    './'
  )
}
