/** The parts of a MusicXML score with their measures, and whether a score has more of them than any has. */
import { limits } from '../../brief.ts'
import { tooManyMeasures } from './scoreMeasure.ts'
import { allOf, childrenOf, type XmlNode, xmlLimits } from './xmlTree.ts'

export interface ScorePart {
  readonly id: string
  readonly measures: readonly XmlNode[]
}

/** The parts of a MusicXML score, partwise or timewise, in the order in which they first stand. */
export function partsOf(root: XmlNode): readonly ScorePart[] {
  if (root.name !== 'score-timewise')
    return childrenOf(root, 'part').map((part, i) => ({
      id: part.attributes.id ?? `${i}`,
      measures: childrenOf(part, 'measure'),
    }))
  const parts = new Map<string, XmlNode[]>()
  for (const measure of childrenOf(root, 'measure'))
    for (const part of childrenOf(measure, 'part')) {
      const id = part.attributes.id ?? ''
      const whole: XmlNode = { ...part, name: 'measure', attributes: measure.attributes }
      const list = parts.get(id)
      if (list) list.push(whole)
      else parts.set(id, [whole])
    }
  return [...parts].map(([id, measures]) => ({ id, measures }))
}

/**
 * What a score has too many of, in words; null where it is of a size that scores have. Each measure of each part is looked at beside
 * those of all other parts, so that neither may be without end; nor may chords, each of which is read for itself.
 */
export function tooManyIn(root: XmlNode): string | null {
  const mei = root.name === 'mei'
  const parts = mei ? [] : partsOf(root)
  const measures = mei
    ? allOf(root, 'measure').length
    : parts.reduce((most, part) => Math.max(most, part.measures.length), 0)
  if (measures > limits.barsWritten) return tooManyMeasures.found
  if (parts.length > xmlLimits.parts) return `more than ${xmlLimits.parts} parts`
  const chords = allOf(root, mei ? 'harm' : 'harmony').length
  return chords > xmlLimits.chords ? `more than ${xmlLimits.chords} chord symbols` : null
}
