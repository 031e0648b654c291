/** `serve`: the page. */
import { type Command, Usage } from './command.ts'

export const serve: Command = {
  name: 'serve',
  help: 'Serves the page, and prints its address once it listens.',
  files: 'none',
  options: [{ name: 'port', takes: 'N', help: 'the port to listen on; PORT where not said, else 3000' }],
  choices: [],
  run: async ({ options }, outside) => {
    const port = options.port ?? outside.port
    if (!/^\d{1,5}$/.test(port) || Number(port) > 65_535)
      throw new Usage(`found --port ${port}; expected a number from 0 to 65535; try --port 3000`)
    await outside.serve(Number(port))
    return 0
  },
}
