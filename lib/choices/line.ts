/** Choices of the line: where it lands, how it is led there, what carries on, how far it reaches, which one of all it is. */
import { edition, latestEdition } from '../edition.ts'
import { withSigns } from '../theory/signs.ts'
import { choice } from './choice.ts'
import { limits } from './limits.ts'
import {
  barRange,
  type Entry,
  each,
  entriesOf,
  listOf,
  oneOf,
  orNone,
  pitch,
  type Reader,
  refuse,
  split,
  text,
  value,
  whole,
  yesNo,
} from './reader.ts'

export const approachKinds = ['enclosure', 'chromatic', 'scale', 'arpeggio'] as const
export type ApproachKind = (typeof approachKinds)[number]

/** Degrees to aim at: a number stands for whatever the chord has there, so 3 is a minor chord's flat third. */
export const landings = ['1', '3', '5', '7', '9', '#11', '13'] as const
export type Landing = (typeof landings)[number]

/** Played bars, counted from 1, that are drawn anew by a seed of their own. */
export interface Redraw {
  readonly from: number
  readonly to: number
  readonly seed: number
}

const redraw: Entry<Redraw> = {
  read: (text) => {
    const [, from, to, seed] = /^(\d{1,5})-(\d{1,5}):(\d{1,10})$/.exec(text) ?? []
    return from === undefined ? null : { from: Number(from), to: Number(to), seed: Number(seed) }
  },
  text: ({ from, to, seed }) => `${from}-${to}:${seed}`,
  holds: ({ from, to, seed }) => [from, to, seed].every((n) => Number.isInteger(n) && Number(n) >= 0),
}

/** A step of a figure: semitones from the target, or with a `d` steps of the scale. */
const figureForm = /^-?(1[0-2]|\d)d?( -?(1[0-2]|\d)d?){0,3}$/

/** Approaches by their offsets from the target in playing order, up to four notes, the last of them not the target's own pitch. */
const figures: Reader<readonly string[]> = {
  read: (t) => {
    const parts = split(t).map((part) => part.replace(/\s+/g, ' ').replaceAll('+', ''))
    if (parts.length > limits.figures) return refuse(`at most ${limits.figures} approaches`, 'take some out')
    return parts.every(isFigure) ? value([...new Set(parts)]) : refuse(figures.expected, figures.hint)
  },
  text: (v) => v.join('; '),
  holds: (v) => Array.isArray(v) && v.length <= limits.figures && v.every(isFigure),
  form: "'2 -1; 2 1 -1'",
  expected:
    'approaches of one to four offsets from the target in semitones, from -12 to 12 and the last not 0, with semicolons between; a d makes scale steps of a number (1d -1)',
  hint: 'try 2 -1; 2 1 -1',
  list: true,
}

function isFigure(figure: unknown): figure is string {
  return typeof figure === 'string' && figureForm.test(figure) && !/(^|\s)-?0d?$/.test(figure)
}

