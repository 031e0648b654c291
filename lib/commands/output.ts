/** What commands write: the format asked for, on standard output or as files. */
import { nearest, refuse, value } from '../choices/reader.ts'
import { type Export, exportOf, exportOfFile, exports, writeFiles } from '../exports.ts'
import type { Lines } from '../lines/write.ts'
import { loadSamples } from '../sampleFiles.ts'
import type { FileToSave } from '../saveFiles.ts'
import { type Asked, formatNamed, type Outside } from './command.ts'
import { named, type OptionReader, type OwnOption, readOption, Usage, understood, usage } from './options.ts'

/** Formats of a line, by name, the usual one first. */
export const lineFormats: readonly string[] = ['json', ...exports.map(({ id }) => id).filter((id) => id !== 'json')]

/** A format by its name or an ending of its files. */
function formatAmong(allowed: readonly string[]): OptionReader<string> {
  const expected = `one of ${allowed.join(', ')}`
  return {
    read: (text) => {
      const id = (exportOf(text) ?? exportOfFile(`.${text}`))?.id ?? text
      return allowed.includes(id) ? value(id) : refuse(expected, `try ${nearest(text, allowed)}`)
    },
    form: allowed.join('|'),
    expected,
    hint: `try ${allowed[0]}`,
  }
}

const formatOption = (formats: readonly string[]): OwnOption<string> => ({
  name: 'format',
  reader: formatAmong(formats),
  help: 'the format; that of the ending of PATH where not said, else json',
})

/** The options of a command that writes one of these formats. */
export const outputOptions = (formats: readonly string[]): readonly OwnOption[] => [
  formatOption(formats),
  {
    name: 'output',
    short: 'o',
    reader: named('PATH', 'the file to write', `try -o result.${formats[0]}`),
    help: 'the file to write; standard output where not said',
  },
]

export const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`

/** The format asked for: by its name or an ending, else by the ending of the output, else JSON. */
export function formatOf({ options }: Asked, allowed: readonly string[]): string {
  const said = readOption(options, formatOption(allowed))
  if (said !== null) return said
  const { output = '' } = options
  const meant = exportOfFile(output)?.id ?? formatNamed(options)
  return understood(formatAmong(allowed), meant, `-o ${output}`)
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
    throw usage(problem!.found, problem!.expected, problem!.hint)
  }
  if (files.length === 1) return put(outside, asked, files[0]!.bytes)
  if (output === undefined)
    throw usage(
      `${files.length} ${format.id} files for standard output`,
      'one',
      'give -o PATH, or ask for one key, fewer bars or pdf',
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
