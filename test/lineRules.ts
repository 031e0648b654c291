/** The rules that every line keeps, checked note by note without the code that draws lines: for tests and for reading. */
import type { Brief } from '../lib/brief.ts'
import type { HarmonyChord } from '../lib/harmony/harmony.ts'
import { soundingRange } from '../lib/line/draftLine.ts'
import type { Line, LineNote, LineTarget } from '../lib/line/line.ts'
import { guideDegrees } from '../lib/theory/chord.ts'
import { type Degree, degreeChroma, numberOf } from '../lib/theory/degree.ts'
import { strongTicks, ticksPerQuarter } from '../lib/theory/meter.ts'
import { chromaOf, midiOf, nameOf } from '../lib/theory/pitch.ts'
import { countedApproaches, countedCells, verdicts } from './solos.ts'

const midi = (note: Pick<LineNote, 'pitch'>): number => midiOf(note.pitch!)

/** What is wrong with a line, each in a sentence that says where; empty where every rule is kept. */
export function brokenRules(line: Line, brief: Brief): readonly string[] {
  return [
    ...unfilled(line),
    ...misplaced(line, brief),
    ...wrongTargets(line, brief),
    ...wrongFigures(line, brief),
    ...unplayable(line, brief),
    ...stoodOn(line, brief),
    ...wrongDegrees(line),
  ]
}

/** Notes follow each other without gap or overlap from the first tick to the last, each in the bar that it begins in. */
function unfilled({ notes, harmony }: Line): string[] {
  const wrong: string[] = []
  const first = harmony.bars[0]!
  // A pickup stands in a bar 0 before the first, which need not be full.
  let at = notes[0]?.bar === 0 ? notes[0].start : 0
  if (at < -first.ticks) wrong.push(`a pickup from ${at}`)
  for (const { bar, start, ticks } of notes) {
    const own = bar === 0 ? { start: -first.ticks, ticks: first.ticks } : harmony.bars[bar - 1]
    if (start !== at) wrong.push(`bar ${bar}: something at ${start}, expected at ${at}`)
    if (!own || start < own.start || start >= own.start + own.ticks) wrong.push(`bar ${bar} does not hold ${start}`)
    if (!Number.isInteger(ticks) || ticks < 1) wrong.push(`bar ${bar}: ${ticks} ticks`)
    at = start + ticks
  }
  const last = harmony.bars.at(-1)!
  if (at !== last.start + last.ticks) wrong.push(`the notes end at ${at}, the bars at ${last.start + last.ticks}`)
  return wrong
}

/** The chord that sounds at a tick. */
const chordAt = ({ harmony }: Line, tick: number): HarmonyChord | undefined =>
  harmony.chords.findLast(({ start }) => start <= tick)

/** Where targets wait in an even line, as the brief says: an early one an eighth before its bar. */
function placesOf(line: Line, { every, on }: Brief): ReadonlySet<number> {
  const expected = new Set<number>()
  for (const { bar, start, ticks, meter } of line.harmony.bars) {
    const strong = strongTicks(meter)
    // The second half of the bar, or the third beat where the bar has but one strong beat.
    const middle =
      strong.length > 1 ? strong[Math.ceil(strong.length / 2)]! : meter.beats > 2 ? (2 * ticks) / meter.beats : null
    const places = new Set([on === '3' && middle !== null ? middle : 0])
    const changes = line.harmony.chords.filter((chord) => chord.bar === bar).map((chord) => chord.start - start)
    for (const change of changes)
      if (every === 'chord' || (every === 'strong' && strong.includes(change) && (on !== '3' || change > 0)))
        places.add(change)
    if (every === 'half' && middle !== null) places.add(middle).add(0)
    for (const place of places) {
      if (!chordAt(line, start + place)?.root) continue
      const early = on === '4&' && place === 0 && start > 0 ? 12 : 0
      expected.add(start + place - (place % 12) - early)
    }
  }
  return expected
}

