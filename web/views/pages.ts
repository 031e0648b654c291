/** The page itself, from its fields: the brief as a sentence, the changes with their problems, the music and its words. */
import { LRUCache } from 'lru-cache'
import { renderSVG } from 'uqr'
import { type Brief, type BriefProblem, choiceNames, choices, readBrief, writeBrief } from '../../lib/brief.ts'
import { type NamedDrill, namedDrills } from '../../lib/drill/drills.ts'
import { type Export, exports, pathOf } from '../../lib/exports.ts'
import type { Line } from '../../lib/line/line.ts'
import { homeOf, type Lines, writeGoodBars, writeLines } from '../../lib/lines/write.ts'
import { writtenKeyName } from '../../lib/score/joinScores.ts'
import type { Score } from '../../lib/score/score.ts'
import { lentRecording } from '../../lib/sound/recordings.ts'
import { leftOutOf } from '../../lib/sound/voicing.ts'
import { type Key, keyName } from '../../lib/theory/key.ts'
import { tuneForFile, withSigns } from '../../lib/theory/signs.ts'
import { damagedLink, type Given, type Linker, linkerOf, ofBrief, plainGiven, wholeOf } from '../server/address.ts'
import { type Answer, pageAnswer } from '../server/answer.ts'
import { build, hasRecordedNotes, placed } from '../server/assets.ts'
import { webLimits } from '../server/limits.ts'
import { showProblems, toPutRight } from '../server/problems.ts'
import type { PageQuestion } from '../server/workerRequest.ts'
import { agreed } from '../shared/agreed.ts'
import { readView, type View, viewNames } from './display.ts'
import { examples, firstExample } from './examples.ts'
import { harmonyInWords } from './harmonyWords.ts'
import { editionNotice, keptGiven, printedLink } from './keeping.ts'
import { controlsOf, formChoices, inOneLine, openGroups, sayChoiceProblem } from './sentence.ts'
import { engraveSheet, partOf, sheetsOf } from './sheets.ts'
import { fill } from './templates.ts'
import { barsInWords, sayPicture, shownNotes } from './words.ts'

/** A state read: its fields with the example filled in where no changes are given, the brief, and what is wrong with it. */
export interface State {
  readonly given: Given
  readonly brief: Brief
  readonly view: View
  readonly written: Lines
  /** What stands on the page: where the changes have errors, the bars that can be read, and which are rests. */
  readonly shown: ReturnType<typeof writeGoodBars>
  readonly problems: readonly BriefProblem[]
  readonly wrong: boolean
}

/** The states read last: the pictures, choices and files of a page follow each other. */
const lastStates = new LRUCache<string, State>({ max: 4 })

/** Reads the fields of an address and writes its lines. */
export function readState(asked: Given, badLink: boolean): State {
  const key = JSON.stringify([asked, badLink])
  const before = lastStates.get(key)
  if (before) return before
  const state = writeState(asked, badLink)
  lastStates.set(key, state)
  return state
}

function writeState(asked: Given, badLink: boolean): State {
  const given = asked.changes === undefined ? { ...asked, changes: firstExample.changes } : asked
  const { brief, problems: misread } = readBrief(ofBrief(given))
  const written = writeLines(brief)
  const problems = [...(badLink ? [damagedLink] : []), ...misread, ...written.choiceProblems]
  // Nothing typed yet is nothing wrong.
  const wrong =
    problems.length > 0 || (!isBlank(given) && written.problems.some(({ severity }) => severity === 'error'))
  const shown = written.lines.length > 0 ? { ...written, rests: [] } : writeGoodBars(brief)
  return { given, brief, view: readView(given), written, shown, problems, wrong }
}

const isBlank = ({ changes = '' }: Given): boolean => changes.trim() === ''

/** The addresses of a state, whatever the width of the screen. */
const linksOf = (given: Given): Linker => linkerOf(plainGiven(given))

