/** How lines are written as what they can be taken away as: pages, books, recordings, each writer loaded when it is asked for. Node-side. */
import type { Brief, BriefProblem } from './brief.ts'
import { linesAsPlayed } from './drill/joinLines.ts'
import type { Line } from './line/line.ts'
import type { Lines } from './lines/write.ts'
import type { Score } from './score/score.ts'
import type { SoundFormat } from './sound/recordSound.ts'
import type { BandSamples } from './sound/sampledTones.ts'

/** What an export may be told beside the lines. */
export interface Asked {
  /** The address that rebuilds the lines, for the foot of what is printed; null where there is none. */
  readonly link: string | null
  /** Told after each sheet of a book. */
  readonly progress: (done: number, of: number) => void
  /** The recorded notes of a band whose line is played on a program; null where there are none to be had. */
  readonly samples: (program: number) => Promise<BandSamples | null>
  /** Told what sounds otherwise than was asked, in words. */
  readonly remark: (said: string) => void
  /** Choices as a person typed them, to place their problems in. */
  readonly typed: Readonly<Record<string, string | undefined>>
  /** Whether JSON is spread over lines. */
  readonly spread: boolean
}

/** A file that is made piece by piece. */
export type Pieces = Iterable<Uint8Array> | AsyncIterable<Uint8Array>

/** Why there is no file. */
export interface Refused {
  readonly problems: readonly BriefProblem[]
}

/** The pages of a file. */
export type Pages = readonly (string | Uint8Array)[]

/** The line alone, at the tempo and with the swing that it is played with. */
export async function lineMidi(line: Line, brief: Brief): Promise<Uint8Array> {
  const [{ sequenceOf, writeMidi }, { feelAndSwing }, { usualTempo }] = await Promise.all([
    import('./score/writeMidi.ts'),
    import('./sound/feel.ts'),
    import('./sound/playPasses.ts'),
  ])
  const tempo = brief.tempo ?? line.harmony.tempo ?? usualTempo
  return writeMidi(sequenceOf(line, { tempo, swing: feelAndSwing(line.harmony, tempo, brief).swing }))
}

export async function engraved(score: Score, brief: Brief): Promise<readonly string[]> {
  const { engraveScore } = await import('./engrave/engraver.ts')
  const sheet = { paper: brief.paper, large: brief.print === 'large', title: score.title }
  return engraveScore(score, { show: brief.show }, sheet)
}

const loadBinders = () => Promise.all([import('./engrave/book.ts'), import('./engrave/pdf/writePdf.ts')])

export async function bookOf({ lines, brief }: Lines, { link, progress }: Asked): Promise<Uint8Array> {
  const [{ ladderBook, lineBook }, { writePdf }] = await loadBinders()
  const choices = { link, ownStaves: brief.ownStaves }
  const book = brief.ladder === 'none' ? lineBook(lines, brief, choices) : ladderBook(lines, brief, choices)
  return writePdf(book, { progress })
}

/** A class set, as one book or a file a part; refused where a part that was asked for has no octave that fits. */
export async function partsOf(
  { lines, brief }: Lines,
  { link, progress }: Asked,
  as: 'pdf' | 'zip',
): Promise<Uint8Array | Refused> {
  const [{ classSet, zipClassSet }, { writePdf }] = await loadBinders()
  const { askedParts, unfitParts } = await import('./score/classSet.ts')
  const problems = unfitParts(lines, brief)
  if (problems.length > 0) return { problems }
  const set = classSet(lines, brief, askedParts(brief), { link, ownStaves: brief.ownStaves })
  return as === 'zip' ? zipClassSet(set, { progress }) : writePdf(set.book, { progress })
}

export async function recorded(
  { lines, brief }: Lines,
  { samples, remark }: Asked,
  format: SoundFormat | 'opus',
): Promise<Pieces | Refused> {
  const [{ planRecording, recordSound, samplesOf }, { longestRecording, replacedInRecording }, { lentRecording }] =
    await Promise.all([
      import('./sound/recordSound.ts'),
      import('./sound/playPasses.ts'),
      import('./sound/recordings.ts'),
    ])
  const notes = brief.sound === 'sampled' ? await samples(lines[0]?.instrument.program ?? 0) : {}
  const played = linesAsPlayed(lines, brief)
  const lent = notes?.line && brief.hear.includes('line') ? lentRecording(brief.instrument) : null
  const plain = notes ? [] : ['there are no recorded notes here: the sound is plain']
  const remarks = [...plain, ...(lent ? [lent] : []), ...replacedInRecording(played, brief)]
  const recording = planRecording(played, brief, notes ?? {}, remarks)
  if (!recording) return tooLong(longestRecording)
  for (const each of remarks) remark(each)
  if (format !== 'opus') return recordSound(recording, format)
  const { opusRate, writeOpus } = await import('./opus.ts')
  return writeOpus(samplesOf(recording, opusRate), recording.tags)
}

/** The guide tones of a tune in its own key, to write on. */
export async function worksheetOf({ brief, chart }: Lines, { link, progress }: Asked): Promise<Uint8Array> {
  const [{ homeWorksheet }, { writePdf }] = await loadBinders()
  return writePdf(homeWorksheet(chart, brief, link), { progress })
}

/** Line and band as MIDI. */
export async function bandMidi({ lines, brief }: Lines, { remark }: Asked): Promise<Uint8Array | Refused> {
  const [{ writeBandMidi }, { longestRecording, replacedInRecording }] = await Promise.all([
    import('./sound/bandMidi.ts'),
    import('./sound/playPasses.ts'),
  ])
  const played = linesAsPlayed(lines, brief)
  for (const each of replacedInRecording(played, brief)) remark(each)
  return writeBandMidi(played, brief) ?? tooLong(longestRecording)
}

export async function packetOf(lines: Lines, asked: Asked): Promise<Pieces | Refused> {
  const { planPacket, writePacket } = await import('./packet.ts')
  const packet = planPacket(lines)
  if ('problems' in packet) return packet
  const record = (line: Line, alone: boolean, format: SoundFormat | 'opus') =>
    recordedAs(lines, asked, line, alone, format)
  return writePacket(packet, lines, { ...asked, record })
}

/** One key of lines as a recording for a packet, line and band or the band alone. */
async function recordedAs(
  lines: Lines,
  asked: Asked,
  line: Line,
  alone: boolean,
  format: SoundFormat | 'opus',
): Promise<Pieces> {
  const hear = alone ? lines.brief.hear.filter((part) => part !== 'line') : lines.brief.hear
  const made = await recorded({ ...lines, lines: [line], brief: { ...lines.brief, hear } }, asked, format)
  // How long it would be was looked at before the packet was begun.
  if ('problems' in made) throw new Error(`no recording: ${made.problems[0]?.found}`)
  return made
}

const refused = (
  choice: BriefProblem['choice'],
  code: string,
  found: string,
  expected: string,
  hint: string,
): Refused => ({
  problems: [{ severity: 'error', code, choice, span: { start: 0, end: 0 }, found, expected, hint }],
})

const tooLong = (seconds: number): Refused =>
  refused(
    'keys',
    'recording-too-long',
    'a longer recording',
    `at most ${seconds / 60} minutes`,
    'take the keys one by one, fewer passes or a quicker tempo',
  )