/** Targets wait exactly where the brief says; in phrases, where a note begins there. */
function misplaced(line: Line, brief: Brief): string[] {
  // A pinned bar may rest or hold a note where a target would wait.
  if (brief.pins.some((pin) => /^\d+=/.test(pin))) return []
  const expected = placesOf(line, brief)
  const found = line.targets.map(({ start }) => start)
  if (brief.rhythm === 'phrased') return misplacedInPhrases(line, expected, new Set(found))
  const names = (ticks: readonly number[]) => ticks.join(' ')
  const [want, have] = [names([...expected].sort((a, b) => a - b)), names(found)]
  return want === have ? [] : [`targets at ${have}; expected at ${want}`]
}

/**
 * In phrases a target waits wherever a note begins at its place, or early where a note of at most an eighth before is held into it;
 * besides them only where a phrase that meets none of these ends, and at the very end. No phrase is without.
 */
function misplacedInPhrases(
  { notes, targets, leadsTo }: Line,
  expected: ReadonlySet<number>,
  found: ReadonlySet<number>,
): string[] {
  const wrong: string[] = []
  let met = false
  notes.forEach(({ bar, start, ticks, pitch }, i) => {
    if (!pitch) {
      met = false
      return
    }
    const due = [...expected].some(
      (place) => place === start || (place > start && place <= start + 12 && place < start + ticks),
    )
    const closes = !notes[i + 1]?.pitch
    // A line that goes round was ended by its last target before it was led on.
    const ended = leadsTo && start === targets.at(-1)!.start
    const last = notes.slice(i + 1).every((note) => !note.pitch)
    if (due && !found.has(start)) wrong.push(`bar ${bar}: no target at ${start}`)
    if (!due && found.has(start) && !ended && !(closes && (last || !met)))
      wrong.push(`bar ${bar}: a target at ${start}`)
    met ||= found.has(start)
    if (closes && !met) wrong.push(`bar ${bar}: a phrase without a target ends at ${start}`)
  })
  return wrong
}

/** Every target is an allowed degree of the chord it lands on, and sounds where it says. */
function wrongTargets(line: Line, { land, plan, pins }: Brief): string[] {
  return line.targets.flatMap(({ bar, start, pitch, degree, chord }): string[] => {
    const wrong: string[] = []
    const { chord: quality, root, scale, symbol } = line.harmony.chords[chord]!
    const note = line.notes.find((each) => each.start === start)
    const where = `bar ${bar}, target ${nameOf(pitch)} (${degree}) on ${symbol}`
    if (!quality || !root) return [`${where}: no chord`]
    if ((chromaOf(root) + degreeChroma(degree)) % 12 !== chromaOf(pitch)) wrong.push(`${where}: another degree`)
    if (note?.role !== 'target' || !note.pitch || nameOf(note.pitch) !== nameOf(pitch) || note.degree !== degree)
      wrong.push(`${where}: does not sound`)
    if (plan !== '' || pins.length > 0) return wrong
    const [third, seventh] = guideDegrees(quality)
    const own = (number: number) => quality.degrees.filter((each) => numberOf(each) === number)
    const inScale = { '9': '2', '#11': '#4', '13': '6' } as const
    const allowed = land.flatMap((landing): readonly string[] => {
      if (landing === '3') return [third]
      if (landing === '7') return seventh === '1' ? ['1', ...own(5)] : [seventh]
      if (landing === '1' || landing === '5') return own(Number(landing))
      const number = landing === '#11' ? 11 : Number(landing)
      if (own(number).length > 0) return own(number)
      if (quality.degrees.includes(inScale[landing])) return [inScale[landing]]
      return scale?.degrees.includes(inScale[landing]) ? [landing] : []
    })
    if (!(allowed.length > 0 ? allowed : [third, seventh]).includes(degree)) wrong.push(`${where}: ${allowed} allowed`)
    return wrong
  })
}

const beforeTarget = (line: Line, figure: number): readonly LineNote[] =>
  line.notes.filter((note) => note.figure === figure && note.role !== 'target')

