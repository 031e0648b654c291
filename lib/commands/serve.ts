/** `serve`: the page. */
import { whole } from '../choices/reader.ts'
import type { Command } from './command.ts'
import { type OwnOption, readOption, understood } from './options.ts'

const port: OwnOption<number> = {
  name: 'port',
  reader: { ...whole(0, 65_535), form: 'N' },
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
