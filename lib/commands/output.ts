/** What commands write: the format asked for, on standard output or as files. */
import { nearest } from '../choices/reader.ts'
import { type Export, exportOf, exportOfFile, exports, writeFiles } from '../exports.ts'
import type { Lines } from '../lines/write.ts'
import { loadSamples } from '../sampleFiles.ts'
import type { FileToSave } from '../saveFiles.ts'
import { type Asked, formatNamed, type Outside, type OwnOption, Usage } from './command.ts'

/** Formats of a line, by name, the usual one first. */
export const lineFormats: readonly string[] = ['json', ...exports.map(({ id }) => id).filter((id) => id !== 'json')]

/** The options of a command that writes one of these formats. */
export const outputOptions = (formats: readonly string[]): readonly OwnOption[] => [
  {
    name: 'format',
    takes: formats.join('|'),
    help: 'the format; that of the ending of PATH where not said, else json',
  },
  { name: 'output', short: 'o', takes: 'PATH', help: 'the file to write; standard output where not said' },
]

export const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`

/** The format asked for: by its name or an ending, else by the ending of the output, else JSON. */
export function formatOf({ options }: Asked, allowed: readonly string[]): string {
  const named = formatNamed(options)
  const { format, output = '' } = options
  const meant = format === undefined ? exportOfFile(output) : (exportOf(format) ?? exportOfFile(`.${format}`))
  const id = meant?.id ?? named
  if (!allowed.includes(id))
    throw new Usage(`found format ${named}; expected one of ${allowed.join(', ')}; try ${nearest(named, allowed)}`)
  return id
}

/** Writes a result to the output asked for, or to standard output. */
export function put(outside: Outside, asked: Asked, bytes: string | Uint8Array): void {
  const { output: path } = asked.options
  if (path === undefined) outside.out(bytes)
  else write(outside, asked, [{ path, bytes }])
}

function write(outside: Outside, { files: inputs }: Asked, files: readonly FileToSave[]): void {
  try {
    outside.write(files, inputs)
  } catch (error) {
    throw new Usage(error instanceof Error ? error.message : String(error))
  }
}

/** On a terminal, says how far a book is, on one line that is wiped when it is done. */
const showProgress =
  ({ watched, err }: Outside) =>
  (done: number, of: number): void => {
    if (watched && of > 1) err(done < of ? `\r${done} of ${of} sheets` : '\r\x1b[K')
  }

/** Suffixes that are all different: those that come several times, such as two threads of one key, are numbered. */
const namedApart = (suffixes: readonly string[]): readonly string[] =>
  suffixes.map((suffix, i) =>
    suffixes.indexOf(suffix) === suffixes.lastIndexOf(suffix)
      ? suffix
      : `${suffix}-${suffixes.slice(0, i + 1).filter((each) => each === suffix).length}`,
  )

/** Writes lines as files: to standard output where it is one, else beside each other, named by key and page. */
export async function putFiles(outside: Outside, asked: Asked, lines: Lines, format: Export): Promise<void> {
  const { output } = asked.options
  const files = await writeFiles(format, lines, {
    progress: showProgress(outside),
    samples: loadSamples,
    remark: (said) => outside.err(`${said}\n`),
    typed: asked.given,
    spread: true,
  })
  if ('problems' in files) {
    const [problem] = files.problems
    throw new Usage(`found ${problem!.found}; expected ${problem!.expected}; ${problem!.hint}`)
  }
  if (files.length === 1) return put(outside, asked, files[0]!.bytes)
  if (output === undefined)
    throw new Usage(
      `found ${files.length} ${format.id} files for standard output; expected one; give -o PATH, or ask for one key, fewer bars or pdf`,
    )
  const ending = format.endings.find((each) => output.toLowerCase().endsWith(`.${each}`))
  const tail = ending ? output.slice(-ending.length - 1) : (/\.[^./]+$/.exec(output)?.[0] ?? '')
  const stem = output.slice(0, output.length - tail.length)
  const names = namedApart(files.map(({ suffix }) => suffix))
  write(
    outside,
    asked,
    files.map(({ bytes }, i) => ({ path: `${stem}${names[i]}${tail}`, bytes })),
  )
}