/** What a line leads on to after its last bar, as a target. */
const next = ({ leadsTo, harmony }: Line): Pick<LineTarget, 'pitch' | 'start' | 'bar'> | null => {
  const last = harmony.bars.at(-1)!
  return leadsTo ? { pitch: leadsTo.pitch, start: last.start + last.ticks, bar: last.bar } : null
}

/** Every figure plays the offsets that it names, unbroken into or out of its target, as often counted as it says. */
function wrongFigures(line: Line, brief: Brief): string[] {
  const pinned = brief.pins.length > 0
  const gaveWay = new Set(line.relaxed.filter(({ rule }) => rule === 'approach-kinds').map(({ bar }) => bar))
  return line.figures.flatMap((figure, f): string[] => {
    const { kind, name, bar, start, offsets, count, target } = figure
    if (kind === 'motif') return wrongMotif(line, figure)
    const wrong: string[] = []
    const led = line.targets[target] ?? (target === line.targets.length ? next(line) : null)
    if (!led) return [`bar ${bar}: ${kind} ${name} belongs to no target`]
    const { pitch: landing, start: lands, bar: landsIn } = led
    const notes = beforeTarget(line, f)
    const where = `bar ${bar}, ${kind} ${name} (${offsets.join(' ')})`
    const played = notes.map((note) => midi(note) - midiOf(landing))
    const expected = kind === 'cell' ? offsets.slice(1) : offsets
    if (played.join(' ') !== expected.join(' ')) wrong.push(`${where}: plays ${played.join(' ')}`)
    if (notes.some((note) => note.role !== kind)) wrong.push(`${where}: roles ${notes.map(({ role }) => role)}`)
    const unbroken = [...(kind === 'cell' ? [{ start: lands, ticks: 12 }] : []), ...notes].every(
      (note, i, all) => i === 0 || note.start === all[i - 1]!.start + all[i - 1]!.ticks,
    )
    if (!unbroken) wrong.push(`${where}: is broken`)
    if (kind === 'cell') {
      if (start !== lands) wrong.push(`${where}: does not start on its target`)
      if (offsets[0] !== 0) wrong.push(`${where}: starts elsewhere`)
      if (countedCells.get(name)?.count !== count)
        wrong.push(`${where}: counted ${countedCells.get(name)?.count}, says ${count}`)
      return wrong
    }
    const last = notes.at(-1)
    if (!last || last.start + last.ticks !== lands) wrong.push(`${where}: does not end on its target`)
    if (notes[0]?.start !== start) wrong.push(`${where}: starts at ${notes[0]?.start}`)
    const counted = countedApproaches.get(offsets.join(' '))
    if ((counted?.count ?? 0) !== count) wrong.push(`${where}: counted ${counted?.count}, says ${count}`)
    if (pinned || gaveWay.has(landsIn)) return wrong
    if (offsets.length > brief.notes) wrong.push(`${where}: more than ${brief.notes} notes`)
    const className = counted?.kind === 'scalar' ? 'scale' : counted?.kind
    if (counted && !(brief.approach as readonly string[]).includes(className!)) wrong.push(`${where}: a ${className}`)
    const verdict = verdicts.get(offsets.join(' '))
    if (!brief.textbook && verdict === 'dead') wrong.push(`${where}: nobody plays it`)
    return wrong
  })
}

/** By size: none, a step, a third, wider; with its direction. */
const sizes = (offsets: readonly number[]): string =>
  offsets
    .slice(1)
    .map((offset, i) => {
      const move = offset - offsets[i]!
      return Math.sign(move) * [0, 1, 1, 2, 2].concat(Array(30).fill(3))[Math.abs(move)]!
    })
    .join(' ')

