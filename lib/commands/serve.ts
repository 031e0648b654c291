/** `serve`: the page. */
import { whole } from '../choices/reader.ts'
import type { Command } from './command.ts'
import { made, type OwnOption, readOption, understood } from './options.ts'

const ports = whole(0, 65_535)

const port: OwnOption<number> = {
  name: 'port',
  reader: made(
    (text) => {
      const read = ports.read(text)
      return 'value' in read ? read.value : null
    },
    'N',
    ports.expected,
    'try 3000',
  ),
  help: 'the port to listen on; PORT where not said, else 3000',
}

export const serve: Command = {
  name: 'serve',
  help: 'Serves the page, and prints its address once it listens.',
  files: 'none',
  options: [port],
  choices: [],
  run: async ({ options }, outside) => {
    await outside.serve(readOption(options, port) ?? understood(port.reader, outside.port, `PORT=${outside.port}`))
    return 0
  },
}
