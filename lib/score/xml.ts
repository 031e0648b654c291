/** Text as XML holds it. */

const entities: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }

/**
 * Text for an XML 1.0 document: entities for its signs, and without the control characters and half pairs that it forbids.
 *
 * @example
 * xml('a < b & "c"') // => 'a &lt; b &amp; &quot;c&quot;'
 */
export const xml = (text: string): string =>
  text.replace(/\p{Cs}|[\ufffe\uffff]|(?![\t\n\r])\p{Cc}/gu, '').replace(/[&<>"]/g, (sign) => entities[sign]!)