/** A motif plays its offsets, four to nine of them, in the rhythm and by the contour of what it says it comes from, at most four bars on. */
function wrongMotif(
  { notes, relaxed }: Line,
  { name, bar, start, offsets, origin }: Line['figures'][number],
): string[] {
  const where = `bar ${bar}, ${name}`
  if (!origin || name !== `motif of bar ${origin.bar}`) return [`${where}: from nowhere`]
  const from = (tick: number) => {
    const first = notes.findIndex((note) => note.start === tick)
    return first < 0 ? [] : notes.slice(first, first + offsets.length)
  }
  const [own, earlier] = [from(start), from(origin.start)]
  const wrong: string[] = []
  if (offsets.length < 4 || offsets.length > 9) wrong.push(`${where}: ${offsets.length} notes`)
  if (bar - origin.bar > 4 || origin.start >= start) wrong.push(`${where}: from bar ${origin.bar}`)
  if ([...own, ...earlier].some(({ pitch }) => !pitch)) return [...wrong, `${where}: rests`]
  const played = (list: readonly LineNote[]) => list.map((note) => midi(note) - midi(list[0]!))
  if (played(own).join() !== offsets.join()) wrong.push(`${where}: plays ${played(own)}`)
  // A line that folds by an octave in another key may fold between the two, or within one.
  if (!relaxed.some(({ rule }) => rule === 'same-octave') && sizes(played(earlier)) !== sizes(offsets))
    wrong.push(`${where}: another shape`)
  const times = (list: readonly LineNote[]) => list.map((note) => note.start - list[0]!.start).join()
  if (times(own) !== times(earlier)) wrong.push(`${where}: another rhythm`)
  return wrong
}

/** In range, no leap over an octave in one breath, no pitch three times running, nothing outside the harmony on a strong beat. */
function unplayable(line: Line, brief: Brief): string[] {
  const wrong: string[] = []
  // Carried to another key a line may reach past its compass, though not past its instrument, before it folds.
  const carried = brief.keys !== null && brief.each === 'same'
  const compass = !carried ? brief.compass : brief.compass === 'small' ? 'comfortable' : 'full'
  const [low, high] = soundingRange(line.instrument, { ...brief, compass })
  const { notes, harmony } = line
  const pinned = brief.pins.length > 0
  // Where a drill says that an approach leaves the scale, it may; and figures asked for by their offsets stand as they are.
  const foreign = new Set(line.relaxed.filter(({ rule }) => rule === 'scale').map(({ bar }) => bar))
  const landsIn = ({ bar, start }: LineNote) =>
    line.targets.find((target) => target.start >= start)?.bar ?? (line.leadsTo ? harmony.bars.length : bar)
  notes.forEach((note, i) => {
    if (!note.pitch) {
      if (note.role !== 'rest' || note.degree !== null || note.figure !== null)
        wrong.push(`bar ${note.bar}: not a rest`)
      return
    }
    const where = `bar ${note.bar}, ${nameOf(note.pitch)}`
    if (midi(note) < low || midi(note) > high) wrong.push(`${where}: outside ${low} to ${high}`)
    if (Math.abs(note.pitch.alter) > 1) wrong.push(`${where}: a double accidental`)
    const [before, earlier] = [notes[i - 1], notes[i - 2]]
    if (before?.pitch && Math.abs(midi(note) - midi(before)) > 12)
      wrong.push(`${where}: a leap from ${nameOf(before.pitch)}`)
    if (!pinned && before?.pitch && earlier?.pitch && midi(before) === midi(note) && midi(earlier) === midi(note))
      wrong.push(`${where}: three times running`)
    const own = harmony.bars[Math.max(1, note.bar) - 1]!
    if (
      !pinned &&
      !foreign.has(landsIn(note)) &&
      strongTicks(own.meter).includes(note.start - own.start) &&
      !inHarmony(line, i)
    )
      wrong.push(`${where}: outside the harmony on a strong beat (${note.role})`)
  })
  return wrong
}

/** What bebop scales add to the scale below them, so that chord tones stay on the beat (common practice). */
const added: Readonly<Record<string, string>> = {
  'bebop dominant': '7',
  'bebop major': '#5',
  'bebop dorian with natural 3': '3',
  'bebop dorian with natural 7': '7',
}

