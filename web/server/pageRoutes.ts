/** The routes of the pages beside the line: marking, figures, plans, class packets. */
import express, { type Express, type RequestHandler } from 'express'
import { dayAt, isDay } from '../../lib/practice/days.ts'
import { figuresDrillAddress } from '../views/figuresDrill.ts'
import { drillAddress, emptyMarkPage } from '../views/markForm.ts'
import { linkerOf } from './address.ts'
import { tagOf } from './answer.ts'
import { asked, keepingOfSeen, normal, originOf, readForm } from './asked.ts'
import { build } from './assets.ts'
import { webLimits } from './limits.ts'
import { type Ask, offer, say } from './reply.ts'

export function addMarkRoutes(app: Express, ask: Ask): void {
  const markForm = emptyMarkPage()
  app.get('/mark', (request, response) => offer(request, response, markForm, tagOf(build, '/mark'), 'ask'))
  app.post('/mark', express.raw({ type: () => true, limit: webLimits.file }), async (request, response) => {
    const body: unknown = request.body
    if (!(body instanceof Uint8Array)) return say(request, response, 400)
    const type = String(request.headers['content-type'] ?? '').slice(0, 200)
    await ask(request, response, { kind: 'mark', body: new Uint8Array(body), type }, 'never')
  })
  app.get('/mark/drill', (request, response) => response.redirect(303, `.${drillAddress(asked(request).given)}`))
}

export function addFigureRoutes(app: Express, ask: Ask): void {
  app.get('/figures', async (request, response) => {
    const { instrument, key, heard, textbook, tone, ink } = asked(request).given
    const said = { instrument, key, heard, textbook, tone, ink }
    const given = Object.fromEntries(Object.entries(said).filter(([, text]) => text !== undefined))
    await ask(request, response, { kind: 'figures', given }, 'ask')
  })
  app.get('/figures/drill', (request, response) => {
    const { given, fields } = asked(request)
    response.redirect(303, `.${figuresDrillAddress(given, fields.get('way') ?? 'drill')}`)
  })
}

export function addPlanRoutes(app: Express, options: { readonly origin: string }, ask: Ask): void {
  for (const as of ['page', 'pdf', 'ics'] as const)
    app.get(as === 'page' ? '/plan' : `/plan.${as}`, async (request, response) => {
      const { given, fields } = asked(request)
      const [days = '', minutes = '', from = ''] = ['days', 'minutes', 'from'].map((name) =>
        (fields.get(name) ?? '').slice(0, 10),
      )
      const day = isDay(from) ? from : dayAt(Date.now())
      const origin = originOf(request, options)
      await ask(
        request,
        response,
        { kind: 'plan', given, as, days, minutes, from: day, origin },
        keepingOfSeen('ask', options),
      )
    })
}

/** @param form - reads a posted form */
export function addPacketRoutes(app: Express, ask: Ask, form: RequestHandler): void {
  app.get('/packet', async (request, response) => {
    const { given, badLink } = asked(request)
    await ask(request, response, { kind: 'packet', given, badLink }, 'ask')
  })
  app.post('/packet', form, async (request, response) => {
    const posted = readForm(request)
    if (!posted) return say(request, response, 415)
    const given = normal(posted)
    const address = linkerOf(given)('./packet')
    if (address !== null) return response.redirect(303, address)
    await ask(request, response, { kind: 'packet', given, badLink: false }, 'never')
  })
}