export const lineChoices = {
  land: choice(listOf(landings), {
    usual: ['3', '7'],
    help: 'degrees to aim at',
    page: {
      group: 'sentence',
      label: 'Targets',
      explanation:
        'The degrees of the chord that a line may aim at. Thirds and sevenths alone already say the harmony.',
      words: landings.map((degree) => [degree, withSigns(degree)]),
    },
    printed: [
      ['1', 'roots'],
      ['3', 'thirds'],
      ['5', 'fifths'],
      ['7', 'sevenths'],
      ['9', 'ninths'],
      ['#11', 'sharp elevenths'],
      ['13', 'thirteenths'],
    ],
  }),
  /**
   * How often a target waits: on every downbeat and wherever the chord changes on a strong beat; once a bar; on every chord as
   * well; or twice a bar.
   */
  every: choice(oneOf('strong', 'bar', 'chord', 'half'), {
    usual: 'strong',
    help: 'how often a target waits: on downbeats and strong chord changes, once a bar, on every chord, twice a bar',
    page: {
      group: 'sentence',
      label: 'How often a target comes',
      explanation:
        'Where a target waits: on each downbeat and wherever the chord changes on a strong beat, once in each bar, on every chord as well, or twice in each bar.',
      words: [
        ['strong', 'on downbeats and changes'],
        ['bar', 'once a bar'],
        ['chord', 'on every chord'],
        ['half', 'twice a bar'],
      ],
    },
    printed: [['strong', 'on every downbeat and change']],
  }),
  /** Where in the bar it waits: on beat 1, on beat 3, or early on the and of 4. */
  on: choice(oneOf('1', '3', '4&'), {
    usual: '1',
    help: 'the beat it waits on; 4& is early, on the and of 4',
    page: {
      group: 'sentence',
      label: 'Which beat a target takes',
      explanation: 'The beat of the target. On the and of 4 it comes early, as players push it over the bar line.',
      words: [
        ['1', 'on beat 1'],
        ['3', 'on beat 3'],
        ['4&', 'early, on the and of 4'],
      ],
    },
    printed: [
      ['1', ''],
      ['4&', 'on the and of 4'],
    ],
  }),
  approach: choice(listOf(approachKinds), {
    usual: ['enclosure', 'chromatic'],
    help: 'kinds of approach; all four give a solo’s mixture',
    page: {
      group: 'sentence',
      label: 'Kinds of approach',
      explanation:
        'Enclosures close in from both sides; chromatic approaches come by semitones; scale and arpeggio approaches use the chord’s own notes.',
      words: [
        ['enclosure', 'enclosures'],
        ['chromatic', 'chromatic steps'],
        ['scale', 'scale steps'],
        ['arpeggio', 'arpeggios'],
      ],
    },
  }),
  /** At most so many approach notes. */
  notes: choice(whole(1, 4) as Reader<1 | 2 | 3 | 4>, {
    usual: 4,
    help: 'at most so many approach notes',
    page: {
      group: 'sentence',
      label: 'Approach notes at most',
      explanation: 'How many notes may lead into a target, at most.',
      words: [
        ['1', 'one note'],
        ['2', 'two notes'],
        ['3', 'three notes'],
        ['4', 'four notes'],
      ],
    },
  }),
  /** Whether enclosures that books teach and recordings hardly use may occur. */
  textbook: choice(yesNo, {
    usual: false,
    help: 'let in enclosures that books teach and recordings hardly use',
    page: {
      group: 'further',
      label: 'Textbook enclosures',
      explanation: 'Lets in enclosures that books teach but recordings hardly use.',
      words: [['yes', 'textbook enclosures']],
    },
  }),
  /** Cells to carry on with, by name such as `1-2-3-5`; empty for whatever arises. */
  cells: choice(each(/^_?\d{1,2}(-_?\d{1,2}){2,5}$/, 'cells such as 1-2-3-5', '1-2-3-5', limits.pins), {
    usual: [],
    form: '1-2-3-5,…',
    help: 'cells to carry on with after a target, by their degrees; whatever arises where none are given',
    page: {
      group: 'further',
      label: 'Cells',
      explanation:
        'Patterns to carry on with after a target, by their degrees: 1-2-3-5, 1-3-5-7. Left empty: whatever arises.',
      hint: 'such as 1-2-3-5',
    },
  }),
  rhythm: choice(oneOf('eighths', 'phrased', 'triplets'), {
    usual: 'eighths',
    help: 'even eighths, phrases that breathe, or triplets',
    page: {
      group: 'further',
      label: 'Rhythm',
      explanation: 'Even eighths all through, phrases with breaths in them, or eighth-note triplets.',
      words: [
        ['eighths', 'even eighths'],
        ['phrased', 'phrases with breaths'],
        ['triplets', 'eighth-note triplets'],
      ],
    },
  }),
  /** A step of difficulty, 1 to 6, that sets what is not chosen otherwise; null for none. */
  level: choice(orNone(whole(1, 6)), {
    usual: null,
    help: 'a step of difficulty, which sets what is not chosen otherwise',
    page: {
      group: 'further',
      label: 'Step of difficulty',
      explanation:
        'Six steps from one approach note on one target to long lines. It sets what you have not chosen yourself.',
      words: [['', 'as chosen here'], ...[1, 2, 3, 4, 5, 6].map((n) => [`${n}`, `step ${n} of 6`] as const)],
    },
  }),
  /** Targets typed bar by bar, `3 7 3 5 | 1 2 3 4`; empty for none. */
  plan: choice(text(limits.plan), {
    usual: '',
    belongs: 'changes',
    form: "'3 7 3 5'",
    help: 'the targets themselves, one degree a target; without changes, a drill through the key’s scale',
    page: {
      group: 'further',
      label: 'Targets by hand',
      explanation: 'Degrees to aim at, in order, with bars between: 3 7 3 5 | 1 3. They go before the choice above.',
      hint: 'such as 3 7 3 5',
    },
  }),
  /** Notes and figures to keep, each as `BAR.BEAT=…`; see the line's pins. */
  pins: choice(each(/^\d+(\.[\d.]+)?=.+$/, 'pins such as 3.1=F4', '3.1=F4', limits.pins), {
    usual: [],
    belongs: 'changes',
    option: 'pin',
    gathers: true,
    help: "keep a sounding note, an approach ('3.1=+2 -1'), a cell (3.1=1-2-3-5) or a bar ('5=F4 E4/24 -')",
    page: {
      group: 'staff',
      label: 'What was chosen on the staff',
      explanation: 'Notes and figures that stay as they are.',
    },
  }),
  /** Places to draw anew, each typed as `FROM-TO:SEED` in played bars. */
  again: choice(entriesOf(redraw, 'bars and a seed such as 5-8:2', '5-8:2', limits.pins), {
    usual: [],
    belongs: 'changes',
    gathers: true,
    help: 'new notes for these bars only, from a seed of their own',
    page: {
      group: 'staff',
      label: 'What was chosen on the staff',
      explanation: 'Bars that have new notes.',
    },
  }),
  /** Whether the rest of a line stays as it was when something in it is chosen. */
  around: choice(oneOf('keep', 'anew'), {
    usual: 'keep',
    help: 'what happens around a pin: the rest of the line stays, or is written anew',
    page: {
      group: 'staff',
      label: 'The rest of the line',
      explanation: 'When a note or a figure is chosen, the rest of the line stays as it was, or is written anew.',
      words: [
        ['keep', 'the rest stays'],
        ['anew', 'the rest is written anew'],
      ],
    },
  }),
  /** The edition of the line-writing that a line was drawn by, as its link names it. */
  edition: choice(whole(1, latestEdition), {
    usual: edition,
    belongs: 'changes',
    help: 'the edition of the line-writing that a link names; this program draws only its own',
    page: {
      group: 'aside',
      label: 'Edition',
      explanation: 'The edition of the line-writing that drew the line: another may give other notes.',
    },
  }),
  /** The notes themselves of a line that was kept, packed; empty for one that is drawn. */
  kept: choice(text(limits.kept), {
    usual: '',
    belongs: 'changes',
    help: 'the notes of a line that was kept, as links and printed codes carry them',
    page: {
      group: 'staff',
      label: 'The line that was kept',
      explanation: 'The notes themselves, so that they come back however lines are drawn by then.',
    },
  }),
  /** How wide the line moves where no range is given: a tenth in the middle, the comfortable range, or all of it. */
  compass: choice(oneOf('small', 'comfortable', 'full'), {
    usual: 'comfortable',
    belongs: 'reader',
    help: 'how wide it moves: a tenth in the middle, where the instrument is easy, or all of it',
    page: {
      group: 'further',
      label: 'Range',
      explanation: 'How wide the line moves: a tenth in the middle, where the instrument is easy, or all of it.',
      words: [
        ['small', 'a tenth'],
        ['comfortable', 'the easy range'],
        ['full', 'the whole range'],
      ],
    },
  }),
  /** Written range; null for what the compass gives. */
  low: choice(orNone(pitch), {
    usual: null,
    belongs: 'reader',
    help: 'the lowest note, as written',
    page: {
      group: 'further',
      label: 'Lowest note',
      explanation: 'The lowest note as you read it, such as D4; middle C is C4. Left empty, the range decides.',
    },
  }),
  high: choice(orNone(pitch), {
    usual: null,
    belongs: 'reader',
    form: 'C6',
    help: 'the highest note, as written',
    page: {
      group: 'further',
      label: 'Highest note',
      explanation: 'The highest note as you read it, such as A5. Left empty, the range decides.',
    },
  }),
  seed: choice(whole(0, limits.seed), {
    usual: 1,
    form: 'N',
    help: 'another line over the same changes; the same number gives the same line',
    page: {
      group: 'sentence',
      label: 'Line number',
      explanation: 'Each number is another line over the same changes. The same number always gives the same line.',
    },
  }),
  /** Only these played bars, counted from 1. */
  bars: choice(orNone(barRange), {
    usual: null,
    belongs: 'changes',
    help: 'only these bars, as played',
    page: {
      group: 'further',
      label: 'Only these bars',
      explanation: 'Writes only these bars, counted as played, such as 5-8.',
      hint: 'all',
    },
  }),
  choruses: choice(whole(1, limits.choruses), {
    usual: 1,
    help: 'how many times through the tune',
    page: {
      group: 'further',
      label: 'Choruses',
      explanation: 'How many times through the tune, with a new line each time.',
    },
  }),
  /** Exactly so many approach notes before every target, and one counted cell between. */
  exact: choice(yesNo, {
    usual: false,
    help: 'exactly --notes approach notes before every target; what stands between is one counted cell',
    page: {
      group: 'drill',
      label: 'Exactly so many',
      explanation:
        'Puts exactly that many approach notes before every target, and one cell between a target and the next approach.',
      words: [['yes', 'exactly so many approach notes']],
    },
  }),
  /** No approach twice in a key, by its offsets, until all that qualify are used. */
  different: choice(yesNo, {
    usual: false,
    help: 'no approach twice in a key until all that qualify are used',
    page: {
      group: 'drill',
      label: 'Each approach once',
      explanation: 'Uses no approach twice in a key until all that qualify have had their turn.',
      words: [['yes', 'a different approach each time']],
    },
  }),
  /** No approach or cell that was counted fewer times in recorded solos. */
  heard: choice(whole(0, 99_999), {
    usual: 0,
    form: 'N',
    help: 'no approach or cell that was counted fewer times in recorded solos',
    page: {
      group: 'drill',
      label: 'Heard at least so often',
      explanation: 'Leaves out approaches and cells that were counted fewer times than this in recorded solos.',
    },
  }),
  /** Exactly these approaches, each as offsets in semitones from the target in playing order; empty for all that fit. */
  figures: choice(figures, {
    usual: [],
    gathers: true,
    help: 'exactly these approaches, as offsets in semitones from the target in playing order',
    page: {
      group: 'drill',
      label: 'Only these approaches',
      explanation:
        'Semitones above or below the target, in playing order, with semicolons between: 2 -1; 2 1 -1. A d makes it steps of the scale: 1d -1. Left empty: all that fit.',
      hint: 'such as 2 -1; 2 1 -1',
    },
  }),
  /** Whether the figures asked for stand once each, commonest first, in as few bars as can be. */
  cover: choice(yesNo, {
    usual: false,
    help: 'the figures asked for once each, commonest first, in as few bars as can be',
    page: {
      group: 'drill',
      label: 'Each figure once',
      explanation:
        'Puts the approaches you name once each over the scale or the tune, commonest first, in as few bars as can be.',
      words: [['yes', 'each of them once, in few bars']],
    },
  }),
  /** Whether the last bar leads into the first target of what comes next. */
  join: choice(yesNo, {
    usual: false,
    help: 'the last bar leads into the first target of what comes next: the next key, the next chorus, at the end the top',
    page: {
      group: 'drill',
      label: 'Joined end to end',
      explanation:
        'The last bar leads into the first target of what comes next: the next key, the next chorus, and at the very end the top.',
      words: [['yes', 'joined to what comes next']],
    },
  }),
  /** Whether an approach leads into bar 1. */
  pickup: choice(yesNo, {
    usual: false,
    help: 'an approach before bar 1; in phrases as long as players begin them early',
    page: {
      group: 'drill',
      label: 'Pickup',
      explanation:
        'Puts an approach before the first bar; before a phrase, of as many notes as players begin it early.',
      words: [['yes', 'a pickup into bar 1']],
    },
  }),
  /** Targets as smooth as can be, or travelling over the range as solos do; null for what the rhythm asks for. */
  targets: choice(orNone(oneOf('smooth', 'travel')), {
    usual: null,
    help: 'targets by the smallest steps, or travelling over the range; by the rhythm where not said',
    page: {
      group: 'further',
      label: 'How targets move',
      explanation:
        'By the smallest steps from one target to the next, or over the whole range as a solo moves. Phrases travel by themselves, even lines move by steps.',
      words: [
        ['', 'as the rhythm asks'],
        ['smooth', 'by the smallest steps'],
        ['travel', 'over the whole range'],
      ],
    },
  }),
  /** How often a line leaps; null for what the compass asks for. */
  leaps: choice(orNone(oneOf('few', 'some')), {
    usual: null,
    help: 'how often a line leaps: few, the wider the rarer and never back and forth; by the compass where not said',
    page: {
      group: 'further',
      label: 'Leaps',
      explanation:
        'Some leaps, as drills and solos have them, or few: the wider the rarer, and never back and forth between two notes. Few in a small range, unless you say otherwise.',
      words: [
        ['', 'leaps as the range asks'],
        ['few', 'few leaps'],
        ['some', 'some leaps'],
      ],
    },
  }),
  /** How many plain dominants a line alters; null for what the rhythm and the approaches ask for. */
  alter: choice(orNone(oneOf('none', 'some', 'much')), {
    usual: null,
    help: 'how many plain dominants a line alters; in solos and phrases some on the way to major, where not said',
    page: {
      group: 'further',
      label: 'Altered dominants',
      explanation:
        'How many dominants that say no more than their seventh the line alters (♭9 ♯9 ♭5 ♭13). Much alters nearly all that fall a fifth. Solos and phrases alter some of those that lead to major, unless you say otherwise.',
      words: [
        ['', 'as solos do'],
        ['none', 'never'],
        ['some', 'now and then'],
        ['much', 'nearly always'],
      ],
    },
  }),
  /** How much of what was played comes back, moved to other chords; null for what the rhythm asks for. */
  motif: choice(orNone(oneOf('none', 'some', 'much')), {
    usual: null,
    help: 'how much of what was played in phrases comes back over other chords; some of it where not said',
    page: {
      group: 'further',
      label: 'Motifs',
      explanation:
        'How much of what was played in phrases comes back over other chords. Some of it, unless you say otherwise.',
      words: [
        ['', 'as the rhythm asks'],
        ['none', 'nothing'],
        ['some', 'some of it'],
        ['much', 'much of it'],
      ],
    },
  }),
  articulation: choice(oneOf('none', 'some'), {
    usual: 'none',
    help: 'slurs and accents as horn players set them',
    page: {
      group: 'reading',
      label: 'Articulation',
      explanation: 'Slurs and accents as horn players set them, or none.',
      words: [
        ['none', 'no articulation'],
        ['some', 'slurs and accents'],
      ],
    },
  }),
  /** A table of figures of one's own, as `mark --format csv` writes it; null for none. */
  own: choice(orNone(text(limits.own)), {
    usual: null,
    form: 'FILE',
    file: true,
    help: 'figures of your own, as mark --format csv writes them',
    page: {
      group: 'aside',
      label: 'Figures of your own',
      explanation: 'Figures that were read from lines of your own.',
    },
  }),
  /** Whether figures of one's own are drawn beside the counted ones, each as often in all, or alone. */
  mixOwn: choice(yesNo, {
    usual: false,
    help: 'whether figures of your own are mixed with the counted ones',
    page: {
      group: 'aside',
      label: 'Mixed with the counted ones',
      explanation: 'Your own figures and the counted ones, half and half; otherwise yours alone.',
      words: [['yes', 'mixed with the counted ones']],
    },
  }),
} as const