/** Answers with the page of a state. */
export async function answerPage(question: PageQuestion): Promise<Answer> {
  const state = readState(question.given, question.badLink)
  const { given, brief, view, written, problems, wrong } = state
  const heard = homeKey(state.shown)
  const controls = controlsOf({ brief, given, problems, heard }, view)
  const empty = isBlank(given)
  const amiss = empty ? [] : toPutRight(written.problems)
  const errors = amiss.filter(({ severity }) => severity === 'error').length
  const shown = empty ? [] : showProblems(brief.changes, written.chart)
  const link = linksOf(given)
  const music = await musicOf(state, question.origin, link)
  const html = fill('page', {
    title: `${music.title}Throughline`,
    ...placed(),
    view,
    controls,
    exact: brief.exact,
    briefProblems: problems.map(sayChoiceProblem),
    open: openGroups(problems),
    oneLine: inOneLine(controls),
    empty,
    standing: standingOf(given),
    remembered: remembered.join(' '),
    kept: choiceNames
      .filter((name) => !formChoices.includes(name) && name !== 'changes')
      .flatMap((name) => (given[name] === undefined ? [] : [{ name, value: given[name] }])),
    changes: given.changes ?? '',
    rows: Math.min(16, Math.max(6, (given.changes ?? '').split('\n').length)),
    errors: errors > 0,
    problems: shown,
    problemHeading: errors > 0 ? `${errors} ${errors === 1 ? 'thing' : 'things'} to put right` : 'Read like this',
    mendable: shown.filter(({ fix }) => fix !== '').length > 1,
    unshown: Math.max(0, amiss.length - shown.length),
    drills: namedDrills.map((drill) => ({ name: drill.title, says: drill.says, href: drillLink(given, drill) })),
    shelf: examples.map((example) => ({ name: example.name, href: shelfLink(given, example.changes) })),
    music,
  })
  return pageAnswer(wrong ? 422 : 200, html)
}

/** What was chosen on the staff and stands, in words, and the address without it; null where nothing is. */
function standingOf(given: Given): { readonly words: string; readonly href: string } | null {
  const count = (text: string | undefined) => (text ?? '').split(',').filter((each) => each.trim() !== '').length
  const said = [
    [count(given.pins), 'kept'],
    [count(given.again), 'with new notes'],
    [count(given.scales), 'with a scale chosen'],
  ].flatMap(([n, words]) => (n === 0 ? [] : [`${n} ${n === 1 ? 'place' : 'places'} ${words}`]))
  if (said.length === 0) return null
  const { pins: _p, again: _a, scales: _s, ...rest } = given
  return { words: `${said.join(', ')}.`, href: linksOf(rest)('./') ?? './' }
}

/** The rest of the brief goes with other changes, but for what hangs on these. */
function shelfLink(given: Given, changes: string): string {
  const going = belonging('changes')
  const rest = Object.entries(given).filter(([name]) => !going.includes(name))
  return linksOf({ ...Object.fromEntries(rest), changes })('./') ?? './'
}

/** The choices that belong to whoever reads the line, or to the changes. */
const belonging = (to: 'reader' | 'changes'): readonly string[] =>
  choiceNames.filter((name) => choices[name].belongs === to)

/** What a device remembers: instrument, print and sound, and how the page looks. */
const remembered: readonly string[] = [
  ...choiceNames.filter((name) => choices[name].remembered),
  ...viewNames.filter((name) => name !== 'across'),
]

/** What stays when a drill is begun: who reads it, and how it is read, printed and shown. */
const staying: readonly string[] = [...belonging('reader'), ...viewNames]

/** A drill to start from, for the same reader. */
function drillLink(given: Given, { title, choices: { changes = '', ...asked } }: NamedDrill): string {
  const kept = Object.fromEntries(Object.entries(given).filter(([name]) => staying.includes(name)))
  return linksOf({ ...kept, title, ...asked, changes })('./') ?? './'
}

/** The key that the changes stand in by themselves. */
export function homeKey({ brief, chart, lines }: Lines): Key | null {
  const [first] = lines
  if (brief.key !== null || !first) return null
  return brief.keys === null ? first.key : homeOf(chart, brief).harmony.key
}

/** What is said above music that is not of all that was typed. */
function restsSaid({ shown: { rests } }: State): string {
  const [last, ...before] = [...rests].reverse()
  if (last === undefined) return ''
  if (before.length === 0) return `Bar ${last} is a rest until it is put right.`
  const bars = rests.length > 12 ? `${rests.length} bars` : `Bars ${before.reverse().join(', ')} and ${last}`
  return `${bars} are rests until they are put right.`
}