/** What a bebop scale adds passes: off the beat, come to by a step, and on by a half step the same way. Approaches go their own way. */
function stoodOn(line: Line, { pins }: Brief): string[] {
  if (pins.length > 0) return []
  return line.notes.flatMap((note, i): string[] => {
    const heard = chordAt(line, note.start)
    const degree = added[heard?.scale?.name ?? ''] as Degree | undefined
    if (
      !note.pitch ||
      !degree ||
      !heard?.root ||
      heard.chord!.degrees.some((own) => degreeChroma(own) === degreeChroma(degree))
    )
      return []
    if ((chromaOf(note.pitch) - chromaOf(heard.root) + 12) % 12 !== degreeChroma(degree)) return []
    if (note.role === 'approach' || note.role === 'target') return []
    const own = line.harmony.bars[Math.max(1, note.bar) - 1]!
    const [before, after] = [line.notes[i - 1], line.notes[i + 1]]
    const from = before?.pitch ? midi(note) - midi(before) : 0
    const to = after?.pitch ? midi(after) - midi(note) : 0
    const beat = own.meter.unit <= 4 && (note.start - own.start) % ticksPerQuarter === 0
    const passes = Math.abs(to) === 1 && from * to > 0 && Math.abs(from) <= 2
    return passes && !beat && !strongTicks(own.meter).includes(note.start - own.start)
      ? []
      : [`bar ${note.bar}, ${nameOf(note.pitch)}: the note that the scale adds does not pass`]
  })
}

/** Whether a note belongs to the chord or scale that sounds, or, leading in, to that of the chord it lands on. */
function inHarmony(line: Line, index: number): boolean {
  const note = line.notes[index]!
  const chords = [chordAt(line, note.start)]
  if (note.role === 'target' || note.figure !== null) {
    const target = line.targets.find(({ start }) => start >= note.start)
    if (target) chords.push(line.harmony.chords[target.chord])
    else if (line.leadsTo) chords.push(line.leadsTo.chord)
  }
  return chords.some((chord) => {
    if (!chord?.root || !chord.chord) return chord !== undefined
    const chroma = (midi(note) - chromaOf(chord.root) + 120) % 12
    return [...chord.chord.degrees, ...(chord.scale?.degrees ?? [])].some((degree) => degreeChroma(degree) === chroma)
  })
}

/** Every note's degree sounds as the note does, above the root of the chord that it belongs to. */
function wrongDegrees(line: Line): string[] {
  return line.notes.flatMap((note): string[] => {
    if (!note.pitch) return []
    const early = line.targets.find(({ start }) => start === note.start)
    const chord = early ? line.harmony.chords[early.chord] : chordAt(line, Math.max(0, note.start))
    if (!chord?.root || !chord.chord) return note.degree === null ? [] : [`bar ${note.bar}: a degree of no chord`]
    const sounds = (chromaOf(chord.root) + degreeChroma(note.degree ?? '')) % 12
    return sounds === chromaOf(note.pitch)
      ? []
      : [`bar ${note.bar}, ${nameOf(note.pitch)} is not ${note.degree} of ${chord.symbol}`]
  })
}

/** The notes that lead from one target to the next, apart: what stands right after the one, and the approach into the other. */
interface Gap {
  readonly where: string
  readonly bar: number
  readonly from: LineTarget | null
  readonly to: number
  readonly between: readonly LineNote[]
  readonly approach: readonly LineNote[]
}

/** The gaps of a line, from its first target or its pickup to what it leads on to. */
function gapsOf(line: Line, goal: number | null): readonly Gap[] {
  const ends = [...line.targets.map(({ start, pitch }) => ({ start, midi: midiOf(pitch) }))]
  const last = line.harmony.bars.at(-1)!
  if (goal !== null) ends.push({ start: last.start + last.ticks, midi: goal })
  return ends.map(({ start, midi: to }, i): Gap => {
    const from = line.targets[i - 1] ?? null
    const notes = line.notes.filter((note) => note.start < start && (!from || note.start > from.start))
    const bar = line.targets[i]?.bar ?? last.bar
    const approach = notes.filter(({ role }) => role === 'approach')
    return { where: `bar ${bar}`, bar, from, to, between: notes.filter((note) => !approach.includes(note)), approach }
  })
}

