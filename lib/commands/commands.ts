/** The list of commands, and how one is run: from arguments to output, problems and an exit code. */

import { withoutControls } from '../problem.ts'
import { chart } from './chart.ts'
import { type Command, type Outside, readArguments } from './command.ts'
import { drill } from './drill.ts'
import { figures } from './figures.ts'
import { guideTones } from './guideTones.ts'
import { commandHelp, help, unknownCommand, usageOf } from './help.ts'
import { line } from './line.ts'
import { mark } from './mark.ts'
import { Usage } from './options.ts'
import { plan } from './plan.ts'
import { serve } from './serve.ts'

/** Every command, in the order in which help says them. */
export const commands: readonly Command[] = [chart, line, drill, figures, guideTones, mark, plan, serve, help]

async function run([typed = '', ...args]: readonly string[], outside: Outside): Promise<number> {
  if (typed === '--version') {
    outside.out(`${outside.version()}\n`)
    return 0
  }
  const name = typed === '--help' || typed === '-h' ? 'help' : typed
  const command = commands.find((each) => each.name === name)
  if (!command) throw unknownCommand(typed, commands)
  if (args.includes('--help') || args.includes('-h')) {
    outside.out(commandHelp(command))
    return 0
  }
  return command.run(readArguments(command, args), outside, commands)
}

/**
 * Runs one command. Comes back with its exit code: 0 done, 1 the input has errors, 2 the command was not understood, which is
 * then said with what can be asked. Throws only for an error of our own.
 */
export async function runCommand(args: readonly string[], outside: Outside): Promise<number> {
  try {
    return await run(args, outside)
  } catch (error) {
    if (!(error instanceof Usage)) throw error
    outside.err(`${withoutControls(`throughline: ${error.message}`)}\n${usageOf(commands)}`)
    return 2
  }
}
