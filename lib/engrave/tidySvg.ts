/** What Verovio draws, made fit to stand inside a page: no style sheet, no font of its own, a name for those who cannot see it. */

export interface Described {
  readonly title?: string
  readonly description?: string
}

/** Faces for words and chord symbols; the last that has a sign gives it. */
const faces = "Tinos, 'Times New Roman', Times, 'Noto Music', serif"

/** Verovio's private-use music characters in running text, and the ones that every text face or its fallback has. */
const signs: Readonly<Record<string, string>> = {
  '\uea63': '𝄫',
  '\uea64': '♭',
  '\uea65': '♮',
  '\uea66': '♯',
  '\uea67': '𝄪',
  '\ue260': '♭',
  '\ue261': '♮',
  '\ue262': '♯',
  '\ueca5': '♩',
}

const xml = (text: string): string => text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;')

/**
 * Tidies one page of Verovio's SVG. Its style sheet becomes plain attributes, so that the picture needs nothing of a content
 * security policy; flats and sharps in words become text characters; a title and a description come first.
 */
export function tidySvg(svg: string, { title, description }: Described, page: number, pages: number): string {
  const own = /^<svg [^>]*\bid="([^"]*)"/.exec(svg)?.[1] ?? 'music'
  const named = `${title ?? 'Music'}${pages > 1 ? `, page ${page} of ${pages}` : ''}`
  const words = [`<title id="${own}-title">${xml(named)}</title>`]
  if (description !== undefined) words.push(`<desc id="${own}-desc">${xml(description)}</desc>`)
  const by = `${own}-title${description === undefined ? '' : ` ${own}-desc`}`
  return svg
    .replace(/<style\b[^>]*>[\s\S]*?<\/style>/g, '')
    .replace(/<desc>[^<]*<\/desc>/, '')
    .replace(/^<svg ([^>]*)>/, (_, rest: string) => `<svg ${rest} role="img" aria-labelledby="${by}">${words.join('')}`)
    .replace(/font-family="Times, serif"/, `font-family="${faces}"`)
    .replace(/<tspan font-family="Leipzig"( [^>]*)?>([^<]*)<\/tspan>/g, (_, rest = '', text: string) =>
      musicText(rest, text),
    )
    .replace(/<g class="page-margin"/, '<g class="page-margin" stroke="currentColor"')
    .replace(/<text /g, '<text stroke="none" ')
    .replace(/(<g id="[^"]*" class="(?:ending|fing|reh|tempo)")/g, '$1 font-weight="bold"')
    .replace(/(<g id="[^"]*" class="(?:dir|dynam|mNum)[^"]*")/g, '$1 font-style="italic"')
}

/** Music characters in words: Verovio sets them larger than the letters beside them, text faces do not. */
function musicText(rest: string, text: string): string {
  const size = /font-size="(\d+)px"/.exec(rest)?.[1]
  const smaller = size === undefined ? '' : ` font-size="${Math.round(Number(size) * 0.5625)}px"`
  return `<tspan${smaller}>${[...text].map((sign) => signs[sign] ?? sign).join('')}</tspan>`
}
