/** The routes of a line: its page and form, files dropped on it, the choices at a note, its sheets. */
import express, { type Express, type RequestHandler } from 'express'
import { addressOf, type Given } from './address.ts'
import { asked, askerOf, keepingOf, keepingOfSeen, normal, number, originOf, readForm } from './asked.ts'
import { another, readBars, withLevel } from './choosing.ts'
import { webLimits } from './limits.ts'
import type { Asker, Pool, Refusal } from './pool.ts'
import { applyFix } from './problems.ts'
import { type Ask, refuse, say } from './reply.ts'

/** @param form - reads a posted form */
export function addLineRoutes(
  app: Express,
  options: { readonly pool: Pool; readonly origin: string },
  ask: Ask,
  form: RequestHandler,
): void {
  app.get('/', async (request, response) => {
    const { given, badLink } = asked(request, true)
    const origin = originOf(request, options)
    await ask(request, response, { kind: 'page', given, badLink, origin }, keepingOfSeen('ask', options))
  })
  app.post('/', form, async (request, response) => {
    const posted = readForm(request)
    if (!posted) return say(request, response, 415)
    const { given, failed } = await done(posted, options.pool, askerOf(request, response))
    if (failed) return refuse(request, response, failed)
    const address = addressOf(given)
    if (address !== null) return response.redirect(303, address)
    // Too long for a link: the page comes all the same and says so.
    await ask(request, response, { kind: 'page', given, badLink: false, origin: '' }, 'never')
  })
  app.post('/read', express.raw({ type: () => true, limit: webLimits.file }), async (request, response) => {
    const bytes: unknown = request.body
    if (!(bytes instanceof Uint8Array)) return say(request, response, 400)
    await ask(request, response, { kind: 'read', bytes: new Uint8Array(bytes) }, 'never')
  })
  app.get('/choices', async (request, response) => {
    const { given, badLink, fields } = asked(request)
    const [at, chosen, bare] = ['at', 'chosen', 'bare'].map((name) => (fields.get(name) ?? '').slice(0, 40))
    await ask(
      request,
      response,
      { kind: 'choices', given, badLink, at: at!, chosen: chosen!, bare: bare === 'yes' },
      'ask',
    )
  })
  app.get('/sheet.svg', async (request, response) => {
    const { given, fields } = asked(request)
    await ask(
      request,
      response,
      {
        kind: 'sheet',
        given,
        part: number(fields, 'part'),
        sheet: number(fields, 'sheet'),
        inline: fields.get('inline') === 'yes',
      },
      keepingOf(fields),
    )
  })
}

/** Carries out what a button asks for; the rest of the form is the new state. */
async function done(
  given: Given,
  pool: Pool,
  asker: Asker,
): Promise<{ readonly given: Given; readonly failed: Refusal | null }> {
  const { fix, edit, another: again, only, keep, levelWas, ...said } = given
  const rest = withLevel(said, levelWas)
  const changes = rest.changes ?? ''
  if (fix !== undefined) return { given: { ...rest, changes: applyFix(changes, fix) }, failed: null }
  if (again !== undefined) return { given: another(rest, again), failed: null }
  if (only !== undefined) return { given: { ...rest, bars: only }, failed: null }
  const kept = readBars(keep ?? '')
  if (kept) {
    const pins = await pool.answer({ kind: 'keep', given: normal(rest), bars: kept }, asker)
    if (typeof pins === 'string') return { given: rest, failed: pins }
    return { given: { ...rest, pins: Buffer.from(pins.answer.body).toString('utf8') }, failed: null }
  }
  if (edit === 'align' || edit === 'mend' || edit === 'up' || edit === 'down') {
    const edited = await pool.answer({ kind: 'edit', changes, edit }, asker)
    if (typeof edited === 'string') return { given: rest, failed: edited }
    return { given: { ...rest, changes: Buffer.from(edited.answer.body).toString('utf8') }, failed: null }
  }
  return { given: rest, failed: null }
}
