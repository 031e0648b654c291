/** The routes of what a line can be taken away as: each export at its path, by address or by form. */
import type { Express, Request, RequestHandler, Response } from 'express'
import { type Export, exports, pathOf } from '../../lib/exports.ts'
import { watching } from '../shared/agreed.ts'
import type { Keeping } from './answer.ts'
import { asked, askerOf, keepingOf, keepingOfSeen, normal, number, originOf, readForm } from './asked.ts'
import { build } from './assets.ts'
import type { MadeFiles } from './madeFiles.ts'
import { type Ask, refuse, say } from './reply.ts'

/** @param form - reads a posted form */
export function addExportRoutes(
  app: Express,
  options: { readonly files: MadeFiles; readonly origin: string },
  ask: Ask,
  form: RequestHandler,
): void {
  const keepingFor = (asks: Export, fields: URLSearchParams): Keeping =>
    asks.printsLink ? keepingOfSeen(keepingOf(fields), options) : keepingOf(fields)
  const download = async (request: Request, response: Response, asks: Export): Promise<unknown> => {
    const format = asks.id
    const kind = 'download' as const
    if (request.method !== 'POST') {
      const { given, badLink, fields } = asked(request)
      const [part, sheet] = [number(fields, 'part'), number(fields, 'sheet')]
      const origin = asks.printsLink ? originOf(request, options) : ''
      return ask(request, response, { kind, format, given, badLink, part, sheet, origin }, keepingFor(asks, fields))
    }
    const posted = readForm(request)
    if (!posted) return say(request, response, 415)
    const given = normal(posted)
    await ask(request, response, { kind, format, given, badLink: false, part: 1, sheet: 1, origin: '' }, 'never')
  }
  /**
   * What takes long to make. A recording of line and band, or of the band alone; `part` for one key of several. A class packet.
   * With `watch`, how far it is.
   */
  const made = (request: Request, response: Response, asks: Export): unknown => {
    const posted = request.method === 'POST'
    const typed = posted ? readForm(request) : null
    const { given, badLink, fields } = asked(request)
    if (posted && !typed) return say(request, response, 415)
    const question = {
      given: typed ? normal(typed) : given,
      badLink: !typed && badLink,
      format: asks.id,
      part: fields.has('part') ? number(fields, 'part') : 0,
      alone: fields.get('alone') === 'yes',
      origin: asks.printsLink ? originOf(request, options) : '',
    }
    const watches = !posted && fields.get(watching.name) === watching.value
    return options.files[watches ? 'watch' : 'send'](request, response, {
      question,
      asker: askerOf(request, response),
      build,
      keeping: posted ? 'never' : keepingFor(asks, fields),
      refuse: (why) => refuse(request, response, why),
    })
  }
  for (const each of exports) {
    if (each.offered === null) continue
    const give = each.offered === 'recording' || each.offered === 'packet' ? made : download
    app.get(pathOf(each), (request, response) => give(request, response, each))
    app.post(pathOf(each), form, (request, response) => give(request, response, each))
  }
}
