/** The order in which an MEI score plays its sections and endings, where an expansion says it (MEI 5.1: expansion, att.plist). */
import { limits } from '../../brief.ts'
import type { Problem } from '../../problem.ts'
import { playOrder } from '../playOrder.ts'
import { settleForm } from './scoreForm.ts'
import { placedIn, type ScoreMeasure } from './scoreMeasure.ts'
import { allOf, child, type XmlNode } from './xmlTree.ts'

/** The most measures that an expansion is written out to, and the most steps on the way: sections may name each other without a measure. */
const mostMeasures = limits.barsWritten
const mostSteps = 100_000

/** What an expansion asks for: the measures in their order, and whether it can be followed. */
interface Asked {
  readonly measures: XmlNode[]
  steps: number
  /** Sections and endings by their ids. */
  readonly places: ReadonlyMap<string | undefined, XmlNode>
  /** Those that hold endings, as far as they have been asked for. */
  readonly holdEndings: Map<XmlNode, boolean>
  /** The first thing that stands in the way, and where. */
  astray: {
    readonly node: XmlNode
    readonly found: string
    readonly expected: string
  } | null
}

const firstMeasure = (node: XmlNode): string | undefined => allOf(node, 'measure')[0]?.attributes.n

const isLong = ({ measures, steps }: Asked): boolean => measures.length >= mostMeasures || steps >= mostSteps

/** Goes through a node in the order that it is played. */
function follow(node: XmlNode, asked: Asked): void {
  const said = child(node, 'expansion')?.attributes.plist
  const inside = said === undefined ? node.children : targetsOf(node, said, asked)
  for (const item of inside) {
    if (asked.astray || isLong(asked)) return
    asked.steps++
    if (item.name === 'measure') asked.measures.push(item)
    else if (item.name !== 'expansion') follow(item, asked)
  }
}

/** The elements that an expansion names; a part of them that has repeats of its own is said, and so is a name that nothing has. */
function targetsOf(node: XmlNode, plist: string, asked: Asked): readonly XmlNode[] {
  const within = (name: string): XmlNode | undefined => {
    const found = asked.places.get(name)
    return found && found !== node && found.at >= node.at && found.end <= node.end ? found : undefined
  }
  return plist
    .trim()
    .split(/\s+/)
    .flatMap((name) => {
      const target = within(name.replace(/^#/, ''))
      if (!target)
        asked.astray ??= {
          node,
          found: name,
          expected: 'the xml:id of a section or an ending; played by its signs',
        }
      else if (!child(target, 'expansion') && holdsEndings(target, asked))
        asked.astray ??= {
          node,
          found: name,
          expected: 'a section without endings of its own; played by its signs',
        }
      return target ? [target] : []
    })
}

function holdsEndings(target: XmlNode, { holdEndings }: Asked): boolean {
  const holds = holdEndings.get(target) ?? allOf(target, 'ending').some((each) => each !== target)
  holdEndings.set(target, holds)
  return holds
}

/**
 * The measures as an expansion has them played: as they are where their own repeats and endings say the same, else written out, once for
 * each time. What cannot be followed is said.
 */
export function expandMeasures(
  score: XmlNode,
  measures: readonly ScoreMeasure[],
  problems: Problem[],
): readonly ScoreMeasure[] {
  if (allOf(score, 'expansion').every((node) => node.attributes.plist === undefined)) return measures
  const places = new Map(
    [...allOf(score, 'section'), ...allOf(score, 'ending')].map((each) => [each.attributes['xml:id'], each]),
  )
  const asked: Asked = { measures: [], steps: 0, places, holdEndings: new Map(), astray: null }
  follow(score, asked)
  const astray =
    asked.astray ??
    (isLong(asked)
      ? {
          node: score,
          found: 'expansion',
          expected: `at most ${mostMeasures} measures; played by its signs`,
        }
      : null)
  if (astray) {
    problems.push({
      severity: 'warning',
      code: 'unread-order',
      span: { start: astray.node.at, end: astray.node.end },
      found: placedIn(astray.found, { number: firstMeasure(astray.node) }),
      expected: astray.expected,
      hint: ':|',
    })
    return measures
  }
  const indices = new Map<number, number[]>()
  for (const [i, { span }] of measures.entries()) {
    const list = indices.get(span.start)
    if (list) list.push(i)
    else indices.set(span.start, [i])
  }
  const order = asked.measures.flatMap(({ at }) => indices.get(at) ?? [])
  const bySigns = playOrder(
    settleForm(measures, []).map(({ times, ...each }) => ({
      ...each,
      ...(times === null ? {} : { times }),
    })),
  )
  if (order.length === bySigns.length && order.every((place, i) => place === bySigns[i])) return measures
  return order.map((place) => ({
    ...measures[place]!,
    ending: null,
    repeatStart: false,
    repeatEnd: false,
    times: null,
    marks: [],
    codas: [],
  }))
}
