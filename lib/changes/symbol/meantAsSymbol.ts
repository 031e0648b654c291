/** Whether a word that does not read was meant for a chord symbol, and so is worth a message of its own. */
import { nearestSymbol } from './nearestSymbol.ts'
import { readsAsSymbol } from './readSymbol.ts'

/** Whether a word that does not read was meant for a chord symbol. */
export function meantAsSymbol(word: string): boolean {
  if (word.length > 24) return false
  if (/^\(?[A-Ha-h](?:##?|bb?)?[^a-z\s]*\d/.test(word)) return true
  if (/^[A-Z]\d{1,2}$/.test(word)) return true
  if (/^\(?[A-H](?:[#b♯]|maj|min|dim|aug|sus|m|M|-|\+|°|ø|Δ|\/|\()/.test(word) && /[#\d°øΔ+()/]/.test(word)) return true
  const suffix = word.replace(/^[A-H][#b]?/, '')
  return (
    /^[A-H]/.test(word) && suffix.length >= 3 && nearestSymbol(word, (near) => readsAsSymbol(near) !== null, 1) !== null
  )
}
