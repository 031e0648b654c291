/** The page of practice as its tests use it. */
import type { Page } from 'playwright-core'

/** Waits until the page says so. */
export const said = (page: Page, words: string) => page.locator('#practice-said', { hasText: words }).waitFor()
/** Notes how an item went, the first of its buttons unless told otherwise. */
export const tap = (page: Page, verdict: string, nth = 0) =>
  page
    .getByRole('button', { name: new RegExp(`^${verdict}: `) })
    .nth(nth)
    .click()
/** How many passes the page lists. */
export const entries = (page: Page) => page.locator('#practice-taps li').count()
