/** The templates of the page, read once and compiled at the start; strict, so that a missing name is our bug and not a gap. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { limits } from '../../lib/choices/limits.ts'
import { planLimits, usualPlan } from '../../lib/practice/plan.ts'
import { agreed } from '../shared/agreed.ts'
import Handlebars from './handlebars.ts'

/** The folder that holds `templates/`: above this file, whether it runs as written or as built. */
export const home = ((): string => {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'templates', 'page.hbs'))) {
    const above = dirname(folder)
    if (above === folder) throw new Error('templates/page.hbs is missing from the installation')
    folder = above
  }
  return folder
})()

/** What fields of a plan may hold, least and most, and what they hold unless asked. */
const planning = { ...planLimits, tempo: limits.tempo, usual: usualPlan }

const handlebars = Handlebars.create()
handlebars.registerHelper('any', (list: readonly unknown[]) => list.length > 0)
handlebars.registerHelper('is', (a: unknown, b: unknown) => a === b)

const folder = join(home, 'templates')
const compiled = new Map<string, Handlebars.TemplateDelegate>()
for (const file of readdirSync(folder).sort()) {
  if (!file.endsWith('.hbs')) continue
  const name = file.slice(0, -4)
  const template = handlebars.compile(readFileSync(join(folder, file), 'utf8').trimEnd(), {
    strict: true,
    preventIndent: true,
  })
  compiled.set(name, template)
  handlebars.registerPartial(name, template)
}

/** Fills a template by its file name; everything but triple braces is escaped, and what scripts go by too stands at `@agreed` and `@plan`. */
export function fill(name: string, model: object): string {
  const template = compiled.get(name)
  if (!template) throw new Error(`no template ${name}`)
  return template(model, { data: { agreed, plan: planning } })
}
