/** The link of what stands in the page, given on: copied, or shown as a code for another screen to read. */
import { renderSVG } from 'uqr'
import { agreed } from '../shared/agreed.ts'
import { shownLink } from './moving.ts'

const noLink = 'These changes are too long for a link: keep them under a name, or save them to a file.'

/** Copies the link; what is to be said of it. */
export async function copyLink(): Promise<string> {
  const link = shownLink()
  if (link === null) return noLink
  try {
    await navigator.clipboard.writeText(link)
    return 'The link is copied: it is the line.'
  } catch {
    // Pages that came without encryption may not copy.
    return `This browser does not let the page copy. The link: ${link}`
  }
}

/** Shows the link as a code over the page; what is to be said of it, if anything. */
export async function showCode(): Promise<string> {
  const link = shownLink()
  if (link === null) return noLink
  if (link.length > agreed.codeLength)
    return 'This link is too long for a code that can be read. Copy the link instead.'
  const picture = new DOMParser().parseFromString(renderSVG(link, { border: 2, ecc: 'L' }), 'image/svg+xml')
  const svg = document.adoptNode(picture.documentElement)
  svg.setAttribute('role', 'img')
  svg.setAttribute('aria-label', 'The link of this line as a code')
  const dialog = document.createElement('dialog')
  dialog.className = 'codeshown'
  dialog.setAttribute('aria-label', 'The link as a code')
  const words = document.createElement('p')
  words.textContent = 'Point another screen’s camera here: the same line opens there.'
  const close = document.createElement('button')
  close.type = 'button'
  close.className = 'ink'
  close.textContent = 'Close'
  close.addEventListener('click', () => dialog.close())
  dialog.addEventListener('close', () => dialog.remove())
  dialog.append(svg, words, close)
  document.body.append(dialog)
  dialog.showModal()
  return ''
}
