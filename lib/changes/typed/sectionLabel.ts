/** Section labels as people write them: letters, words, brackets, colons, quotes and headings. */

const words =
  'intro|introduction|verse|chorus|refrain|bridge|middle ?(?:8|eight)|solos?|head(?: in| out)?|outro|coda|tag|ending|interlude|vamp|pre-?chorus|post-?chorus|hook|turnaround|release|channel|shout(?: chorus)?|out ?chorus|theme|melody|break|strophe|teil|form|blowing|pickup|instrumental|last [A-H]|final [A-H]'

const name = new RegExp(
  `^(?:(?:1st|2nd|3rd|4th|first|second|third|last) )?(?:(?:section|part|letter|teil) [A-Z0-9]\\d?'*|[A-Z]['*]{1,2}|[A-Z]\\d?'*(?: section| part)?|(?:${words})(?:[ -]?(?:\\d{1,2}|[A-H]|[ivx]{1,4}))?)$`,
  'i',
)
const letter = /^[a-z]/

/** Whether words on their own name a section: `A`, `B2`, `Bridge`, `Verse 1`, `A section`. */
export const namesSection = (text: string): boolean =>
  text.length <= 40 &&
  name.test(text) &&
  !/^(?:\d|first|second|third).*ending|^ending \d/i.test(text) &&
  !(text.length <= 2 && letter.test(text))

/** Whether words name a section beyond doubt, and could be no chord: `Bridge`, `Verse 1`, `A section`, but not `A`. */
export const namesSectionSurely = (text: string): boolean => namesSection(text) && !/^[A-Z]\d?'*$/.test(text)

/** Labels are cut off beyond this. */
const longestLabel = 80

/** A label's words without what is put round them. */
export const bareLabel = (text: string): string =>
  text
    .slice(0, longestLabel)
    .replace(/^[\s=\-*_#~•:<>[\]"']+/, '')
    .replace(/[\s=\-*_#~•:<>[\]".]+$/, '')
    .replace(/[[\]\n]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim()

/** Whether a line is dressed as a heading: rules, stars or hashes round its words. */
export const dressedAsHeading = (text: string): boolean =>
  /^(?:#{1,6}\s|={2,}|-{2,}|\*{1,3}(?=\S)|_{1,2}(?=[A-Za-z])|~{2,}|•\s)/.test(text) && /[A-Za-z0-9]/.test(text)
