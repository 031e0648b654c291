/** Where people see a server, as the links that it writes out begin. */

/**
 * An origin as it was typed, with the path that the page lies below, if any; without a slash at its end.
 *
 * @returns null where it is no address of a page: then what was typed is to be said
 *
 * @example
 * readOrigin('https://example.org/music/') // => 'https://example.org/music'
 */
export function readOrigin(text: string): string | null {
  const url = URL.canParse(text) ? new URL(text) : null
  if (!url || !/^https?:$/.test(url.protocol) || /[?#]/.test(text) || url.username !== '' || url.password !== '')
    return null
  return `${url.origin}${url.pathname.replace(/\/+$/, '')}`
}
