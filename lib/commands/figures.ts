/** `figures`: every approach and cell, with how often it is heard and on which degrees. */
import { readBrief } from '../brief.ts'
import { oneOf } from '../choices/reader.ts'
import { groupFigures } from '../drill/figureSheet.ts'
import { deadBecause, kindNames, type ListedFigure, listFigures } from '../line/figureList.ts'
import type { FigureKind } from '../line/figures.ts'
import type { Asked, Command, Outside } from './command.ts'
import { problemsJson, reportChoices } from './input.ts'
import { type OwnOption, readOption, usage } from './options.ts'
import { formatOf, json, outputOptions, put } from './output.ts'

const formats = ['json', 'text', 'svg', 'pdf']

const kindAsked: OwnOption<'approach' | 'cell'> = {
  name: 'kind',
  reader: oneOf('approach', 'cell'),
  help: 'only approaches, or only cells',
}

export const figures: Command = {
  name: 'figures',
  help: 'Lists approaches and cells: how often each is heard in recorded solos, and on which degrees (of solos of every style); as a sheet of music too.',
  files: 'none',
  options: [...outputOptions(formats), kindAsked],
  choices: [
    'approach',
    'notes',
    'heard',
    'textbook',
    'instrument',
    'key',
    'pitch',
    'low',
    'high',
    'compass',
    'paper',
    'print',
  ],
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, formats)
    // Free approaches are a kind here, though no line is asked to draw them.
    const mixed = /(^|[,;\s])mixed($|[,;\s])/.test(asked.given.approach ?? '')
    const typed = mixed
      ? asked.given.approach!.replace(/[,;]?\s*mixed\s*/, '').replace(/^[,;]\s*/, '')
      : asked.given.approach
    const given = { ...asked.given, approach: typed === '' ? undefined : typed }
    const { brief, problems } = readBrief(given)
    const said = problemsJson('', [], asked.given, problems)
    if (reportChoices(outside, asked.given, problems)) {
      if (format === 'json') put(outside, asked, json({ figures: [], problems: said }))
      return 1
    }
    const list = listFigures({
      kind: readOption(asked.options, kindAsked),
      classes:
        asked.given.approach === undefined
          ? null
          : [...(typed === '' ? [] : brief.approach), ...(mixed ? ['mixed'] : [])],
      notes: asked.given.notes === undefined ? null : brief.notes,
      heard: brief.heard,
      textbook: brief.textbook,
    })
    if (format === 'json') put(outside, asked, json({ figures: list.map(figureJson), problems: [] }))
    else if (format === 'text') put(outside, asked, figuresText(list))
    else if (list.length === 0) throw usage('no such figures', 'at least one for a sheet', 'lower --heard')
    else {
      const { figureScore } = await import('../score/figureScore.ts')
      const score = figureScore(groupFigures(list, brief), brief, 'Figures')
      if (format === 'svg') {
        const { engraveScore } = await import('../engrave/engraver.ts')
        const sheet = { paper: 'screen', width: 960, title: 'Figures' } as const
        const [svg = ''] = await engraveScore(score, { show: ['targets', 'degrees', 'brackets'] }, sheet)
        put(outside, asked, svg)
      } else {
        const { writePdf } = await import('../engrave/pdf/writePdf.ts')
        const piece = { score, name: null, bookmark: null, group: null }
        const words =
          'Counts are of recorded solos in swing, bebop, cool and hard bop. † is a textbook enclosure that recordings do not hold.'
        put(
          outside,
          asked,
          await writePdf({
            title: 'Figures',
            language: 'en',
            paper: brief.paper,
            large: brief.print === 'large',
            show: ['targets', 'degrees', 'brackets'],
            cover: { words, link: null },
            pieces: [piece],
          }),
        )
      }
    }
    return 0
  },
}

const figureJson = ({ kind, class: name, offsets, count, dead, verdict, degrees }: ListedFigure) => ({
  kind,
  class: name,
  offsets,
  count,
  dead,
  degrees,
  verdict,
  why: deadBecause({ verdict, count }),
})

/** A row a figure: its count, its offsets, what it is, the degrees it is heard on. */
function figuresText(list: readonly ListedFigure[]): string {
  const rows = list.map((figure) => {
    const { kind, class: name, offsets, count, degrees } = figure
    const what = kind === 'cell' ? `cell ${name}` : kindNames[name as FigureKind]
    const where = Object.entries(degrees)
      .sort(([, a], [, b]) => b - a)
      .map(([degree, n]) => `${degree}:${n}`)
      .join(' ')
    return [String(count).padStart(4), offsets.join(' ').padEnd(12), what.padEnd(24), where, deadBecause(figure) ?? '']
      .join('  ')
      .trimEnd()
  })
  return rows.map((row) => `${row}\n`).join('')
}