/** What the page says of music where there is none. */
const noMusic = ({ given, brief }: State) => ({
  heading: 'The music',
  sub: '',
  message: '',
  parts: [] as object[],
  downloads: [] as object[],
  files: [] as object[],
  relaxed: [] as readonly string[],
  relaxedHeading: '',
  words: [] as object[],
  unspoken: '',
  notes: '[]',
  fields: '{}',
  tempo: 0,
  recordings: [] as object[],
  saidOfSound: [] as readonly string[],
  keep: '',
  edition: null as ReturnType<typeof editionNotice>,
  only: '',
  whole: '',
  paper: brief.paper,
  address: '',
  plan: '',
  packet: '',
  title: '',
  rests: '',
  blank: isBlank(given),
})

async function musicOf(state: State, origin: string, link: Linker) {
  const { given, brief, shown: written } = state
  const address = link('./')
  const [first] = written.lines
  if (!first)
    return {
      ...noMusic(state),
      message: isBlank(given)
        ? 'Write or paste changes below, or begin with an example or a drill.'
        : 'Put right what is marked, and the line stands here again.',
    }

  const whole = address === null ? null : wholeOf(origin, address)
  const printed = whole && origin !== '' ? printedLink(state, origin) : null
  const code =
    printed && printed.length <= agreed.codeLength ? renderSVG(printed, { border: 1, ecc: 'L', maskPattern: 0 }) : ''
  // One that is kept already is offered again only once something else was chosen in it.
  const kept = brief.kept === '' || brief.pins.length + brief.again.length > 0 ? keptGiven(state) : null
  const several = written.lines.length > 1
  const score = partOf(first, brief, '4')
  const { parts, left } = await shownParts(state, score, code, link)
  const told = { ...score, bars: score.bars.slice(0, webLimits.barsInWords) }
  const title = score.title || 'Untitled'
  const file = fileName(title, brief)
  const form = address === null
  // Files are of the changes as they are meant, or there are none.
  const whence = state.written.lines.length > 0
  return {
    ...noMusic(state),
    rests: written.rests.join(','),
    heading: `${title} – ${score.instrument.name}`,
    title: `${title}, ${score.instrument.name.toLowerCase()} – `,
    sub: '',
    message:
      whole === null
        ? `These changes are too long for a link. The line stands here, but its address cannot be sent: keep the text itself.${left > 0 ? ' Not all of it is shown; the files have the whole.' : ''}`
        : restsSaid(state),
    parts,
    only: brief.bars === null ? '' : `Bars ${brief.bars[0]} to ${brief.bars[1]} of ${first.harmony.bars.length}.`,
    whole: linksOf(withoutBars(given))('./') ?? './',
    keep: (kept && linkerOf(kept)('./')) ?? '',
    edition: editionNotice(state),
    downloads: whence ? filesOf('usual', file, link, form) : [],
    files: whence ? filesOf('further', file, link, form) : [],
    relaxed: written.lines.flatMap((line) =>
      line.relaxed.map(({ bar, why }) => `${several ? `${withSigns(keyName(line.key))}, bar` : 'Bar'} ${bar}: ${why}.`),
    ),
    relaxedHeading: 'Where a rule had to bend',
    words: barsInWords(told, first, (at) => link('./choices', { at }) ?? '', harmonyInWords(first, brief)),
    unspoken:
      score.bars.length > webLimits.barsInWords
        ? `The first ${webLimits.barsInWords} of ${score.bars.length} bars are told here; the downloads have them all.`
        : '',
    notes: scriptJson(shownNotes(score, first, given.pins)),
    fields: scriptJson(writeBrief(brief)),
    tempo: score.tempo,
    recordings: recordingsOf(link, form),
    saidOfSound: saidOfSound(written.lines, brief),
    address: whole ?? '',
    plan: whence ? (link('./plan') ?? '') : '',
    packet: whence ? (link('./packet') ?? '') : '',
  }
}

