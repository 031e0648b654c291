/** The page of figures: every approach and cell with how often and where it is heard, on a staff, to be played and ticked for a drill. */
import { type Brief, choices, readBrief } from '../../lib/brief.ts'
import { type FigureGroup, groupFigures } from '../../lib/drill/figureSheet.ts'
import { deadBecause, kindNames, type ListedFigure, listFigures } from '../../lib/line/figureList.ts'
import type { FigureKind } from '../../lib/line/figures.ts'
import { figureScore } from '../../lib/score/figureScore.ts'
import type { Score } from '../../lib/score/score.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keyAt, nameOfKey } from '../../lib/theory/key.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import type { Given } from '../server/address.ts'
import { type Answer, pageAnswer } from '../server/answer.ts'
import { placed } from '../server/assets.ts'
import { readView } from './display.ts'
import { smallNotes } from './smallNotes.ts'
import { fill } from './templates.ts'

/** Where nothing is said, figures heard so often are shown: a page that can be read. */
const usualHeard = 5

/** Answers with the list as a page, in the reader's key and for the reader's instrument. */
export async function answerFigures(given: Given): Promise<Answer> {
  const { brief } = readBrief({
    instrument: given.instrument,
    key: given.key,
    heard: given.heard === undefined || given.heard === '' ? String(usualHeard) : given.heard,
    textbook: given.textbook,
  })
  const list = listFigures({
    kind: null,
    classes: null,
    notes: null,
    heard: brief.textbook ? 0 : brief.heard,
    textbook: brief.textbook,
  })
  const shown = list.filter(({ count, verdict }) => count >= brief.heard || (brief.textbook && verdict !== null))
  const groups = await Promise.all(groupFigures(shown, brief).map((group) => groupOnPage(group, brief)))
  const key = brief.key ? nameOfKey(brief.key) : 'C'
  const html = fill('figures', {
    title: 'Figures – Throughline',
    ...placed(),
    view: readView(given),
    instruments: instruments.map(({ id, name }) => ({ id, name, chosen: id === brief.instrument })),
    keys: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((chroma) => {
      const name = nameOfKey(keyAt(chroma, 'major'))
      return { value: name, words: withSigns(name), chosen: name === key }
    }),
    heard: brief.heard,
    heardLeast: choices.heard.least,
    heardMost: choices.heard.most,
    textbook: brief.textbook,
    instrument: brief.instrument,
    groups,
    count: shown.length,
  })
  return pageAnswer(200, html)
}

async function groupOnPage(group: FigureGroup, brief: Brief) {
  const { engraveScore } = await import('../../lib/engrave/engraver.ts')
  const score = figureScore([group], brief, '')
  const bars = score.bars.map((bar) => ({ ...bar, section: null }))
  const marks = { show: ['targets', 'degrees', 'brackets'], head: false } as const
  const sheet = { paper: 'screen', width: 960, title: group.name } as const
  const [svg = ''] = await engraveScore({ ...score, bars }, marks, sheet)
  return {
    name: group.name,
    cells: group.figures[0]!.kind === 'cell',
    svg,
    rows: group.figures.map((each, f) => ({ ...rowOf(group, each, f), picture: pictureOf(score, each, f) })),
  }
}

/** A figure as small notes, as the player reads it. */
function pictureOf({ bars, clef }: Score, { kind, offsets }: ListedFigure, index: number): string {
  const notes = (bars[index]?.events ?? []).flatMap(({ pitch }) => pitch ?? [])
  return smallNotes(notes, clef, kind === 'cell' ? 0 : offsets.length)
}

function rowOf({ line }: FigureGroup, figure: ListedFigure, index: number) {
  const { kind, class: name, offsets, count, degrees, dead, verdict } = figure
  const notes = line.notes.filter(({ bar, pitch }) => bar === index + 1 && pitch)
  return {
    number: index + 1,
    field: kind === 'cell' ? 'cells' : 'figures',
    value: kind === 'cell' ? name : offsets.join(' '),
    offsets: kind === 'cell' ? name : offsets.join(' ').replaceAll('-', '−'),
    what: kind === 'cell' ? '' : kindNames[name as FigureKind],
    count,
    degrees: Object.entries(degrees)
      .sort(([, a], [, b]) => b - a)
      .slice(0, 4)
      .map(([degree, times]) => `${degree}: ${times}`)
      .join(', '),
    dead,
    why: deadBecause({ verdict, count }) ?? '',
    play: notes.map(({ pitch }) => midiOf(pitch!)).join(' '),
  }
}
