/** What `npm start` runs: `serve` in a process of its own, since how much memory glibc keeps is read as a process begins. Stops with it. */
import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { onStarterGone, serverFlags, serverMemory } from './starter.ts'

const command = fileURLToPath(new URL('../../lib/cli.js', import.meta.url))
const server = spawn(process.execPath, [...serverFlags, command, 'serve', ...process.argv.slice(2)], {
  env: { ...serverMemory, ...process.env },
  // By the channel, which carries nothing, the server knows that it is to stop with this process.
  stdio: ['inherit', 'inherit', 'inherit', 'ipc'],
})
server.channel?.unref()
for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => server.kill(signal))
onStarterGone(() => server.kill('SIGTERM'))
server.once('exit', (code) => {
  process.exitCode = code ?? 1
  process.exit()
})