/** The parts with their sheets: as music, as addresses of it, or left out where the page has no address; how many are left out. */
async function shownParts({ brief, view, shown: written }: State, score: Score, code: string, link: Linker) {
  const linked = link('./') !== null
  const several = written.lines.length > 1
  // Pictures come from addresses: where there is none, more stands in the page itself.
  const most = linked ? webLimits.sheetsInPage : webLimits.sheetsWithoutLink
  const parts: object[] = []
  let left = 0
  for (const [index, line] of written.lines.entries()) {
    const shown: object[] = []
    const own = sheetsOf(line, brief, index === 0 ? view.across : '4', index === 0 ? score : undefined)
    for (const [number, sheet] of own.entries()) {
      const here = index === 0 && number < most
      if (!here && !linked) {
        left += 1
        continue
      }
      const place = { part: String(index + 1), sheet: String(number + 1), v: build }
      shown.push({
        svg: here ? await engraveSheet(sheet, brief, view.across) : '',
        wide: link('./sheet.svg', place) ?? '',
        narrow: link('./sheet.svg', { ...place, across: '2' }) ?? '',
        music: here ? '' : (link('./sheet.svg', { ...place, inline: 'yes' }) ?? ''),
        onPaper: link('./sheet.svg', { ...place, inline: 'yes' }) ?? '',
        part: index + 1,
        from: sheet.score.bars[0]?.number ?? 1,
        to: sheet.score.bars.at(-1)?.number ?? 1,
        label: sayPicture(sheet.score, brief),
        width: 980,
        height: 140 * Math.ceil(sheet.score.bars.length / 4),
        code: index === 0 && number === 0 ? code : '',
      })
    }
    if (shown.length > 0)
      parts.push({ number: index + 1, heading: several ? writtenKeyName(own[0]!.score) : '', sheets: shown })
  }
  return { parts, left }
}

/** The exports of a row as links, or as buttons of the form where the page has no address. */
const filesOf = (row: Export['offered'], file: string, link: Linker, form: boolean) =>
  exports
    .filter(({ offered }) => offered === row)
    .map((each) => ({
      href: link(`.${pathOf(each)}`, { v: build }) ?? `.${pathOf(each)}`,
      name: each.name,
      file: `${file}.${each.endings[0]}`,
      form,
    }))

const recordingsOf = (link: Linker, form: boolean) =>
  [false, true].map((alone) => ({
    what: alone ? 'The band alone' : 'Line and band',
    files: exports
      .filter(({ offered }) => offered === 'recording')
      .map((each) => {
        const path = `.${pathOf(each)}`
        const more = alone ? { alone: 'yes' } : {}
        return {
          href: link(path, { ...more, v: build }) ?? `${path}?${new URLSearchParams(more)}`,
          name: each.name,
          form,
        }
      }),
  }))

/** What a recording sounds otherwise than asked: a lent recording, notes that no hand holds. */
function saidOfSound(lines: readonly Line[], { sound, instrument, hear }: Brief): readonly string[] {
  const lent = hear.includes('line') ? lentRecording(instrument) : null
  const played =
    sound === 'plain' ? null : hasRecordedNotes ? lent : 'There are no recorded notes here: the sound is plain'
  const left = hear.includes('chords') ? lines.flatMap(({ harmony }) => leftOutOf(harmony.chords)) : []
  return [...(played ? [played] : []), ...new Set(left)].map((said) => `${said}.`)
}

/** All bars again. */
const withoutBars = ({ bars: _, ...rest }: Given): Given => rest

/** Data for the page's script, so that no text in it can close its element. */
const scriptJson = (data: unknown): string => JSON.stringify(data).replaceAll('<', '\\u003c').replaceAll('>', '\\u003e')

/** The name of a file: the tune, and whoever reads it. */
export const fileName = (title: string, brief: Brief): string => `${tuneForFile(title)}-${brief.instrument}`

/** A page that says why there is nothing to take away, with the way back to where it can be put right. */
export function problemPage({ given, view, written, problems }: State, more = ''): Answer {
  const lines = [
    ...(more === '' ? [] : [more]),
    ...problems.map(({ found, expected, hint }) => `Found ${found}; expected ${expected}; ${hint}.`),
    ...written.problems
      .filter(({ severity }) => severity === 'error')
      .slice(0, webLimits.problemsShown)
      .map(({ found, expected, hint }) => `In the changes: found ${found}; expected ${expected}; ${hint}.`),
  ]
  return pageAnswer(
    422,
    fill('message', {
      title: 'Not to be read – Throughline',
      ...placed(),
      view,
      heading: 'This could not be read',
      lines: lines.length > 0 ? lines : ['There is no such part or sheet.'],
      back: linksOf(given)('./') ?? './',
    }),
  )
}
