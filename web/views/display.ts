/** How the page itself is shown, beside the brief: choices that change no note. Field names of the form and the address alike. */

export const viewChoices = {
  /** Paper and ink as the reader's system asks, or as chosen. */
  tone: ['auto', 'light', 'dark'],
  /** Roles told by ink as well as by their marks. */
  ink: ['blue', 'black'],
  /** Bars to a line on the screen. The page's script asks for fewer on a narrow screen. */
  across: ['4', '2', '1'],
} as const

export type View = { readonly [K in keyof typeof viewChoices]: (typeof viewChoices)[K][number] }

export const viewNames = Object.keys(viewChoices) as (keyof View)[]

/** Reads how to show the page; anything unknown is as usual, since no note depends on it. */
export function readView(given: Readonly<Record<string, string | undefined>>): View {
  const read = <K extends keyof View>(name: K): View[K] => {
    const options: readonly string[] = viewChoices[name]
    return (options.includes(given[name] ?? '') ? given[name] : options[0]) as View[K]
  }
  return { tone: read('tone'), ink: read('ink'), across: read('across') }
}

/** What differs from the usual view, by name. */
export function writeView(view: View): Readonly<Record<string, string>> {
  return Object.fromEntries(
    viewNames.filter((name) => view[name] !== viewChoices[name][0]).map((name) => [name, view[name]]),
  )
}
