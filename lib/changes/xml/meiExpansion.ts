/** The order in which an MEI score plays its sections and endings, where an expansion says it (MEI 5.1: expansion, att.plist). */
import type { Problem } from '../../problem.ts'
import { playOrder } from '../playOrder.ts'
import { settleForm } from './scoreForm.ts'
import { placedIn, type ScoreMeasure } from './scoreMeasure.ts'
import { allOf, child, type XmlNode } from './xmlTree.ts'

/** The most measures that an expansion is written out to. */
const mostMeasures = 4_096

/** What an expansion asks for: the measures in their order, and whether it can be followed. */
interface Asked {
  readonly measures: XmlNode[]
  /** The first thing that stands in the way, and where. */
  astray: {
    readonly node: XmlNode
    readonly found: string
    readonly expected: string
  } | null
}

const firstMeasure = (node: XmlNode): string | undefined => allOf(node, 'measure')[0]?.attributes.n

/** Goes through a node in the order that it is played. */
function follow(node: XmlNode, asked: Asked): void {
  const said = child(node, 'expansion')?.attributes.plist
  const inside = said === undefined ? node.children : targetsOf(node, said, asked)
  for (const item of inside) {
    if (asked.astray || asked.measures.length >= mostMeasures) return
    if (item.name === 'measure') asked.measures.push(item)
    else if (item.name !== 'expansion') follow(item, asked)
  }
}

/** The elements that an expansion names; a part of them that has repeats of its own is said, and so is a name that nothing has. */
function targetsOf(node: XmlNode, plist: string, asked: Asked): readonly XmlNode[] {
  const places = new Map(
    [...allOf(node, 'section'), ...allOf(node, 'ending')].map((each) => [each.attributes['xml:id'], each]),
  )
  return plist
    .trim()
    .split(/\s+/)
    .flatMap((name) => {
      const target = places.get(name.replace(/^#/, ''))
      if (!target || target === node)
        asked.astray ??= {
          node,
          found: name,
          expected: 'the xml:id of a section or an ending; played by its signs',
        }
      else if (!child(target, 'expansion') && allOf(target, 'ending').some((each) => each !== target))
        asked.astray ??= {
          node,
          found: name,
          expected: 'a section without endings of its own; played by its signs',
        }
      return target ? [target] : []
    })
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
  const asked: Asked = { measures: [], astray: null }
  follow(score, asked)
  const long = asked.measures.length >= mostMeasures
  const astray =
    asked.astray ??
    (long
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
  const places = new Map<number, number[]>()
  for (const [i, { span }] of measures.entries()) places.set(span.start, [...(places.get(span.start) ?? []), i])
  const order = asked.measures.flatMap(({ at }) => places.get(at) ?? [])
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
