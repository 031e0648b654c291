/** An XML text as a plain tree: names without prefix, attributes, children; strict, and without entities of the document's own. */
import { SaxesParser } from 'saxes'
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
/**
 * How deep elements may nest, and how many of them and of their attributes a score may hold; five megabytes of MusicXML take about
 * 200,000. How many parts there may be, and how many chord symbols in all of them.
 */
export const xmlLimits = {
  depth: 200,
  elements: 200_000,
  attributes: 400_000,
  parts: 256,
  chords: 32_768,
} as const

/** A text holds more of something than any score does. */
class TooMuch extends Error {}

/** The tree of a well-formed text, no larger than a score gets; throws at the first fault, the parser then stands there. */
function treeOf(text: string, parser: SaxesParser): XmlNode | undefined {
  const top: OpenNode = { children: [], pieces: [] }
  const open: OpenNode[] = [top]
  let [elements, attributes, at] = [0, 0, 0]
  const say = (words: string): void => {
    open.at(-1)!.pieces.push(words)
  }
  parser.on('error', (error) => {
    throw error
  })
  parser.on('opentagstart', () => {
    elements++
    at = text.lastIndexOf('<', parser.position - 1)
    if (open.length > xmlLimits.depth) throw new TooMuch(`elements more than ${xmlLimits.depth} deep`)
    if (elements > xmlLimits.elements) throw new TooMuch(`more than ${xmlLimits.elements} elements`)
  })
  parser.on('attribute', () => {
    attributes++
    if (attributes > xmlLimits.attributes) throw new TooMuch(`more than ${xmlLimits.attributes} attributes`)
  })
  parser.on('opentag', (tag) => {
    const [children, pieces]: [XmlNode[], (string | XmlNode)[]] = [[], []]
    const node = {
      name: tag.name.slice(tag.name.lastIndexOf(':') + 1),
      attributes: tag.attributes,
      children,
      text: () => wordsIn(pieces),
      at,
      end: parser.position,
    }
    const around = open.at(-1)!
    around.children.push(node)
    around.pieces.push(node)
    open.push({ node, children, pieces })
  })
  parser.on('text', say)
  parser.on('cdata', say)
  parser.on('closetag', () => {
    const { node } = open.pop()!
    if (node) node.end = parser.position
  })
  parser.write(text).close()
  return top.children[0]
}

/** An element that is not closed yet. */
interface OpenNode {
  readonly node?: { end: number }
  readonly children: XmlNode[]
  readonly pieces: (string | XmlNode)[]
}

const wordsIn = (pieces: readonly (string | XmlNode)[]): string =>
  pieces.map((piece) => (typeof piece === 'string' ? piece : piece.text())).join('')

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
  const parser = new SaxesParser({ position: false })
  try {
    const root = treeOf(text, parser)
    return root ? { root, problem: null } : refuse('unreadable-file', 0, 'no root element', 'a score')
  } catch (error) {
    if (error instanceof TooMuch) return refuse('too-large', 0, error.message, 'a score of ordinary size')
    const found = error instanceof Error ? error.message : ''
    return refuse('unreadable-file', Math.min(parser.position, text.length), found || 'no XML', 'well-formed XML')
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
