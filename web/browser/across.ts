/** How many bars of music stand side by side, as this screen has room for. */
import { agreed } from '../shared/agreed.ts'

export const narrow = window.matchMedia(agreed.narrow)

const isLarge = (): boolean => (document.getElementById('print') as HTMLSelectElement | null)?.value === 'large'

/** Bars across: on a narrow screen two, and in large print one. */
export const across = (): '4' | '2' | '1' => (narrow.matches ? (isLarge() ? '1' : '2') : '4')

/** An address of ours, asked for as wide as this screen is. */
export function askedAcross(address: string): URL {
  const url = new URL(address, location.href)
  if (across() !== '4') url.searchParams.set('across', across())
  return url
}
