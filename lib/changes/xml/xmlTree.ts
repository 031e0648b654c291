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
/** How deep elements may nest, and how many of them and of their attributes a score may hold; five megabytes of MusicXML take about 200,000. */
export const xmlLimits = { depth: 200, elements: 200_000, attributes: 400_000 } as const

/** What stands between `<` and the name of a tag, and where each such piece ends: comments, instructions and text taken as it is. */
const passed: readonly (readonly [opens: string, closes: string])[] = [
  ['<!--', '-->'],
  ['<![CDATA[', ']]>'],
  ['<?', '?>'],
]

/** Where the tag that opens at a place closes, and how many attributes it holds; quoted values may hold any sign. */
function tagEnd(text: string, from: number): { end: number; attributes: number } {
  let attributes = 0
  for (let i = from; i < text.length; i++) {
    const c = text[i]
    if (c === '>') return { end: i, attributes }
    if (c !== '"' && c !== "'") continue
    attributes++
    const close = text.indexOf(c, i + 1)
    if (close < 0) break
    i = close
  }
  return { end: text.length, attributes }
}

/** What a text holds more of than any score does; null where it stays within the limits. Told without building anything. */
function tooMuch(text: string): string | null {
  let depth = 0
  let elements = 0
  let attributes = 0
  let at = text.indexOf('<')
  while (at >= 0) {
    const pass =
      text[at + 1] === '!' || text[at + 1] === '?' ? passed.find(([opens]) => text.startsWith(opens, at)) : null
    if (pass) {
      const close = text.indexOf(pass[1], at + pass[0].length)
      if (close < 0) return null
      at = text.indexOf('<', close)
      continue
    }
    const tag = tagEnd(text, at)
    if (text[at + 1] === '/') depth--
    else {
      elements++
      attributes += tag.attributes
      if (text[tag.end - 1] !== '/') depth++
    }
    if (depth > xmlLimits.depth) return `elements more than ${xmlLimits.depth} deep`
    if (elements > xmlLimits.elements) return `more than ${xmlLimits.elements} elements`
    if (attributes > xmlLimits.attributes) return `more than ${xmlLimits.attributes} attributes`
    at = text.indexOf('<', tag.end)
  }
  return null
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
  const much = tooMuch(text)
  if (much) return refuse('too-large', 0, much, 'a score of ordinary size')
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
