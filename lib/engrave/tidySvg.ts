/** What Verovio draws, made fit to stand inside a page: no style sheet, no font of its own, a name for those who cannot see it. */
import { xml } from '../score/xml.ts'
import { signsOfFonts } from '../theory/signs.ts'
import { readSection } from './readDrawn.ts'

/** What is said of the picture to whoever cannot see it. */
export interface Described {
  readonly title?: string
  readonly description?: string
}

/** Faces for words and chord symbols; the last that has a sign gives it. */
const faces = "Tinos, 'Times New Roman', Times, 'Noto Music', serif"

/** The quarter note of a music font, of a tempo in running text. */
const quarterOfFonts = '\ueca5'

/** Where the music begins in Verovio's SVG, after its definitions. */
const musicStart = '<g class="page-margin"'

/**
 * Tidies one page of Verovio's SVG. Its style sheet becomes plain attributes, so that the picture needs nothing of a content
 * security policy; flats and sharps in words become text characters; a title and a description come first.
 */
export function tidySvg(svg: string, { title, description }: Described, page: number, pages: number): string {
  const own = /^<svg [^>]*\bid="([^"]*)"/.exec(svg)?.[1] ?? 'music'
  const named = `${title || 'Music'}${pages > 1 ? `, page ${page} of ${pages}` : ''}`
  const words = [`<title id="${own}-title">${xml(named)}</title>`]
  if (description !== undefined) words.push(`<desc id="${own}-desc">${xml(description)}</desc>`)
  const by = `${own}-title${description === undefined ? '' : ` ${own}-desc`}`
  // What comes but once stands before the music: to look for it all through the music would take longer than all the rest.
  const start = svg.indexOf(musicStart)
  const frame = svg
    .slice(0, start)
    .replace(/<style\b[^>]*>[\s\S]*?<\/style>/g, '')
    .replace(/<desc>[^<]*<\/desc>/, '')
    .replace(/^<svg ([^>]*)>/, (_, rest: string) => `<svg ${rest} role="img" aria-labelledby="${by}">${words.join('')}`)
    .replace(/font-family="Times, serif"/, `font-family="${faces}"`)
  const music = placeSections(svg.slice(start + musicStart.length))
    .replace(/<tspan font-family="Leipzig"( [^>]*)?>([^<]*)<\/tspan>/g, (_, rest = '', text: string) =>
      musicText(rest, text),
    )
    // Bar numbers hang in the margin beside the clef, out of the way of chords and section letters.
    .replace(/(class="mNum[^"]*"><text )(y="-?\d+") text-anchor="middle"/g, '$1x="-90" $2 text-anchor="end"')
    .replaceAll('<text ', '<text stroke="none" ')
    .replace(/ class="(?:ending|fing|reh|tempo)"/g, '$& font-weight="bold"')
    .replace(/ class="(?:dir|dynam|mNum)[^"]*"/g, '$& font-style="italic"')
  return `${frame}${musicStart} stroke="currentColor"${music}`
}

/** Music characters in words: Verovio sets them larger than the letters beside them, text faces do not. */
function musicText(rest: string, text: string): string {
  const size = /font-size="(\d+)px"/.exec(rest)?.[1]
  const smaller = size === undefined ? '' : ` font-size="${Math.round(Number(size) * 0.5625)}px"`
  return `<tspan${smaller}>${[...text].map((sign) => (sign === quarterOfFonts ? '♩' : (signsOfFonts.get(sign) ?? sign))).join('')}</tspan>`
}

/**
 * Puts a boxed section letter where a reader looks for it: on the line of the chord symbols, over the clef. Verovio sets it at
 * the first free height above its note, which may be under the chords. Where it has no room there, it goes above them.
 */
function placeSections(svg: string): string {
  if (!svg.includes('class="reh')) return svg
  return svg
    .split(/(?=<g id="[^"]*" class="measure)/)
    .map((measure) => {
      const drawn = readSection(measure)
      if (!drawn) return measure
      const { box, baseline, chord, staff, treble } = drawn
      const bottom = box.y + box.height
      const fits = staff.left + box.width + box.height / 3 <= chord.x
      // A superscript reaches about as high as the box is.
      const above = Math.min(0, chord.y - box.height * 1.1 - bottom)
      // A treble clef reaches a space and a half above the staff.
      const clear = treble ? staff.top - 1.6 * staff.space - bottom : Number.POSITIVE_INFINITY
      const [dx, dy] = fits ? [staff.left - box.x, Math.min(clear, chord.y - baseline)] : [0, above]
      return measure.replace(/class="reh[^"]*"/, `$& transform="translate(${Math.round(dx)}, ${Math.round(dy)})"`)
    })
    .join('')
}
