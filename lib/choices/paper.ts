/** Choices of paper: what stands on the staff besides notes, and how sheets, books and class sets are laid out. */
import { instruments, partGroups } from '../theory/instrument.ts'
import { typedSigns } from '../theory/signs.ts'
import { choice } from './choice.ts'
import { limits } from './limits.ts'
import { listOf, nearest, oneOf, type Reader, refuse, split, value, yesNo } from './reader.ts'

/** What can be shown on the staff besides notes and chord symbols. */
export const marks = ['targets', 'degrees', 'brackets', 'names', 'analysis', 'scales'] as const
export type Mark = (typeof marks)[number]

/** What a class packet can hold besides its cover. */
const packetContents = ['lines', 'score', 'worksheets', 'answers', 'recordings', 'small-recordings'] as const

const partNames: readonly string[] = [...partGroups, ...instruments.map(({ id }) => id)]

/** A part by any usual spelling of its name: `bass`, `B♭`, `Alto sax`; null for none. */
function partNamed(typed: string): string | null {
  const plain = typedSigns(typed.toLowerCase())
    .replaceAll('-', ' ')
    .replace(/^bass$/, 'bass clef')
  return partNames.find((name) => name.toLowerCase().replaceAll('-', ' ') === plain) ?? null
}

/** Groups of a class and single instruments. */
const classParts: Reader<readonly string[]> = {
  read: (t) => {
    const typed = split(t)
    const odd = typed.find((part) => partNamed(part) === null)
    if (odd !== undefined) return refuse(classParts.expected, `try ${nearest(odd, partNames)}`)
    return typed.length > limits.parts
      ? refuse(`at most ${limits.parts} parts`, 'take some out')
      : value([...new Set(typed.flatMap((part) => partNamed(part) ?? []))])
  },
  text: (v) => v.join(','),
  holds: (v) => Array.isArray(v) && v.length <= limits.parts && v.every((part) => partNames.includes(part)),
  form: 'C,Bb,Eb,F,bass,…',
  expected: `groups (${partGroups.join(', ')}) or instruments`,
  hint: 'try Bb',
  list: true,
}

export const paperChoices = {
  show: choice(listOf(marks, 0), {
    usual: ['targets', 'degrees', 'brackets'],
    help: 'what stands on the staff besides notes and chords; none for nothing',
    page: {
      group: 'reading',
      label: 'Marks',
      explanation:
        'What stands on the staff besides notes and chords. Untick to read without help. The analysis numbers each chord in its key, names a key where it is new, and sets a dashed bracket over each ii–V.',
      words: [
        ['targets', 'targets'],
        ['degrees', 'degrees'],
        ['brackets', 'brackets over approaches'],
        ['names', 'note names'],
        ['analysis', 'analysis'],
        ['scales', 'scales'],
      ],
    },
  }),
  /** Fingerings under the notes: none, only where there is a choice, or all. */
  fingering: choice(oneOf('none', 'choices', 'all'), {
    usual: 'none',
    help: 'fingerings under the notes: none, only where there is a choice, or all',
    page: {
      group: 'reading',
      label: 'Fingerings',
      explanation: 'Fingerings under the notes: none, only where there is a choice, or all.',
      words: [
        ['none', 'no fingerings'],
        ['choices', 'fingerings where there is a choice'],
        ['all', 'all fingerings'],
      ],
    },
  }),
  /** A staff of tablature under the notes, for guitar and electric bass. */
  tablature: choice(yesNo, {
    usual: false,
    help: 'tablature under the staff, for guitar and electric bass',
    page: {
      group: 'reading',
      label: 'Tablature',
      explanation: 'Adds a staff of strings and frets under the notes, for guitar and electric bass.',
      words: [['yes', 'tablature under the staff']],
    },
  }),
  /** A book as a ladder: the same drill with one, two, three and four approach notes; or each bar alone, then pairs, then the line. */
  ladder: choice(oneOf('none', 'notes', 'bars'), {
    usual: 'none',
    help: 'a PDF as a ladder: the drill with one to four approach notes, or each bar alone, then two, then all',
    page: {
      group: 'drill',
      label: 'Ladder',
      explanation:
        'Prints the drill as a ladder: with one, two, three and four approach notes, or bar by bar, then two by two, then whole.',
      words: [
        ['none', 'as it is'],
        ['notes', 'with one to four notes'],
        ['bars', 'bar by bar, then whole'],
      ],
    },
  }),
  paper: choice(oneOf('A4', 'Letter'), {
    remembered: true,
    usual: 'A4',
    belongs: 'reader',
    help: 'the sheet that the music is laid out for',
    page: { group: 'reading', label: 'Paper', explanation: 'The sheet that the music is laid out for.' },
  }),
  /** A class set as PDF or zip: groups (C, Bb, Eb, F, bass clef) and instruments, besides a concert score; empty for one part. */
  parts: choice(classParts, {
    usual: [],
    help: 'a class set as PDF or zip: groups and instruments, besides a concert score',
    page: {
      group: 'reading',
      label: 'Parts for a class',
      explanation:
        'The PDF and the zipped set then hold a concert score and a part for each of these. None ticked: your own part alone.',
    },
  }),
  /** Empty staves after each line of a book, for the student's own. */
  ownStaves: choice(yesNo, {
    usual: false,
    help: 'empty staves after each line of a PDF, for the student’s own',
    page: {
      group: 'reading',
      label: 'Staves of your own',
      explanation: 'Adds empty staves under the same changes after each line of the PDF, to write your own.',
      words: [['yes', 'empty staves to write on']],
    },
  }),
  /** Whether a worksheet of guide tones ends with its answers. */
  answers: choice(yesNo, {
    usual: true,
    help: 'whether a worksheet of guide tones ends with its answers',
    page: {
      group: 'reading',
      label: 'Answers',
      explanation: 'Puts the answers at the end of a guide-tone worksheet.',
      words: [['yes', 'the answers of a worksheet']],
    },
  }),
  /** What a class packet holds, beside its cover. */
  packet: choice(listOf(packetContents), {
    usual: ['lines', 'score', 'worksheets', 'answers', 'recordings'],
    help: 'what a class packet holds, in every key and for every part',
    page: {
      group: 'aside',
      label: 'What goes in',
      explanation: 'A file for each part and key, so that each student gets a folder; recordings are for all.',
      words: [
        ['lines', 'lines'],
        ['score', 'concert score'],
        ['worksheets', 'guide-tone worksheets'],
        ['answers', 'their answers'],
        ['recordings', 'recordings (FLAC)'],
        ['small-recordings', 'small recordings (Opus)'],
      ],
    },
  }),
  print: choice(oneOf('normal', 'large'), {
    remembered: true,
    usual: 'normal',
    belongs: 'reader',
    help: 'large print puts fewer bars on a line',
    page: {
      group: 'reading',
      label: 'Print',
      explanation: 'Large print puts fewer bars on a line, for a stand or for tired eyes.',
    },
  }),
} as const
