/** The drill that is drawn from figures ticked on their page. */
import { addressOf, type Given } from '../server/address.ts'

/** The address of a drill of what was ticked: over the scale in all keys, or covering it in as few bars as can be. */
export function figuresDrillAddress(given: Given, way: string): string {
  const { figures, cells, instrument, key } = given
  const covers = way === 'cover' && figures !== undefined
  return (
    addressOf({
      changes: '',
      title: covers ? 'Each figure once' : 'Figures of my own choice',
      plan: '1 2 3 4 5 6 7 1 | 2 1 7 6 5 4 3 2',
      exact: 'yes',
      ...(covers ? { cover: 'yes' } : { different: 'yes', join: 'yes', keys: 'chromatic' }),
      ...(figures === undefined ? {} : { figures, notes: String(anyLength(figures)) }),
      ...(cells === undefined ? {} : { cells }),
      ...(instrument === undefined ? {} : { instrument }),
      ...(key === undefined ? {} : { key }),
    }) ?? './'
  )
}

/** A number of notes that leaves none of the figures out: their own, or one that none of them has. */
function anyLength(figures: string): number {
  const lengths = new Set(figures.split(/[,;]/).map((figure) => figure.trim().split(/\s+/).length))
  return lengths.size === 1 ? [...lengths][0]! : ([4, 3, 2, 1].find((each) => !lengths.has(each)) ?? 4)
}
