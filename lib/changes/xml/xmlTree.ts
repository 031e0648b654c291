/** An XML text as a plain tree: names without prefix, attributes, children; strict, and without entities of the document's own. */
import { parseXml, XmlElement, XmlError } from '@rgrove/parse-xml'
import type { Problem } from '../../problem.ts'

export interface XmlNode {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: readonly XmlNode[]
  /** The words in it and in all below it, in their order. */
  readonly text: () => string
  readonly at: number
  readonly end: number
}

/** The longest XML text that is read, in characters. */
export const longestXml = 8_000_000
/** How deep elements may nest; scores take about fifteen levels. */
const deepest = 200

/** Whether elements nest deeper than any score does; told without recursion. */
function tooDeep(text: string): boolean {
  let depth = 0
  for (const tag of text.matchAll(/<(\/)?[A-Za-z_][^<>]{0,2000}?(\/)?>/g)) {
    if (tag[1]) depth--
    else if (!tag[2] && ++depth > deepest) return true
  }
  return false
}

/** Reads an XML text; a document that defines entities of its own, nests without end or is not well formed is refused. */
export function readXml(text: string): { root: XmlNode; problem: null } | { root: null; problem: Problem } {
  const refuse = (code: string, start: number, found: string, expected: string) => ({
    root: null,
    problem: {
      severity: 'error' as const,
      code,
      span: { start, end: start },
      found,
      expected,
      hint: '| Dm7 | G7 | Cmaj7 |',
    },
  })
  if (text.length > longestXml) return refuse('too-large', 0, `${text.length} characters`, `at most ${longestXml}`)
  const subset = /<!DOCTYPE[^>[]{0,2000}\[/i.exec(text.slice(0, 10_000))
  if (subset)
    return refuse(
      'unreadable-file',
      subset.index,
      'a document type with definitions of its own',
      'a score without them',
    )
  if (tooDeep(text)) return refuse('unreadable-file', 0, `elements more than ${deepest} deep`, 'a score')
  try {
    const { root } = parseXml(text, { includeOffsets: true })
    return root ? { root: nodeOf(root), problem: null } : refuse('unreadable-file', 0, 'no root element', 'a score')
  } catch (error) {
    const at = error instanceof XmlError ? Math.min(error.pos, text.length) : 0
    const [found = ''] = error instanceof Error ? error.message.split('\n') : []
    return refuse('unreadable-file', at, found || 'no XML', 'well-formed XML')
  }
}

function nodeOf(element: XmlElement): XmlNode {
  const children: XmlNode[] = []
  for (const child of element.children) if (child instanceof XmlElement) children.push(nodeOf(child))
  return {
    name: element.name.replace(/^.*:/, ''),
    attributes: element.attributes,
    children,
    text: () => element.text,
    at: element.start,
    end: element.end,
  }
}

export const child = (node: XmlNode, name: string): XmlNode | undefined => node.children.find((c) => c.name === name)
export const childrenOf = (node: XmlNode, name: string): readonly XmlNode[] =>
  node.children.filter((c) => c.name === name)
/** The words of a child, trimmed; empty where there is none. */
export const wordsOf = (node: XmlNode, name: string): string => child(node, name)?.text().trim() ?? ''
/** A child's number; `otherwise` where it has none. */
export function numberIn(node: XmlNode, name: string, otherwise: number): number {
  const words = wordsOf(node, name)
  const number = Number(words)
  return words === '' || !Number.isFinite(number) ? otherwise : number
}

/** Every element of a name at or below a node, in document order. */
export function allOf(node: XmlNode, name: string): readonly XmlNode[] {
  const found: XmlNode[] = []
  const visit = (at: XmlNode): void => {
    if (at.name === name) found.push(at)
    for (const each of at.children) visit(each)
  }
  visit(node)
  return found
}