/**
 * What is wrong with an exact drill, line by line: so many notes before each target, one counted cell between, nothing twice before
 * its turn, each line leading into the next. A bar that says it gave way is let off that rule alone.
 */
export function brokenDrill(lines: readonly Line[], brief: Brief): readonly string[] {
  return lines.flatMap((line, l) => {
    const goal = brief.join ? midiOf(lines[(l + 1) % lines.length]!.targets[0]!.pitch) : null
    const gaps = gapsOf(line, goal)
    const gaveWay = (rule: string, bar: number) => line.relaxed.some((each) => each.rule === rule && each.bar === bar)
    const offsetsOf = ({ approach, to }: Gap) => approach.map((note) => midi(note) - to)
    const wrong = gaps.flatMap((gap, g): readonly string[] => {
      const { where, bar, from, between, approach } = gap
      const offsets = offsetsOf(gap)
      const name = offsets.join(' ')
      const said: string[] = []
      if (!from && approach.length === 0 && (!brief.pickup || l > 0)) return []
      const lengths = brief.figures.length > 0 ? brief.figures.map((text) => text.split(' ').length) : [brief.notes]
      const otherKind = brief.figures.length > 0 && gaveWay('approach-kinds', bar)
      if (!lengths.includes(approach.length) && !gaveWay('exact', bar) && !otherKind)
        said.push(`${where}: ${approach.length} notes lead in`)
      const counted = countedApproaches.get(name)
      if (brief.figures.length === 0 && (counted?.count ?? 0) < Math.max(1, brief.heard) && !gaveWay('exact', bar))
        said.push(`${where}: ${name} counted ${counted?.count}`)
      if (
        brief.figures.length > 0 &&
        !brief.figures.includes(name) &&
        brief.figures.every((text) => !text.includes('d'))
      )
        if (!gaveWay('approach-kinds', bar) && !gaveWay('exact', bar)) said.push(`${where}: ${name} was not asked for`)
      const cells = line.figures.filter(({ kind, target }) => kind === 'cell' && target === g - 1)
      const bare = between.every(({ role }) => role === 'rest')
      if (between.some(({ role }) => role === 'connect')) said.push(`${where}: a note that belongs to nothing`)
      if (from && !bare && (cells.length !== 1 || between.filter(({ role }) => role === 'cell').length !== 3))
        said.push(`${where}: ${cells.length} cells`)
      const end = line.harmony.bars.at(-1)!
      const room = (line.targets[g]?.start ?? end.start + end.ticks) - (from?.start ?? 0)
      if (from && bare && room >= 48 + 24 && !gaveWay('cells', bar) && !gaveWay('exact', bar))
        said.push(`${where}: no cell`)
      for (const { name: called, count } of cells) {
        if (brief.cells.length > 0 && !brief.cells.includes(called) && !gaveWay('cells', bar))
          said.push(`${where}: cell ${called}`)
        if (count < Math.max(1, brief.heard)) said.push(`${where}: cell ${called} counted ${count}`)
      }
      return said
    })
    return [...wrong, ...(brief.different ? twice(gaps.map(offsetsOf), line) : [])].map((text) => `${l + 1}, ${text}`)
  })
}

/** Approaches that come twice, where the line does not say so. */
function twice(played: readonly (readonly number[])[], line: Line): readonly string[] {
  const names = played.map((offsets) => offsets.join(' ')).filter((name) => name !== '')
  const said = line.relaxed.filter(({ rule }) => rule === 'different').length
  const more = names.length - new Set(names).size
  return more > said ? [`${more} approaches come again, and ${said} are named`] : []
}
